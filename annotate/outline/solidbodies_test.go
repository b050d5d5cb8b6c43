package outline

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// solids are the drawings of every class that is a solid body, with the numbers
// of strings that are made: six to eight and twelve on guitars, four to eight
// on basses, six to ten on lap steels; left-handed and fanned too.
func solids(t *testing.T, check func(t *testing.T, d *Drawing)) {
	made := map[string][]int{"solid-body": {6, 7, 8, 12}, "electric": {4, 5, 6, 7, 8}, "lap": {6, 7, 8, 9, 10}}
	for _, name := range Classes() {
		family, _, _ := strings.Cut(name, " ")
		for i, n := range made[family] {
			p := Params{Class: name, Strings: n, LeftHanded: i%2 == 1}
			if c := byName[name]; i == 2 && !c.fretless {
				p.BassScale = 1.05 * c.scale.mm
			}
			t.Run(fmt.Sprint(name, " ", n), func(t *testing.T) { check(t, drawing(t, p)) })
		}
	}
}

// Sizes: an offset-waist body is about 455 x 340 x 44 mm; a bass has a scale of
// 864 mm, with 762, 813 and 889 also made (general lutherie knowledge, from
// memory). Common practice: 20 to 24 frets on a bass, its nut 38 to 45 mm wide,
// its strings 17 to 20 mm apart at the bridge; a lap steel's scale 500 to 650 mm.
func TestSolidBodiesAgainstFigures(t *testing.T) {
	d := drawing(t, Params{Class: "solid-body offset-waist"})
	box := shape.FromCurves(d.plan.body, true).Bounds()
	for _, c := range [][2]float64{{box.Dy(), 455}, {box.Dx(), 340}, {d.Thickness(), 44}} {
		if math.Abs(c[0]-c[1]) > 0.01*c[1] {
			t.Errorf("offset-waist: %.1f mm, want about %g", c[0], c[1])
		}
	}
	for _, name := range []string{"electric bass long-horn", "electric bass rounded"} {
		d := drawing(t, Params{Class: name})
		if d.ScaleLength != 864 || d.Strings != 4 || d.Frets < 20 || d.Frets > 24 {
			t.Errorf("%s: %+v", name, d.Params)
		}
		if w := 2 * d.plan.nutHalf; !within(w, 38, 45) {
			t.Errorf("%s: nut %.1f mm wide", name, w)
		}
		_, a := d.StringLine(1)
		_, b := d.StringLine(2)
		if step := a.X - b.X; !within(step, 17, 20) {
			t.Errorf("%s: strings %.1f mm apart", name, step)
		}
		for _, scale := range []float64{762, 813, 889} {
			drawing(t, Params{Class: name, ScaleLength: scale})
		}
	}
	if lo, hi := ScaleRange("lap steel"); lo != 500 || hi != 650 {
		t.Errorf("lap steel: scale %g to %g", lo, hi)
	}
	// The long horn ends at the twelfth fret or thereabouts, on every scale.
	for _, scale := range []float64{762, 864, 889} {
		d = drawing(t, Params{Class: "electric bass long-horn", ScaleLength: scale})
		if y := d.plan.strips[BassSide].tip.Y; !within(y, FretPosition(scale, 11), FretPosition(scale, 13)) {
			t.Errorf("scale %g: the horn's tip is at %.0f, the twelfth fret at %.0f", scale, y, scale/2)
		}
	}
}

// Tuners stand clear of each other, and a string runs from its post to the nut
// without crossing another or passing through another's post.
func TestStringsRunClearOnTheHead(t *testing.T) {
	solids(t, func(t *testing.T, d *Drawing) {
		pl := d.plan
		tuners := pl.headed.tuners
		nut := func(s int) shape.Pt { p, _ := pl.stringEnds(pl.p.Strings - 1 - s); return p }
		for i, a := range tuners {
			for j, b := range tuners {
				if i == j {
					continue
				}
				if i < j {
					if overlap(a.button.Bounds(), b.button.Bounds()) || overlap(a.box, b.box) {
						t.Errorf("tuners %d and %d collide", i+1, j+1)
					}
					if crossing(a.post, nut(i), b.post, nut(j)) {
						t.Errorf("strings %d and %d cross", i+1, j+1)
					}
				}
				if off := shape.DistToPolyline(b.post, []shape.Pt{a.post, nut(i)}); off < 3*pl.size {
					t.Errorf("string %d runs %.1f mm from the middle of post %d", i+1, off, j+1)
				}
			}
			for k := range 20 {
				if p := shape.Lerp(a.post, shape.Pt{X: nut(i).X, Y: -pl.nutLength.mm*pl.size - 0.01}, float64(k)/19); !pl.headed.path.Contains(p) {
					t.Errorf("string %d leaves the head at %v", i+1, p)
					break
				}
			}
		}
	})
}

