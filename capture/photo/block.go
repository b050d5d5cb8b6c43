package photo

import (
	"bytes"
	"encoding/binary"
)

// maxBlock bounds the metadata of one file. A JPEG segment cannot hold more
// than 64 KiB; a PNG chunk could claim two gigabytes.
const maxBlock = 4 << 20

// exifBlock finds the TIFF structure that holds a file's Exif metadata: in a
// JPEG the first APP1 segment that begins "Exif", wherever it stands before the
// scan (Exif 2.32 section 4.7.2), in a PNG the eXIf chunk (PNG third edition,
// section 11.3.5.2). It returns nil when there is none.
func exifBlock(data []byte) []byte {
	if bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")) {
		return pngBlock(data[8:])
	}
	return jpegBlock(data)
}

func jpegBlock(data []byte) []byte {
	if !bytes.HasPrefix(data, []byte{0xff, 0xd8}) {
		return nil
	}
	for p := data[2:]; len(p) >= 4 && p[0] == 0xff; {
		m := p[1]
		switch {
		case m == 0xff: // fill byte
			p = p[1:]
			continue
		case m == 0x01 || m >= 0xd0 && m <= 0xd7: // markers without a length
			p = p[2:]
			continue
		case m == 0xda || m == 0xd9 || m == 0xd8 || m == 0: // scan, end, nonsense
			return nil
		}
		n := int(binary.BigEndian.Uint16(p[2:]))
		if n < 2 || n+2 > len(p) {
			return nil
		}
		if body, ok := bytes.CutPrefix(p[4:n+2], []byte("Exif\x00\x00")); ok && m == 0xe1 {
			return body
		}
		p = p[n+2:]
	}
	return nil
}

// upTo is the part of a file that ends with its Exif block. A reader that gets
// no more cannot lose its way in megabytes of pixels. block lies in data.
func upTo(data, block []byte) []byte {
	// A slice of data keeps data's capacity, less what is before it.
	return data[:cap(data)-cap(block)+len(block)]
}

func pngBlock(p []byte) []byte {
	for len(p) >= 12 {
		n := int64(binary.BigEndian.Uint32(p))
		if n+12 > int64(len(p)) {
			return nil
		}
		if string(p[4:8]) == "eXIf" {
			if n > maxBlock {
				return nil
			}
			return p[8 : 8+n]
		}
		p = p[n+12:]
	}
	return nil
}
