package outline

import (
	"math"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func TestRegionsAreSound(t *testing.T) {
	known := map[record.PartID]bool{}
	for _, p := range []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish, record.Neck, record.Headstock,
		record.Fingerboard, record.Frets, record.Nut, record.Bridge, record.Tuners, record.Guard, record.Electronics} {
		known[p] = true
	}
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		ids, used := map[string]bool{}, map[record.PartID]bool{}
		for i := range d.Sides {
			s := &d.Sides[i]
			for _, r := range s.Regions {
				if ids[r.ID] || r.ID == "" || r.Name == "" || r.Side != s.Side || !known[r.Part] {
					t.Errorf("region %+v", r)
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
		if d.Fretless {
			used[record.Frets] = true
		}
		if len(used) != len(known) {
			t.Errorf("parts with a region: %v", used)
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
	for i, e := range edges {
		for _, f := range edges[i+1:] {
			if e.ring == f.ring && (f.at-e.at == 1 || f.at-e.at == e.of-1) {
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

// The body runs on without a corner: at every node the curve leaves in the
// direction in which it arrived.
func TestBodyHasNoCorner(t *testing.T) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		for _, id := range []string{"front/body", "front/guard", "back/cover", "front/rod-cover"} {
			r, _ := d.Region(id)
			ring := r.Path.Rings(true)[0]
			if id == "front/body" && len(ring) > 14 {
				t.Errorf("the body has %d curves; few nodes keep it fair", len(ring))
			}
			for i, c := range ring {
				next := ring[(i+1)%len(ring)]
				in, out := shape.Sub(c.P[3], c.P[2]), shape.Sub(next.P[1], next.P[0])
				a := math.Atan2(in.X*out.Y-in.Y*out.X, in.X*out.X+in.Y*out.Y)
				if math.Abs(a) > 1e-9 {
					t.Errorf("%s turns by %.4f degrees at %v", id, a*180/math.Pi, c.P[3])
				}
			}
		}
	})
}

// Hardware keeps clear: pickups of the fingerboard and of each other, controls
// of the bridge and of the body's edge.
func TestHardwareKeepsClear(t *testing.T) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		board, _ := d.Region("front/board")
		bridge, _ := d.Region("front/bridge")
		body, _ := d.Region("front/body")
		edge := body.Path.Flatten(0.1)[0]
		last := board.Path.Bounds().Max.Y
		if y := bridge.Path.Bounds(); d.ScaleLength < y.Min.Y || d.ScaleLength > y.Max.Y {
			t.Errorf("the scale length %g is not on the bridge %v", d.ScaleLength, y)
		}
		for n := 1; n <= 2; n++ {
			r, ok := d.Region(slugOf("front/pickup", n))
			if !ok {
				continue
			}
			b := r.Path.Bounds()
			if b.Min.Y < last+1 || b.Max.Y > bridge.Path.Bounds().Min.Y-1 {
				t.Errorf("pickup %d from %.1f to %.1f, after %.1f", n, b.Min.Y, b.Max.Y, last)
			}
			last = b.Max.Y
		}
		for _, id := range []string{"front/volume", "front/tone", "front/switch", "front/guard", "front/bridge"} {
			r, _ := d.Region(id)
			for _, p := range r.Path.Flatten(0.5)[0] {
				if !body.Path.Contains(p) || shape.DistToPolyline(p, edge) < 5 {
					t.Errorf("%s is at the body's edge at %v", id, p)
					break
				}
			}
			if b := r.Path.Bounds(); id != "front/bridge" && id != "front/guard" &&
				math.Abs(b.Center().X)-b.Dx()/2 < bridge.Path.Bounds().Dx()/2 {
				t.Errorf("%s overlaps the bridge's width", id)
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
