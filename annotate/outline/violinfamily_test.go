package outline

import (
	"math"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// bowed is the violin family with outside figures in mm: body, bouts (upper,
// waist, lower), ribs, string length. Sources: violin, and the ranges of viola
// and cello, published makers' tables (read); cello's ribs 115 and viola's 37
// common practice; double bass and all string lengths but the cello's from
// memory of the trade.
var bowed = map[string]struct {
	body, upper, waist, lower, ribs, scale [2]float64
}{
	"violin":      {[2]float64{355, 355}, [2]float64{168, 168}, [2]float64{112, 112}, [2]float64{206, 206}, [2]float64{29.5, 31}, [2]float64{325, 330}},
	"viola":       {[2]float64{390, 430}, [2]float64{188, 200}, [2]float64{127, 140}, [2]float64{228, 250}, [2]float64{36, 39}, [2]float64{365, 385}},
	"cello":       {[2]float64{750, 760}, [2]float64{340, 340}, [2]float64{250, 250}, [2]float64{440, 440}, [2]float64{112, 118}, [2]float64{690, 690}},
	"double bass": {[2]float64{1090, 1130}, [2]float64{500, 520}, [2]float64{360, 380}, [2]float64{660, 680}, [2]float64{195, 205}, [2]float64{1040, 1070}},
}

func TestBowedHaveOutsideFigures(t *testing.T) {
	for name, w := range bowed {
		d := drawing(t, Params{Class: name})
		box := shape.FromCurves(d.plan.body, true).Bounds()
		find := map[string]float64{}
		for _, l := range d.Landmarks() {
			find[l.ID] = math.Abs(l.At.X)
		}
		both := func(id string) float64 { return find[id+"-bass"] + find[id+"-treble"] }
		for what, q := range map[string]struct {
			got  float64
			want [2]float64
		}{
			"body":  {box.Dy(), w.body},
			"upper": {both("upper-bout"), w.upper}, "waist": {both("waist"), w.waist}, "lower": {both("lower-bout"), w.lower},
			"ribs":  {d.Thickness() - 2*d.plan.class.body.lip.mm, w.ribs},
			"scale": {d.ScaleLength, w.scale},
		} {
			if !within(q.got, 0.995*q.want[0], 1.005*q.want[1]) {
				t.Errorf("%s: %s %.1f mm, want %v", name, what, q.got, q.want)
			}
		}
	}
	// A viola is drawn from 390 to 430 mm as asked.
	for _, long := range []float64{390, 430} {
		d := drawing(t, Params{Class: "viola", BodyLength: long})
		if b := shape.FromCurves(d.plan.body, true).Bounds(); math.Abs(b.Dy()-long) > 0.01 {
			t.Errorf("viola of %g mm is %.2f mm long", long, b.Dy())
		}
	}
}

// The f-holes lie between the corners, clear of edge, board, bridge and
// tailpiece, their nicks level with the middle of the bridge; the upper eyes are
// nearer to each other than the lower ones.
func TestHolesOfTheViolinFamily(t *testing.T) {
	for name := range bowed {
		d := drawing(t, Params{Class: name})
		bass, ok1 := d.Region("front/f-hole-bass")
		treble, ok2 := d.Region("front/f-hole-treble")
		if !ok1 || !ok2 || !bass.Hollow || bass.Part != record.Belly {
			t.Fatalf("%s has no f-holes", name)
		}
		if a, b := bass.Path.Bounds(), treble.Path.Bounds(); math.Abs(a.Min.X+b.Max.X) > 1e-9 || a.Min.Y != b.Min.Y {
			t.Errorf("%s: the f-holes are not mirror images", name)
		}
		k := d.plan.class.body.length.mm / 355
		edge := shape.FromCurves(d.plan.body, true).FlattenOpen(0.1)[0]
		ring := bass.Path.Flatten(0.05)[0]
		nick := 0.0
		var top, low shape.Pt
		top.Y, low.Y = math.Inf(1), math.Inf(-1)
		for i, p := range ring {
			if shape.DistToPolyline(p, edge) < 7*k {
				t.Errorf("%s: the bass f-hole is %.1f mm from the edge at %v", name, shape.DistToPolyline(p, edge), p)
				break
			}
			if r, _ := d.RegionAt(Front, shape.Pt{X: p.X, Y: p.Y}); r.Part == record.Bridge || r.Part == record.Fingerboard {
				t.Errorf("%s: the %s stands over the f-hole at %v", name, r.Name, p)
			}
			if p.Y < top.Y {
				top = p
			}
			if p.Y > low.Y {
				low = p
			}
			// A nick is the sharp tooth nearest to the bridge's height.
			a, b := ring[(i+len(ring)-1)%len(ring)], ring[(i+1)%len(ring)]
			if turn(shape.Sub(p, a), shape.Sub(b, p)) > 1.2 && math.Abs(p.Y-d.ScaleLength) < math.Abs(nick-d.ScaleLength) {
				nick = p.Y
			}
		}
		if math.Abs(nick-d.ScaleLength) > 0.5*k {
			t.Errorf("%s: nicks at %.1f, the bridge at %g", name, nick, d.ScaleLength)
		}
		if top.X < low.X {
			t.Errorf("%s: the bass f-hole leans the wrong way", name)
		}
		z := d.plan.class.zones.bands
		if top.Y < z[0].to || low.Y > d.plan.class.zones.bands[len(z)-2].to {
			t.Errorf("%s: the f-hole runs from %.0f to %.0f", name, top.Y, low.Y)
		}
	}
}

// Each string runs from its own peg over nut and bridge to the tailpiece, none
// crosses another in the pegbox, and pegs keep apart.
func TestStringsOfTheViolinFamily(t *testing.T) {
	for name := range bowed {
		for _, n := range []int{4, 5} {
			d := drawing(t, Params{Class: name, Strings: n, LeftHanded: n == 5})
			pl := d.plan
			for i, a := range pl.headed.tuners {
				nut, saddle := pl.stringEnds(n - 1 - i)
				if r, _ := d.RegionAt(Front, pl.seenFromFront(Front, a.post)); r.Part != record.Pegs || r.Piece != i+1 {
					t.Errorf("%s: string %d winds on %q", name, i+1, r.ID)
				}
				end := pl.bridge.stringEnd(pl, n-1-i)
				for what, q := range map[string]struct {
					p  shape.Pt
					id string
				}{"saddle": {saddle, "front/bridge"}, "end": {end[1], "front/tailpiece"}, "nut": {shape.Pt{X: nut.X, Y: -1}, "front/nut"}} {
					if r, _ := d.RegionAt(Front, pl.seenFromFront(Front, q.p)); r.ID != q.id {
						t.Errorf("%s: string %d has its %s on %q", name, i+1, what, r.ID)
					}
				}
				for j, b := range pl.headed.tuners[:i] {
					other, _ := pl.stringEnds(n - 1 - j)
					if crossing(a.post, nut, b.post, other) {
						t.Errorf("%s: strings %d and %d cross", name, i+1, j+1)
					}
					if overlap(a.button.Bounds(), b.button.Bounds()) {
						t.Errorf("%s: pegs %d and %d collide", name, i+1, j+1)
					}
				}
			}
			if got := pieces(d, record.Pegs); got != n {
				t.Errorf("%s: %d pegs for %d strings", name, got, n)
			}
		}
	}
}

// Cello and double bass stand on an end pin: seen from front and back beyond
// the body, half-way down its depth.
func TestEndPins(t *testing.T) {
	for name := range bowed {
		for _, left := range []bool{false, true} {
			d := drawing(t, Params{Class: name, LeftHanded: left})
			end := d.plan.endY()
			for _, side := range []Side{Front, Back} {
				r, has := d.RegionAt(side, shape.Pt{Y: end + 60})
				if want := name == "cello" || name == "double bass"; has != want || has && (r.Name != "end pin" || r.Part != record.Bridge) {
					t.Errorf("%s, %s: %q beyond the body's end", name, side, r.ID)
				}
				if !has {
					continue
				}
				if h := d.HeightAt(side, shape.Pt{Y: end + 60}); math.Abs(h.Value+d.Thickness()/2) > 1 || h.Sigma < 1 || h.Sigma > 10 {
					t.Errorf("%s, %s: the end pin at %+v, the body is %g thick", name, side, h, d.Thickness())
				}
				if got := d.Place(side, shape.Pt{Y: end + 60}); got != "end pin" {
					t.Errorf("%s: %q", name, got)
				}
			}
		}
	}
}

func TestPlacesAndHeightsOfTheViolinFamily(t *testing.T) {
	for _, c := range []struct {
		class  string
		side   Side
		x, y   float64
		place  string
		lo, hi float64 // height
	}{
		{"viola", Front, -70, 220, "belly, upper bass bout", 5, 18},
		{"viola", Front, 45, 320, "belly, treble C-bout", 5, 18},
		{"viola", Front, -119.9, 486, "edge and purfling", -0.1, 0.5},
		{"viola", Front, 0, 375, "bridge", 35, 54},
		{"viola", Back, 4, 340, "back, middle, between the C-bouts", 15, 17},
		{"cello", Front, 8, 200, "fingerboard, middle positions", 5, 25},
		{"cello", Front, -150, 900, "belly, lower bass bout", 8, 26},
		{"cello", Front, 0, 1000, "tailpiece", 15, 60},
		{"cello", Front, 0, -170, "pegbox and scroll, front", -80, -30},
		{"cello", Back, 0, 120, "neck back, lower positions", -120, -40},
		{"cello", Back, 0, 284, "button", -1, 28},
		{"double bass", Front, 150, 1440, "belly, lower treble bout", 15, 37},
		{"double bass", Back, -150, 700, "back, upper treble bout", 5, 17},
		{"double bass", Back, 0, 1000, "back, middle, between the C-bouts", 10, 20},
		{"double bass", BassSide, 0, 900, "bass side, lower bout", -1, 1},
		{"double bass", Front, -50, -143, "machine 3", -110, -60},
	} {
		d := drawing(t, Params{Class: c.class})
		p := shape.Pt{X: c.x, Y: c.y}
		if got := d.Place(c.side, p); got != c.place {
			t.Errorf("%s, %s %g,%g: %q, want %q", c.class, c.side, c.x, c.y, got, c.place)
		}
		if h := d.HeightAt(c.side, p); !within(h.Value, c.lo, c.hi) {
			t.Errorf("%s, %s %g,%g (%s): %.1f mm high, want %g to %g", c.class, c.side, c.x, c.y, c.place, h.Value, c.lo, c.hi)
		}
	}
	// Backs of basses are flat or round: the height owns up to it.
	if h := drawing(t, Params{Class: "double bass"}).HeightAt(Back, shape.Pt{X: 20, Y: 1000}); h.Sigma < 10 || h.Value-1.5*h.Sigma > 0 || h.Value+1.5*h.Sigma < 30 {
		t.Errorf("a double bass's back stands %+v mm up", h)
	}
}
