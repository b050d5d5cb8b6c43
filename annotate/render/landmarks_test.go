package render

import (
	"bytes"
	"image"
	"io/fs"
	"math"
	"slices"
	"testing"

	"github.com/disintegration/imaging"

	"wornwood/testdata"
)

// kept is a photo of the committed set, upright, as brightness in levels.
type kept struct{ *image.Gray }

func keptPhoto(t *testing.T, file string) kept {
	t.Helper()
	data, err := fs.ReadFile(testdata.DemoPhotos(), file)
	if err != nil {
		t.Fatal(err)
	}
	img, err := imaging.Decode(bytes.NewReader(data), imaging.AutoOrientation(true))
	if err != nil {
		t.Fatal(err)
	}
	g := image.NewGray(img.Bounds())
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			g.Set(x, y, img.At(x, y))
		}
	}
	return kept{g}
}

// at reads between pixels; (0,0) is the outer corner of the first.
func (k kept) at(x, y float64) float64 {
	x, y = x-0.5, y-0.5
	i, j := int(math.Floor(x)), int(math.Floor(y))
	v := func(i, j int) float64 { return float64(k.GrayAt(i, j).Y) }
	return lerp(lerp(v(i, j), v(i+1, j), x-float64(i)), lerp(v(i, j+1), v(i+1, j+1), x-float64(i)), y-float64(j))
}

// step finds the strongest change of brightness within reach pixels of p along
// the direction d, as a mean over a few lines side by side, and how strong it
// is in levels.
func (k kept) step(p, d pt, reach, beside float64) (offset, strength float64) {
	value := func(s float64) float64 {
		sum := 0.0
		for b := -beside; b <= beside; b++ {
			sum += k.at(p.X+d.X*s-d.Y*b, p.Y+d.Y*s+d.X*b)
		}
		return sum / (2*beside + 1)
	}
	slope := func(s float64) float64 { return math.Abs(value(s+1) - value(s-1)) }
	best := -reach
	for s := -reach; s <= reach; s += 0.25 {
		if slope(s) > slope(best) {
			best = s
		}
	}
	a, b, c := slope(best-0.75), slope(best), slope(best+0.75)
	if q := a - 2*b + c; q < 0 {
		best += 0.75 * 0.5 * (a - c) / q
	}
	return best, b
}

// The body's edge in the picture must be where the rounded solid ends, seen
// from the camera.
func TestBodyEdgeIsWhereTheTruthSays(t *testing.T) {
	m := demoModel(t)
	for _, file := range []string{"front.jpg", "back.jpg"} {
		v := view(t, file)
		img := keptPhoto(t, file)
		_, cam, _ := v.setUp(m, v.Width)
		flip := sheetOf(v.Side).w.Z
		var off []float64
		tried := 0
		for i := 0; i < len(m.plan.body); i += 3 {
			e := m.plan.body[i]
			if math.Abs(e.X) < 40 && e.Y < 500 {
				continue // the neck
			}
			gx, gy := m.body.slope(e.X, e.Y)
			p := rim(e, gx, gy, flip, cam.eye)
			px, py := cam.pixel(p)
			qx, qy := cam.pixel(p.add(vec{gx, gy, 0}))
			if !cam.shows(px, py) {
				continue
			}
			l := hypot(qx-px, qy-py)
			tried++
			if o, s := img.step(pt{px, py}, pt{(qx - px) / l, (qy - py) / l}, 3, 2); s > 8 {
				off = append(off, math.Abs(o))
			}
		}
		slices.Sort(off)
		if len(off) < tried*6/10 || tried < 50 {
			t.Fatalf("%s: an edge was found at %d of %d places", file, len(off), tried)
		}
		if mid, most := off[len(off)/2], off[len(off)*9/10]; mid > 0.8 || most > 1.5 {
			t.Errorf("%s: the body's edge is off by %.2f px in the middle, %.2f px at nine tenths", file, mid, most)
		}
	}
}

// rim is the outermost point of the rounded edge at e, facing (gx,gy), as the
// eye sees it: where the surface turns away from it.
func rim(e pt, gx, gy, flip float64, eye vec) vec {
	z0 := -bodyThick / 2
	to := eye.sub(vec{e.X, e.Y, z0})
	a := math.Atan2(-(gx*to.X + gy*to.Y), to.Z*flip)
	z := z0 + flip*(bodyThick/2-bodyRound+bodyRound*math.Sin(a))
	if a < 0 {
		z = z0 - flip*(bodyThick/2-bodyRound-bodyRound*math.Sin(a))
	}
	in := bodyRound * (1 - math.Cos(a))
	return vec{e.X - gx*in, e.Y - gy*in, z}
}

