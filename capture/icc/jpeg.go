package icc

import (
	"bytes"
	"encoding/binary"
	"errors"
)

// errPieces says that a JPEG's profile, which is kept in pieces, is not whole.
var errPieces = errors.New("its colour profile is not whole; colours are read as sRGB and the reading says so")

const iccMark = "ICC_PROFILE\x00"

// FromJPEG puts together the ICC profile of a JPEG from its APP2 segments
// (ICC.1:2010 annex B.4: each names its place and how many there are). It
// returns nil when there is none, and a one-sentence error when pieces are
// missing, doubled, or more than MaxBytes.
func FromJPEG(data []byte) ([]byte, error) {
	var pieces [256][]byte
	total, found, size := 0, 0, 0
	for s := range segments(data) {
		body, ok := bytes.CutPrefix(s.body, []byte(iccMark))
		if s.marker != 0xe2 || !ok {
			continue
		}
		if len(body) < 2 {
			return nil, errPieces
		}
		at, of := int(body[0]), int(body[1])
		if at == 0 || at > of || total != 0 && of != total || pieces[at] != nil {
			return nil, errPieces
		}
		total, pieces[at] = of, body[2:]
		found++
		if size += len(body) - 2; size > MaxBytes {
			return nil, errDamaged
		}
	}
	if found != total {
		return nil, errPieces
	}
	if total == 0 {
		return nil, nil
	}
	return bytes.Join(pieces[1:total+1], nil), nil
}

// segment is one marker segment of a JPEG.
type segment struct {
	marker byte
	body   []byte
}

// segments walks through a JPEG's header up to the first scan (ITU-T T.81
// annex B).
func segments(data []byte) func(yield func(segment) bool) {
	return func(yield func(segment) bool) {
		if !bytes.HasPrefix(data, []byte{0xff, 0xd8}) {
			return
		}
		for p := data[2:]; len(p) >= 4; {
			m := p[1]
			switch {
			case p[0] != 0xff, m == 0xff: // padding, fill byte
				p = p[1:]
				continue
			case m == 0x01 || m >= 0xd0 && m <= 0xd7: // no length
				p = p[2:]
				continue
			case m == 0xda || m == 0xd9 || m == 0xd8 || m == 0: // scan, end, nonsense
				return
			}
			n := int(binary.BigEndian.Uint16(p[2:]))
			if n < 2 || n+2 > len(p) || !yield(segment{m, p[4 : n+2]}) {
				return
			}
			p = p[n+2:]
		}
	}
}
