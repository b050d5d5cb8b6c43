package reduce

import (
	"bytes"
	"encoding/binary"
)

// The formats named in Info.
const (
	formatJPEG = "jpeg"
	formatPNG  = "png"
)

// Info is what a picture's header says.
type Info struct {
	Format        string // "jpeg" or "png"
	Width, Height int    // pixels as stored, before any orientation
	Progressive   bool   // a JPEG stored in passes of growing detail
	Depth         int    // bits per channel
	Components    int    // channels: 1 grey, 2 grey and alpha, 3 colour, 4 colour and alpha or CMYK
}

const pngSignature = "\x89PNG\r\n\x1a\n"

// Config reads the header without decoding pixels. It returns ErrFormat for anything but JPEG and PNG, and a
// *DamagedError when the header is cut off or makes no sense.
func Config(data []byte) (Info, error) {
	switch {
	case len(data) >= 2 && data[0] == 0xFF && data[1] == mSOI:
		d := jpegDecoder{data: data, pos: 2}
		if err := d.readFrame(); err != nil {
			return Info{}, err
		}
		return d.info(), nil
	case bytes.HasPrefix(data, []byte(pngSignature)):
		return pngConfig(data)
	}
	return Info{}, ErrFormat
}

// pngConfig reads the IHDR chunk (Portable Network Graphics specification, section 11.2.1).
func pngConfig(data []byte) (Info, error) {
	damaged := func(reason string) (Info, error) { return Info{}, &DamagedError{Format: "PNG", Reason: reason} }
	if len(data) < 33 {
		return damaged("its header breaks off")
	}
	if string(data[12:16]) != "IHDR" || binary.BigEndian.Uint32(data[8:]) != 13 {
		return damaged("it does not start with its header")
	}
	w, h := binary.BigEndian.Uint32(data[16:]), binary.BigEndian.Uint32(data[20:])
	if w == 0 || h == 0 || w > 1<<31-1 || h > 1<<31-1 {
		return damaged("its header gives an impossible size")
	}
	components, ok := map[byte]int{0: 1, 2: 3, 3: 3, 4: 2, 6: 4}[data[25]]
	if !ok {
		return damaged("its header gives an unknown kind of colour")
	}
	return Info{Format: formatPNG, Width: int(w), Height: int(h), Depth: int(data[24]), Components: components}, nil
}
