package pdf

import (
	"io"
)

// window reads single bytes of a file through a small buffer, so that a file
// of any size is parsed in constant memory.
type window struct {
	r    io.ReaderAt
	size int64
	base int64
	buf  []byte
	err  error // first failed read
	page []byte
}

const windowSize = 8 << 10

func newWindow(r io.ReaderAt, size int64) *window {
	return &window{r: r, size: size}
}

// at returns the byte at pos, or -1 outside the file or after a failed read.
func (w *window) at(pos int64) int {
	if i := pos - w.base; uint64(i) < uint64(len(w.buf)) {
		return int(w.buf[i])
	}
	return w.fill(pos)
}

func (w *window) fill(pos int64) int {
	if pos < 0 || pos >= w.size || w.err != nil {
		return -1
	}
	if w.page == nil {
		w.page = make([]byte, windowSize)
	}
	// Some bytes before pos stay in reach: the parser looks back a little.
	w.base = max(0, pos-64)
	n := min(int64(windowSize), w.size-w.base)
	w.buf = w.page[:n]
	got, err := w.r.ReadAt(w.buf, w.base)
	if int64(got) < n {
		w.buf = w.page[:got]
		if err != nil && err != io.EOF {
			w.err = err
		}
	}
	if i := pos - w.base; i < int64(len(w.buf)) {
		return int(w.buf[i])
	}
	return -1
}

func isSpace(c int) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func isDelimiter(c byte) bool {
	switch c {
	case '(', ')', '<', '>', '[', ']', '{', '}', '/', '%':
		return true
	}
	return false
}

func isRegular(c int) bool {
	return c >= 0 && !isSpace(c) && !isDelimiter(byte(c))
}

func isDigit(c int) bool { return c >= '0' && c <= '9' }

func hexValue(c int) int {
	switch {
	case c >= '0' && c <= '9':
		return c - '0'
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10
	case c >= 'A' && c <= 'F':
		return c - 'A' + 10
	}
	return -1
}
