package outline

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// partsOf are the parts that a class of the family draws, as the grade's
// profile names them; frets go with the board.
func partsOf(class string) []record.PartID {
	solid := []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish, record.Neck, record.Headstock,
		record.Fingerboard, record.Frets, record.Nut, record.Bridge, record.Tuners, record.Guard, record.Electronics}
	hollow := []record.PartID{record.Top, record.Back, record.SidesFinish, record.Neck, record.Headstock,
		record.Fingerboard, record.Frets, record.Nut, record.Binding, record.Bridge, record.Tuners}
	family, _, _ := strings.Cut(class, " ")
	switch family {
	case "solid-body", "electric", "lap":
		return solid
	case "hollow", "thinline":
		return append(hollow, record.Electronics)
	case "violin", "viola", "cello", "double":
		return []record.PartID{record.Belly, record.Back, record.Ribs, record.Neck, record.Scroll, record.Fingerboard,
			record.Nut, record.Bridge, record.Pegs, record.Edges}
	case "banjo":
		return []record.PartID{record.Skin, record.Rim, record.Resonator, record.Hoop, record.Neck, record.Headstock,
			record.Fingerboard, record.Frets, record.Nut, record.Bridge, record.Tuners}
	case "resonator":
		return append(hollow, record.Guard)
	}
	return hollow
}

// optional are the parts that some classes of a family draw.
var optional = []record.PartID{record.Guard, record.Binding}

func TestRegionsAreSound(t *testing.T) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		need := partsOf(d.Class)
		ids, used := map[string]bool{}, map[record.PartID]bool{}
		for i := range d.Sides {
			s := &d.Sides[i]
			for _, r := range s.Regions {
				known := slices.Contains(need, r.Part) || slices.Contains(optional, r.Part)
				if ids[r.ID] || r.ID == "" || r.Name == "" || r.Side != s.Side || !known {
					t.Errorf("region %s, %q, of %q", r.ID, r.Name, r.Part)
				}
				ids[r.ID], used[r.Part] = true, true
				if last := r.Path.Segs[len(r.Path.Segs)-1]; last.Op != shape.Close {
					t.Errorf("%s is not closed", r.ID)
				}
				if got, ok := d.Region(r.ID); !ok || got.Part != r.Part {
					t.Errorf("%s cannot be found", r.ID)
				}
				if d.Area(r.ID) <= 0 {
					t.Errorf("%s is not seen at all", r.ID)
				}
				checkSimple(t, r.ID, r.Path)
			}
			checkSimple(t, string(s.Side)+" silhouette", s.Silhouette)
			checkInside(t, s)
		}
		for _, p := range need {
			if !used[p] && !(p == record.Frets && d.Fretless) {
				t.Errorf("nothing is drawn of %q", p)
			}
		}
	})
}

// checkSimple fails when a ring crosses itself or another ring of the path.
func checkSimple(t *testing.T, what string, a shape.Path) {
	t.Helper()
	type edge struct {
		ring, at, of int
		p, q         shape.Pt
	}
	var edges []edge
	for k, ring := range a.Flatten(0.05) {
		for i, p := range ring {
			edges = append(edges, edge{k, i, len(ring), p, ring[(i+1)%len(ring)]})
		}
	}
	// From left to right, so that only edges that overlap across are compared.
	left := func(e edge) float64 { return math.Min(e.p.X, e.q.X) }
	slices.SortFunc(edges, func(a, b edge) int { return cmp.Compare(left(a), left(b)) })
	for i, e := range edges {
		right := math.Max(e.p.X, e.q.X)
		for _, f := range edges[i+1:] {
			if left(f) > right {
				break
			}
			if gap := max(e.at-f.at, f.at-e.at); e.ring == f.ring && (gap == 1 || gap == e.of-1) {
				continue
			}
			if crossing(e.p, e.q, f.p, f.q) {
				t.Errorf("%s crosses itself near %v", what, e.p)
				return
			}
		}
	}
}

func crossing(a, b, c, d shape.Pt) bool {
	turn := func(p, q, r shape.Pt) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return turn(a, b, c)*turn(a, b, d) < 0 && turn(c, d, a)*turn(c, d, b) < 0
}

// checkInside fails when a region leaves the silhouette by more than rounding.
func checkInside(t fataler, s *SideDrawing) {
	t.Helper()
	rings := s.Silhouette.Flatten(0.001)
	for i := range rings {
		rings[i] = append(rings[i], rings[i][0])
	}
	for _, r := range s.Regions {
		for _, ring := range r.Path.Flatten(0.5) {
			for _, p := range ring {
				if s.Silhouette.Contains(p) {
					continue
				}
				off := math.Inf(1)
				for _, line := range rings {
					off = math.Min(off, shape.DistToPolyline(p, line))
				}
				if off > 0.002 {
					t.Fatalf("%s leaves the silhouette by %.3f mm at %v", r.ID, off, p)
				}
			}
		}
	}
}

