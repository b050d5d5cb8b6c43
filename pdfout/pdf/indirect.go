package pdf

import (
	"fmt"
)

// indirect reads "n g obj ... endobj" at the parser's position. rev is the
// revision in whose view a stream's Length is looked up, or negative when it
// must be a plain number.
func (f *File) indirect(p *parser, rev int) (Ref, Object, error) {
	num, ok1 := p.uint()
	gen, ok2 := p.uint()
	p.skipSpace()
	if !ok1 || !ok2 || num > 1<<31-1 || gen > 65535 || !p.keyword("obj") {
		return Ref{}, nil, p.fail("there is no object here")
	}
	ref := Ref{int(num), int(gen)}
	from := p.pos
	o, err := p.object()
	if err != nil {
		return ref, nil, err
	}
	if err := f.spend(p.pos - from); err != nil {
		return ref, nil, err
	}
	p.skipSpace()
	if p.keyword("endobj") {
		return ref, o, nil
	}
	d, ok := o.(Dict)
	if !ok || !p.keyword("stream") {
		return ref, nil, p.fail("object %d does not end", num)
	}
	s, err := f.stream(p, d, rev)
	return ref, s, err
}

func (f *File) stream(p *parser, d Dict, rev int) (*Stream, error) {
	// Only CR LF or LF may follow the word (ISO 32000-1, 7.3.8.1).
	if p.peek() == '\r' {
		p.pos++
	}
	if p.peek() != '\n' {
		return nil, p.fail("the word stream is not followed by a line end")
	}
	p.pos++
	n, err := f.streamLength(d["Length"], rev)
	if err != nil {
		return nil, err
	}
	if n < 0 || n > p.end-p.pos {
		return nil, p.fail("a stream is longer than the file")
	}
	if d["F"] != nil {
		return nil, p.fail("a stream keeps its bytes in another file")
	}
	s := &Stream{Dict: d, Offset: p.pos, Length: n, source: f.r}
	p.pos += n
	if p.peek() == '\r' {
		p.pos++
	}
	if p.peek() == '\n' {
		p.pos++
	}
	if !p.keyword("endstream") {
		return nil, p.fail("a stream's Length is wrong")
	}
	p.skipSpace()
	if !p.keyword("endobj") {
		return nil, p.fail("a stream object does not end")
	}
	return s, nil
}

func (f *File) streamLength(o Object, rev int) (int64, error) {
	if ref, ok := o.(Ref); ok && rev >= 0 {
		// A Length that needs another stream's Length could nest for ever.
		if f.lengths > 0 {
			return 0, malformed(0, "a stream's Length leads to another stream")
		}
		f.lengths++
		defer func() { f.lengths-- }()
		var err error
		if o, err = f.At(rev).Resolve(ref); err != nil {
			return 0, err
		}
	}
	n, ok := o.(int64)
	if !ok {
		return 0, malformed(0, "a stream has no Length")
	}
	return n, nil
}

// objectStream is a decoded stream of objects (ISO 32000-1, 7.5.7).
type objectStream struct {
	nums    []int
	offsets []int64
	data    []byte
}

// compressed reads object num from the object stream that e names.
func (v View) compressed(num int, e Entry) (Object, error) {
	os, err := v.objectStream(e.InStream)
	if err != nil {
		return nil, fmt.Errorf("read object %d: %w", num, err)
	}
	if e.Index >= len(os.nums) || os.nums[e.Index] != num {
		return nil, malformed(0, "object %d is not in the stream the table says", num)
	}
	at := os.offsets[e.Index]
	p := &parser{w: newWindow(readerAt(os.data), int64(len(os.data))), pos: at, start: at,
		end: int64(len(os.data)), lim: v.f.lim, refs: true}
	o, err := p.object()
	if err != nil {
		return nil, fmt.Errorf("read object %d: %w", num, err)
	}
	return o, v.f.spend(p.pos - at)
}

func (v View) objectStream(num int) (*objectStream, error) {
	e, _, ok := v.Lookup(num)
	if !ok || e.Free || e.InStream != 0 {
		return nil, malformed(0, "object stream %d is missing", num)
	}
	if os := v.f.objstm[e.Offset]; os != nil {
		return os, nil
	}
	o, err := v.Get(Ref{num, e.Gen})
	if err != nil {
		return nil, err
	}
	s, ok := o.(*Stream)
	if !ok || s.Dict["Type"] != Name("ObjStm") {
		return nil, malformed(e.Offset, "object %d is not an object stream", num)
	}
	data, err := s.Decode(v.f.lim.Decoded)
	if err != nil {
		return nil, err
	}
	if err := v.f.spend(int64(len(data))); err != nil {
		return nil, err
	}
	os, err := v.f.splitObjects(s.Dict, data, e.Offset)
	if err != nil {
		return nil, err
	}
	if v.f.held += int64(len(data)); v.f.held > v.f.lim.Decoded {
		v.f.held = int64(len(data))
		clear(v.f.objstm)
	}
	v.f.objstm[e.Offset] = os
	return os, nil
}

func (f *File) splitObjects(d Dict, data []byte, pos int64) (*objectStream, error) {
	n, ok1 := d["N"].(int64)
	first, ok2 := d["First"].(int64)
	if !ok1 || !ok2 || n < 0 || n > int64(f.lim.Objects) || first < 0 || first > int64(len(data)) {
		return nil, malformed(pos, "broken object stream")
	}
	os := &objectStream{data: data}
	p := &parser{w: newWindow(readerAt(data), first), end: first, lim: f.lim}
	for range n {
		num, ok1 := p.uint()
		off, ok2 := p.uint()
		if !ok1 || !ok2 || num > 1<<31-1 || off > int64(len(data))-first {
			return nil, malformed(pos, "broken object stream")
		}
		os.nums = append(os.nums, int(num))
		os.offsets = append(os.offsets, first+off)
	}
	return os, nil
}
