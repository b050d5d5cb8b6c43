package outline

import (
	"errors"
	"math"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// ownOf is the class's body moved by a map, as a traced outline.
func ownOf(t *testing.T, p Params, move func(shape.Pt) shape.Pt) *record.Own {
	d := drawing(t, p)
	o := &record.Own{}
	n := len(d.plan.body)
	for i, c := range d.plan.body {
		before := d.plan.body[(i+n-1)%n]
		at := func(q shape.Pt) shape.Pt { return d.plan.seenFromFront(Front, move(q)) }
		o.Nodes = append(o.Nodes, record.Node{At: at(c.P[0]), In: at(before.P[2]), Out: at(c.P[1])})
	}
	return o
}

// An own outline that is the class's changes nothing; one that bulges keeps
// the sheets whole, carries the regions along and leaves neck and head alone.
func TestOwnOutline(t *testing.T) {
	for _, class := range Classes() {
		for _, left := range []bool{false, true} {
			p := Params{Class: class, LeftHanded: left}
			d := drawing(t, p)
			same := p
			same.Own = ownOf(t, p, func(q shape.Pt) shape.Pt { return q })
			if s := drawing(t, same); math.Abs(s.Side(Front).Silhouette.Area()-d.Side(Front).Silhouette.Area()) > 1 {
				t.Errorf("%s: an own outline like the class's has another area", class)
			}
			bulge := p
			box := shape.FromCurves(d.plan.body, true).Bounds()
			bulge.Own = ownOf(t, p, func(q shape.Pt) shape.Pt {
				u := math.Max(0, (q.Y-box.Min.Y)/box.Dy())
				return shape.Pt{X: q.X * (1 + 0.06*u) * (1 + 0.00012*q.X), Y: q.Y + 9*u}
			})
			e := drawing(t, bulge)
			checkOwn(t, class, d, e)
		}
	}
}

func checkOwn(t *testing.T, class string, d, e *Drawing) {
	for i := range e.Sides {
		s := &e.Sides[i]
		checkInside(t, s)
		sum := 0.0
		for _, r := range s.Regions {
			sum += e.Area(r.ID)
			checkSimple(t, class+" "+r.ID, r.Path)
		}
		if want := s.Silhouette.Area(); math.Abs(sum-want) > 6 {
			t.Errorf("%s, %s: regions sum to %.1f mm2, the silhouette has %.1f", class, s.Side, sum, want)
		}
		if len(s.Regions) != len(d.Sides[i].Regions) {
			t.Errorf("%s, %s: %d regions, want %d", class, s.Side, len(s.Regions), len(d.Sides[i].Regions))
		}
	}
	for _, id := range []string{"front/board", "front/nut", "front/headstock"} {
		a, _ := d.Region(id)
		b, _ := e.Region(id)
		if a.Path.Bounds() != b.Path.Bounds() {
			t.Errorf("%s: %s moved", class, id)
		}
	}
	// The carrying can be undone.
	for _, q := range []shape.Pt{{X: -40, Y: d.plan.long + 30}, {X: 50, Y: d.plan.long - 20}} {
		if back := e.plan.onClass(e.plan.onBody(q)); shape.Dist(back, q) > 2.5 {
			t.Errorf("%s: %v comes back as %v", class, q, back)
		}
	}
}

func TestOwnRefusals(t *testing.T) {
	ring := func(pts ...shape.Pt) *record.Own {
		o := &record.Own{}
		for _, p := range pts {
			o.Nodes = append(o.Nodes, record.Node{At: p, In: p, Out: p})
		}
		return o
	}
	for what, o := range map[string]*record.Own{
		"no points":      {},
		"crossed":        ring(shape.Pt{X: -150, Y: 420}, shape.Pt{X: 150, Y: 760}, shape.Pt{X: 150, Y: 420}, shape.Pt{X: -150, Y: 760}),
		"not a number":   ring(shape.Pt{X: math.NaN()}, shape.Pt{X: 1}, shape.Pt{Y: 1}),
		"off the neck":   ring(shape.Pt{X: 300, Y: 420}, shape.Pt{X: 500, Y: 420}, shape.Pt{X: 400, Y: 760}),
		"under the neck": ring(shape.Pt{X: -10, Y: 420}, shape.Pt{X: 10, Y: 420}, shape.Pt{X: 0, Y: 760}),
	} {
		_, err := New(Params{Own: o})
		var pe *ParamError
		if !errors.As(err, &pe) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
