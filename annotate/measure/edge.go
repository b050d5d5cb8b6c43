package measure

import (
	"image"
	"math"
	"math/rand/v2"

	"wornwood/annotate/shape"
)

// brightness reads between the pixels of a picture; (0,0) is the outer corner of its
// first pixel, so a pixel's value stands at its middle.
type brightness struct{ *image.Gray }

func (b brightness) at(p shape.Pt) float64 {
	r := b.Rect
	x := min(max(p.X-0.5, 0), float64(r.Dx()-1))
	y := min(max(p.Y-0.5, 0), float64(r.Dy()-1))
	i, j := int(x), int(y)
	fx, fy := x-float64(i), y-float64(j)
	o := j*b.Stride + i
	di, dj := 0, 0
	if i+1 < r.Dx() {
		di = 1
	}
	if j+1 < r.Dy() {
		dj = b.Stride
	}
	v := func(o int) float64 { return float64(b.Pix[o]) }
	return (v(o)*(1-fx)+v(o+di)*fx)*(1-fy) + (v(o+dj)*(1-fx)+v(o+dj+di)*fx)*fy
}

// inside says whether the picture has the place, with room around it.
func (b brightness) inside(p shape.Pt, room float64) bool {
	return p.X >= room && p.Y >= room && p.X <= float64(b.Rect.Dx())-room && p.Y <= float64(b.Rect.Dy())-room
}

// seam is a nearly straight edge looked for from a to b: at the share t of the way it
// lies s(t) = c0 + c1 t + c2 t² pixels to the right of the straight line. The bend is what a
// lens's distortion makes of a straight edge.
type seam struct {
	a, b   shape.Pt
	along  shape.Pt // unit vector from a to b
	right  shape.Pt // unit vector, along turned by 90 degrees clockwise as seen
	length float64
	c      [3]float64
	cov    [3][3]float64 // of c, pixels²
	rms    float64       // of the crossings about it, pixels
	w      wanted        // how brightness changes to its right
	score  float64
}

func newSeam(a, b shape.Pt) seam {
	d := shape.Sub(b, a)
	l := math.Hypot(d.X, d.Y)
	u := shape.Mul(d, 1/l)
	return seam{a: a, b: b, along: u, right: shape.Pt{X: -u.Y, Y: u.X}, length: l}
}

func (m *seam) offset(t float64) float64 { return m.c[0] + t*(m.c[1]+t*m.c[2]) }

func (m *seam) at(t float64) shape.Pt {
	return shape.Add(shape.Lerp(m.a, m.b, t), shape.Mul(m.right, m.offset(t)))
}

// sigma is the standard uncertainty of the seam's place across itself at t, pixels.
func (m *seam) sigma(t float64) float64 {
	v := [3]float64{1, t, t * t}
	s := 0.0
	for i := range v {
		for j := range v {
			s += v[i] * v[j] * m.cov[i][j]
		}
	}
	return math.Sqrt(max(0, s))
}

// crossing is a place where brightness changes along a line across a seam.
type crossing struct {
	t, s  float64
	slope float64 // levels per pixel, positive where it gets brighter to the right
}

// crossings looks across the seam at up to 240 places between the shares t0 and t1 of
// it, reach pixels to both sides. Groups of one place follow each other.
func (b brightness) crossings(m *seam, t0, t1, reach float64) [][]crossing {
	n := int(min(240, max(12, m.length*(t1-t0)/2)))
	var out [][]crossing
	for i := range n {
		t := t0 + (t1-t0)*(float64(i)+0.5)/float64(n)
		foot := shape.Lerp(m.a, m.b, t)
		if b.inside(foot, reach+4) {
			out = append(out, b.across(m, t, foot, reach))
		} else {
			out = append(out, nil)
		}
	}
	return out
}

const acrossStep = 0.5 // pixels

