package paint

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
)

// standIn is a JPEG that ends after its head, with the size of the picture and
// a segment that names it. Neither the drawing library nor the rewriting of
// the file reads more than the head of a JPEG, so the pictures themselves need
// not pass through memory; Finish puts them where their stand-ins are. The
// segment is an APP0, which the rewriting keeps.
func (p Picture) standIn() []byte {
	c := standInMark + fmt.Sprintf("%x", p.hash)
	b := []byte{0xFF, 0xD8, 0xFF, 0xE0, 0, byte(len(c) + 2)}
	b = append(b, c...)
	n := 3
	if p.grey {
		n = 1
	}
	b = append(b, 0xFF, 0xC0, 0, byte(8+3*n), 8, byte(p.Height>>8), byte(p.Height), byte(p.Width>>8), byte(p.Width), byte(n))
	for i := range n {
		b = append(b, byte(i+1), 0x11, 0)
	}
	b = append(b, 0xFF, 0xDA, 0, byte(6+2*n), byte(n))
	for i := range n {
		b = append(b, byte(i+1), 0)
	}
	return append(b, 0, 63, 0, 0xFF, 0xD9)
}

const standInMark = "stand-in for picture "

// Finish writes a file that was drawn, or made from what was drawn, with the
// pictures and the later files in place of their stand-ins. The file must have
// a plain table of its objects at its end, as both have. One picture is held in
// memory at a time, and of a later file a few kilobytes.
func (d *Doc) Finish(w io.Writer, file []byte) error {
	table := bytes.LastIndex(file, []byte("\nxref\n"))
	if table < 0 {
		return fmt.Errorf("put pictures in place: the file has no table of its objects")
	}
	f := finisher{in: file, w: w, pictures: map[string]piece{}, later: d.later}
	for _, p := range d.pictures {
		f.pictures[fmt.Sprintf("%x", p.hash)] = piece{name: p.Name, standIn: len(p.standIn()), size: int64(p.size), write: p.write}
	}
	if err := f.bodies(table + 1); err != nil {
		return fmt.Errorf("put pictures in place: %w", err)
	}
	if _, err := w.Write(f.table(table + 1)); err != nil {
		return fmt.Errorf("put pictures in place: %w", err)
	}
	return nil
}

// piece is something that stands in the file by a few bytes until Finish writes
// it out.
type piece struct {
	name    string
	standIn int   // bytes
	size    int64 // bytes
	write   func(w io.Writer) error
}

type finisher struct {
	in       []byte
	w        io.Writer
	pictures map[string]piece
	later    map[string]piece
	shifts   []shift
}

// shift says that what began at from in the file, and all behind it, begins by
// bytes further on.
type shift struct {
	from int
	by   int64
}

// streamStart stands before the bytes of a stream.
const streamStart = "stream\n"

// bodies copies everything before the table.
func (f *finisher) bodies(end int) error {
	pictures := marked{mark: []byte(streamStart + "\xFF\xD8\xFF\xE0\x00" + string(rune(len(standInMark)+64+2)) + standInMark), pieces: f.pictures}
	files := marked{mark: []byte(streamStart + laterMark), pieces: f.later}
	at, by := 0, int64(0)
	for {
		m, i := first(&pictures, &files, f.in[:end], at)
		if i < 0 {
			_, err := f.w.Write(f.in[at:end])
			return err
		}
		name := i + len(m.mark)
		p, ok := m.pieces[string(f.in[name:min(name+64, end)])]
		if !ok {
			return fmt.Errorf("a picture or file stands in the file that was not announced")
		}
		head, err := relength(f.in[at:i], p.standIn, p.size)
		if err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		for _, b := range [][]byte{head, []byte(streamStart)} {
			if _, err := f.w.Write(b); err != nil {
				return err
			}
		}
		if err := p.write(f.w); err != nil {
			return err
		}
		by += int64(len(head)-(i-at)) + p.size - int64(p.standIn)
		at = i + len(streamStart) + p.standIn
		f.shifts = append(f.shifts, shift{at, by})
	}
}

// marked finds the stand-ins of one kind.
type marked struct {
	mark   []byte
	pieces map[string]piece
	next   int // where the next one is, -1 for none any more; found only up to here
}

// first is the first stand-in from at on, of either kind.
func first(a, b *marked, in []byte, at int) (*marked, int) {
	for _, m := range []*marked{a, b} {
		if len(m.pieces) == 0 {
			m.next = -1
		}
		if m.next >= 0 && m.next <= at {
			if m.next = bytes.Index(in[at:], m.mark); m.next >= 0 {
				m.next += at
			}
		}
	}
	if a.next < 0 || (b.next >= 0 && b.next < a.next) {
		return b, b.next
	}
	return a, a.next
}

// relength changes the length in the dictionary at the end of head.
func relength(head []byte, was int, now int64) ([]byte, error) {
	dict := bytes.LastIndex(head, []byte(" obj\n"))
	old := []byte("/Length " + strconv.Itoa(was))
	if dict < 0 || bytes.Count(head[dict:], old) != 1 {
		return nil, fmt.Errorf("its length is not where it was expected")
	}
	cut := dict + bytes.Index(head[dict:], old)
	out := append([]byte{}, head[:cut]...)
	out = append(out, "/Length "+strconv.FormatInt(now, 10)...)
	return append(out, head[cut+len(old):]...), nil
}

// moved is where the byte at off of the file stands now.
func (f *finisher) moved(off int) int64 {
	by := int64(0)
	for _, x := range f.shifts {
		if off < x.from {
			break
		}
		by = x.by
	}
	return int64(off) + by
}

// table is the cross-reference table and the trailer with new offsets.
func (f *finisher) table(from int) []byte {
	out := make([]byte, 0, len(f.in)-from+32)
	for line := range bytes.Lines(f.in[from:]) {
		switch {
		case len(line) == 20 && bytes.HasSuffix(line, []byte(" n \n")):
			off, err := strconv.Atoi(string(line[:10]))
			if err != nil {
				out = append(out, line...) // a line of the trailer that only looks like an entry
				continue
			}
			out = fmt.Appendf(out, "%010d%s", f.moved(off), line[10:])
		case string(line) == strconv.Itoa(from)+"\n":
			out = fmt.Appendf(out, "%d\n", f.moved(from))
		default:
			out = append(out, line...)
		}
	}
	return out
}