func overlap(a, b shape.Rect) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// Hardware on the body keeps apart with every number of strings: knobs, switch
// and jack from bridge, pickups, each other and the edge.
func TestHardwareKeepsApart(t *testing.T) {
	solids(t, func(t *testing.T, d *Drawing) {
		edge := shape.FromCurves(d.plan.body, true).FlattenOpen(0.1)[0]
		var fixed []Region
		for _, r := range d.Side(Front).Regions {
			if r.Part != record.Electronics && r.Part != record.Bridge {
				continue
			}
			ring := r.Path.Flatten(0.2)[0]
			for _, o := range fixed {
				for _, p := range ring {
					if o.Path.Contains(p) {
						t.Errorf("%s lies over %s", r.ID, o.ID)
						break
					}
				}
			}
			fixed = append(fixed, r)
			for _, p := range ring {
				if q := d.plan.seenFromFront(Front, p); shape.DistToPolyline(q, edge) < 4 {
					t.Errorf("%s is at the body's edge at %v", r.ID, p)
					break
				}
			}
		}
	})
}

// A cavity's cover lies behind the controls that are not on the guard, so that
// they can be reached.
func TestCoversLieBehindControls(t *testing.T) {
	for _, name := range []string{"solid-body offset-waist", "solid-body angular", "lap steel", "electric bass long-horn", "electric bass rounded"} {
		for _, left := range []bool{false, true} {
			d := drawing(t, Params{Class: name, LeftHanded: left})
			guard, guarded := d.Region("front/guard")
			cover, covered := d.Region("back/cover")
			for _, c := range d.plan.controls {
				at := d.plan.onBody(c.at.at())
				on := d.plan.seenFromFront(Front, at)
				if guarded && guard.Path.Contains(on) {
					continue
				}
				if behind := d.plan.seenFromFront(Back, at); !covered || !cover.Path.Contains(behind) {
					t.Errorf("%s, left-handed %v: nothing opens behind the %s", name, left, c.name)
				}
			}
		}
	}
}

// A lap steel has a line at each fret's place and no frets: places are told by
// the lines all the same. The positions are those of frets.csv's rule, see
// TestFretPositionsAgainstTable.
func TestLapSteelHasLines(t *testing.T) {
	d := drawing(t, Params{Class: "lap steel"})
	if !d.Fretless || pieces(d, record.Frets) != 0 {
		t.Errorf("fretless %v with %d frets", d.Fretless, pieces(d, record.Frets))
	}
	for n := 1; n <= d.Frets; n++ {
		b, tr := d.FretLine(n)
		if math.Abs(b.Y-FretPosition(572, n)) > 1e-9 || b.Y != tr.Y {
			t.Errorf("line %d from %v to %v", n, b, tr)
		}
		found := 0
		for _, s := range d.Side(Front).Detail {
			if box := s.Path.Bounds(); math.Abs(box.Min.Y-b.Y) < 1e-9 && math.Abs(box.Max.Y-b.Y) < 1e-9 && math.Abs(box.Min.X-b.X) < 1e-9 && math.Abs(box.Max.X-tr.X) < 1e-9 {
				found++
			}
		}
		if found != 1 {
			t.Errorf("%d lines at the place of fret %d", found, n)
		}
	}
	at := func(n int) shape.Pt { return shape.Pt{X: 4, Y: (FretPosition(572, n) + FretPosition(572, n+1)) / 2} }
	if got := d.Place(Front, at(9)); got != "fingerboard, frets 9–10" {
		t.Errorf("between lines 9 and 10: %q", got)
	}
	if got := d.Span(Front, []shape.Pt{at(4), at(6)}); got != "fingerboard, frets 4–7" {
		t.Errorf("from line 4 to 7: %q", got)
	}
	marks := map[string]bool{}
	for _, l := range d.Landmarks() {
		marks[l.ID] = true
	}
	if !marks["fret-12-bass"] || !marks["fret-24-treble"] {
		t.Error("the lines are no landmarks")
	}
	// One piece of wood, of one thickness: the neck's back is the body's back.
	if h := d.HeightAt(Back, shape.Pt{Y: 150}); math.Abs(h.Value) > 0.5 {
		t.Errorf("the neck's back lies at %.1f mm", h.Value)
	}
	// A raised nut, a fingerboard's thickness and more off the face.
	if h := d.HeightAt(Front, shape.Pt{Y: -3}); !within(h.Value, 10, 20) {
		t.Errorf("the nut stands %.1f mm high", h.Value)
	}
}

