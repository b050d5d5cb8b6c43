package photo

import (
	"bytes"
	"encoding/binary"
)

// Tells says what an original gives away to whoever gets it: whether it carries
// the serial number of a camera, and the place where it was taken. It looks at
// Exif and XMP. What a camera hides in its maker's own notes is not seen, so
// "no" is no promise.
func Tells(data []byte) (serial, place bool) {
	f, _, _ := ReadFields(data)
	serial = f.Serial != ""
	place = hasPlace(exifBlock(data))
	for _, x := range xmpBlocks(data) {
		serial = serial || bytes.Contains(x, []byte("SerialNumber"))
		place = place || bytes.Contains(x, []byte("GPSLatitude")) || bytes.Contains(x, []byte("GPSDestLatitude"))
	}
	return serial, place
}

// hasPlace finds the GPS directory of a TIFF structure and in it a latitude or
// longitude (Exif 2.32, section 4.6.6: tag 0x8825, then tags 2 and 4).
func hasPlace(b []byte) bool {
	var order binary.ByteOrder = binary.BigEndian
	switch {
	case len(b) < 8:
		return false
	case string(b[:2]) == "II":
		order = binary.LittleEndian
	}
	found := false
	entries(b, order, order.Uint32(b[4:]), func(tag uint16, value uint32) {
		if tag == 0x8825 {
			entries(b, order, value, func(tag uint16, _ uint32) { found = found || tag == 2 || tag == 4 })
		}
	})
	return found
}

// entries visits the entries of a directory, as far as it reaches.
func entries(b []byte, order binary.ByteOrder, at uint32, visit func(tag uint16, value uint32)) {
	if uint64(at)+2 > uint64(len(b)) {
		return
	}
	rows := b[at+2:]
	for range min(int(order.Uint16(b[at:])), len(rows)/12) {
		visit(order.Uint16(rows), order.Uint32(rows[8:]))
		rows = rows[12:]
	}
}

// xmpBlocks are the XMP packets of a file (ISO 16684-1): from the opening of
// the metadata to its end, wherever they stand before the picture's data ends.
func xmpBlocks(data []byte) [][]byte {
	var out [][]byte
	for len(out) < 8 {
		i := bytes.Index(data, []byte("<x:xmpmeta"))
		if i < 0 {
			break
		}
		data = data[i:]
		end := bytes.Index(data, []byte("</x:xmpmeta>"))
		if end < 0 {
			end = min(len(data), maxBlock)
		}
		out = append(out, data[:end])
		data = data[end:]
	}
	return out
}
