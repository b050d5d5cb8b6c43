package archive

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"sync"
	"time"

	"wornwood/pdfout"
)

// MaxReport is the largest report that is taken, in bytes: as much as the check
// of a report reads.
const MaxReport = 512 << 20

// Result says what became of one file.
type Result string

// The results.
const (
	IsFiled    Result = "filed"
	IsThere    Result = "there"          // filed before, or twice among what was given
	IsRefused  Result = "refused"        // on the refused pile now
	WasRefused Result = "refused before" // on the refused pile since an earlier time
	IsLeft     Result = "left"           // could not be read or is too large; left where it is
)

// Outcome is what became of one file. It is told once it is on disk.
type Outcome struct {
	Result Result `json:"result"`
	Source string `json:"source"`
	Hash   string `json:"sha256,omitempty"`
	Linked string `json:"linked,omitempty"` // the report of which this is a later version
	Why    string `json:"why,omitempty"`    // refused or left
}

// Tally counts what became of everything given.
type Tally struct {
	Filed   int `json:"filed"`
	Linked  int `json:"linked"` // of these, later versions of a report that is filed
	There   int `json:"there"`
	Refused int `json:"refused"` // also before
	Left    int `json:"left"`
	Passed  int `json:"passedOver"` // neither PDF nor mail, or mail without a PDF
}

// FileOptions say how to file.
type FileOptions struct {
	Verify  pdfout.VerifyOptions // known keys and trusted authorities; Strict is the archive's own
	Workers int                  // 0 takes one for each processor
	Done    func(Outcome)        // called for each file, in no order, from one goroutine
	Again   bool                 // also what was removed before
}

// File checks and files reports: PDFs, folders with everything below them, and
// mail (.eml, .mbox) with PDFs attached. What does not pass goes on the refused
// pile with the reason. When it is cancelled or the disk is full, what was told
// as filed stays filed and the rest was not touched; given again, filing goes on.
func (a *Archive) File(ctx context.Context, paths []string, opt FileOptions) (tally Tally, err error) {
	if a.readOnly {
		return Tally{}, errors.New("file reports: the archive is open for reading only")
	}
	if a.unindexed { // an earlier filing failed in between
		if err := errors.Join(a.recover(), a.caughtUp(ctx)); err != nil {
			return Tally{}, fmt.Errorf("file reports: %w", err)
		}
	}
	if opt.Workers <= 0 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	if opt.Done == nil {
		opt.Done = func(Outcome) {}
	}
	opt.Verify.Strict = a.Settings.Strict
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	f := &filing{a: a, opt: opt, ctx: ctx, cancel: cancel, claimed: map[string]bool{}, firsts: map[string]string{}}
	if f.gone, err = a.gone(opt.Again); err != nil {
		return Tally{}, fmt.Errorf("file reports: %w", err)
	}
	f.run(paths)
	err = context.Cause(ctx)
	// Whatever is staged now was told to nobody, or only its last step is missing.
	if err2 := a.recover(); err2 != nil {
		err = errors.Join(err, err2)
	}
	if err != nil {
		return f.tally, fmt.Errorf("file reports: %w", err)
	}
	return f.tally, nil
}

// filing is one call of File under way.
type filing struct {
	a      *Archive
	opt    FileOptions
	ctx    context.Context
	cancel context.CancelCauseFunc

	mu      sync.Mutex
	claimed map[string]bool // content taken up in this run

	gone   map[string]string // what was removed and is not to come back by itself, and why
	firsts map[string]string // first signature to the report filed with it in this run
	tally  Tally
}

// judged is a source after its check.
type judged struct {
	Outcome
	entry   Entry
	verdict *pdfout.Verdict
}

// run has one goroutine find sources, some check them, and this one write.
func (f *filing) run(paths []string) {
	sources, results := make(chan source), make(chan judged)
	var finding, workers sync.WaitGroup
	finding.Go(func() {
		defer close(sources)
		w := walker{ctx: f.ctx, out: sources, not: f.a.dir, large: make(chan struct{}, 1)}
		if err := w.walk(paths); err != nil {
			f.cancel(err)
		}
		f.mu.Lock()
		f.tally.Passed += w.passed
		f.mu.Unlock()
	})
	for range f.opt.Workers {
		workers.Go(func() {
			for s := range sources {
				j, err := f.judge(s)
				if err != nil {
					f.cancel(err)
					continue // empty the channel, so that the walker ends
				}
				results <- j
			}
		})
	}
	go func() { workers.Wait(); close(results) }()
	for batch := range batches(results) {
		if f.ctx.Err() != nil {
			continue
		}
		if err := f.commit(batch); err != nil {
			f.cancel(err)
		}
	}
	finding.Wait()
}

// The writing is done for several reports at once: as many as were checked
// within a moment, so that the disk is waited for once.
const (
	batchMost = 32
	batchWait = 60 * time.Millisecond
)

func batches(in <-chan judged) <-chan []judged {
	out := make(chan []judged)
	go func() {
		defer close(out)
		for first := range in {
			batch := []judged{first}
			moment := time.After(batchWait)
		more:
			for len(batch) < batchMost {
				select {
				case j, ok := <-in:
					if !ok {
						break more
					}
					batch = append(batch, j)
				case <-moment:
					break more
				}
			}
			out <- batch
		}
	}()
	return out
}

// judge takes a source in and checks it. An error ends the filing; everything
// that is the file's own fault is in the outcome.
func (f *filing) judge(s source) (judged, error) {
	if err := f.ctx.Err(); err != nil {
		return judged{}, err
	}
	j := judged{Outcome: Outcome{Source: s.name, Result: IsLeft}}
	r, err := s.open()
	if err != nil {
		j.Why = sentence(err)
		return j, nil
	}
	var want bool
	var broken error
	from := &reader{r: r}
	hash, size, err := f.a.store.Stage(from, MaxReport, func(h string) bool {
		want, broken = f.claim(h)
		return want
	})
	if closed := r.Close(); err == nil {
		err = closed
	}
	switch {
	case broken != nil:
		return j, broken
	case errors.Is(err, ErrTooLarge) || (err != nil && from.err != nil):
		j.Why = sentence(err)
		return j, nil
	case err != nil:
		return j, err
	}
	j.Hash, j.entry = hash, Entry{File: hash, Size: size, Source: j.Source}
	if why := f.gone[hash]; why != "" {
		j.Why = why
		return j, nil
	}
	if !want {
		j.Result = IsThere
		return j, nil
	}
	return f.check(j)
}

// reader remembers that reading failed, and not writing.
type reader struct {
	r   io.Reader
	err error
}

func (r *reader) Read(p []byte) (int, error) {
	n, err := r.r.Read(p)
	if err != nil && err != io.EOF {
		r.err = err
	}
	return n, err
}

// claim says whether content is to be checked: it is not filed yet and was not
// taken up before in this run.
func (f *filing) claim(hash string) (bool, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.claimed[hash] || f.gone[hash] != "" {
		return false, nil
	}
	row, err := f.a.index.Filed(hash)
	if err != nil || row != nil {
		return false, err
	}
	f.claimed[hash] = true
	return true, nil
}
