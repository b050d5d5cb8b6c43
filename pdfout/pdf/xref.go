package pdf

import (
	"fmt"
)

// readTable reads a classic cross-reference table and its trailer
// (ISO 32000-1, 7.5.4 and 7.5.5), the word xref already consumed.
func (f *File) readTable(p *parser, rev *Revision) error {
	for {
		p.skipSpace()
		if p.keyword("trailer") {
			break
		}
		first, ok1 := p.uint()
		count, ok2 := p.uint()
		if !ok1 || !ok2 {
			return p.fail("broken cross-reference table")
		}
		if first+count > 1<<31-1 {
			return p.fail("object numbers too large")
		}
		for n := first; n < first+count; n++ {
			e, err := readRow(p)
			if err != nil {
				return err
			}
			if err := f.addEntry(rev, int(n), e, p.pos); err != nil {
				return err
			}
		}
	}
	p.skipSpace()
	if p.peek() != '<' || p.peekAt(1) != '<' {
		return p.fail("the trailer is missing")
	}
	d, err := p.dict()
	if err != nil {
		return err
	}
	rev.Trailer = d
	_, rev.Hybrid = d["XRefStm"]
	return nil
}

func readRow(p *parser) (Entry, error) {
	off, ok1 := p.uint()
	gen, ok2 := p.uint()
	p.skipSpace()
	c := p.peek()
	if !ok1 || !ok2 || gen > 65535 || (c != 'n' && c != 'f') || isRegular(p.peekAt(1)) {
		return Entry{}, p.fail("broken row in a cross-reference table")
	}
	p.pos++
	return Entry{Free: c == 'f', Offset: off, Gen: int(gen)}, nil
}

func (f *File) addEntry(rev *Revision, num int, e Entry, pos int64) error {
	if f.objects++; f.objects > f.lim.Objects {
		return tooMuch("more than %d objects", f.lim.Objects)
	}
	if _, twice := rev.Entries[num]; twice {
		return malformed(pos, "object %d is listed twice in one table", num)
	}
	rev.Entries[num] = e
	return nil
}

// readTableStream reads a cross-reference stream (ISO 32000-1, 7.5.8).
func (f *File) readTableStream(p *parser, rev *Revision) error {
	start := p.pos
	_, o, err := f.indirect(p, -1)
	if err != nil {
		return err
	}
	s, ok := o.(*Stream)
	if !ok || s.Dict["Type"] != Name("XRef") {
		return malformed(start, "expected a cross-reference table")
	}
	rev.Stream = true
	rev.Trailer = s.Dict
	widths, index, err := streamLayout(s.Dict, start)
	if err != nil {
		return err
	}
	rowLen := widths[0] + widths[1] + widths[2]
	data, err := s.Decode(min(f.lim.Decoded, int64(f.lim.Objects)*int64(rowLen)+64))
	if err != nil {
		return fmt.Errorf("read cross-reference stream: %w", err)
	}
	for i := 0; i < len(index); i += 2 {
		for n := index[i]; n < index[i]+index[i+1]; n++ {
			if len(data) < rowLen {
				return malformed(start, "the cross-reference stream is too short")
			}
			e, err := streamRow(data, widths, start)
			if err != nil {
				return err
			}
			data = data[rowLen:]
			if err := f.addEntry(rev, int(n), e, start); err != nil {
				return err
			}
		}
	}
	return nil
}

func streamLayout(d Dict, pos int64) (w [3]int, index []int64, err error) {
	wa, _ := d["W"].(Array)
	if len(wa) != 3 {
		return w, nil, malformed(pos, "the cross-reference stream has no W")
	}
	for i, o := range wa {
		n, ok := o.(int64)
		if !ok || n < 0 || n > 8 {
			return w, nil, malformed(pos, "the cross-reference stream has a broken W")
		}
		w[i] = int(n)
	}
	if w[1] == 0 {
		return w, nil, malformed(pos, "the cross-reference stream has a broken W")
	}
	size, ok := d["Size"].(int64)
	if !ok || size < 0 || size > 1<<31-1 {
		return w, nil, malformed(pos, "the cross-reference stream has no Size")
	}
	ia, ok := d["Index"].(Array)
	if !ok {
		return w, []int64{0, size}, nil
	}
	for _, o := range ia {
		n, ok := o.(int64)
		if !ok || n < 0 || n > 1<<31-1 {
			return w, nil, malformed(pos, "the cross-reference stream has a broken Index")
		}
		index = append(index, n)
	}
	if len(index)%2 != 0 {
		return w, nil, malformed(pos, "the cross-reference stream has a broken Index")
	}
	return w, index, nil
}

func streamRow(data []byte, w [3]int, pos int64) (Entry, error) {
	var v [3]int64
	v[0] = 1 // the type's default when its width is 0
	for i, width := range w {
		if width > 0 {
			v[i] = 0
		}
		for _, b := range data[:width] {
			v[i] = v[i]<<8 | int64(b)
		}
		data = data[width:]
	}
	if v[1] < 0 || v[2] < 0 || v[2] > 1<<31-1 {
		return Entry{}, malformed(pos, "broken row in a cross-reference stream")
	}
	switch v[0] {
	case 0:
		return Entry{Free: true, Offset: v[1], Gen: int(v[2])}, nil
	case 1:
		return Entry{Offset: v[1], Gen: int(v[2])}, nil
	case 2:
		if v[1] == 0 || v[1] > 1<<31-1 {
			return Entry{}, malformed(pos, "broken row in a cross-reference stream")
		}
		return Entry{InStream: int(v[1]), Index: int(v[2])}, nil
	}
	return Entry{}, malformed(pos, "unknown kind of row in a cross-reference stream")
}
