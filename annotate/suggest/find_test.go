package suggest

import (
	"context"
	"errors"
	"image"
	"image/color"
	"image/draw"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/reduce"
)

// demoPainted is the demo's body with marks of contrast 0.25.
func demoPainted(t *testing.T) (image.Image, []painted, []shape.Pt) {
	base, ring := surfaces[0].picture(t)
	img, marks := paintMarks(t, base, ring, 0.25, 31)
	return img, marks, ring
}

func find(t *testing.T, img image.Image, ring []shape.Pt, opt Options) *Result {
	t.Helper()
	if opt.Sensitivity == 0 {
		opt.Sensitivity = 0.5
	}
	res, err := Find(t.Context(), img, ring, opt)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func TestSameWithAnyNumberOfProcessors(t *testing.T) {
	img, _, ring := demoPainted(t)
	old := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(old)
	one := find(t, img, ring, Options{})
	runtime.GOMAXPROCS(5)
	if five := find(t, img, ring, Options{}); !reflect.DeepEqual(one, five) {
		t.Errorf("with 1 processor %d ghosts, with 5 %d", len(one.Ghosts), len(five.Ghosts))
	}
}

// TestPlaceInPhoto hands the same pixels over as the whole photo, as a part of
// it, as a copy with an offset and at double size: the ghosts stay where they
// are in the photo.
func TestPlaceInPhoto(t *testing.T) {
	img, marks, ring := demoPainted(t)
	b := img.Bounds()
	whole := image.NewRGBA(image.Rect(0, 0, b.Dx()+300, b.Dy()+200))
	draw.Draw(whole, b.Add(image.Pt(250, 150)), img, b.Min, draw.Src)
	off := shape.Pt{X: 250, Y: 150}
	var moved, doubled []shape.Pt
	for _, p := range ring {
		moved, doubled = append(moved, shape.Add(p, off)), append(doubled, shape.Mul(p, 2))
	}
	want := find(t, whole, moved, Options{})
	part := find(t, whole.SubImage(b.Add(image.Pt(250, 150))), moved, Options{})
	rgba := image.NewRGBA(b)
	draw.Draw(rgba, b, img, b.Min, draw.Src)
	offset := find(t, rgba, moved, Options{Offset: off})
	twice := find(t, rgba, doubled, Options{Scale: 2})
	for name, res := range map[string]*Result{"whole": want, "part": part, "offset": offset} {
		for _, g := range res.Ghosts {
			for i := range g.Points {
				g.Points[i] = shape.Sub(g.Points[i], off)
			}
		}
		if f := match(Check, res.Ghosts, marks); f.recall() < 0.85 || f.precision() < 0.85 {
			t.Errorf("%s: %.2f found at %.2f right", name, f.recall(), f.precision())
		}
	}
	for _, g := range twice.Ghosts {
		for i := range g.Points {
			g.Points[i] = shape.Mul(g.Points[i], 0.5)
		}
	}
	if f := match(Check, twice.Ghosts, marks); f.recall() < 0.85 || f.precision() < 0.85 {
		t.Errorf("doubled: %.2f found at %.2f right", f.recall(), f.precision())
	}
}

// TestOnlyInsideTheRing leaves half of the marks outside the ring.
func TestOnlyInsideTheRing(t *testing.T) {
	img, _, ring := demoPainted(t)
	r := shape.RectAround(ring...)
	half := square(r.Min.X, r.Min.Y+150, r.Center().X, r.Max.Y)
	res := find(t, img, half, Options{Sensitivity: 1})
	if len(res.Ghosts) == 0 {
		t.Fatal("nothing found")
	}
	for _, g := range res.Ghosts {
		for _, p := range g.Points {
			if !shape.PointInPolygon(p, half) || shape.DistToPolyline(p, append(half, half[0])) < margin-1.5 {
				t.Errorf("%s at %v lies outside the ring or on it", g.Kind, p)
			}
		}
	}
}

// TestRingItselfIsNoLine searches a plain ground through rings of odd form.
func TestRingItselfIsNoLine(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 400, 300))
	for i := range img.Pix {
		img.Pix[i] = 140
	}
	for name, ring := range map[string][]shape.Pt{
		"whole picture": square(0, 0, 400, 300), "larger": square(-50, -50, 500, 400), "star": {{X: 20, Y: 20}, {X: 200, Y: 120}, {X: 380, Y: 20}, {X: 230, Y: 150}, {X: 380, Y: 280}, {X: 200, Y: 180}, {X: 20, Y: 280}, {X: 170, Y: 150}},
	} {
		res := find(t, img, ring, Options{Sensitivity: 1})
		if len(res.Ghosts) != 0 || res.Grainy {
			t.Errorf("%s: %d ghosts on a plain ground, grainy %v", name, len(res.Ghosts), res.Grainy)
		}
	}
}

