package reduce

import (
	"errors"
	"fmt"
)

// Default limits. They keep one photograph's decoding under about a gigabyte in the worst case (16 bits per
// channel is 8 bytes a pixel; a progressive JPEG holds all of its coefficients), and are well above what cameras make.
const (
	defaultPixels      = 200_000_000
	defaultHeavyPixels = 100_000_000
	defaultBytes       = 512 << 20
)

// maxSide bounds width and height: the resampling weights of one direction grow with it. JPEG ends at 65,535 anyway.
const maxSide = 100_000

// Limits bound what is decoded. A zero field takes its default: 200 million pixels; 100 million for 16-bit PNG
// and progressive JPEG (HeavyPixels); 512 MiB of file.
type Limits struct {
	Pixels      int64
	HeavyPixels int64
	Bytes       int64
}

// ErrFormat says that the data are no picture this package can read: neither JPEG nor PNG, or a kind of JPEG
// (lossless, arithmetic-coded, 12 bits) that is not supported.
var ErrFormat = errors.New("the file is not a JPEG or PNG picture that can be read here; save it as an ordinary JPEG and add that")

// TooLargeError says that a picture exceeds a limit. It is raised before any pixel is decoded.
type TooLargeError struct {
	Width, Height int    // pixels; zero when the file itself is too long
	Have, Limit   int64  // in Unit
	Unit          string // "bytes", "pixels", or "pixels a side"
}

// Error is one sentence with what to do.
func (e *TooLargeError) Error() string {
	switch e.Unit {
	case unitBytes:
		return fmt.Sprintf("the file has %d MiB and at most %d MiB can be read; save a smaller copy and add that", e.Have>>20, e.Limit>>20)
	case unitSide:
		return fmt.Sprintf("the picture has %d x %d pixels and at most %d a side can be read; save a smaller copy and add that", e.Width, e.Height, e.Limit)
	}
	return fmt.Sprintf("the picture has %d x %d pixels and at most %d million of its kind can be read; save a smaller copy and add that",
		e.Width, e.Height, e.Limit/1_000_000)
}

const (
	unitBytes  = "bytes"
	unitPixels = "pixels"
	unitSide   = "pixels a side"
)

// DamagedError says that a picture is of a known format but cannot be decoded.
type DamagedError struct {
	Format string // "JPEG" or "PNG"
	Reason string // a clause: "its header breaks off"
	Err    error  // the decoder's own error, or nil
}

// Error is one sentence with what to do.
func (e *DamagedError) Error() string {
	return fmt.Sprintf("the %s picture is damaged: %s; copy it from the camera again", e.Format, e.Reason)
}

// Unwrap gives the decoder's own error.
func (e *DamagedError) Unwrap() error { return e.Err }

func damagedJPEG(reason string) *DamagedError { return &DamagedError{Format: "JPEG", Reason: reason} }

// check refuses data of n bytes with the header in beyond the limits.
func (l Limits) check(in Info, n int) error {
	pixels := orDefault(l.Pixels, defaultPixels)
	if in.Progressive || in.Format == formatPNG && in.Depth == 16 {
		pixels = min(pixels, orDefault(l.HeavyPixels, defaultHeavyPixels))
	}
	if bytes := orDefault(l.Bytes, defaultBytes); int64(n) > bytes {
		return &TooLargeError{Have: int64(n), Limit: bytes, Unit: unitBytes}
	}
	if have := int64(in.Width) * int64(in.Height); have > pixels {
		return &TooLargeError{Width: in.Width, Height: in.Height, Have: have, Limit: pixels, Unit: unitPixels}
	}
	if side := max(in.Width, in.Height); side > maxSide {
		return &TooLargeError{Width: in.Width, Height: in.Height, Have: int64(side), Limit: maxSide, Unit: unitSide}
	}
	return nil
}

func orDefault(v, def int64) int64 {
	if v <= 0 {
		return def
	}
	return v
}
