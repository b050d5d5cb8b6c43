package archive

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"sync"
	"time"

	"wornwood/capture/blob"
)

// held reads a file and ends with an error where it does not have the hash and
// size that the log names, so that whoever takes it in does not take it.
type held struct {
	r    Content
	w    wanted
	sum  hash.Hash
	n    int64
	fail error // reading or the comparison failed, not the writing
}

func (h *held) Read(p []byte) (int, error) {
	n, err := h.r.Read(p)
	h.sum.Write(p[:n])
	h.n += int64(n)
	switch {
	case err == io.EOF && (h.w.size >= 0 && h.n != h.w.size):
		err = &wrongFile{fmt.Sprintf("the file has %d bytes and not %d", h.n, h.w.size)}
	case err == io.EOF && hex.EncodeToString(h.sum.Sum(nil)) != h.w.hash:
		err = &wrongFile{"the file was altered: its SHA-256 is now " + hex.EncodeToString(h.sum.Sum(nil))}
	}
	if err != nil && err != io.EOF {
		h.fail = err
	}
	return n, err
}

// source opens a file of the archive. One whose line was written a moment ago
// may be on its way to its place.
func (b *backup) source(w wanted, seq int64) (*held, error) {
	for try := 0; ; try++ {
		f, err := b.from.Open(w.ref)
		if err == nil {
			return &held{r: f, w: w, sum: sha256.New()}, nil
		}
		if !errors.Is(err, ErrMissing) || seq < b.head.Seq-4*batchMost || try == 30 {
			return nil, err
		}
		select {
		case <-b.ctx.Done():
			return nil, b.ctx.Err()
		case <-time.After(100 * time.Millisecond):
		}
	}
}

// copied calls take with a file of the archive. What is wrong with the file is
// noted; an error is one of writing the copy, or that it was cancelled.
func (b *backup) copied(w wanted, seq int64, mu *sync.Mutex, take func(*held) error) (bool, error) {
	h, err := b.source(w, seq)
	if err == nil {
		err = errors.Join(take(h), h.r.Close())
		if err != nil && h.fail == nil {
			return false, err
		}
		err = errors.Join(err, h.fail)
	}
	if b.ctx.Err() != nil {
		return false, b.ctx.Err()
	}
	mu.Lock()
	defer mu.Unlock()
	if err == nil {
		b.out.Files++
		b.out.Bytes += h.n
		return true, nil
	}
	gone, err2 := b.removedSince(w.ref.Hash, err)
	if gone || err2 != nil {
		b.again = b.again || gone
		return false, err2
	}
	text := "the file cannot be read: " + sentence(err)
	var wrong *wrongFile
	switch {
	case errors.As(err, &wrong):
		text = wrong.why
	case errors.Is(err, ErrMissing):
		text = "the file is missing"
	}
	b.found(Finding{Severity: Grave, Ref: &w.ref, Text: text + "; it is not copied", Do: doCopy})
	return false, nil
}

// removedSince tells whether a report was removed after the log was gone along.
func (b *backup) removedSince(hash string, err error) (gone bool, err2 error) {
	if !errors.Is(err, ErrMissing) {
		return false, nil
	}
	_, err2 = walk(b.from, b.head, b.end, func(e Entry, _ Head, _ int64) error {
		gone = gone || (e.Kind == Removed && e.File == hash)
		return nil
	})
	var broken *ChainError
	if errors.As(err2, &broken) {
		err2 = nil // told by scan
	}
	return gone, err2
}

// fill brings a file into the copy whose line is there already.
func (b *backup) fill(w wanted, seq int64) error {
	var mu sync.Mutex
	ok, err := b.copied(w, seq, &mu, func(h *held) error { return b.to.store.Restore(w.ref, h) })
	if ok {
		b.out.Filled++
	}
	return err
}

// chunk is what is copied together: lines, and the files that they name.
type chunk struct {
	b       *backup
	lines   [][]byte
	size    int
	bytes   int64    // of the reports, which may lie on this machine's disk until they are published
	at      Position // behind its lines
	entries []Entry
}

