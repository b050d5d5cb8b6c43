package pdf

import (
	"bytes"
	"errors"
	"fmt"
)

// mendImages checks the pictures of all pages and takes out of JPEG files what
// is not picture: camera data, places, previews, comments.
func (d *document) mendImages() error {
	done := map[Ref]bool{}
	for i := range d.pages {
		res := d.pages[i].dict["Resources"].(Dict)
		for n, o := range d.dict(res["XObject"]) {
			ref, ok := o.(Ref)
			if ok && done[ref] {
				continue
			}
			done[ref] = true
			s, isStream := d.resolve(o).(*Stream)
			if !ok || !isStream || s.Dict["Subtype"] != Name("Image") {
				return malformed(0, "page %d uses /%s, which is not a picture", i+1, string(n))
			}
			if err := d.mendImage(s); err != nil {
				return fmt.Errorf("page %d, picture /%s: %w", i+1, string(n), err)
			}
		}
	}
	return nil
}

func (d *document) mendImage(s *Stream) error {
	if s.Dict["ColorSpace"] == Name("DeviceCMYK") {
		return errors.New("pictures in CMYK do not fit the sRGB output intent")
	}
	if d.opt.Probe {
		delete(s.Dict, "SMask")
	}
	if mask, ok := d.resolve(s.Dict["SMask"]).(*Stream); ok {
		delete(mask.Dict, "SMask")
	}
	if s.Dict["Filter"] != Name("DCTDecode") {
		return nil
	}
	parts, err := stripJPEG(s.parts[0])
	if err != nil {
		return err
	}
	s.parts = parts
	return nil
}

// stripJPEG returns the pieces of a JPEG file (ITU-T T.81, annex B) without
// comments and without application segments other than APP0 and APP14, which
// say how the colours are coded, and without anything after the end of image.
// The pieces are parts of b, not copies.
func stripJPEG(b []byte) ([][]byte, error) {
	if len(b) < 4 || b[0] != 0xFF || b[1] != 0xD8 {
		return nil, errors.New("it is not a JPEG file")
	}
	var parts [][]byte
	from := 0 // start of the piece being kept
	for i := 2; ; {
		marker, at, ok := nextMarker(b, i)
		if !ok {
			return nil, errors.New("the JPEG file is cut off")
		}
		if marker == 0xD9 {
			return append(parts, b[from:at+2]), nil
		}
		if at+4 > len(b) {
			return nil, errors.New("the JPEG file is cut off")
		}
		end := at + 2 + int(b[at+2])<<8 + int(b[at+3])
		if end > len(b) || end < at+4 {
			return nil, errors.New("the JPEG file has a broken segment")
		}
		application := marker >= 0xE1 && marker <= 0xEF && marker != 0xEE
		if application || marker == 0xFE {
			// Fill bytes before the segment go as well, or they would make a
			// marker of what follows it.
			keep := at
			for keep > max(from, i) && b[keep-1] == 0xFF {
				keep--
			}
			if keep > from {
				parts = append(parts, b[from:keep])
			}
			from = end
		}
		i = end
	}
}

// nextMarker finds the next marker that starts a segment or ends the image,
// past the coded data that may come before it.
func nextMarker(b []byte, i int) (marker byte, at int, ok bool) {
	for i < len(b)-1 {
		n := bytes.IndexByte(b[i:len(b)-1], 0xFF)
		if n < 0 {
			return 0, 0, false
		}
		i += n
		switch m := b[i+1]; {
		case m == 0xFF: // fill byte
			i++
		case m == 0 || m == 1 || (m >= 0xD0 && m <= 0xD8): // stuffed, or without a segment
			i += 2
		default:
			return m, i, true
		}
	}
	return 0, 0, false
}
