package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"testing"
)

// entry is one entry of a directory as a test writes it.
type entry struct {
	id, typ uint16
	count   uint32
	value   []byte // in place when of at most four bytes
}

func ascii(id uint16, s string) entry {
	return entry{id, 2, uint32(len(s) + 1), append([]byte(s), 0)}
}

func short(id, v uint16) entry {
	return entry{id, 3, 1, []byte{byte(v >> 8), byte(v)}}
}

func long(id uint16, v uint32) entry {
	return entry{id, 4, 1, binary.BigEndian.AppendUint32(nil, v)}
}

// block lays out a big-endian TIFF structure: main directory, Exif directory,
// GPS directory, second directory with the thumbnail (TIFF 6.0 section 2, Exif
// 2.32 section 4.5).
func block(main, exif, gps []entry, thumb []byte) []byte {
	b := []byte("MM\x00*\x00\x00\x00\x08")
	size := func(es []entry) int {
		n := 2 + 12*len(es) + 4
		for _, e := range es {
			if len(e.value) > 4 {
				n += len(e.value)
			}
		}
		return n
	}
	extra := 0
	if exif != nil {
		extra++
	}
	if gps != nil {
		extra++
	}
	at := 8 + size(main) + 12*extra
	if exif != nil {
		main = append(main, long(0x8769, uint32(at)))
		at += size(exif)
	}
	if gps != nil {
		main = append(main, long(0x8825, uint32(at)))
		at += size(gps)
	}
	next := 0
	var second []entry
	if thumb != nil {
		next = at
		second = []entry{short(0x0103, 6), long(0x0201, uint32(at+2+12*3+4)), long(0x0202, uint32(len(thumb)))}
	}
	b = dir(b, main, next)
	if exif != nil {
		b = dir(b, exif, 0)
	}
	if gps != nil {
		b = dir(b, gps, 0)
	}
	if thumb != nil {
		b = append(dir(b, second, 0), thumb...)
	}
	return b
}

func dir(b []byte, es []entry, next int) []byte {
	at := len(b) + 2 + 12*len(es) + 4
	b = binary.BigEndian.AppendUint16(b, uint16(len(es)))
	var far []byte
	for _, e := range es {
		b = binary.BigEndian.AppendUint16(b, e.id)
		b = binary.BigEndian.AppendUint16(b, e.typ)
		b = binary.BigEndian.AppendUint32(b, e.count)
		if len(e.value) > 4 {
			b = binary.BigEndian.AppendUint32(b, uint32(at+len(far)))
			far = append(far, e.value...)
		} else {
			b = append(b, append(bytes.Clone(e.value), 0, 0, 0, 0)[:4]...)
		}
	}
	b = binary.BigEndian.AppendUint32(b, uint32(next))
	return append(b, far...)
}

func picture(w, h int) image.Image { return image.NewGray(image.Rect(0, 0, w, h)) }

// jpegFile is a real JPEG with segments put in behind its first marker.
func jpegFile(t testing.TB, w, h int, segments ...[]byte) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, picture(w, h), nil); err != nil {
		t.Fatal(err)
	}
	out := []byte{0xff, 0xd8}
	for _, s := range segments {
		out = append(out, 0xff, 0xe1, byte((len(s)+2)>>8), byte(len(s)+2))
		out = append(out, s...)
	}
	return append(out, buf.Bytes()[2:]...)
}

func exifSegment(b []byte) []byte { return append([]byte("Exif\x00\x00"), b...) }

// pngFile is a real PNG with an eXIf chunk behind its header.
func pngFile(t testing.TB, w, h int, b []byte) []byte {
	t.Helper()
	var buf bytes.Buffer
	if err := png.Encode(&buf, picture(w, h)); err != nil {
		t.Fatal(err)
	}
	const head = 8 + 25
	out := bytes.Clone(buf.Bytes()[:head])
	if b != nil {
		chunk := append([]byte("eXIf"), b...)
		out = binary.BigEndian.AppendUint32(out, uint32(len(b)))
		out = append(out, chunk...)
		out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
	}
	return append(out, buf.Bytes()[head:]...)
}

// usual is the metadata of an invented camera.
func usual() (main, exif []entry) {
	main = []entry{
		ascii(0x010f, "Brindle"), ascii(0x0110, "Brindle Fieldglass 2"), short(0x0112, 6),
		ascii(0x0131, "Ver.1.02"), ascii(0x0132, "2026:03:14 09:26:53"),
	}
	exif = []entry{
		ascii(0x9003, "2026:03:14 09:26:53"), ascii(0x9011, "+01:00"), ascii(0x9291, "045"),
		ascii(0xa431, "BF-000123"), ascii(0xa434, "50mm"),
	}
	return main, exif
}
