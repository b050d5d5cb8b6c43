package measure

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// demoCard is the card of a demo photo, clicked by a hand and found on its edges.
func demoCard(t *testing.T, r *rand.Rand, img *image.Gray, d demoTruth) record.Scale {
	t.Helper()
	var clicks [4]shape.Pt
	for i, c := range d.Card.Corners {
		clicks[i] = shape.Add(c, shape.Pt{X: 2 * r.NormFloat64(), Y: 2 * r.NormFloat64()})
	}
	s, err := CardScale(clicks, nil)
	if err != nil {
		t.Fatal(err)
	}
	if s, err = RefineScale(img, s); err != nil {
		t.Fatalf("%s: %v", d.File, err)
	}
	for i, p := range s.Points {
		if p.Clicked == nil || *p.Clicked != clicks[i] || p.Noise <= 0 {
			t.Errorf("%s: corner %d forgot its click: %+v", d.File, i+1, p)
		}
	}
	return s
}

func (d demoTruth) as() Camera { return Camera{Width: d.Size[0], Height: d.Size[1]} }

// Marks of the demo instrument beside the card in its close-ups and on its front: area and
// longest side as the renderer has them, in the stated interval.
func TestDemoMarksByCard(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 16))
	photos := demoPhotos(t)
	checked := 0
	for _, file := range []string{"front.jpg", "whole.jpg", "close-checks.jpg", "close-buckle.jpg", "close-wear.jpg"} {
		d := photos[file]
		p, err := Fit(demoCard(t, r, demoGray(t, file), d), d.as(), nil)
		if err != nil {
			t.Fatal(err)
		}
		// A card lying on the body stands 0.76 mm over it, one beside it level with the face.
		h := func(shape.Pt) Height { return Height{-0.38, 0.3} }
		for _, m := range d.Marks {
			truth := demoAll.Marks[m.Number-1]
			if truth.Shape != record.AreaShape || m.Number == 7 || m.Number == 9 || m.Number == 3 { // on the board, or round the body's edge
				continue
			}
			clicks := make([]shape.Pt, len(m.Points))
			for i, q := range m.Points {
				clicks[i] = shape.Add(q, shape.Pt{X: r.NormFloat64(), Y: r.NormFloat64()})
			}
			half := len(clicks) / 2
			area, long := p.Area(clicks, h), p.Width(clicks[0], clicks[half], h)
			wantA, wantL := shape.PolygonArea(truth.Points), shape.Dist(truth.Points[0], truth.Points[half])
			t.Logf("%-16s mark %d: %.0f ± %.0f mm², truth %.0f; %.2f ± %.2f mm, truth %.2f (%s)", file, m.Number, area.Value, area.Uncertainty, wantA, long.Value, long.Uncertainty, wantL, p.Summary())
			if math.Abs(area.Value-wantA) > 2.6*area.Uncertainty || math.Abs(long.Value-wantL) > 2.6*long.Uncertainty {
				t.Errorf("%s mark %d: %v mm², truth %.1f; %v mm, truth %.2f", file, m.Number, area, wantA, long, wantL)
			}
			if long.Uncertainty > 0.025*wantL {
				t.Errorf("%s mark %d: %v mm is too vague", file, m.Number, long)
			}
			checked++
		}
	}
	if checked < 4 {
		t.Errorf("only %d marks were checked", checked)
	}
}

// The card reads the fingerboard, and the fingerboard the card: the nut to fret 12 is half
// of the scale length of 648 mm, the card is 85.60 x 53.98 mm.
func TestDemoCardAndFretsAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 17))
	photos := demoPhotos(t)
	dr := drawing(t, outline.Params{ScaleLength: 648})
	board := func(p shape.Pt) float64 { return 10 - p.X*p.X/500 } // bowed to a radius of 250 mm, its middle 10 mm over the body
	for _, file := range []string{"whole.jpg", "board.jpg"} {
		d := photos[file]
		img, cam := demoGray(t, file), d.camera()
		card, err := Fit(demoCard(t, r, img, d), d.as(), nil)
		if err != nil {
			t.Fatal(err)
		}
		onBoard := func(p shape.Pt) Height { return Height{9.8 - d.Height, 0.5} }
		nut, fret := cam.see(shape.Pt{}, board(shape.Pt{})), cam.see(shape.Pt{Y: 324}, board(shape.Pt{}))
		q := card.Width(nut, fret, onBoard)
		t.Logf("%s: nut to fret 12 by the card: %.2f ± %.2f mm, truth 324", file, q.Value, q.Uncertainty)
		if math.Abs(q.Value-324) > 2.6*q.Uncertainty || q.Uncertainty > 6 {
			t.Errorf("%s: nut to fret 12 is %v mm by the card", file, q)
		}

		clicks := map[string]shape.Pt{}
		for _, n := range []int{0, 5, 12, 15} {
			e := FretPoints(dr, n)
			for k, end := range []string{"bass", "treble"} {
				name := fmt.Sprintf("fret-%d-%s", n, end)
				if n == 0 {
					name = "nut-" + end
				}
				at := cam.see(e[k], board(e[k]))
				clicks[name] = shape.Add(at, shape.Pt{X: 1.2 * r.NormFloat64(), Y: 1.2 * r.NormFloat64()})
			}
		}
		s, err := FretScale(dr, clicks)
		if err != nil {
			t.Fatal(err)
		}
		if s, err = RefineScale(img, s); err != nil {
			t.Fatal(err)
		}
		p, err := Fit(s, d.as(), func(p shape.Pt) Height { return Height{board(p), 0.5} })
		if err != nil {
			t.Fatal(err)
		}
		for k, want := range []float64{CardLong, CardShort} {
			a, b := d.Card.Corners[k], d.Card.Corners[k+1]
			q := p.Width(a, b, func(shape.Pt) Height { return Height{d.Height, 0.3} })
			t.Logf("%s: the card by the frets: %.2f ± %.2f mm, truth %.2f (%s)", file, q.Value, q.Uncertainty, want, p.Summary())
			if math.Abs(q.Value-want) > 2.6*q.Uncertainty || q.Uncertainty > 0.02*want {
				t.Errorf("%s: the card's side of %.2f mm is %v by the frets", file, want, q)
			}
		}
	}
}

