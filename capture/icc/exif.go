package icc

import (
	"bytes"
	"encoding/binary"
)

// exifSpace is what a JPEG's Exif metadata say about its colours.
type exifSpace int

const (
	spaceUnsaid exifSpace = iota
	spaceSRGB
	spaceAdobe   // the optional colour space of DCF 2.0
	spaceUnknown // "uncalibrated"
)

// Tags of Exif 2.32: the two directories on the way, ColorSpace (section 4.6.5
// B), and the index of the interoperability directory (section 4.6.7).
const (
	tagExif       = 0x8769
	tagInterop    = 0xa005
	tagColorSpace = 0xa001
	tagIndex      = 0x0001
)

// exifColour looks for ColorSpace and the interoperability index.
func exifColour(data []byte) exifSpace {
	for s := range segments(data) {
		b, ok := bytes.CutPrefix(s.body, []byte("Exif\x00\x00"))
		if s.marker == 0xe1 && ok {
			return tiffColour(b)
		}
	}
	return spaceUnsaid
}

func tiffColour(b []byte) exifSpace {
	if len(b) < 8 {
		return spaceUnsaid
	}
	d := tiffReader{b: b, order: binary.LittleEndian}
	switch string(b[:4]) {
	case "II*\x00":
	case "MM\x00*":
		d.order = binary.BigEndian
	default:
		return spaceUnsaid
	}
	exif := d.long(d.order.Uint32(b[4:]), tagExif)
	space := d.short(exif, tagColorSpace)
	index := d.entry(d.long(exif, tagInterop), tagIndex)
	switch {
	case index != nil && string(index[8:11]) == "R03":
		return spaceAdobe
	case space == 1:
		return spaceSRGB
	case space == 0xffff:
		return spaceUnknown
	}
	return spaceUnsaid
}

// tiffReader reads single entries of TIFF directories.
type tiffReader struct {
	b     []byte
	order binary.ByteOrder
}

// entry is the 12 bytes of a tag in the directory at an offset; nil when there
// is none.
func (d *tiffReader) entry(at uint32, tag uint16) []byte {
	if at == 0 || int64(at)+2 > int64(len(d.b)) {
		return nil
	}
	n := int(d.order.Uint16(d.b[at:]))
	for p := d.b[at+2:]; n > 0 && len(p) >= 12; n-- {
		if d.order.Uint16(p) == tag {
			return p[:12]
		}
		p = p[12:]
	}
	return nil
}

func (d *tiffReader) long(at uint32, tag uint16) uint32 {
	if e := d.entry(at, tag); e != nil && d.order.Uint16(e[2:]) == 4 {
		return d.order.Uint32(e[8:])
	}
	return 0
}

func (d *tiffReader) short(at uint32, tag uint16) uint16 {
	if e := d.entry(at, tag); e != nil && d.order.Uint16(e[2:]) == 3 {
		return d.order.Uint16(e[8:])
	}
	return 0
}
