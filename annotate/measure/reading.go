package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// MaxReadingPoints bounds the points of one reading.
const MaxReadingPoints = 4000

// Length is the length in mm of the open line through the pixels. h gives the
// height of a place over the scale's plane; nil is 0 everywhere. The Sigma of heights
// is taken as one error of level and slope over the whole reading, and as independent
// of the scale's: for a mark on the very surface that the scale lies on give Sigma 0.
//
// All readings: Value is the median, Uncertainty such that Value ± 1.96
// Uncertainty holds the truth 95 times in 100. What cannot be measured has the
// Value and Uncertainty 0 and a How that begins with "not measured: ".
func (p *Plane) Length(pts []shape.Pt, h func(mm shape.Pt) Height) record.Quantity {
	if len(pts) < 2 {
		return notMeasured("a length needs two points or more")
	}
	return p.read(pts, h, shape.PolylineLength)
}

// Width is the distance in mm between two pixels; see Length.
func (p *Plane) Width(a, b shape.Pt, h func(mm shape.Pt) Height) record.Quantity {
	return p.read([]shape.Pt{a, b}, h, shape.PolylineLength)
}

// Area is the area in mm² of the closed ring of pixels; see Length. A ring that
// crosses itself has none.
func (p *Plane) Area(ring []shape.Pt, h func(mm shape.Pt) Height) record.Quantity {
	if len(ring) < 3 {
		return notMeasured("an area needs three points or more")
	}
	if len(ring) <= MaxReadingPoints && crossesItself(ring) {
		return notMeasured("the line around the area crosses itself")
	}
	return p.read(ring, h, shape.PolygonArea)
}

// Angle is the angle in degrees at b between the lines to a and c, 0 to 180; see Length.
func (p *Plane) Angle(a, b, c shape.Pt, h func(mm shape.Pt) Height) record.Quantity {
	if a == b || c == b {
		return notMeasured("two of the angle's points are the same")
	}
	return p.read([]shape.Pt{a, b, c}, h, func(q []shape.Pt) float64 {
		u, v := shape.Sub(q[0], q[1]), shape.Sub(q[2], q[1])
		return math.Abs(math.Atan2(u.X*v.Y-u.Y*v.X, u.X*v.X+u.Y*v.Y)) * 180 / math.Pi
	})
}

func notMeasured(why string) record.Quantity { return record.Quantity{How: "not measured: " + why} }

// read carries the clicks to a reading: of, applied to the places in
// millimetres, on every camera of the sample.
func (p *Plane) read(pts []shape.Pt, h func(shape.Pt) Height, of func([]shape.Pt) float64) record.Quantity {
	if len(pts) > MaxReadingPoints {
		return notMeasured(fmt.Sprintf("%d points, at most %d can be measured", len(pts), MaxReadingPoints))
	}
	mm, hs, err := p.places(pts, h)
	if err != nil {
		return notMeasured(err.Error())
	}
	best := of(mm)
	click := p.clickNoise(pts, hs, mm, of)
	values := p.spread(pts, hs, mm, of)
	if len(values) < len(p.cams)*9/10 || !finite(best) || !finite(click) {
		return notMeasured("the photo does not show that place well enough")
	}
	value, u := summary(values, click)
	if !finite(value) || !finite(u) {
		return notMeasured("the photo does not show that place well enough")
	}
	return record.Quantity{Value: value, Uncertainty: u, How: p.how(hs)}
}

// places are the millimetres and heights of pixels: a height moves the place,
// and the place decides the height, so it goes round three times.
func (p *Plane) places(pts []shape.Pt, h func(shape.Pt) Height) ([]shape.Pt, []Height, error) {
	mm, hs := make([]shape.Pt, len(pts)), make([]Height, len(pts))
	for i, px := range pts {
		if !px.Finite() || math.Abs(px.X) > farthest || math.Abs(px.Y) > farthest {
			return nil, nil, fmt.Errorf("a point is not at an ordinary place")
		}
		var ok bool
		for range 3 {
			if mm[i], ok = p.frame.toMM(&p.best, px, hs[i].Value); !ok {
				return nil, nil, fmt.Errorf("a point lies beyond the plane that was scaled")
			}
			if h == nil {
				break
			}
			hs[i] = h(mm[i])
			if v := hs[i]; !finite(v.Value) || !finite(v.Sigma) || v.Sigma < 0 {
				return nil, nil, fmt.Errorf("the height there is not an ordinary number")
			}
		}
		if mm[i], ok = p.frame.toMM(&p.best, px, hs[i].Value); !ok {
			return nil, nil, fmt.Errorf("a point lies beyond the plane that was scaled")
		}
	}
	return mm, hs, nil
}

