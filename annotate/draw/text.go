package draw

import (
	"image"
	"math"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// faceKey names a face at a size in quarters of a unit, which is finer than
// the eye tells and keeps the store small.
type faceKey struct {
	face     Face
	quarters int
}

// faces keeps parsed typefaces and sized faces. A font.Face may not be used by
// two goroutines at once, so the lock is held while text is set.
var faces = struct {
	sync.Mutex
	parsed map[Face]*opentype.Font
	sized  map[faceKey]font.Face
}{parsed: map[Face]*opentype.Font{}, sized: map[faceKey]font.Face{}}

// maxSized bounds the store of sized faces.
const maxSized = 64

// sizedFace returns the face at the size; faces must be locked.
func sizedFace(f Face, size float64) font.Face {
	if f == "" {
		f = Sans
	}
	key := faceKey{f, max(4, int(math.Round(size*4)))}
	if s, ok := faces.sized[key]; ok {
		return s
	}
	parsed := faces.parsed[f]
	if parsed == nil {
		var err error
		if parsed, err = opentype.Parse(f.file()); err != nil {
			panic("draw: an embedded typeface does not parse: " + err.Error())
		}
		faces.parsed[f] = parsed
	}
	// At 72 dots to the inch one point is one pixel.
	s, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: float64(key.quarters) / 4, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("draw: an embedded typeface cannot be sized: " + err.Error())
	}
	if len(faces.sized) >= maxSized {
		clear(faces.sized)
	}
	faces.sized[key] = s
	return s
}

// TextWidth is the width of a text in view units.
func TextWidth(f Face, size float64, s string) float64 {
	faces.Lock()
	defer faces.Unlock()
	return float64(font.MeasureString(sizedFace(f, size), s)) / 64
}

func (p *painter) text(op Op) {
	if op.Fill.A == 0 || op.Text == "" || !(op.Size > 0) || op.Size > 2000 {
		return
	}
	faces.Lock()
	defer faces.Unlock()
	face := sizedFace(op.Face, op.Size)
	x := op.At.X
	if op.Align != Left {
		w := float64(font.MeasureString(face, op.Text)) / 64
		if op.Align == Centre {
			w /= 2
		}
		x -= w
	}
	b := p.dst.Bounds()
	if x > float64(b.Max.X) || op.At.Y+op.Size < float64(b.Min.Y) || op.At.Y-op.Size > float64(b.Max.Y) || math.Abs(x) > 1e6 {
		return
	}
	d := font.Drawer{
		Dst: p.dst, Src: image.NewUniform(op.Fill.Color()), Face: face,
		Dot: fixed.Point26_6{X: fixed.Int26_6(x * 64), Y: fixed.Int26_6(op.At.Y * 64)},
	}
	d.DrawString(op.Text)
}

// Shorten is the text itself when it is at most width wide, else as much of it
// as fits with an ellipsis.
func Shorten(f Face, size float64, s string, width float64) string {
	if TextWidth(f, size, s) <= width {
		return s
	}
	r := []rune(s)
	lo, hi := 0, len(r)
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if TextWidth(f, size, string(r[:mid])+"…") <= width {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	return strings.TrimRight(string(r[:lo]), " ") + "…"
}