// The body runs on without a corner but those of the violin family: at every
// node the curve leaves in the direction in which it arrived.
func TestBodyHasNoCorner(t *testing.T) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		corners := 0
		for _, n := range append(d.plan.class.body.half, d.plan.class.body.ring...) {
			if n.Turn != 0 {
				corners++
			}
		}
		rings := map[string][]shape.Curve{"body": d.plan.body}
		for _, id := range []string{"front/guard", "back/cover", "front/rod-cover"} {
			if r, ok := d.Region(id); ok {
				rings[id] = r.Path.Rings(true)[0]
			}
		}
		for id, ring := range rings {
			if id == "body" && corners > 0 {
				continue
			}
			if id == "body" && len(ring) > 14 {
				t.Errorf("the body has %d curves; few nodes keep it fair", len(ring))
			}
			for i, c := range ring {
				next := ring[(i+1)%len(ring)]
				in, out := shape.Sub(c.P[3], c.P[2]), shape.Sub(next.P[1], next.P[0])
				a := math.Atan2(in.X*out.Y-in.Y*out.X, in.X*out.X+in.Y*out.Y)
				// A plate that lies across the hinge of plan.base may turn by what
				// nobody sees; the body never.
				limit := 0.06
				if id == "body" {
					limit = 1e-9
				}
				if math.Abs(a) > limit {
					t.Errorf("%s turns by %.4f degrees at %v", id, a*180/math.Pi, c.P[3])
				}
			}
		}
	})
}

// Hardware keeps clear: pickups of the fingerboard and of each other, controls
// of the bridge and of the body's edge.
func TestHardwareKeepsClear(t *testing.T) {
	eachSolid(t, func(t *testing.T, d *Drawing) {
		region := func(id string) Region {
			r, ok := d.Region(id)
			if !ok {
				t.Fatalf("no region %s", id)
			}
			return r
		}
		// From where to where along the strings, measured along the fan.
		reach := func(r Region) (lo, hi float64) {
			lo, hi = math.Inf(1), math.Inf(-1)
			for _, p := range r.Path.Flatten(0.5)[0] {
				y := d.plan.along(d.plan.seenFromFront(Front, p))
				lo, hi = math.Min(lo, y), math.Max(hi, y)
			}
			return lo, hi
		}
		bridge, body := region("front/bridge"), region("front/body")
		edge := shape.FromCurves(d.plan.body, true).FlattenOpen(0.1)[0]
		from, to := reach(bridge)
		if d.plan.long < from || d.plan.long > to {
			t.Errorf("the scale length %g is not on the bridge, %g to %g", d.plan.long, from, to)
		}
		_, last := reach(region("front/board"))
		for n := range d.plan.pickups() {
			lo, hi := reach(region(slugOf("front/pickup", n+1)))
			if lo < last+1 || hi > from-1 {
				t.Errorf("pickup %d from %.1f to %.1f, after %.1f, before %.1f", n+1, lo, hi, last, from)
			}
			last = hi
		}
		for _, r := range d.Side(Front).Regions {
			knob := r.Part == record.Electronics && r.Piece > len(d.plan.pickups())
			if !knob && r.ID != "front/guard" && r.ID != "front/bridge" {
				continue
			}
			for _, p := range r.Path.Flatten(0.5)[0] {
				if !body.Path.Contains(p) || shape.DistToPolyline(d.plan.seenFromFront(Front, p), edge) < 5 {
					t.Errorf("%s is at the body's edge at %v", r.ID, p)
					break
				}
			}
			if b := r.Path.Bounds(); knob && math.Abs(b.Center().X)-b.Dx()/2 < bridge.Path.Bounds().Dx()/2 {
				t.Errorf("%s overlaps the bridge's width", r.ID)
			}
		}
	})
}

// Unrolling keeps lengths: the two strips add up to the body's outline less
// what the neck hides.
func TestStripsHaveTheEdgesLength(t *testing.T) {
	d := drawing(t, Params{})
	ring := shape.FromCurves(piece(d.plan.body, d.plan.treble, d.plan.bass), false).FlattenOpen(1e-4)[0]
	want := shape.PolylineLength(ring)
	got := d.Side(BassSide).Bounds.Dy() + d.Side(TrebleSide).Bounds.Dy()
	if math.Abs(got-want) > 0.05 {
		t.Errorf("strips %.3f mm long, the edge %.3f", got, want)
	}
	end := d.plan.strips[BassSide]
	if p := end.at(end.length()); math.Abs(p.X) > 1e-6 || math.Abs(p.Y-763) > 0.5 {
		t.Errorf("the bass strip ends at %v, want the end pin", p)
	}
}
