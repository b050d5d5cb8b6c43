package outline

import (
	"fmt"
	"math"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// carrier carries points of the class's body to an instrument's own outline,
// and back, by mean value coordinates (M. S. Floater, "Mean value
// coordinates", Computer Aided Geometric Design 20, 2003): a point keeps its
// weights against the rim while the rim moves. Points of the two rims belong
// together by their share of the way between anchors that both have. nil
// leaves everything where it is.
type carrier struct{ from, to []shape.Pt }

func (c *carrier) carry(p shape.Pt) shape.Pt {
	if c == nil {
		return p
	}
	return meanValue(p, c.from, c.to)
}

func (c *carrier) carryBack(p shape.Pt) shape.Pt {
	if c == nil {
		return p
	}
	return meanValue(p, c.to, c.from)
}

// takeOwn puts the instrument's own outline in the class body's place.
func (pl *plan) takeOwn() error {
	if pl.p.Own == nil {
		return nil
	}
	ring, err := ownRing(pl.p.Own, pl.p.LeftHanded)
	if err != nil {
		return err
	}
	class, err := pl.rimOf(pl.body)
	if err != nil {
		return err
	}
	own, err := pl.rimOf(ring)
	if err != nil {
		return &ParamError{"own outline", "as traced", "a body that the neck enters once on each side, above the bridge"}
	}
	pl.own = match(class, own)
	pl.body = ring
	return nil
}

// ownRing is the traced ring, clockwise and in the plan's coordinates.
func ownRing(o *record.Own, left bool) ([]shape.Curve, error) {
	if len(o.Nodes) < 3 || len(o.Nodes) > record.MaxNodes {
		return nil, &ParamError{"own outline", fmt.Sprintf("with %d points", len(o.Nodes)), fmt.Sprintf("3 to %d points", record.MaxNodes)}
	}
	ring := shape.NodeCurves(o.Nodes)
	for i := range ring {
		c := &ring[i]
		for j, p := range c.P {
			if !p.Finite() || math.Abs(p.X) > 2000 || math.Abs(p.Y) > 3000 {
				return nil, &ParamError{"own outline", "", "points in millimetres of the front sheet"}
			}
			if left {
				c.P[j].X = -p.X
			}
		}
	}
	line := shape.FromCurves(ring, true).Flatten(0.2)[0]
	if shape.SignedArea(line) < 0 {
		slices.Reverse(ring)
		for i := range ring {
			ring[i] = ring[i].Reversed()
		}
	}
	if p, bad := shape.MeetsItself(line); bad {
		return nil, &ParamError{"own outline", fmt.Sprintf("that crosses itself near %.0f, %.0f mm", p.X, p.Y), "a ring that does not"}
	}
	return ring, nil
}

// rim is a body's edge from where the neck's treble edge enters it round to
// its bass edge, with the lengths at which every body has the same places: both
// ends, the widest on either side, the end pin.
type rim struct {
	line    []shape.Pt
	run     []float64
	anchors [5]float64
}

func (pl *plan) rimOf(ring []shape.Curve) (rim, error) {
	bass, treble, err := pl.entries(ring, pl.long)
	if err != nil {
		return rim{}, err
	}
	var r rim
	r.line = shape.FromCurves(piece(ring, treble, bass), false).FlattenOpen(0.02)[0]
	r.run = make([]float64, len(r.line))
	var right, low, left int
	for i, p := range r.line {
		if i > 0 {
			r.run[i] = r.run[i-1] + shape.Dist(r.line[i-1], p)
		}
		if p.X > r.line[right].X {
			right = i
		}
		if p.Y > r.line[low].Y {
			low = i
		}
		if p.X < r.line[left].X {
			left = i
		}
	}
	r.anchors = [5]float64{0, r.run[right], r.run[low], r.run[left], r.run[len(r.run)-1]}
	return r, nil
}

// match pairs points of the two rims by their share of the way from anchor to
// anchor.
func match(from, to rim) *carrier {
	const steps = 48
	var c carrier
	for k := range 4 {
		for i := range steps {
			t := float64(i) / steps
			c.from = append(c.from, from.at(from.anchors[k]+t*(from.anchors[k+1]-from.anchors[k])))
			c.to = append(c.to, to.at(to.anchors[k]+t*(to.anchors[k+1]-to.anchors[k])))
		}
	}
	c.from = append(c.from, from.line[len(from.line)-1])
	c.to = append(c.to, to.line[len(to.line)-1])
	return &c
}

func (r rim) at(s float64) shape.Pt { return strip{line: r.line, run: r.run}.at(s) }

// meanValue is the point that has in the ring to the mean value coordinates
// that p has in the ring from.
func meanValue(p shape.Pt, from, to []shape.Pt) shape.Pt {
	n := len(from)
	var sum shape.Pt
	total := 0.0
	for i, a := range from {
		before, after := from[(i+n-1)%n], from[(i+1)%n]
		d := shape.Dist(p, a)
		if d < 1e-9 {
			return to[i]
		}
		w := (halfTan(p, before, a) + halfTan(p, a, after)) / d
		if math.IsInf(w, 0) || math.IsNaN(w) {
			continue
		}
		sum = shape.Add(sum, shape.Mul(to[i], w))
		total += w
	}
	if total == 0 {
		return p
	}
	return shape.Mul(sum, 1/total)
}

// halfTan is the tangent of half the angle, with its sign, under which p sees
// the side from a to b.
func halfTan(p, a, b shape.Pt) float64 {
	u, v := shape.Sub(a, p), shape.Sub(b, p)
	cross, dot := u.X*v.Y-u.Y*v.X, u.X*v.X+u.Y*v.Y
	// tan(t/2) = sin t / (1 + cos t), held off its pole on the side itself.
	return cross / math.Max(math.Hypot(u.X, u.Y)*math.Hypot(v.X, v.Y)+dot, 1e-12)
}