// clickNoise is the standard uncertainty of a reading from the clicks of its
// own points: the law of propagation of JCGM 100:2008, 5.1.2.
func (p *Plane) clickNoise(pts []shape.Pt, hs []Height, mm []shape.Pt, of func([]shape.Pt) float64) float64 {
	q := slices.Clone(mm)
	sum := 0.0
	for i, px := range pts {
		for _, d := range []shape.Pt{{X: ClickNoise / 2}, {Y: ClickNoise / 2}} {
			q[i], _ = p.frame.toMM(&p.best, shape.Add(px, d), hs[i].Value)
			hi := of(q)
			q[i], _ = p.frame.toMM(&p.best, shape.Sub(px, d), hs[i].Value)
			sum += (hi - of(q)) * (hi - of(q))
		}
		q[i] = mm[i]
	}
	return math.Sqrt(sum)
}

// slopeReach is how far from the middle of a reading an unknown slope makes as
// much of a height's uncertainty as the unknown level, mm.
const slopeReach = 150

// heightScores are the level and slopes of each camera's error of heights.
var heightScores = func() (out [3][]float64) {
	r := rand.New(rand.NewPCG(3, 3))
	for i := range out {
		out[i] = scores(r, kept)
	}
	return out
}()

// spread is the reading on every camera of the sample, each with its own error of heights.
func (p *Plane) spread(pts []shape.Pt, hs []Height, mm []shape.Pt, of func([]shape.Pt) float64) []float64 {
	mid := shape.RectAround(mm...).Center()
	q := make([]shape.Pt, len(pts))
	out := make([]float64, 0, len(p.cams))
	for k := range p.cams {
		c := &p.cams[k]
		good := true
		for i, px := range pts {
			h := hs[i].Value
			if hs[i].Sigma > 0 {
				d := shape.Mul(shape.Sub(mm[i], mid), 1.0/slopeReach)
				z := heightScores[0][k] + heightScores[1][k]*d.X + heightScores[2][k]*d.Y
				h += hs[i].Sigma * z / math.Sqrt(1+d.X*d.X+d.Y*d.Y)
			}
			var ok bool
			q[i], ok = c.toMM(&p.frame, px, h)
			good = good && ok
		}
		if v := of(q); good && finite(v) {
			out = append(out, v)
		}
	}
	return out
}

// layers is how many click errors each camera's reading is combined with.
const layers = 5

var clickScores = scores(rand.New(rand.NewPCG(5, 5)), kept*layers)

// summary is the median of the readings with the noise of their own clicks,
// and the half-width about it that holds 95 % of them over 1.96.
func summary(values []float64, click float64) (value, u float64) {
	all := make([]float64, 0, len(values)*layers)
	for j := range layers {
		for k, v := range values {
			all = append(all, v+click*clickScores[j*kept+k])
		}
	}
	slices.Sort(all)
	n := len(all)
	value = (all[(n-1)/2] + all[n/2]) / 2
	// Outwards from the median, the nearer neighbour first.
	lo, hi := n/2-1, n/2
	share := 0.95 * float64(n)
	last, next := 0.0, 0.0
	for k := 0; float64(k) <= share && (lo >= 0 || hi < n); k++ {
		last = next
		switch {
		case lo < 0 || hi < n && all[hi]-value < value-all[lo]:
			next = all[hi] - value
			hi++
		default:
			next = value - all[lo]
			lo--
		}
	}
	return value, (last + (next-last)*(share-math.Floor(share))) / 1.96
}

// crossesItself says whether two sides of a closed ring cross.
func crossesItself(ring []shape.Pt) bool {
	n := len(ring)
	for i := range n {
		a, b := ring[i], ring[(i+1)%n]
		box := shape.RectAround(a, b)
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			c, d := ring[j], ring[(j+1)%n]
			if max(c.X, d.X) < box.Min.X || min(c.X, d.X) > box.Max.X || max(c.Y, d.Y) < box.Min.Y || min(c.Y, d.Y) > box.Max.Y {
				continue
			}
			if shape.Crosses(a, b, c, d) {
				return true
			}
		}
	}
	return false
}