func TestPlacesOnSolidBodies(t *testing.T) {
	for _, c := range []struct {
		class string
		side  Side
		x, y  float64
		want  string
	}{
		{"solid-body offset-waist", Front, -104, 350, "front, bass horn"},
		{"solid-body offset-waist", Front, 112, 430, "front, treble horn"},
		{"solid-body offset-waist", Front, -105, 500, "front, bass waist"},
		{"solid-body offset-waist", Back, -150, 690, "back, lower treble bout"},
		{"solid-body offset-waist", Front, 50, 540, "guard"},
		{"solid-body angular", Front, -110, 400, "front, upper bass corner"},
		{"solid-body angular", Front, 90, 490, "front, upper treble corner"},
		{"solid-body angular", Front, -140, 560, "front, bass flank"},
		{"solid-body angular", Front, -80, 750, "front, lower bass corner"},
		{"solid-body angular", Back, 0, 600, "back, middle"},
		{"solid-body angular", BassSide, 0, 60, "bass side, upper edge"},
		{"solid-body angular", BassSide, 0, 115, "bass side, upper corner"},
		{"solid-body angular", TrebleSide, 0, 60, "treble side, upper corner"},
		{"lap steel", Front, 50, 340, "front, treble shoulder"},
		{"lap steel", Front, 0, 640, "front, bottom end"},
		{"lap steel", Front, 0, 470, "front, under the strings"},
		{"lap steel", Back, 0, 100, "neck back, frets 2–4"},
		{"lap steel", TrebleSide, 0, 60, "treble side, shoulder"},
		{"electric bass long-horn", Front, -110, 450, "front, bass horn"},
		{"electric bass long-horn", BassSide, 0, 100, "bass side, cutaway"},
		{"electric bass long-horn", Back, -100, 830, "cavity cover"},
		{"electric bass rounded", Front, -100, 530, "front, bass horn"},
		{"electric bass rounded", Front, 110, 830, "guard"},
		{"electric bass rounded", Front, 118, 864, "jack"},
	} {
		if got := drawing(t, Params{Class: c.class}).Place(c.side, shape.Pt{X: c.x, Y: c.y}); got != c.want {
			t.Errorf("%s, %s %g,%g: %q, want %q", c.class, c.side, c.x, c.y, got, c.want)
		}
	}
}

// A neck of one fret leaves no room for horns beside it: the body stays below
// the nut, clear of the tuners, and what asks for more is refused.
func TestShortestNecks(t *testing.T) {
	for _, name := range Classes() {
		if !strings.HasPrefix(name, "solid") && !strings.HasPrefix(name, "electric") && name != "lap steel" {
			continue
		}
		least, most := ScaleRange(name)
		for _, p := range []Params{{ScaleLength: least, BodyScale: 1.3, Strings: 1}, {ScaleLength: least, BodyScale: 0.8, Strings: 12}, {ScaleLength: most, BodyScale: 1.3, Strings: 12}} {
			p.Class, p.Frets = name, 1
			d := drawing(t, p)
			if y := shape.FromCurves(d.plan.body, true).Bounds().Min.Y; y < -1e-9 {
				t.Errorf("%s on %g mm: the body reaches to %.1f", name, p.ScaleLength, y)
			}
			for i := range d.Sides {
				checkInside(t, &d.Sides[i])
			}
		}
	}
	_, err := New(Params{Class: "electric bass long-horn", ScaleLength: 700, Frets: 1, BodyLength: 700})
	if err == nil || !strings.Contains(err.Error(), "body length 700 mm cannot be drawn: give ") {
		t.Errorf("a body as long as the whole scale: %v", err)
	}
}
