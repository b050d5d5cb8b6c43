package outline

import (
	"math"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Scales of 330, 381, 432 and 483 to 508 mm (general lutherie knowledge, from
// memory); bodies that grow in every measure; the body at the 12th fret of a
// soprano, at the 14th of the others; a nut of 35 to 38 mm (common practice).
func TestUkuleles(t *testing.T) {
	var last shape.Rect
	deep := 0.0
	for _, c := range []struct {
		class  string
		lo, hi float64
		joint  int
	}{{"ukulele soprano", 330, 330, 12}, {"ukulele concert", 381, 381, 14}, {"ukulele tenor", 432, 432, 14}, {"ukulele baritone", 483, 508, 14}} {
		d := drawing(t, Params{Class: c.class})
		if !within(d.ScaleLength, c.lo, c.hi) || d.Strings != 4 || !within(float64(d.Frets), 12, 19) {
			t.Errorf("%s: %+v", c.class, d.Params)
		}
		box := shape.FromCurves(d.plan.body, true).Bounds()
		if box.Dx() < last.Dx()*1.05 || box.Dy() < last.Dy()*1.05 || d.Thickness() < deep*1.05 {
			t.Errorf("%s: %.0f x %.0f x %.0f mm after %.0f x %.0f x %.0f", c.class, box.Dy(), box.Dx(), d.Thickness(), last.Dy(), last.Dx(), deep)
		}
		last, deep = box, d.Thickness()
		at := d.ScaleLength * (1 - math.Pow(2, -float64(c.joint)/12))
		in := d.plan.body[d.plan.bass.curve].At(d.plan.bass.t)
		if math.Abs(in.Y-at) > 4 {
			t.Errorf("%s: the body meets the neck at %.1f, fret %d is at %.1f", c.class, in.Y, c.joint, at)
		}
		if w := 2 * d.plan.nutHalf; !within(w, 34.5, 38) {
			t.Errorf("%s: nut %.1f mm", c.class, w)
		}
		if pieces(d, record.Tuners) != 4 {
			t.Errorf("%s: %d tuners", c.class, pieces(d, record.Tuners))
		}
		// Pegs straight through the head stand off its edge nowhere.
		straight := c.class == "ukulele soprano" || c.class == "ukulele concert"
		head := d.plan.headed.path.Bounds()
		if off := d.plan.headBounds().Dx() - head.Dx(); straight != (off < 1e-9) {
			t.Errorf("%s: tuners reach %.1f mm beyond the head", c.class, off)
		}
	}
}

// small are the ukuleles and mandolins.
var small = []string{"ukulele soprano", "ukulele concert", "ukulele tenor", "ukulele baritone", "mandolin teardrop", "mandolin scrolled"}

// Strings run from their own post over nut and saddle to where the bridge's
// part holds them, without crossing on the head.
func TestStringsOfSmallInstruments(t *testing.T) {
	for _, name := range small {
		for _, more := range []int{0, 4} {
			n := byName[name].strings
			if strings.HasPrefix(name, "uku") {
				n += more // a ukulele with pairs of strings
			}
			d := drawing(t, Params{Class: name, Strings: n, LeftHanded: more > 0})
			pl := d.plan
			for i, a := range pl.headed.tuners {
				nut, saddle := pl.stringEnds(n - 1 - i)
				end := pl.bridge.stringEnd(pl, n-1-i)
				for what, q := range map[string]struct {
					p    shape.Pt
					part record.PartID
				}{"post": {a.post, record.Tuners}, "nut": {shape.Pt{X: nut.X, Y: -1}, record.Nut}, "saddle": {saddle, record.Bridge}, "end": {end[len(end)-1], record.Bridge}} {
					if r, _ := d.RegionAt(Front, pl.seenFromFront(Front, q.p)); r.Part != q.part {
						t.Errorf("%s, %d strings: string %d has its %s on %q", name, n, i+1, what, r.ID)
					}
				}
				for j, b := range pl.headed.tuners[:i] {
					other, _ := pl.stringEnds(n - 1 - j)
					if crossing(a.post, nut, b.post, other) {
						t.Errorf("%s, %d strings: strings %d and %d cross", name, n, i+1, j+1)
					}
				}
			}
		}
	}
}

// Both mandolins: a body of about 340 by 254 on a scale of 352 mm (from memory),
// eight strings in four pairs.
func TestMandolins(t *testing.T) {
	for _, name := range small[4:] {
		d := drawing(t, Params{Class: name})
		box := shape.FromCurves(d.plan.body, true).Bounds()
		if math.Abs(box.Dy()-340) > 14 || math.Abs(box.Dx()-254) > 5 || d.ScaleLength != 352 || d.plan.courses() != 4 {
			t.Errorf("%s: %.0f x %.0f mm, %d courses", name, box.Dy(), box.Dx(), d.plan.courses())
		}
	}
	// One scroll on the bass side, whose curl hangs free over its bay, and one
	// point on the treble side.
	d := drawing(t, Params{Class: "mandolin scrolled"})
	for _, c := range []struct {
		x, y float64
		want string
	}{
		{-95, 240, "top, scroll"}, {-80, 270, ""}, {-96, 300, "top, upper bass bout"}, {84, 244, "top, point"},
		{-100, 420, "top, lower bass bout"}, {0, 400, "top, by the tailpiece"}, {-40, 300, "top, upper bass bout"}, {0, 352, "bridge"},
	} {
		if got := d.Place(Front, shape.Pt{X: c.x, Y: c.y}); got != c.want {
			t.Errorf("%g,%g: %q, want %q", c.x, c.y, got, c.want)
		}
	}
	if h := d.HeightAt(Front, shape.Pt{X: -30, Y: 400}); !within(h.Value, 12, 14.1) || h.Sigma < 1 {
		t.Errorf("the top's middle stands %+v", h)
	}
}