func TestBurntHighlightIsLeftOut(t *testing.T) {
	base, ring := surfaces[0].picture(t)
	for y := 150; y < 300; y++ {
		for x := 100 + (y-150)/3; x < 260+(y-150)/4; x++ {
			base.SetRGBA(x, y, color.RGBA{255, 255, 255, 255})
		}
	}
	img, _ := paintMarks(t, base, ring, 0.25, 8)
	res := find(t, img, ring, Options{})
	if !strings.Contains(res.Note, "burnt-out") {
		t.Errorf("the note does not speak of the highlight: %q", res.Note)
	}
	for _, g := range res.Ghosts {
		for _, p := range g.Points {
			if p.Y > 152 && p.Y < 298 && p.X > 104+(p.Y-150)/3 && p.X < 256+(p.Y-150)/4 {
				t.Errorf("%s in the highlight at %v", g.Kind, p)
			}
		}
	}
}

// TestLargeAreaIsReduced enlarges a painted ground to 9 megapixels.
func TestLargeAreaIsReduced(t *testing.T) {
	img, marks, ring := demoPainted(t)
	b := img.Bounds()
	k := 6.0
	large := reduce.Resample(img, int(k)*b.Dx(), int(k)*b.Dy())
	var wide []shape.Pt
	for _, p := range ring {
		wide = append(wide, shape.Mul(p, k))
	}
	res := find(t, large, wide, Options{})
	if res.Shrunk < 1.3 || res.Shrunk > 1.7 || !strings.Contains(res.Note, "reduced") {
		t.Errorf("reduced %.2f times, note %q", res.Shrunk, res.Note)
	}
	for _, g := range res.Ghosts {
		for i := range g.Points {
			g.Points[i] = shape.Mul(g.Points[i], 1/k)
		}
	}
	if f := match(Ding, res.Ghosts, marks); f.right < f.truth/3 {
		t.Errorf("%d of %d dings found at their places in the photo", f.right, f.truth)
	}
}

// TestManyAreCut draws more dings than are shown.
func TestManyAreCut(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 900, 900))
	for y := range 900 {
		for x := range 900 {
			u, v := float64(x%45)-22, float64(y%45)-22
			img.SetGray(x, y, color.Gray{clip8(140 + 60*u/4*math.Exp(-(u*u+v*v)/20))})
		}
	}
	res := find(t, img, square(0, 0, 900, 900), Options{})
	if len(res.Ghosts) != MostGhosts || !strings.Contains(res.Note, "The best 200 of") {
		t.Errorf("%d ghosts, note %q", len(res.Ghosts), res.Note)
	}
	for i := 1; i < len(res.Ghosts); i++ {
		if res.Ghosts[i].Score > res.Ghosts[i-1].Score {
			t.Fatalf("ghost %d is better than the one before", i)
		}
	}
}

func TestRefusals(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 200, 200))
	nan := math.NaN()
	for _, c := range []struct {
		name string
		img  image.Image
		ring []shape.Pt
		opt  Options
		want string
	}{
		{"no ring", img, nil, Options{}, "0 corners"},
		{"two corners", img, row(5, 5, 100), Options{}, "2 corners"},
		{"too many corners", img, make([]shape.Pt, mostPoints+1), Options{}, "corners"},
		{"outside", img, square(500, 500, 700, 700), Options{}, "outside the photo"},
		{"one pixel", img, square(50, 50, 51, 51), Options{}, "draw a larger one"},
		{"flat", img, row(50, 10, 100, 190), Options{}, "draw a larger one"},
		{"not a number", img, []shape.Pt{{X: nan}, {Y: 5}, {X: 9, Y: 9}}, Options{}, "far outside"},
		{"endless", img, square(-1e300, 0, 1e300, 100), Options{}, "far outside"},
		{"negative scale", img, square(0, 0, 100, 100), Options{Scale: -1}, "scale"},
		{"offset not a number", img, square(0, 0, 100, 100), Options{Offset: shape.Pt{X: nan}}, "scale"},
		{"no picture", nil, square(0, 0, 100, 100), Options{}, "picture"},
		{"empty picture", image.NewGray(image.Rectangle{}), square(0, 0, 100, 100), Options{}, "outside the photo"},
		{"endless picture", image.NewUniform(color.White), square(0, 0, 1e6, 1e6), Options{}, "draw a smaller one"},
	} {
		_, err := Find(t.Context(), c.img, c.ring, c.opt)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.ContainsAny(err.Error(), "\n%") {
			t.Errorf("%s: %v, wanted a sentence with %q", c.name, err, c.want)
		}
	}
}

func TestEndsWithItsContext(t *testing.T) {
	img, _, ring := demoPainted(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := Find(ctx, img, ring, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, wanted %v", err, context.Canceled)
	}
}

// TestSliderEnds: places off the slider count as its ends, and more sensitivity
// never gives fewer suggestions on plain finish.
func TestSliderEnds(t *testing.T) {
	img, _, ring := demoPainted(t)
	s, err := Prepare(t.Context(), img, ring, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(s.At(-3), s.At(0)) || !reflect.DeepEqual(s.At(math.NaN()), s.At(0)) || !reflect.DeepEqual(s.At(7), s.At(1)) {
		t.Error("a place off the slider is not its end")
	}
	few, middle, many := len(s.At(0).Ghosts), len(s.At(0.5).Ghosts), len(s.At(1).Ghosts)
	if few > middle || middle > many || few == many {
		t.Errorf("%d, %d and %d suggestions from left to right", few, middle, many)
	}
}
