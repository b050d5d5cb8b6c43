package measure

import (
	"fmt"
	"math"
	"sort"

	"wornwood/annotate/shape"
)

// mode is one view that explains the clicks.
type mode struct {
	at   params
	cost float64 // half of it is minus the logarithm of its probability
	eq   *normal // the normal equations there
}

// fitted is what solve found.
type fitted struct {
	mode
	modes []mode // all views worth keeping, the best first
	used  []bool
	stray float64
	doubt string
}

// solve fits the view, without the points that are wild.
func (pr *problem) solve() (*fitted, error) {
	used := make([]bool, len(pr.obs))
	for i := range used {
		used[i] = true
	}
	f := &fitted{used: used, stray: 1}
	if err := pr.fitModes(f); err != nil {
		return nil, err
	}
	pr.dropWild(f)
	// How far the points disagree, with eight clicks' worth of belief in
	// ClickNoise; never less than that noise.
	const belief = 8
	free := 2*float64(pr.count(f.used)) - 4
	f.stray = math.Sqrt((belief + f.cost) / (belief + free))
	if f.stray > 1.02 {
		if err := pr.fitModes(f); err != nil {
			return nil, err
		}
	}
	f.stray = max(f.stray, 1)
	if off := pr.rms(f); off > 0.04*pr.reach(f.used)+3 {
		return nil, fmt.Errorf("the points do not fit together (%.0f pixels off on average): check that each was clicked where its name says", off)
	}
	return f, nil
}

// reach is the extent of the points in use, pixels.
func (pr *problem) reach(used []bool) float64 {
	var px []shape.Pt
	for i, o := range pr.obs {
		if used[i] {
			px = append(px, shape.Pt{X: o.x, Y: o.y})
		}
	}
	return extent(px)
}

// rms is how far the points in use are off, pixels.
func (pr *problem) rms(f *fitted) float64 {
	l := f.at.lens()
	sum, n := 0.0, 0.0
	for i := range pr.obs {
		if f.used[i] {
			d := pr.obs[i].off(&l, &f.at)
			sum, n = sum+d.X*d.X+d.Y*d.Y, n+1
		}
	}
	return math.Sqrt(sum / n)
}

// fitModes fits from every start and keeps the views that are about as
// probable as the best.
func (pr *problem) fitModes(f *fitted) error {
	var found []mode
	starts := pr.start
	for _, m := range f.modes { // a second round starts where the first ended
		starts = append(starts[:len(starts):len(starts)], m.at)
	}
	for _, s := range starts {
		// The second round knows where the uncertain heights show.
		for range 2 {
			pr.whiten(&s, max(f.stray, 1))
			m, ok := pr.descend(s, f.used)
			if !ok {
				break
			}
			s = m.at
			if !pr.anyHeight() {
				found = append(found, m)
				break
			}
			found = append(found, m)
		}
	}
	if len(found) == 0 {
		return fmt.Errorf("no view of a flat thing fits these points: check that each was clicked where its name says")
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].cost < found[j].cost })
	f.modes = nil
	for _, m := range found {
		if m.cost > found[0].cost+14 {
			break
		}
		fresh := true
		for _, k := range f.modes {
			fresh = fresh && math.Hypot(m.at[tiltX]-k.at[tiltX], m.at[tiltY]-k.at[tiltY]) > 0.01
		}
		if fresh && len(f.modes) < 3 {
			f.modes = append(f.modes, m)
		}
	}
	f.mode = f.modes[0]
	pr.whiten(&f.at, max(f.stray, 1))
	return nil
}

func (pr *problem) anyHeight() bool {
	for _, o := range pr.obs {
		if o.own > 0 {
			return true
		}
	}
	return false
}

// whiten sets the weights of the observations: the inverse root of the
// covariance of the click, stray times its noise, and of what an uncertain height moves it by.
func (pr *problem) whiten(t *params, stray float64) {
	l := t.lens()
	for i := range pr.obs {
		o := &pr.obs[i]
		n := o.noise * stray
		xx, xy, yy := n*n, 0.0, n*n
		if o.own > 0 {
			p := o.p
			p[2] -= 0.5
			x1, y1, ok1 := l.see(l.place(p))
			p[2]++
			x0, y0, ok0 := l.see(l.place(p))
			if dx, dy := (x1-x0)*o.own, (y1-y0)*o.own; ok0 && ok1 {
				xx, xy, yy = xx+dx*dx, dx*dy, yy+dy*dy
			}
		}
		// The inverse of the Cholesky factor of the covariance.
		a := math.Sqrt(xx)
		b := xy / a
		c := math.Sqrt(yy - b*b)
		o.w = [3]float64{1 / a, -b / (a * c), 1 / c}
	}
}

// off is how far the observation lies from where the view shows its point, pixels.
func (o *observation) off(l *lens, t *params) shape.Pt {
	p := o.p
	p[0] += o.nut*t[nutWidth] + o.mid*t[midWidth]
	x, y, ok := l.see(l.place(p))
	if !ok {
		return shape.Pt{X: math.Inf(1), Y: math.Inf(1)}
	}
	return shape.Pt{X: o.x - x, Y: o.y - y}
}

