package outline

import (
	"math"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The fifth string of a banjo begins at the fifth fret: it is 2^(-5/12) of the
// others long (twelve equal semitones), at the bridge as far from its neighbour
// as they are, at its nut on the widened board. Its peg stands in the neck's
// side, the other four on the head.
func TestFifthString(t *testing.T) {
	for _, p := range []Params{{Class: "banjo"}, {Class: "banjo", LeftHanded: true}, {Class: "banjo", ScaleLength: 600, Frets: 3},
		{Class: "banjo", ScaleLength: 660, BassScale: 680, StraightFret: 5}} {
		d := drawing(t, p)
		nut, saddle := d.StringLine(5)
		scale := d.plan.long + d.plan.leanOf(0)
		if got, want := saddle.Y-nut.Y, scale*math.Pow(2, -5.0/12); math.Abs(got-want) > 1e-9 {
			t.Errorf("%+v: the fifth string is %.3f mm long, want %.3f", p, got, want)
		}
		var xs []float64
		for n := 5; n >= 1; n-- {
			_, s := d.StringLine(n)
			xs = append(xs, math.Abs(s.X-xs0(d)))
		}
		for i := 1; i < 5; i++ {
			if gap := xs[i] - xs[i-1]; d.BassScale == 0 && math.Abs(gap-10.6*d.plan.size) > 0.01 {
				t.Errorf("%+v: strings %d and %d are %.2f mm apart at the bridge", p, 6-i, 5-i, gap)
			}
		}
		r, _ := d.RegionAt(Front, shape.Pt{X: nut.X, Y: nut.Y - 1})
		if r.Part != record.Nut || r.ID == "front/nut" {
			t.Errorf("%+v: the fifth string begins on %q", p, r.ID)
		}
		a, _ := d.plan.stringEnds(0)
		if edge := d.plan.edgeHalf(-1, a.Y) + a.X; math.Abs(edge-3.4*d.plan.size) > 0.1 {
			t.Errorf("%+v: the fifth string begins %.2f mm inside the board's edge", p, edge)
		}
		peg := d.plan.headed.tuners[4]
		if q, _ := d.RegionAt(Front, d.plan.seenFromFront(Front, peg.post)); q.ID != "front/tuner-5" || q.Part != record.Tuners || q.Piece != 5 {
			t.Errorf("%+v: the fifth string winds on %q", p, q.ID)
		}
		if bass := peg.post.X < 0; !bass || peg.post.Y > a.Y || peg.post.Y < a.Y-15*d.plan.size {
			t.Errorf("%+v: the fifth peg is at %v, the fifth string begins at %v", p, peg.post, a)
		}
		for i, u := range d.plan.headed.tuners[:4] {
			if !d.plan.headed.path.Contains(u.post) {
				t.Errorf("%+v: peg %d is off the head", p, i+1)
			}
		}
		if n := pieces(d, record.Tuners); n != 5 {
			t.Errorf("%+v: %d pegs", p, n)
		}
	}
}

// xs0 is a place beside all strings, on the bass side.
func xs0(d *Drawing) float64 {
	if d.LeftHanded {
		return 200
	}
	return -200
}

// With another number of strings none is short, and necks are symmetric.
func TestBanjosWithoutAFifth(t *testing.T) {
	for _, n := range []int{4, 6} {
		d := drawing(t, Params{Class: "banjo", Strings: n})
		for k := 1; k <= n; k++ {
			if a, b := d.StringLine(k); a.Y != 0 || b.Y != d.ScaleLength {
				t.Errorf("%d strings: string %d from %v to %v", n, k, a, b)
			}
		}
		if b := d.Side(Front).Bounds; math.Abs(b.Min.X+b.Max.X) > 1e-9 {
			t.Errorf("%d strings: the front lies from %g to %g", n, b.Min.X, b.Max.X)
		}
		if _, ok := d.Region("front/nut-short"); ok {
			t.Errorf("%d strings and a short one's nut", n)
		}
		if got := pieces(d, record.Tuners); got != n {
			t.Errorf("%d pegs for %d strings", got, n)
		}
	}
}

// Frets reach from edge to edge of a board that is wider on one side from the
// fifth fret on.
func TestBanjoFretsSpanTheBoard(t *testing.T) {
	for _, p := range []Params{{Class: "banjo"}, {Class: "banjo", BassScale: 690, StraightFret: 7}} {
		d := drawing(t, p)
		r, _ := d.Region("front/board")
		for n := 1; n <= d.Frets; n++ {
			a, b := d.FretLine(n)
			in := func(t float64) bool { return r.Path.Contains(shape.Lerp(a, b, t)) }
			if !in(0.001) || !in(0.999) || in(-0.001) || in(1.001) {
				t.Errorf("%+v: fret %d from %v to %v does not span the board", p, n, a, b)
			}
		}
		if p.BassScale > 0 {
			continue
		}
		four, five := 0.0, 0.0
		if a, b := d.FretLine(4); true {
			four = a.X + b.X
		}
		if a, b := d.FretLine(5); true {
			five = a.X + b.X
		}
		if math.Abs(four) > 0.01 || five > -4 {
			t.Errorf("the board's middle is at %.2f at fret 4, %.2f at fret 5", four/2, five/2)
		}
	}
}

// The pot: a rim of 11 in = 280 mm and a resonator of about 350 (memory), round
// whatever the scale; a skin that the hoop rings, hooks all round but where the
// neck is, and on the sides wall, flange, hooks and hoop.
func TestPot(t *testing.T) {
	for _, p := range []Params{{Class: "banjo"}, {Class: "banjo", ScaleLength: 580, Frets: 19, Strings: 4}, {Class: "banjo", BodyScale: 1.2}, {Class: "banjo", BodyLength: 320, BodyWidth: 320}} {
		d := drawing(t, p)
		box := shape.FromCurves(d.plan.body, true).Bounds()
		if math.Abs(box.Dx()-box.Dy()) > 0.2 {
			t.Errorf("%+v: the pot is %.1f by %.1f mm", p, box.Dx(), box.Dy())
		}
		c := box.Center()
		skin, _ := d.Region("front/body")
		hooks := 0
		for _, r := range d.Side(Front).Regions {
			if len(r.ID) > 11 && r.ID[:11] == "front/hook-" {
				hooks++
				if a := shape.Dist(r.Path.Bounds().Center(), c) / (box.Dx() / 350); a < 138 || a > 147 {
					t.Errorf("%+v: %s is %.1f from the middle", p, r.ID, a)
				}
			}
		}
		if hooks < 20 || hooks > 24 {
			t.Errorf("%+v: %d hooks", p, hooks)
		}
		if q := skin.Path.Bounds(); shape.Dist(q.Center(), c) > 0.1 || skin.Part != record.Skin {
			t.Errorf("%+v: the skin %v is not in the middle, %v", p, q, c)
		}
		if d.plan.long < c.Y || d.plan.long > c.Y+0.35*box.Dy() {
			t.Errorf("%+v: the bridge at %g, the pot's middle at %g", p, d.plan.long, c.Y)
		}
		side := map[record.PartID]float64{}
		for _, r := range d.Side(BassSide).Regions {
			side[r.Part] += d.Area(r.ID)
		}
		for _, part := range []record.PartID{record.Rim, record.Resonator, record.Hoop} {
			if side[part] < 5000 {
				t.Errorf("%+v: %.0f mm2 of %s on the bass side", p, side[part], part)
			}
		}
	}
	d := drawing(t, Params{Class: "banjo"})
	if w := shape.FromCurves(d.plan.body, true).Bounds().Dx(); math.Abs(w-350) > 0.5 || banjoPot.rim.mm != 280 {
		t.Errorf("resonator %.1f, rim %g mm", w, banjoPot.rim.mm)
	}
}

func TestPlacesAndHeightsOfTheBanjo(t *testing.T) {
	d := drawing(t, Params{Class: "banjo"})
	for _, c := range []struct {
		side   Side
		x, y   float64
		place  string
		lo, hi float64
	}{
		{Front, -90, 600, "skin, upper bass part", -0.1, 0.1},
		{Front, 90, 680, "skin, lower treble part", -0.1, 0.1},
		{Front, 10, 600, "skin, under the strings", -0.1, 0.1},
		{Front, 0, 667, "bridge", 10, 17},
		{Front, 0, 740, "tailpiece", 2, 12},
		{Front, 139, 627, "hoop", 2, 4},
		{Front, -172, 627, "resonator's edge", -30, -24},
		{Front, -166, 627, "flange", -28, -20},
		{Front, 4, 200, "fingerboard, frets 6–7", -13, -6},
		{Front, 4, 470, "fingerboard, frets 21–22", -1, 5},
		{Front, -42, 159, "tuner 5, in the neck's side", -30, -15},
		{Back, 42, 159, "tuner 5, in the neck's side", -100, -60},
		{Back, 90, 700, "resonator, lower bass part", 5, 10},
		{Back, 0, 627, "resonator, middle, lower half", 9, 11},
		{BassSide, -20, 200, "resonator, bass side", -1, 1},
		{BassSide, 30, 120, "bass side, upper half", -1, 1},
		{TrebleSide, -44, 100, "hoop, treble side", -1, 1},
	} {
		p := shape.Pt{X: c.x, Y: c.y}
		if got := d.Place(c.side, p); got != c.place {
			t.Errorf("%s %g,%g: %q, want %q", c.side, c.x, c.y, got, c.place)
		}
		if h := d.HeightAt(c.side, p); !within(h.Value, c.lo, c.hi) || !(h.Sigma > 0) {
			t.Errorf("%s %g,%g (%s): %+v, want %g to %g", c.side, c.x, c.y, c.place, h, c.lo, c.hi)
		}
	}
	for _, v := range d.Views() {
		if v.ID == "head-front" && v.Bounds.Max.Y > 40 {
			t.Errorf("the picture of the head reaches to %g", v.Bounds.Max.Y)
		}
		if v.ID == "board" && !v.Bounds.Contains(d.plan.headed.tuners[4].button.Bounds().Min) {
			t.Errorf("the picture of the board cuts the fifth peg: %v", v.Bounds)
		}
	}
}
