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
// pictures in place of their stand-ins. The file must have a plain table of its
// objects at its end, as both have. One picture is held in memory at a time.
func (d *Doc) Finish(w io.Writer, file []byte) error {
	table := bytes.LastIndex(file, []byte("\nxref\n"))
	if table < 0 {
		return fmt.Errorf("put pictures in place: the file has no table of its objects")
	}
	f := finisher{in: file, w: w, pictures: map[string]Picture{}}
	for _, p := range d.pictures {
		f.pictures[fmt.Sprintf("%x", p.hash)] = p
	}
	if err := f.bodies(table + 1); err != nil {
		return fmt.Errorf("put pictures in place: %w", err)
	}
	if _, err := w.Write(f.table(table + 1)); err != nil {
		return fmt.Errorf("put pictures in place: %w", err)
	}
	return nil
}

type finisher struct {
	in       []byte
	w        io.Writer
	pictures map[string]Picture
	shifts   []shift
}

// shift says that what began at from in the file, and all behind it, begins by
// bytes further on.
type shift struct{ from, by int }

// bodies copies everything before the table.
func (f *finisher) bodies(end int) error {
	mark := []byte("stream\n\xFF\xD8\xFF\xE0\x00" + string(rune(len(standInMark)+64+2)) + standInMark)
	at, by := 0, 0
	for {
		i := bytes.Index(f.in[at:end], mark)
		if i < 0 {
			_, err := f.w.Write(f.in[at:end])
			return err
		}
		i += at
		name := i + len(mark)
		p, ok := f.pictures[string(f.in[name:name+64])]
		if !ok {
			return fmt.Errorf("a picture stands in the file that was not announced")
		}
		head, err := relength(f.in[at:i], len(p.standIn()), p.size)
		if err != nil {
			return fmt.Errorf("picture %s: %w", p.Name, err)
		}
		parts, err := p.parts()
		if err != nil {
			return err
		}
		for _, b := range append([][]byte{head, []byte("stream\n")}, parts...) {
			if _, err := f.w.Write(b); err != nil {
				return err
			}
		}
		by += len(head) - (i - at) + p.size - len(p.standIn())
		at = i + len("stream\n") + len(p.standIn())
		f.shifts = append(f.shifts, shift{at, by})
	}
}

// relength changes the length in the dictionary at the end of head.
func relength(head []byte, was, now int) ([]byte, error) {
	dict := bytes.LastIndex(head, []byte(" obj\n"))
	old := []byte("/Length " + strconv.Itoa(was))
	if dict < 0 || bytes.Count(head[dict:], old) != 1 {
		return nil, fmt.Errorf("its length is not where it was expected")
	}
	cut := dict + bytes.Index(head[dict:], old)
	out := append([]byte{}, head[:cut]...)
	out = append(out, "/Length "+strconv.Itoa(now)...)
	return append(out, head[cut+len(old):]...), nil
}

// moved is where the byte at off of the file stands now.
func (f *finisher) moved(off int) int {
	by := 0
	for _, x := range f.shifts {
		if off < x.from {
			break
		}
		by = x.by
	}
	return off + by
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
