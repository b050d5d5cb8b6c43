package archive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"wornwood/pdfout"
)

// maxVerdict bounds a verdict that is read back, in bytes.
const maxVerdict = 256 << 20

// Rebuilt says what a new index was made from.
type Rebuilt struct {
	Reports int       `json:"reports"`
	Damaged []Finding `json:"damaged,omitempty"` // left out
}

// Rebuild makes the index anew from files and log.
func (a *Archive) Rebuild(ctx context.Context) (*Rebuilt, error) {
	if a.readOnly {
		return nil, errors.New("rebuild index: the archive is open for reading only")
	}
	if err := a.index.Reset(); err != nil {
		return nil, err
	}
	r, err := a.follow(ctx, Position{})
	if err == nil {
		a.unindexed = false
	}
	return r, err
}

// perTransaction is how many lines an index takes in at once.
const perTransaction = 4096

// readAhead is how many verdicts are read at a time: reading waits for the disk
// or, longer, for the network, and what was read is taken apart beside.
func (a *Archive) readAhead() int {
	if _, is := a.store.(*s3); is {
		return 2 * s3AtOnce
	}
	return 4
}

// follow brings the index from a position up to the log's end. Verdicts are read
// by several at once while the index takes in those before.
func (a *Archive) follow(ctx context.Context, from Position) (*Rebuilt, error) {
	if from.Seq == 0 {
		from = Position{Head{0, a.genesis}, 0}
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	f := &following{a: a, out: &Rebuilt{}, read: make(chan *followed, a.readAhead()), apply: make(chan batchOf), applied: make(chan error, 1)}
	var readers sync.WaitGroup
	for range a.readAhead() {
		readers.Go(f.reader)
	}
	go f.applier(cancel)
	at := from
	_, err := walk(a.store, from.Head, from.End, func(e Entry, h Head, end int64) error {
		at = Position{h, end}
		return f.take(ctx, e, at)
	})
	if err == nil {
		err = f.flush(ctx, at)
	}
	close(f.read)
	readers.Wait()
	close(f.apply)
	if failed := <-f.applied; failed != nil {
		err = failed // which made the walk stop
	}
	if err != nil {
		return nil, err
	}
	return f.out, nil
}

// following is the index on its way along the log.
type following struct {
	a       *Archive
	out     *Rebuilt
	batch   []*followed
	read    chan *followed
	apply   chan batchOf
	applied chan error
}

// followed is a line of the log, and its report's row once ready is closed.
type followed struct {
	Event
	err   error
	ready chan struct{}
}

// batchOf are lines that the index takes in together.
type batchOf struct {
	lines []*followed
	at    Position
}

func (f *following) take(ctx context.Context, e Entry, at Position) error {
	l := &followed{Event: Event{Entry: e}}
	if e.Kind == Filed {
		l.ready = make(chan struct{})
		select {
		case f.read <- l:
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	if f.batch = append(f.batch, l); len(f.batch) < perTransaction {
		return nil
	}
	return f.flush(ctx, at)
}

func (f *following) flush(ctx context.Context, at Position) error {
	select {
	case f.apply <- batchOf{f.batch, at}:
		f.batch = nil
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (f *following) reader() {
	for l := range f.read {
		l.Row, l.err = f.a.rowOf(l.Entry)
		close(l.ready)
	}
}

// applier gives batches to the index; after a failure it gives no more, and
// calls off the rest.
func (f *following) applier(cancel func()) {
	var failed error
	for b := range f.apply {
		events := make([]Event, 0, len(b.lines))
		for _, l := range b.lines {
			f.note(l)
			events = append(events, l.Event)
		}
		if failed == nil {
			if failed = f.a.index.Apply(events, b.at); failed != nil {
				cancel()
			}
		}
	}
	f.applied <- failed
}

// note waits for a line's row, and notes what became of it.
func (f *following) note(l *followed) {
	if l.ready != nil {
		<-l.ready
	}
	switch {
	case l.err != nil:
		f.out.Damaged = append(f.out.Damaged, Finding{Severity: Grave, Ref: &Ref{Verdicts, l.File}, Text: l.err.Error(), Do: doRestore})
	case l.Row != nil:
		f.out.Reports++
	case l.Kind == Removed: // its verdict is gone by right
		f.out.Damaged = slices.DeleteFunc(f.out.Damaged, func(d Finding) bool { return d.Ref.Hash == l.File })
	}
}

// Shown is one filed report with everything kept of it.
type Shown struct {
	Row      Row             `json:"report"`
	Path     string          `json:"path"` // of the PDF; its s3:// address in an object store
	Verdict  *pdfout.Verdict `json:"verdict"`
	Versions []Row           `json:"versions"` // of the same first signature, this one among them, the earliest filed first
}

// ErrAmbiguous says that several reports begin so.
var ErrAmbiguous = errors.New("several reports begin so; give more of it")

// Show finds one report by its SHA-256 or a beginning of it, eight digits or
// more, and reads what is kept of it.
func (a *Archive) Show(hash string) (*Shown, error) {
	hash = strings.ToLower(strings.TrimSpace(hash))
	if len(hash) < 8 || len(hash) > 64 || strings.Trim(hash, "0123456789abcdef") != "" {
		return nil, fmt.Errorf("%.70q is no beginning of a SHA-256: it takes 8 to 64 of the digits 0 to 9 and a to f", hash)
	}
	found, err := a.Find(&Query{terms: []term{{op: opPrefix, column: "hash", text: hash}}, sort: "filed"}, 0, 2)
	if err != nil {
		return nil, err
	}
	switch {
	case len(found.Rows) == 0:
		return nil, fmt.Errorf("report %s: %w", hash, ErrMissing)
	case len(found.Rows) > 1:
		return nil, fmt.Errorf("report %s: %w", hash, ErrAmbiguous)
	}
	out := &Shown{Row: found.Rows[0]}
	if out.Versions, err = a.index.Versions(out.Row.First); err != nil {
		return nil, err
	}
	if b, err := a.bytes(Ref{Verdicts, out.Row.Hash}, maxVerdict); err != nil {
		return nil, err
	} else if err := json.Unmarshal(b, &out.Verdict); err != nil {
		return nil, fmt.Errorf("the verdict on %s cannot be read (%w); 'wornwood archive check' says more", out.Row.Hash, err)
	}
	switch s := a.store.(type) {
	case *folder:
		out.Path = s.path(Ref{Files, out.Row.Hash})
	case *s3:
		out.Path = s.at.name() + "/" + s3Path(Ref{Files, out.Row.Hash})
	}
	return out, nil
}