func (c *chunk) add(e Entry, line []byte, at Position) {
	c.lines, c.entries, c.at = append(c.lines, bytes.Clone(line)), append(c.entries, e), at
	c.size += len(line)
	c.bytes += e.Size
}

func (c *chunk) full() bool {
	return len(c.lines) >= chunkLines || c.size >= chunkLog || c.bytes >= chunkBytes
}

// commit copies in the order of filing: files staged, lines, files to their
// places; so an end at any moment leaves the copy whole.
func (c *chunk) commit() error {
	b := c.b
	if len(c.lines) == 0 {
		return b.ctx.Err()
	}
	if err := c.stage(); err != nil {
		return err
	}
	to := b.to.store
	for _, e := range c.entries {
		if e.Kind == Removed && blob.ValidID(e.File) {
			if err := to.Retire(e.File); err != nil {
				return err
			}
		}
	}
	if err := to.Append(MainLog, b.to.at.End, c.lines); err != nil {
		return err
	}
	b.to.at, b.out.Head = c.at, c.at.Head
	b.out.Lines += int64(len(c.lines))
	for _, e := range c.entries {
		var err error
		switch {
		case e.Kind == Removed && blob.ValidID(e.File):
			b.out.Removed++
			err = to.Remove(e.File)
		case len(b.belonging(e)) == 0:
		case e.Kind == Filed:
			err = to.Publish(e.File, Files)
		case e.Kind == Rejected:
			err = to.Publish(e.File, Refused)
		}
		if err != nil {
			return err
		}
	}
	*c = chunk{b: b}
	return to.Settle()
}

// stage brings the files of all lines into the copy, several at a time.
func (c *chunk) stage() error {
	b := c.b
	type task struct {
		w   wanted
		seq int64
	}
	tasks := make(chan task)
	var mu sync.Mutex // of the report
	var first error
	var all sync.WaitGroup
	for range b.opt.Workers {
		all.Go(func() {
			for t := range tasks {
				_, err := b.copied(t.w, t.seq, &mu, func(h *held) error { return b.stageOne(t.w, h) })
				if err != nil {
					mu.Lock()
					if first == nil {
						first = err
					}
					mu.Unlock()
				}
			}
		})
	}
	for _, e := range c.entries {
		for _, w := range b.belonging(e) {
			mu.Lock()
			stop := first != nil
			mu.Unlock()
			if !stop {
				tasks <- task{w, e.Seq}
			}
		}
	}
	close(tasks)
	all.Wait()
	return first
}

func (b *backup) stageOne(w wanted, h *held) error {
	if w.ref.Area == Files || w.ref.Area == Refused {
		_, _, err := b.to.store.Stage(h, MaxReport, func(hash string) bool { return hash == w.hash })
		return err
	}
	if h.r.Size() > maxVerdict {
		h.fail = &wrongFile{fmt.Sprintf("the file has %d MiB, more than such a file has", h.r.Size()>>20)}
		return h.fail
	}
	data, err := io.ReadAll(h)
	if err != nil {
		return err
	}
	return b.to.store.Put(w.ref, data)
}

// readings copies the lines that say who read what.
func (b *backup) readings() error {
	last, end, err := b.to.store.Tail(Readings, true)
	if err != nil {
		return err
	}
	begin := max(0, end-int64(len(last))-1)
	var lines [][]byte
	size, met := 0, end == 0
	flush := func() error {
		err := b.to.store.Append(Readings, end, lines)
		end += int64(size)
		b.out.Readings += int64(len(lines))
		lines, size = nil, 0
		return errors.Join(err, b.ctx.Err())
	}
	other := errors.New("the readings are others than those of the copy; one of the two was altered, and both are to be kept until that is cleared up")
	err = b.from.Log(Readings, begin, func(line []byte, at int64) error {
		if !met {
			if met = at == end && bytes.Equal(line, last); !met {
				return other
			}
			return nil
		}
		lines = append(lines, bytes.Clone(line))
		if size += len(line) + 1; size < chunkLog {
			return nil
		}
		return flush()
	})
	if err == nil && !met {
		err = other
	}
	if err != nil {
		return err
	}
	return flush()
}