// across finds the changes of brightness along one line across the seam: peaks of
// the derivative after smoothing by a bell of 1 pixel.
func (b brightness) across(m *seam, t float64, foot shape.Pt, reach float64) []crossing {
	n := int(reach/acrossStep) + 6
	raw := make([]float64, 2*n+1)
	for i := range raw {
		p := shape.Add(foot, shape.Mul(m.right, float64(i-n)*acrossStep))
		for _, k := range []float64{-1, 0, 1} { // a little along the edge, against noise
			raw[i] += b.at(shape.Add(p, shape.Mul(m.along, k))) / 3
		}
	}
	d := make([]float64, len(raw))
	for i := 5; i < len(raw)-5; i++ {
		for k := -5; k <= 5; k++ {
			x := float64(k) * acrossStep
			d[i] += raw[i+k] * x * math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * acrossStep
		}
	}
	var out []crossing
	for i := 6; i < len(d)-6; i++ {
		p, q, r := math.Abs(d[i-1]), math.Abs(d[i]), math.Abs(d[i+1])
		if q > p && q >= r && q > 0.7 {
			shift := 0.5 * (p - r) / (p - 2*q + r)
			out = append(out, crossing{t, (float64(i-n) + shift) * acrossStep, d[i]})
		}
	}
	return out
}

// wanted says which changes of brightness make a seam.
type wanted int

const (
	brighter wanted = 1 // to the right
	darker   wanted = -1
)

func (w wanted) takes(c crossing) bool { return (w == brighter) == (c.slope > 0) }

// strong caps the weight of a change: an edge twice as strong is not twice as likely
// to be the one.
const strong = 40.0 // levels per pixel

// findSeam is the straight seam that explains the crossings best: of pairs of
// crossings drawn with a fixed seed, each weighed by the crossings near it.
func findSeam(m seam, groups [][]crossing, w wanted, tolerance float64) (seam, bool) {
	m.w = w
	var all []crossing
	for _, g := range groups {
		for _, c := range g {
			if w.takes(c) {
				all = append(all, c)
			}
		}
	}
	if len(all) < 8 {
		return m, false
	}
	r := rand.New(rand.NewPCG(6, uint64(len(all))))
	best := m
	best.score = 0
	for range 400 {
		p, q := all[r.IntN(len(all))], all[r.IntN(len(all))]
		if math.Abs(p.t-q.t) < 0.25 {
			continue
		}
		try := m
		try.c[1] = (q.s - p.s) / (q.t - p.t)
		try.c[0] = p.s - try.c[1]*p.t
		if try.score = try.weigh(groups, tolerance); try.score > best.score {
			best = try
		}
	}
	return best, best.score > 0
}

// faintest is the least mean slope of an edge that counts, levels per pixel;
// clearShare is how strong an edge must be against the strongest beside it.
const (
	faintest   = 1.5
	clearShare = 0.4
)

// edgesNear are the clear edges near a line: the best seam, then the best of
// the crossings that it leaves, and so on.
func edgesNear(m seam, groups [][]crossing, tolerance float64) []seam {
	var apart []seam
	for range 6 {
		var best seam
		for _, w := range []wanted{brighter, darker} {
			if s, ok := findSeam(m, groups, w, tolerance); ok && s.score > best.score {
				best = s
			}
		}
		if best.score < faintest || len(apart) > 0 && best.score < clearShare*apart[0].score {
			break
		}
		apart = append(apart, best)
		groups = best.without(groups, 2*tolerance)
	}
	return apart
}

// without are the crossings of the other kind, and those that lie further than reach from the seam.
func (m *seam) without(groups [][]crossing, reach float64) [][]crossing {
	out := make([][]crossing, len(groups))
	for i, g := range groups {
		for _, c := range g {
			if !m.w.takes(c) || math.Abs(c.s-m.offset(c.t)) > reach {
				out[i] = append(out[i], c)
			}
		}
	}
	return out
}

