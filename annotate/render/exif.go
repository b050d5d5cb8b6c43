package render

import (
	"bytes"
	"encoding/binary"
	"sort"
)

// Exif is what the camera wrote into a file. The zero value writes nothing.
type Exif struct {
	Make, Model, Serial string
	Lens                string
	Original            string // when it was taken, in the form of Exif: "2026:11:14 10:12:41"
	SubSec              string // digits of a second
	Offset              string // of the clock from UTC, "+01:00"
	Changed             string // DateTime; when empty it equals Original
	Software            string
	Exposure, Aperture  [2]uint32 // as fractions
	Focal               uint32    // mm
	ISO                 uint16
}

// Types of TIFF fields (TIFF 6.0, section 2).
const (
	tiffASCII    = 2
	tiffShort    = 3
	tiffLong     = 4
	tiffRational = 5
	tiffBytes    = 7
)

// tag is one entry of a directory.
type tag struct {
	id, kind uint16
	count    uint32
	data     []byte
}

func ascii(id uint16, s string) tag {
	return tag{id, tiffASCII, uint32(len(s) + 1), append([]byte(s), 0)}
}

func short(id uint16, v uint16) tag {
	return tag{id, tiffShort, 1, binary.BigEndian.AppendUint16(nil, v)}
}

func long(id uint16, v uint32) tag {
	return tag{id, tiffLong, 1, binary.BigEndian.AppendUint32(nil, v)}
}

func rational(id uint16, v ...uint32) tag {
	t := tag{id: id, kind: tiffRational, count: uint32(len(v) / 2)}
	for _, n := range v {
		t.data = binary.BigEndian.AppendUint32(t.data, n)
	}
	return t
}

// segment is the APP1 payload: "Exif", then a TIFF file of three directories:
// the picture, the exposure, and the thumbnail. Tag numbers are those of
// CIPA DC-008 (Exif 2.32), sections 4.6.4 and 4.6.5.
func (e *Exif) segment(orientation, width, height int, thumb []byte) []byte {
	changed := e.Changed
	if changed == "" {
		changed = e.Original
	}
	main := []tag{
		ascii(0x010F, e.Make), ascii(0x0110, e.Model), short(0x0112, uint16(orientation)),
		rational(0x011A, 300, 1), rational(0x011B, 300, 1), short(0x0128, 2), ascii(0x0132, changed), short(0x0213, 1),
	}
	if e.Software != "" {
		main = append(main, ascii(0x0131, e.Software))
	}
	shot := []tag{
		rational(0x829A, e.Exposure[0], e.Exposure[1]), rational(0x829D, e.Aperture[0], e.Aperture[1]),
		short(0x8827, e.ISO), {0x9000, tiffBytes, 4, []byte("0232")},
		ascii(0x9003, e.Original), ascii(0x9004, e.Original),
		ascii(0x9010, e.Offset), ascii(0x9011, e.Offset), ascii(0x9012, e.Offset),
		{0x9101, tiffBytes, 4, []byte{1, 2, 3, 0}}, rational(0x920A, e.Focal, 1), ascii(0x9291, e.SubSec),
		{0xA000, tiffBytes, 4, []byte("0100")}, short(0xA001, 1), long(0xA002, uint32(width)), long(0xA003, uint32(height)),
		ascii(0xA431, e.Serial), ascii(0xA434, e.Lens),
	}
	small := []tag{short(0x0103, 6), rational(0x011A, 72, 1), rational(0x011B, 72, 1), short(0x0128, 2), long(0x0202, uint32(len(thumb)))}

	out := bytes.NewBuffer([]byte("MM\x00*\x00\x00\x00\x08"))
	mainAt := uint32(8)
	shotAt := mainAt + directorySize(append(main, long(0x8769, 0)))
	smallAt := shotAt + directorySize(shot)
	thumbAt := smallAt + directorySize(append(small, long(0x0201, 0)))
	writeDirectory(out, append(main, long(0x8769, shotAt)), mainAt, smallAt)
	writeDirectory(out, shot, shotAt, 0)
	writeDirectory(out, append(small, long(0x0201, thumbAt)), smallAt, 0)
	out.Write(thumb)
	return append([]byte("Exif\x00\x00"), out.Bytes()...)
}

// directorySize is a directory with its values, which begin at even places.
func directorySize(tags []tag) uint32 {
	n := uint32(2 + 12*len(tags) + 4)
	for _, t := range tags {
		if len(t.data) > 4 {
			n += uint32(len(t.data)+1) &^ 1
		}
	}
	return n
}

func writeDirectory(out *bytes.Buffer, tags []tag, at, next uint32) {
	tags = append([]tag(nil), tags...)
	sort.Slice(tags, func(i, j int) bool { return tags[i].id < tags[j].id })
	put := func(v any) { binary.Write(out, binary.BigEndian, v) } // a Buffer never fails
	put(uint16(len(tags)))
	place := at + uint32(2+12*len(tags)+4)
	for _, t := range tags {
		put(t.id)
		put(t.kind)
		put(t.count)
		if len(t.data) <= 4 {
			out.Write(append(t.data, make([]byte, 4-len(t.data))...))
			continue
		}
		put(place)
		place += uint32(len(t.data)+1) &^ 1
	}
	put(next)
	for _, t := range tags {
		if len(t.data) > 4 {
			out.Write(t.data)
			if len(t.data)%2 == 1 {
				out.WriteByte(0)
			}
		}
	}
}
