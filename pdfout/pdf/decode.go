package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
)

// readerAt gives bytes the interface of a file.
func readerAt(b []byte) io.ReaderAt { return bytes.NewReader(b) }

// Decode reads the whole stream with its filters removed, at most limit bytes.
// Only FlateDecode, alone or with a PNG predictor, is known: nothing else
// stands between this program and the structure or the attachments of a file.
func (s *Stream) Decode(limit int64) ([]byte, error) {
	filters, parms, err := s.filters()
	if err != nil {
		return nil, err
	}
	r := s.Raw()
	for i := range filters {
		if filters[i] != "FlateDecode" && filters[i] != "Fl" {
			return nil, fmt.Errorf("%w: filter %s is not read here", ErrMalformed, string(filters[i]))
		}
		z, err := zlib.NewReader(r)
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrMalformed, err)
		}
		r = z
		if parms[i] != nil {
			if r, err = newPredictor(r, parms[i]); err != nil {
				return nil, err
			}
		}
	}
	data, err := io.ReadAll(io.LimitReader(r, limit+1))
	if err != nil {
		return nil, fmt.Errorf("%w: decode stream: %w", ErrMalformed, err)
	}
	if int64(len(data)) > limit {
		return nil, tooMuch("a stream decodes to more than %d bytes", limit)
	}
	return data, nil
}

func (s *Stream) filters() ([]Name, []Dict, error) {
	var names []Name
	switch f := s.Dict["Filter"].(type) {
	case nil:
		return nil, nil, nil
	case Name:
		names = []Name{f}
	case Array:
		for _, o := range f {
			n, ok := o.(Name)
			if !ok {
				return nil, nil, fmt.Errorf("%w: broken Filter", ErrMalformed)
			}
			names = append(names, n)
		}
	default:
		return nil, nil, fmt.Errorf("%w: broken Filter", ErrMalformed)
	}
	if len(names) > 2 {
		return nil, nil, tooMuch("a stream with %d filters", len(names))
	}
	parms := make([]Dict, len(names))
	switch d := s.Dict["DecodeParms"].(type) {
	case Dict:
		if len(names) == 1 {
			parms[0] = d
		}
	case Array:
		for i := range min(len(d), len(parms)) {
			parms[i], _ = d[i].(Dict)
		}
	}
	return names, parms, nil
}

// predictor undoes the PNG filters (ISO 32000-1, 7.4.4.4) of a table whose
// samples have eight bits; that covers cross-reference streams.
type predictor struct {
	r         io.Reader
	row, prev []byte // each with the filter byte in front
	bpp       int
	out       []byte
}

func newPredictor(r io.Reader, d Dict) (io.Reader, error) {
	get := func(k Name, def int64) int64 {
		if n, ok := d[k].(int64); ok {
			return n
		}
		return def
	}
	switch p := get("Predictor", 1); {
	case p == 1:
		return r, nil
	case p < 10 || p > 15:
		return nil, fmt.Errorf("%w: predictor %d is not read here", ErrMalformed, p)
	}
	cols, colours, bits := get("Columns", 1), get("Colors", 1), get("BitsPerComponent", 8)
	if cols < 1 || cols > 1<<16 || colours < 1 || colours > 4 || bits != 8 {
		return nil, fmt.Errorf("%w: broken DecodeParms", ErrMalformed)
	}
	n := int(cols*colours) + 1
	return &predictor{r: r, row: make([]byte, n), prev: make([]byte, n), bpp: int(colours)}, nil
}

func (p *predictor) Read(b []byte) (int, error) {
	if len(p.out) == 0 {
		p.row, p.prev = p.prev, p.row
		if _, err := io.ReadFull(p.r, p.row); err != nil {
			return 0, err
		}
		if err := p.undo(); err != nil {
			return 0, err
		}
		p.out = p.row[1:]
	}
	n := copy(b, p.out)
	p.out = p.out[n:]
	return n, nil
}

func (p *predictor) undo() error {
	for i := 1; i < len(p.row); i++ {
		var left, upLeft byte
		if i > p.bpp {
			left, upLeft = p.row[i-p.bpp], p.prev[i-p.bpp]
		}
		up := p.prev[i]
		switch p.row[0] {
		case 0:
		case 1:
			p.row[i] += left
		case 2:
			p.row[i] += up
		case 3:
			p.row[i] += byte((int(left) + int(up)) / 2)
		case 4:
			p.row[i] += paeth(int(left), int(up), int(upLeft))
		default:
			return fmt.Errorf("%w: unknown row filter %d", ErrMalformed, p.row[0])
		}
	}
	return nil
}

// paeth is the predictor of the PNG specification, section 9.4.
func paeth(a, b, c int) byte {
	abs := func(x int) int { return max(x, -x) }
	p := a + b - c
	pa, pb, pc := abs(p-a), abs(p-b), abs(p-c)
	switch {
	case pa <= pb && pa <= pc:
		return byte(a)
	case pb <= pc:
		return byte(b)
	}
	return byte(c)
}

// Deflate compresses b as FlateDecode wants it; the result depends on b only.
func Deflate(b []byte) ([]byte, error) {
	var out bytes.Buffer
	z, err := zlib.NewWriterLevel(&out, zlib.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(b); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
