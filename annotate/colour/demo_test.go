package colour

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/reduce"
)

const demoDir = "../../testdata/demo"

// demoPhoto is what truth.json says of one rendered photo.
type demoPhoto struct {
	File        string
	Orientation int
	MMToPx      *[3][3]float64 `json:"mm_to_px"`
	Card        struct {
		Corners [4]shape.Pt `json:"-"`
		Raw     [][]float64 `json:"corners_px"`
	}
}

func demoPhotos(t *testing.T) map[string]demoPhoto {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(demoDir, "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var truth struct{ Photos []demoPhoto }
	if err := json.Unmarshal(data, &truth); err != nil {
		t.Fatal(err)
	}
	out := map[string]demoPhoto{}
	for _, p := range truth.Photos {
		for i, c := range p.Card.Raw {
			p.Card.Corners[i] = shape.Pt{X: c[0], Y: c[1]}
		}
		out[p.File] = p
	}
	return out
}

// px is a place on the fingerboard's plane in the photo.
func (p *demoPhoto) px(x, y float64) shape.Pt {
	h := p.MMToPx
	w := h[2][0]*x + h[2][1]*y + h[2][2]
	return shape.Pt{X: (h[0][0]*x + h[0][1]*y + h[0][2]) / w, Y: (h[1][0]*x + h[1][1]*y + h[1][2]) / w}
}

// space is the wood between frets n and n+1, in the gap between two strings,
// clear of wire, grime and inlays.
func (p *demoPhoto) space(n, gap float64) []shape.Pt {
	fret := func(n float64) float64 { return 648 * (1 - math.Exp2(-n/12)) }
	y0, y1 := fret(n)+5, fret(n+1)-5
	x := gap * (7.1 + 3.3*(y0+y1)/2/648)
	return []shape.Pt{p.px(x-2.2, y0), p.px(x+2.2, y0), p.px(x+2.2, y1), p.px(x-2.2, y1)}
}

// grey is the card's grey field, well inside it.
func (p *demoPhoto) grey() []shape.Pt {
	c := p.Card.Corners
	at := func(u, v float64) shape.Pt {
		return shape.Add(c[0], shape.Add(shape.Mul(shape.Sub(c[1], c[0]), u), shape.Mul(shape.Sub(c[3], c[0]), v)))
	}
	return []shape.Pt{at(0.1, 0.3), at(0.9, 0.3), at(0.9, 0.85), at(0.1, 0.85)}
}

// The demo's faded fingerboard. Its paints are those of annotate/render: oiled
// rosewood 5a3826 and, faded, 93 per cent of the way to 8a6444, without gloss.
// The photos have the room's even gloss on top, which a reading cannot see, and
// a camera's shoulder; the truth must lie within floor and uncertainty.
func TestFadeOfTheDemoPhotos(t *testing.T) {
	was, pale := sRGB(0x5a, 0x38, 0x26), sRGB(0x8a, 0x64, 0x44)
	truth := DE2000(was.Lab(), was.times(0.07).plus(pale.times(0.93)).Lab())
	photos := demoPhotos(t)
	for _, file := range []string{"board.jpg", "whole.jpg"} {
		p := photos[file]
		data, err := os.ReadFile(filepath.Join(demoDir, file))
		if err != nil {
			t.Fatal(err)
		}
		m, err := Open(data, p.Orientation, reduce.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		patch := func(ring []shape.Pt) Reading {
			r, err := Read(m, ring)
			if err != nil {
				t.Fatalf("%s: %v", file, err)
			}
			return r
		}
		grey := patch(p.grey())
		n, sum, flagged := 0.0, 0.0, 0
		for _, gap := range []float64{1, 2} {
			for _, before := range []float64{1, 2, 3, 4, 5} {
				for _, after := range []float64{12, 13} {
					r := compare(t, patch(p.space(before, gap)), patch(p.space(after, gap)), &grey)
					n, sum = n+1, sum+r.DE2000.Value
					if !r.Reliable {
						flagged++
					}
					if off := math.Abs(r.DE2000.Value - truth); off > r.Floor+2*r.DE2000.Uncertainty {
						t.Errorf("%s, frets %g and %g: %s; true %.1f, floor %.1f", file, before, after, r.Words(), truth, r.Floor)
					}
				}
			}
		}
		t.Logf("%s: CIEDE2000 %.1f in the mean of %.0f pairs, paints %.1f; %d called unreliable", file, sum/n, n, truth, flagged)
		if flagged > 4 {
			t.Errorf("%s: %d of %.0f pairs called unreliable", file, flagged, n)
		}
	}
}
