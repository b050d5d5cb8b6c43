package outline

import (
	"math"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// boxes are the hollow guitars and what is known of them: which fret lies at
// the body, and outside figures in mm. Source: the project's list of outside
// facts (published size guides: flat-top bodies of 20 in = 508, lower bouts of
// 397 to 406, depth 117 of an auditorium, scales of 645 to 650); the fret at
// the body and all others are common practice.
var boxes = map[string]struct {
	joint                       int
	scale, length, width, depth float64
}{
	"hollow archtop":            {14, 635, 520, 432, 86},
	"thinline":                  {19, 628, 480, 405, 45},
	"flat-top round-shouldered": {14, 628, 508, 406, 122},
	"flat-top auditorium":       {14, 648, 508, 406, 117},
	"flat-top parlour":          {12, 622, 470, 340, 95},
	"nylon-string":              {12, 650, 490, 370, 100},
	"resonator":                 {14, 635, 500, 370, 85},
	"acoustic bass":             {14, 864, 540, 420, 120},
}

// Body, depth and scale are those figures, and the body meets the neck at its
// fret: n semitones of twelve to the octave from the nut.
func TestBoxesHaveOutsideFigures(t *testing.T) {
	for name, w := range boxes {
		d := drawing(t, Params{Class: name})
		b := shape.FromCurves(d.plan.body, true).Bounds()
		for _, q := range []struct {
			what      string
			got, want float64
		}{{"scale", d.ScaleLength, w.scale}, {"length", b.Dy(), w.length}, {"width", b.Dx(), w.width}, {"depth", d.Thickness(), w.depth}} {
			if math.Abs(q.got-q.want) > 0.005*q.want {
				t.Errorf("%s: %s %.1f mm, want %g", name, q.what, q.got, q.want)
			}
		}
		at := w.scale * (1 - math.Pow(2, -float64(w.joint)/12))
		in := d.plan.body[d.plan.bass.curve].At(d.plan.bass.t)
		if math.Abs(in.Y-at) > 5 {
			t.Errorf("%s: the neck's bass edge meets the body at %.1f mm, fret %d is at %.1f", name, in.Y, w.joint, at)
		}
	}
	// A classical guitar's nut of 52 mm, common practice.
	d := drawing(t, Params{Class: "nylon-string"})
	if a, b := d.FretLine(0); math.Abs(b.X-a.X-52) > 0.2 {
		t.Errorf("a nylon-string's nut is %.1f mm long", b.X-a.X)
	}
}

// Every string runs from its roller or post without crossing another, over its
// saddle to where the bridge's part holds it.
func TestStringsOfBoxes(t *testing.T) {
	for name := range boxes {
		for _, left := range []bool{false, true} {
			d := drawing(t, Params{Class: name, LeftHanded: left})
			pl, last := d.plan, math.Inf(-1)
			for i := range d.Strings {
				post := pl.headed.tuners[d.Strings-1-i].post
				nut, saddle := pl.stringEnds(i)
				path := append([]shape.Pt{post, nut}, pl.bridge.stringEnd(pl, i)...)
				for _, p := range []shape.Pt{post, path[len(path)-1], saddle} {
					r, ok := d.RegionAt(Front, pl.seenFromFront(Front, p))
					if want := map[bool]record.PartID{true: record.Tuners, false: record.Bridge}[p == post]; !ok || r.Part != want {
						t.Errorf("%s: string %d touches %q at %v, want %q", name, d.Strings-i, r.ID, p, want)
					}
				}
				if saddle.X <= last {
					t.Errorf("%s: string %d is not beside its neighbour", name, d.Strings-i)
				}
				last = saddle.X
				for j := range i {
					other := pl.headed.tuners[d.Strings-1-j].post
					on, _ := pl.stringEnds(j)
					if crossing(post, nut, other, on) {
						t.Errorf("%s: strings %d and %d cross on the head", name, d.Strings-i, d.Strings-j)
					}
				}
			}
		}
	}
}

// Openings are openings, and lie where nothing stands over them but strings:
// soundholes and f-holes clear of board, bridge, guard and controls by 2 mm.
func TestOpeningsOfBoxes(t *testing.T) {
	for name := range boxes {
		d := drawing(t, Params{Class: name})
		n := 0
		for _, r := range d.Side(Front).Regions {
			if !r.Hollow || r.Part != record.Top {
				continue
			}
			n++
			ring := r.Path.Flatten(0.2)[0]
			for _, o := range d.Side(Front).Regions {
				if o.ID == r.ID || strings.HasSuffix(o.ID, "/body") || strings.HasSuffix(o.ID, "/border") {
					continue
				}
				other := o.Path.Flatten(0.2)[0]
				for _, p := range ring {
					if o.Path.Contains(p) || shape.DistToPolyline(p, append(other, other[0])) < 2 {
						t.Errorf("%s: the %s is under or at the %s at %v", name, r.Name, o.Name, p)
						break
					}
				}
			}
		}
		if want := map[string]int{"hollow archtop": 2, "thinline": 2, "resonator": 2}[name]; n != max(want, 1) {
			t.Errorf("%s has %d openings in its top", name, n)
		}
	}
}

// Heights: an archtop's top is 19 mm up in the middle and nothing at its edge,
// its saddles stand near 45; a raised guard stands over the top, a slotted
// head's rollers lie in it.
func TestHeightsOfBoxes(t *testing.T) {
	a := drawing(t, Params{Class: "hollow archtop"})
	for what, c := range map[string]struct {
		d       *Drawing
		p       shape.Pt
		lo, hi  float64
		surest  float64
		loosest float64
	}{
		"archtop, middle":   {a, shape.Pt{X: -20, Y: 690}, 17, 19.5, 1, 4},
		"archtop, edge":     {a, shape.Pt{X: -208, Y: 700}, 0, 0.5, 0.3, 4},
		"archtop, guard":    {a, shape.Pt{X: 60, Y: 540}, 25, 34, 3, 9},
		"archtop, bridge":   {a, shape.Pt{X: 0, Y: 635}, 30, 46, 5, 12},
		"archtop, bar":      {a, shape.Pt{X: 0, Y: 757}, 10, 25, 5, 12},
		"archtop, hinge":    {a, shape.Pt{X: 0, Y: 860}, 2, 14, 5, 12},
		"archtop, rod":      {a, shape.Pt{X: 0, Y: -20}, -12, 0, 1, 5},
		"archtop, 20th":     {a, shape.Pt{X: 4, Y: 430}, 24, 29, 2, 4},
		"nylon, roller":     {drawing(t, Params{Class: "nylon-string"}), shape.Pt{X: 14, Y: -54}, -20, -8, 3, 9},
		"resonator, plate":  {drawing(t, Params{Class: "resonator"}), shape.Pt{X: 100, Y: 640}, 2, 9, 1, 4},
		"parlour, top":      {drawing(t, Params{Class: "flat-top parlour"}), shape.Pt{X: 60, Y: 720}, 1, 3, 0.3, 1.5},
		"acoustic bass nut": {drawing(t, Params{Class: "acoustic bass"}), shape.Pt{X: 4, Y: -3}, 5, 10, 0.5, 3},
	} {
		h := c.d.HeightAt(Front, c.p)
		if h.Value < c.lo || h.Value > c.hi || h.Sigma < c.surest || h.Sigma > c.loosest {
			t.Errorf("%s: %.1f +- %.1f mm, want %g to %g", what, h.Value, h.Sigma, c.lo, c.hi)
		}
	}
}

// Places in the trade's words.
func TestPlacesOfBoxes(t *testing.T) {
	for _, c := range []struct {
		class string
		side  Side
		x, y  float64
		want  string
	}{
		{"hollow archtop", Front, 130, 430, "top, horn"},
		{"hollow archtop", Front, -130, 420, "top, upper bass bout"},
		{"hollow archtop", Back, -130, 430, "back, horn"},
		{"hollow archtop", Front, -180, 700, "top, lower bass bout"},
		{"hollow archtop", TrebleSide, 0, 10, "treble side, cutaway"},
		{"hollow archtop", Front, 62, 540, "guard"},
		{"hollow archtop", Front, 0, 860, "tailpiece's hinge"},
		{"thinline", Front, -115, 400, "top, bass horn"},
		{"thinline", Back, -115, 405, "back, treble horn"},
		{"thinline", Front, -117, 620, "bass f-hole"},
		{"flat-top round-shouldered", Front, 0, 500, "soundhole"},
		{"flat-top auditorium", Front, -110, 560, "top, bass waist"},
		{"flat-top parlour", Front, 0, 720, "top, below the bridge"},
		{"flat-top parlour", Front, 11, -70, "treble slot"},
		{"nylon-string", Front, 16, -54, "tuner 1 roller"},
		{"nylon-string", Back, 0, 500, "back, middle, waist"},
		{"resonator", Front, 90, 640, "cover plate"},
		{"resonator", Front, 45, 635, "bridge cover"},
		{"resonator", Front, 0, 635, "bridge"},
		{"resonator", Front, -84, 448, "bass soundhole"},
		{"acoustic bass", Front, 8, 440, "fingerboard, frets 12–13"},
		{"acoustic bass", BassSide, 0, 600, "bass side, lower bout"},
	} {
		if got := drawing(t, Params{Class: c.class}).Place(c.side, shape.Pt{X: c.x, Y: c.y}); got != c.want {
			t.Errorf("%s, %s %g,%g: %q, want %q", c.class, c.side, c.x, c.y, got, c.want)
		}
	}
}
