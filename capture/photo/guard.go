package photo

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// Limits of one TIFF structure before goexif sees it. Cameras write under 200
// entries in at most six directories; values may overlap, so their sum is
// bounded as well: goexif turns a byte of some types into eight and more.
const (
	maxDirs   = 32
	maxTags   = 8192
	maxValues = 2 << 20 // bytes
)

// typeSize is the size of each field type in bytes (TIFF 6.0, section 2).
var typeSize = [...]uint64{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8}

// guard walks every directory of a TIFF structure the way goexif does and
// refuses what would make goexif run without end or ask for memory the file
// cannot fill. goexif multiplies type size and count in 32 bits, so a file of
// 78 bytes passes its own check and then allocates 64 GB, which no recover can
// catch.
type guard struct {
	b      []byte
	order  binary.ByteOrder
	seen   map[uint32]bool
	tags   int
	values uint64
}

var errCut = errors.New("a directory reaches beyond the end")

// checkTIFF returns nil when goexif may be given b.
func checkTIFF(b []byte) error {
	if len(b) < 8 || len(b) > maxBlock {
		return fmt.Errorf("metadata of %d bytes", len(b))
	}
	g := guard{b: b, seen: map[uint32]bool{}}
	switch string(b[:4]) {
	case "II*\x00":
		g.order = binary.LittleEndian
	case "MM\x00*":
		g.order = binary.BigEndian
	default:
		return errors.New("it does not begin as a TIFF structure")
	}
	at := g.order.Uint32(b[4:])
	for at != 0 {
		next, err := g.dir(at)
		if err != nil {
			return err
		}
		at = next
	}
	return nil
}

// dir checks one directory with the directories its entries point to, and
// returns where the next one of the chain begins.
func (g *guard) dir(at uint32) (next uint32, err error) {
	if g.seen[at] {
		return 0, errors.New("its directories go round in a circle")
	}
	g.seen[at] = true
	if len(g.seen) > maxDirs {
		return 0, fmt.Errorf("more than %d directories", maxDirs)
	}
	if uint64(at)+2 > uint64(len(g.b)) {
		return 0, errCut
	}
	n := uint64(g.order.Uint16(g.b[at:]))
	if n > 1<<15-1 {
		return 0, fmt.Errorf("a directory of %d entries", n)
	}
	end := uint64(at) + 2 + 12*n
	if end+4 > uint64(len(g.b)) {
		return 0, errCut
	}
	for i := uint64(0); i < n; i++ {
		if err := g.entry(g.b[uint64(at)+2+12*i:][:12]); err != nil {
			return 0, err
		}
	}
	return g.order.Uint32(g.b[end:]), nil
}

func (g *guard) entry(e []byte) error {
	if g.tags++; g.tags > maxTags {
		return fmt.Errorf("more than %d entries", maxTags)
	}
	id, typ, count := g.order.Uint16(e), g.order.Uint16(e[2:]), g.order.Uint32(e[4:])
	if int(typ) >= len(typeSize) {
		return nil // goexif reads no value of a type it does not know
	}
	size := typeSize[typ] * uint64(count)
	value := e[8:]
	if size > 4 {
		off := uint64(g.order.Uint32(value))
		if off+size > uint64(len(g.b)) {
			return fmt.Errorf("entry %#x: %d values reach beyond the end", id, count)
		}
		value = g.b[off : off+size]
	}
	if g.values += size; g.values > maxValues {
		return fmt.Errorf("more than %d bytes of values", maxValues)
	}
	if count == 0 {
		return nil
	}
	switch id {
	case 0x8769, 0x8825, 0xa005: // Exif, GPS and interoperability directories
		if at, ok := g.pointer(typ, value); ok && !g.seen[at] {
			_, err := g.dir(at)
			return err
		}
	}
	return nil
}

// pointer is the first of an entry's whole numbers as goexif would take it for
// a place in the file.
func (g *guard) pointer(typ uint16, v []byte) (uint32, bool) {
	switch typ {
	case 1, 6:
		return uint32(v[0]), true
	case 3, 8:
		return uint32(g.order.Uint16(v)), true
	case 4, 9:
		return g.order.Uint32(v), true
	}
	return 0, false
}