// costAt is the sum of squares of a view: of the clicks and of what was known before.
func (pr *problem) costAt(t *params, used []bool) float64 {
	if math.Hypot(t[tiltX], t[tiltY]) > steepest || math.Abs(t[logScale]) > 20 {
		return math.Inf(1)
	}
	c := 0.0
	l := t.lens()
	for i := range pr.obs {
		if !used[i] {
			continue
		}
		o := &pr.obs[i]
		d := o.off(&l, t)
		a, b := o.w[0]*d.X, o.w[1]*d.X+o.w[2]*d.Y
		c += a*a + b*b
	}
	c += pr.prior(t)
	if math.IsNaN(c) {
		return math.Inf(1)
	}
	return c
}

// prior is the sum of squares of what was known before any click.
func (pr *problem) prior(t *params) float64 {
	c := 0.0
	for i, sd := range pr.sd {
		if sd > 0 {
			r := (t[i] - pr.mean[i]) / sd
			c += r * r
		}
	}
	return c
}

// descend is Levenberg and Marquardt's method from a start. It is false for a start
// that cannot see the points.
func (pr *problem) descend(t params, used []bool) (mode, bool) {
	cost := pr.costAt(&t, used)
	if math.IsInf(cost, 1) {
		return mode{}, false
	}
	eq := pr.equations(&t, used)
	for damp, tries := 1e-4, 0; tries < 80; tries++ {
		f, ok := eq.cholesky(damp)
		if !ok {
			damp *= 10
			continue
		}
		step := f.solve(&eq.b)
		try := t
		gain := 0.0
		for i := range try {
			try[i] += step[i]
			gain += step[i] * eq.b[i]
		}
		if c := pr.costAt(&try, used); c <= cost {
			done := gain < 1e-6
			t, cost, damp = try, c, max(damp*0.1, 1e-12)
			eq = pr.equations(&t, used)
			if done {
				break
			}
		} else if damp *= 10; damp > 1e8 {
			break
		}
	}
	return mode{at: t, cost: cost, eq: eq}, true
}

// equations are the normal equations about a view.
func (pr *problem) equations(t *params, used []bool) *normal {
	m := &normal{n: dim}
	l := t.lens()
	lean := leans(t)
	for i := range pr.obs {
		if !used[i] {
			continue
		}
		o := &pr.obs[i]
		dx, dy, off, ok := o.slopes(&l, t, &lean)
		if !ok {
			continue
		}
		o.add(m, &dx, &dy, off)
	}
	for i, sd := range pr.sd {
		if sd > 0 {
			m.a[i][i] += 1 / (sd * sd)
			m.b[i] += (pr.mean[i] - t[i]) / (sd * sd)
		}
	}
	return m
}

// add weighs the derivatives of one observation and takes them in.
func (o *observation) add(m *normal, dx, dy *[dim]float64, off shape.Pt) {
	var a, b [dim]float64
	for i := 0; i < m.n; i++ {
		a[i], b[i] = o.w[0]*dx[i], o.w[1]*dx[i]+o.w[2]*dy[i]
	}
	m.add(&a, o.w[0]*off.X)
	m.add(&b, o.w[1]*off.X+o.w[2]*off.Y)
}

// leans are the derivatives of the turn by the two tilts.
func leans(t *params) [2]mat {
	const h = 1e-5
	var out [2]mat
	for k := range out {
		a, b := *t, *t
		a[tiltX+k] += h
		b[tiltX+k] -= h
		p, q := a.turn(), b.turn()
		for i := range p {
			for j := range p[i] {
				out[k][i][j] = (p[i][j] - q[i][j]) / (2 * h)
			}
		}
	}
	return out
}

// slopes are the derivatives of a point's pixel by the unknowns, and how far off the pixel is.
func (o *observation) slopes(l *lens, t *params, lean *[2]mat) (dx, dy [dim]float64, off shape.Pt, ok bool) {
	p := o.p
	p[0] += o.nut*t[nutWidth] + o.mid*t[midWidth]
	q := l.place(p)
	px, py, ok := l.see(q)
	if !ok {
		return dx, dy, off, false
	}
	off = shape.Pt{X: o.x - px, Y: o.y - py}
	x, y := q[0]/q[2], q[1]/q[2]
	r2 := x*x + y*y
	xx, xy, yy := l.bend(x, y, q[2])
	set := func(i int, v vec) {
		a, b := v[0]-x*v[2], v[1]-y*v[2]
		dx[i], dy[i] = xx*a+xy*b, xy*a+yy*b
	}
	set(spin, scaled(l.turn.apply(vec{-p[1], p[0], 0}), l.scale))
	set(atX, vec{1, 0, 0})
	set(atY, vec{0, 1, 0})
	set(logScale, vec{q[0] - l.shiftX, q[1] - l.shiftY, q[2] - l.f})
	set(logFocal, vec{0, 0, l.f})
	dx[logFocal], dy[logFocal] = dx[logFocal]+px, dy[logFocal]+py
	dx[distort], dy[distort] = l.f*x*r2, l.f*y*r2
	set(tiltX, scaled(lean[0].apply(p), l.scale))
	set(tiltY, scaled(lean[1].apply(p), l.scale))
	across := scaled(vec{l.turn[0][0], l.turn[1][0], l.turn[2][0]}, l.scale)
	set(nutWidth, scaled(across, o.nut))
	set(midWidth, scaled(across, o.mid))
	return dx, dy, off, true
}

func scaled(v vec, k float64) vec { return vec{v[0] * k, v[1] * k, v[2] * k} }