// What cannot be found is said, and the clicks stay.
func TestRefineGivesUp(t *testing.T) {
	r := rand.New(rand.NewPCG(18, 18))
	grey, noisy := image.NewGray(image.Rect(0, 0, 900, 700)), image.NewGray(image.Rect(0, 0, 900, 700))
	for i := range grey.Pix {
		grey.Pix[i], noisy.Pix[i] = 128, uint8(128+5*r.NormFloat64())
	}
	clicks := [4]shape.Pt{{X: 100, Y: 100}, {X: 700, Y: 100}, {X: 700, Y: 480}, {X: 100, Y: 480}}
	s, err := CardScale(clicks, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		what string
		img  *image.Gray
		want string
	}{{"no picture", nil, "too small"}, {"a tiny picture", image.NewGray(image.Rect(0, 0, 3, 3)), "too small"}, {"grey", grey, "does not stand out"}, {"noise", noisy, "does not stand out"}} {
		got, err := RefineScale(c.img, s)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.what, err)
		}
		for i, p := range got.Points {
			if p.At != clicks[i] || p.Clicked != nil || p.Noise != 0 {
				t.Errorf("%s: corner %d became %+v", c.what, i+1, p)
			}
		}
	}
	tiny := [4]shape.Pt{{X: 10, Y: 10}, {X: 40, Y: 10}, {X: 40, Y: 30}, {X: 10, Y: 30}}
	if _, _, err := RefineCorners(grey, tiny); err == nil || !strings.Contains(err.Error(), "too small") {
		t.Errorf("a card of 30 pixels: %v", err)
	}
	dr := drawing(t, outline.Params{})
	f, err := FretScale(dr, map[string]shape.Pt{"nut-bass": {X: 300, Y: 100}, "nut-treble": {X: 390, Y: 100}, "fret-12-bass": {X: 295, Y: 650}, "fret-12-treble": {X: 397, Y: 650}})
	if err != nil {
		t.Fatal(err)
	}
	for _, img := range []*image.Gray{grey, noisy} {
		if _, err := RefineScale(img, f); err == nil || !strings.Contains(err.Error(), "as clicked") {
			t.Errorf("frets in nothing: %v", err)
		}
	}
	two, _ := TwoPointScale(clicks[0], clicks[1], record.Quantity{Value: 60}, nil)
	if got, err := RefineScale(nil, two); err != nil || got.Points[0].At != clicks[0] {
		t.Errorf("two points have no edges: %v", err)
	}
}

// A drawn card of known corners: straight edges, and edges bent by a lens as a phone
// bends them in a close-up. Corners must come out within a fifth of a pixel.
func TestRefineCornersDrawn(t *testing.T) {
	for _, k1 := range []float64{0, -0.05} {
		h := habits{width: 1500, height: 1000, focal: uniform(0.72, 0.72), k1: uniform(k1, k1), tilt: uniform(12, 12)}
		var s *studio
		for seed := uint64(1); s == nil; seed++ {
			s = h.takePhoto(rand.New(rand.NewPCG(seed, 6)), shape.Pt{X: 43, Y: 27}, 9)
			for _, c := range CardPoints() {
				if s != nil && !s.shows(s.see(c, 0)) {
					s = nil
				}
			}
		}
		img := drawCard(s)
		var truth, clicks [4]shape.Pt
		for i, c := range CardPoints() {
			truth[i] = s.see(c, 0)
			clicks[i] = shape.Add(truth[i], shape.Pt{X: 3 - 2*float64(i%3), Y: 2*float64(i%2) - 3})
		}
		got, sigma, err := RefineCorners(img, clicks)
		if err != nil {
			t.Fatal(err)
		}
		for i := range got {
			off := shape.Dist(got[i], truth[i])
			t.Logf("k1 %5.2f: corner %d is %.2f px off, stated %.2f", k1, i+1, off, sigma[i])
			if off > 0.2 {
				t.Errorf("k1 %g: corner %d is %.2f px off, stated %.2f", k1, i+1, off, sigma[i])
			}
		}
	}
}

// drawCard paints a light card on a grainy grey table, 3 x 3 rays to the pixel.
func drawCard(s *studio) *image.Gray {
	r := rand.New(rand.NewPCG(19, 19))
	img := image.NewGray(image.Rect(0, 0, s.w, s.h))
	in := func(p shape.Pt) float64 { // inside the rounded card
		x, y := math.Abs(p.X-CardLong/2)-CardLong/2+CardRadius, math.Abs(p.Y-CardShort/2)-CardShort/2+CardRadius
		if math.Hypot(max(x, 0), max(y, 0)) <= CardRadius {
			return 1
		}
		return 0
	}
	const b = 3
	for y := range s.h {
		for x := range s.w {
			sum := 0.0
			for i := range b * b {
				px := shape.Pt{X: float64(x) + (float64(i%b)+0.5)/float64(b), Y: float64(y) + (float64(i/b)+0.5)/float64(b)}
				sum += in(s.back(px)) / float64(b*b)
			}
			img.SetGray(x, y, color.Gray{Y: uint8(min(255, max(0, 90+110*sum+3*r.NormFloat64())))})
		}
	}
	return img
}
