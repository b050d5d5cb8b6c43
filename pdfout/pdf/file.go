package pdf

import (
	"errors"
	"fmt"
	"io"
	"sort"
)

// File is a PDF opened for reading. It holds the cross-reference tables, not
// the objects. A File is not safe for use by several goroutines.
type File struct {
	// Revisions are the states of the file in the order they were written.
	Revisions []*Revision
	// Trailing is the number of bytes after the last end-of-file mark and its
	// line end.
	Trailing int64

	r       io.ReaderAt
	size    int64
	lim     Limits
	win     *window
	objects int
	objstm  map[int64]*objectStream // decoded object streams by offset
	held    int64                   // bytes of decoded object streams in memory
	lengths int                     // nesting of streams whose Length is elsewhere
	work    int64                   // bytes parsed so far
}

// Revision is one cross-reference section and the objects it brought.
type Revision struct {
	Start  int64 // first byte: 0, or the End of the revision before
	End    int64 // after %%EOF and its line end
	Mark   int64 // after %%EOF without the line end
	XRef   int64 // where the cross-reference section stands
	Hybrid bool  // the trailer names a second, hidden table (XRefStm)
	Stream bool  // the section is a cross-reference stream
	// Trailer is the trailer dictionary, or the dictionary of the stream.
	Trailer Dict
	// Entries maps object numbers to where this revision says they are.
	Entries map[int]Entry
}

// Numbers lists the objects of the revision in order.
func (r *Revision) Numbers() []int {
	nums := make([]int, 0, len(r.Entries))
	for n := range r.Entries {
		nums = append(nums, n)
	}
	sort.Ints(nums)
	return nums
}

// Entry is one row of a cross-reference section.
type Entry struct {
	Free   bool
	Offset int64 // of "n g obj", when InStream is 0
	Gen    int
	// InStream is the number of the object stream that holds the object at
	// place Index, or 0.
	InStream, Index int
}

// Open reads the cross-reference tables of a file of size bytes. It follows
// every revision and refuses what it cannot read unambiguously, with an error
// that wraps ErrMalformed, ErrLimit or ErrEncrypted, or one of reading r.
func Open(r io.ReaderAt, size int64, lim Limits) (*File, error) {
	f := &File{r: r, size: size, lim: lim.withDefaults(), objstm: map[int64]*objectStream{}}
	if size > f.lim.Size {
		return nil, tooMuch("the file has %d bytes, more than %d", size, f.lim.Size)
	}
	if f.lim.Work <= 0 {
		f.lim.Work = 8*size + 64<<20
	}
	f.win = newWindow(r, size)
	if err := f.checkHeader(); err != nil {
		return nil, err
	}
	if err := f.readRevisions(); err != nil {
		return nil, err
	}
	for _, rev := range f.Revisions {
		if rev.Trailer["Encrypt"] != nil {
			return nil, ErrEncrypted
		}
	}
	return f, nil
}

// Size is the number of bytes of the file.
func (f *File) Size() int64 { return f.size }

// Reader gives the bytes of the file.
func (f *File) Reader() io.ReaderAt { return f.r }

func (f *File) parserAt(pos, end int64) *parser {
	return &parser{w: f.win, pos: pos, start: pos, end: min(end, f.size), lim: f.lim, refs: true}
}

// spend counts parsed or decoded bytes.
func (f *File) spend(n int64) error {
	if f.work += n; f.work > f.lim.Work {
		return tooMuch("reading it takes too much work")
	}
	return nil
}

func (f *File) checkHeader() error {
	for i, c := range []byte("%PDF-") {
		if f.win.at(int64(i)) != int(c) {
			if f.win.err != nil {
				return f.win.err
			}
			return malformed(0, "it does not begin with %%PDF-")
		}
	}
	return nil
}

// lastStart finds the position of the last "startxref" of the file.
func (f *File) lastStart() (int64, error) {
	const word = "startxref"
	const chunk = 64 << 10
	for end := f.size; end > 0; {
		start := max(0, end-chunk)
		buf := make([]byte, end-start)
		if _, err := f.r.ReadAt(buf, start); err != nil && err != io.EOF {
			return 0, fmt.Errorf("read the end of the file: %w", err)
		}
		for i := len(buf) - len(word); i >= 0; i-- {
			if string(buf[i:i+len(word)]) == word {
				return start + int64(i), nil
			}
		}
		if start == 0 {
			break
		}
		end = start + int64(len(word)) - 1 // the word may lie across chunks
	}
	return 0, malformed(f.size, "there is no startxref; the file is cut off or no PDF")
}

