package paint

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
)

// Strip returns a JPEG without its metadata: Exif, XMP, IPTC, comments, and
// with them places, names and thumbnails, and anything behind its end. The
// picture itself is not touched, so nothing is lost and little time is spent;
// the tables, frames and scans (ITU-T T.81, annex B) are kept. An error says
// that the bytes are not a whole JPEG.
func Strip(b []byte) ([]byte, error) {
	parts, err := picture(b)
	if err != nil {
		return nil, err
	}
	return bytes.Join(parts, nil), nil
}

// picture is the parts of a JPEG that belong to the picture, in order. They
// are parts of b and no copies.
func picture(b []byte) ([][]byte, error) {
	if len(b) < 4 || b[0] != 0xFF || b[1] != 0xD8 {
		return nil, fmt.Errorf("strip picture: not a JPEG")
	}
	parts := [][]byte{b[:2]}
	for i := 2; ; {
		if i+4 > len(b) || b[i] != 0xFF {
			return nil, fmt.Errorf("strip picture: the JPEG breaks off at byte %d", i)
		}
		m := b[i+1]
		if m == 0xFF { // filler
			i++
			continue
		}
		n := int(b[i+2])<<8 | int(b[i+3])
		if n < 2 || i+2+n > len(b) {
			return nil, fmt.Errorf("strip picture: the JPEG breaks off at byte %d", i)
		}
		if m == 0xDA {
			scan, err := scans(b[i:])
			if err != nil {
				return nil, err
			}
			return append(parts, scan), nil
		}
		if keep(m) {
			parts = append(parts, b[i:i+2+n])
		}
		i += 2 + n
	}
}

// keep tells which segments belong to the picture: all but the application
// segments and comments. Adobe's APP14 says how colours are stored.
func keep(m byte) bool { return !(m >= 0xE0 && m <= 0xEF && m != 0xEE) && m != 0xFE }

// scans is the coded data up to the end-of-image marker: some cameras append
// more pictures behind it. Between the scans of a progressive JPEG only tables
// may stand, which is checked.
func scans(b []byte) ([]byte, error) {
	for i := 2; i+1 < len(b); i++ {
		if b[i] != 0xFF {
			n := bytes.IndexByte(b[i:], 0xFF)
			if n < 0 {
				break
			}
			i += n - 1
			continue
		}
		switch m := b[i+1]; {
		case m == 0xD9:
			return b[:i+2], nil
		case m == 0 || m == 0xFF || (m >= 0xD0 && m <= 0xD7):
		case m == 0xFE || (m >= 0xE0 && m <= 0xEF):
			return nil, fmt.Errorf("strip picture: metadata between the scans of the JPEG")
		}
	}
	return nil, fmt.Errorf("strip picture: the JPEG has no end")
}

// Encode writes a picture as a JPEG without metadata. Quality 88 keeps
// hairlines in a finish visible at twice the printed size (judged by eye).
func Encode(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 88}); err != nil {
		return nil, fmt.Errorf("encode picture: %w", err)
	}
	return b.Bytes(), nil
}
