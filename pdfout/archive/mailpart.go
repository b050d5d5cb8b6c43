package archive

import (
	"context"
	"fmt"
	"io"
	"sync"
)

// attachment is what is attached to a mail, in memory, in pieces, so that it takes no more than its
// size while it grows.
type attachment struct {
	pieces [][]byte
	done   func()
}

func (h *attachment) Read(p []byte) (int, error) {
	for len(h.pieces) > 0 && len(h.pieces[0]) == 0 {
		h.pieces[0] = nil
		h.pieces = h.pieces[1:]
	}
	if len(h.pieces) == 0 {
		return 0, io.EOF
	}
	n := copy(p, h.pieces[0])
	h.pieces[0] = h.pieces[0][n:]
	return n, nil
}

// Close lets the next large attachment in.
func (h *attachment) Close() error {
	h.pieces = nil
	h.done()
	return nil
}

// heldPiece is how much of an attachment is read at a time.
const heldPiece = 256 << 10

// hold reads an attachment into memory; ErrTooLarge, wrapped, where it is longer
// than maxPart. One that is large waits until the large one before it is taken
// in.
func (w *walker) hold(r io.Reader) (*attachment, error) {
	h := &attachment{done: func() {}}
	total := 0
	for {
		b := make([]byte, heldPiece)
		n, err := fill(r, b)
		total += n
		h.pieces = append(h.pieces, b[:n])
		switch {
		case err == io.EOF:
			return h, nil
		case err == nil && total > maxPart:
			err = fmt.Errorf("more than %d MiB: %w", maxPart>>20, ErrTooLarge)
		case err == nil && total > largePart && total-n <= largePart:
			err = w.waitForLarge(h)
		}
		if err != nil {
			h.Close()
			return nil, err
		}
	}
}

func (w *walker) waitForLarge(h *attachment) error {
	select {
	case w.large <- struct{}{}:
		h.done = sync.OnceFunc(func() { <-w.large })
		return nil
	case <-w.ctx.Done():
		return context.Cause(w.ctx)
	}
}

// fill reads until b is full or reading ends, and says how it ended: a mail that
// is cut off is another end than io.EOF.
func fill(r io.Reader, b []byte) (n int, err error) {
	for n < len(b) && err == nil {
		var m int
		m, err = r.Read(b[n:])
		n += m
	}
	return n, err
}