// Both sides of each fret are found beside the middle of the board, and halfway
// between them must be the fret's place on the outline.
func TestFretsAreWhereTheTruthSays(t *testing.T) {
	v := view(t, "board.jpg")
	img := keptPhoto(t, v.File)
	h := *studio(t).Truth(v).MMToPx
	var off []float64
	for _, y := range demoModel(t).plan.frets {
		x0, y0 := apply(h, 0, y-0.9)
		x1, y1 := apply(h, 0, y+0.9)
		l := hypot(x1-x0, y1-y0)
		d := pt{(x1 - x0) / l, (y1 - y0) / l}
		a, sa := img.step(pt{x0, y0}, d, 3.5, 5)
		b, sb := img.step(pt{x1, y1}, d, 3.5, 5)
		if sa < 8 || sb < 8 {
			t.Errorf("the fret at %.1f mm shows no edges (%.0f and %.0f levels)", y, sa, sb)
			continue
		}
		off = append(off, math.Abs(a+b)/2)
	}
	slices.Sort(off)
	if len(off) < 20 {
		t.Fatalf("only %d frets were found", len(off))
	}
	if mid, most := off[len(off)/2], off[len(off)-1]; mid > 0.8 || most > 1.5 {
		t.Errorf("frets are off by %.2f px in the middle, %.2f px at most", mid, most)
	}
}

// The card's corners are found by fitting lines to its four edges.
func TestCardCornersAreWhereTheTruthSays(t *testing.T) {
	for _, v := range Views() {
		truth := studio(t).Truth(v)
		if !truth.Card.Whole {
			t.Errorf("%s: the card is not all in the picture", v.File)
			continue
		}
		img := keptPhoto(t, v.File)
		var lines [4][3]float64
		for i := range lines {
			lines[i] = edgeLine(t, v.File, img, pt(truth.Card.Corners[i]), pt(truth.Card.Corners[(i+1)%4]))
		}
		for i, c := range truth.Card.Corners {
			got := crossing(lines[(i+3)%4], lines[i])
			if d := hypot(got.X-c.X, got.Y-c.Y); !(d < 1.5) {
				t.Errorf("%s: corner %d of the card is %.2f px from (%.1f,%.1f)", v.File, i, d, c.X, c.Y)
			}
		}
	}
}

// edgeLine fits a line n.x = c to the edge found along a to b, without the
// rounded corners; places that stray from the median are left out.
func edgeLine(t *testing.T, file string, img kept, a, b pt) [3]float64 {
	t.Helper()
	l := hypot(b.X-a.X, b.Y-a.Y)
	d := pt{(b.X - a.X) / l, (b.Y - a.Y) / l}
	n := pt{d.Y, -d.X}
	var along, off []float64
	for s := 0.12; s <= 0.88; s += 0.02 {
		p := pt{lerp(a.X, b.X, s), lerp(a.Y, b.Y, s)}
		if o, strength := img.step(p, n, 4, 4); strength > 6 {
			along, off = append(along, s*l), append(off, o)
		}
	}
	if len(off) < 15 {
		t.Fatalf("%s: the card's edge from %v to %v is found at %d places only", file, a, b, len(off))
	}
	sorted := slices.Clone(off)
	slices.Sort(sorted)
	mid := sorted[len(sorted)/2]
	var sw, sx, sy, sxx, sxy float64
	for i := range off {
		if math.Abs(off[i]-mid) < 1 {
			sw, sx, sy, sxx, sxy = sw+1, sx+along[i], sy+off[i], sxx+along[i]*along[i], sxy+along[i]*off[i]
		}
	}
	k := (sw*sxy - sx*sy) / (sw*sxx - sx*sx)
	c := (sy - k*sx) / sw
	p := pt{a.X + n.X*c, a.Y + n.Y*c}
	e := pt{d.X + n.X*k, d.Y + n.Y*k}
	return [3]float64{e.Y, -e.X, e.Y*p.X - e.X*p.Y}
}

func crossing(a, b [3]float64) pt {
	det := a[0]*b[1] - a[1]*b[0]
	return pt{(a[2]*b[1] - a[1]*b[2]) / det, (a[0]*b[2] - a[2]*b[0]) / det}
}