func (f *File) readRevisions() error {
	pos, err := f.lastStart()
	if err != nil {
		return err
	}
	at, _, err := f.startxref(pos, f.size)
	if err != nil {
		return err
	}
	limit := f.size
	for {
		if len(f.Revisions) >= f.lim.Revisions {
			return tooMuch("more than %d revisions", f.lim.Revisions)
		}
		if at <= 0 || at >= limit {
			return malformed(at, "a cross-reference table lies outside what comes before it")
		}
		rev, err := f.section(at, limit)
		if err != nil {
			return err
		}
		f.Revisions = append(f.Revisions, rev)
		prev, more := rev.Trailer["Prev"]
		if !more {
			break
		}
		n, ok := prev.(int64)
		if !ok {
			return malformed(at, "Prev is not a number")
		}
		limit, at = at, n
	}
	sort.Slice(f.Revisions, func(i, j int) bool { return f.Revisions[i].XRef < f.Revisions[j].XRef })
	for i, rev := range f.Revisions {
		if i > 0 {
			rev.Start = f.Revisions[i-1].End
		}
		if rev.XRef < rev.Start {
			return malformed(rev.XRef, "two revisions overlap")
		}
	}
	f.Trailing = f.size - f.Revisions[len(f.Revisions)-1].End
	return nil
}

// startxref reads "startxref n %%EOF" and returns n and where the mark ends.
func (f *File) startxref(pos, end int64) (at, mark int64, err error) {
	p := f.parserAt(pos, end)
	p.skipSpace()
	if !p.keyword("startxref") {
		return 0, 0, p.fail("expected startxref")
	}
	at, ok := p.uint()
	if !ok {
		return 0, 0, p.fail("startxref names no position")
	}
	for isSpace(p.peek()) {
		p.pos++
	}
	for _, c := range []byte("%%EOF") {
		if p.peek() != int(c) {
			return 0, 0, p.fail("there is no end-of-file mark after startxref")
		}
		p.pos++
	}
	return at, p.pos, nil
}

// section reads the cross-reference section at pos and finds its end.
func (f *File) section(pos, limit int64) (*Revision, error) {
	p := f.parserAt(pos, limit)
	rev := &Revision{XRef: pos, Entries: map[int]Entry{}}
	var err error
	if p.keyword("xref") {
		err = f.readTable(p, rev)
	} else {
		err = f.readTableStream(p, rev)
	}
	if err != nil {
		return nil, err
	}
	// Objects beyond Size do not exist for some readers and do for others
	// (ISO 32000-1, table 15).
	size, ok := rev.Trailer["Size"].(int64)
	if !ok {
		return nil, malformed(pos, "the trailer has no Size")
	}
	if size > int64(f.lim.Objects)+1 { // other programs set memory aside by it
		return nil, tooMuch("a Size of %d objects", size)
	}
	for num := range rev.Entries {
		if int64(num) >= size {
			return nil, malformed(pos, "a table lists an object beyond its Size")
		}
	}
	own, mark, err := f.startxref(p.pos, f.size)
	if err != nil {
		return nil, err
	}
	if own != pos {
		return nil, malformed(p.pos, "startxref points at another table (linearised files are not read)")
	}
	rev.Mark, rev.End = mark, mark
	switch f.win.at(mark) {
	case '\n':
		rev.End++
	case '\r':
		rev.End++
		if f.win.at(mark+1) == '\n' {
			rev.End++
		}
	}
	return rev, nil
}

// Last is the view of the whole file, all revisions applied.
func (f *File) Last() View { return View{f, len(f.Revisions) - 1} }

// At is the view of the file as it was after revision i, from 0.
func (f *File) At(i int) View { return View{f, i} }

// IsRefusal says whether err means that the bytes were refused, as opposed to
// a failure to read them.
func IsRefusal(err error) bool {
	return errors.Is(err, ErrMalformed) || errors.Is(err, ErrLimit) || errors.Is(err, ErrEncrypted)
}