// weigh is how well a seam explains the crossings: the mean over the places of the
// weight of the best crossing near it.
func (m *seam) weigh(groups [][]crossing, tolerance float64) float64 {
	sum := 0.0
	for _, g := range groups {
		best := 0.0
		for _, c := range g {
			if d := (c.s - m.offset(c.t)) / tolerance; m.w.takes(c) && d*d < 1 {
				best = max(best, min(math.Abs(c.slope), strong)*(1-d*d))
			}
		}
		sum += best
	}
	return sum / float64(len(groups))
}

// polish fits the seam to the crossings near it by least squares, with a bend
// where there is enough to see one. It is false when too few places have the edge.
func (m *seam) polish(groups [][]crossing, tolerance float64) bool {
	for _, tol := range []float64{tolerance, max(1.2, tolerance*0.6), 1, 1} {
		var near []crossing
		for _, g := range groups {
			if c, ok := m.nearest(g, tol); ok {
				near = append(near, c)
			}
		}
		if len(near) < 10 || float64(len(near)) < 0.5*float64(len(groups)) {
			return false
		}
		straight, bent := *m, *m
		if !straight.least(near, 2) {
			return false
		}
		*m = straight
		// The bend is kept where it explains the crossings by far better than chance.
		if len(near) >= 40 && bent.least(near, 3) {
			gain := straight.rms*straight.rms/(bent.rms*bent.rms) - 1
			if gain*float64(len(near)) > 15 {
				*m = bent
			}
		}
	}
	return true
}

// nearest is the crossing of a group that lies nearest to the seam.
func (m *seam) nearest(g []crossing, tolerance float64) (crossing, bool) {
	var best crossing
	found := false
	for _, c := range g {
		d := math.Abs(c.s - m.offset(c.t))
		if m.w.takes(c) && d < tolerance && (!found || d < math.Abs(best.s-m.offset(best.t))) {
			best, found = c, true
		}
	}
	return best, found
}

// neighbours is over how many places in a row the error of a crossing runs on, as
// the grain of a table or of wood makes it.
const neighbours = 4

// least is the least squares fit with n terms.
func (m *seam) least(near []crossing, n int) bool {
	eq := normal{n: n}
	for _, c := range near {
		d := [dim]float64{1, c.t, c.t * c.t}
		if n == 2 {
			d[2] = 0
		}
		eq.add(&d, c.s)
	}
	f, ok := eq.cholesky(0)
	if !ok {
		return false
	}
	x := f.solve(&eq.b)
	m.c = [3]float64{x[0], x[1], 0}
	if n == 3 {
		m.c[2] = x[2]
	}
	sum := 0.0
	for _, c := range near {
		e := c.s - m.offset(c.t)
		sum += e * e
	}
	m.rms = math.Sqrt(sum / float64(len(near)-n))
	inv := f.inverse()
	m.cov = [3][3]float64{}
	for i := range n {
		for j := range n {
			m.cov[i][j] = inv[i][j] * m.rms * m.rms * neighbours
		}
	}
	return true
}

// meet is where two seams cross, starting at the shares t and u of them.
func (m *seam) meet(o *seam, t, u float64) (p shape.Pt, tt, uu float64, ok bool) {
	slope := func(s *seam, t float64) shape.Pt {
		return shape.Add(shape.Mul(s.along, s.length), shape.Mul(s.right, s.c[1]+2*s.c[2]*t))
	}
	for range 12 {
		d := shape.Sub(o.at(u), m.at(t))
		a, b := slope(m, t), slope(o, u)
		det := a.X*-b.Y + b.X*a.Y
		if math.Abs(det) < 1e-9*m.length*o.length {
			return p, t, u, false
		}
		dt, du := (d.X*-b.Y+b.X*d.Y)/det, (a.X*d.Y-a.Y*d.X)/det
		t, u = t+dt, u+du
		if math.Abs(dt)+math.Abs(du) < 1e-12 {
			break
		}
	}
	p = m.at(t)
	return p, t, u, p.Finite() && math.Abs(t) < 3 && math.Abs(u) < 3
}
