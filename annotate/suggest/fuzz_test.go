package suggest

import (
	"encoding/binary"
	"image"
	"math"
	"testing"

	"wornwood/annotate/shape"
)

// FuzzFind hands over small pictures of any content with any ring: there is a
// sentence or a result within its bounds, never a panic.
func FuzzFind(f *testing.F) {
	f.Add([]byte("plain"), 60, 40, 0.5, []byte{0, 0, 0, 0, 0, 0, 0, 0})
	ring := []byte{}
	for _, v := range []float32{2, 2, 58, 3, 57, 37, 1, 36} {
		ring = binary.LittleEndian.AppendUint32(ring, math.Float32bits(v))
	}
	f.Add([]byte{0, 255, 3, 250, 9, 128}, 60, 40, 1.0, ring)
	f.Add([]byte{200}, 1, 1, 0.0, ring)
	f.Add([]byte{7, 7, 7, 255}, 900, 3, 2.0, append(ring, ring...))
	f.Fuzz(func(t *testing.T, content []byte, w, h int, sensitivity float64, corners []byte) {
		w, h = 1+(w&0x7fffffff)%300, 1+(h&0x7fffffff)%300
		img := image.NewGray(image.Rect(0, 0, w, h))
		for i := range img.Pix {
			if len(content) > 0 {
				img.Pix[i] = content[(i*7+i/w)%len(content)]
			}
		}
		var area []shape.Pt
		for ; len(corners) >= 8; corners = corners[8:] {
			at := func(i int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(corners[i:]))) }
			area = append(area, shape.Pt{X: at(0), Y: at(4)})
		}
		res, err := Find(t.Context(), img, area, Options{Sensitivity: sensitivity})
		if err != nil {
			if len(err.Error()) < 20 {
				t.Fatalf("no sentence: %v", err)
			}
			return
		}
		if len(res.Ghosts) > MostGhosts {
			t.Fatalf("%d ghosts", len(res.Ghosts))
		}
		for _, g := range res.Ghosts {
			if !(g.Score >= 0 && g.Score <= 1) || !(g.Contrast >= 0) || math.IsInf(g.Contrast, 0) || len(g.Points) == 0 || (g.Kind == Check) != (len(g.Points) > 1) {
				t.Fatalf("ghost %+v", g)
			}
			for _, p := range g.Points {
				if !p.Finite() || p.X < 0 || p.Y < 0 || p.X > float64(w) || p.Y > float64(h) {
					t.Fatalf("ghost at %v in a picture of %d x %d", p, w, h)
				}
			}
		}
	})
}
