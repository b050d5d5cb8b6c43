package measure

import "math"

// poses is how many unknowns the pose has: spin, place and size.
const poses = dim - firstPose

// poseEquations are the normal equations of the pose alone, once factored in
// the lower triangle of a. The sample spends its time in them, so they are kept
// apart from the equations of the whole view, and small.
type poseEquations struct {
	a    [poses][poses]float64
	b    [poses]float64
	cost float64 // sum of squares of the clicks
}

// explain solves the pose of a drawn camera by a few steps of Gauss and
// Newton, and weighs it: by its cost, and by how much room the pose has.
func (pr *problem) explain(t params, used []bool) (try, bool) {
	lean := math.Hypot(t[tiltX], t[tiltY])
	if lean > steepest {
		return try{}, false
	}
	for range 8 {
		m := pr.poseAt(&t, used)
		if !m.factor() {
			return try{}, false
		}
		step := m.solve()
		gain := 0.0
		for i, s := range step {
			t[firstPose+i] += s
			gain += s * m.b[i]
		}
		if gain < 0.01 { // the step just taken leaves about the square of it
			c := m.cost - gain + pr.prior(&t)
			w := -0.5*c - m.logRoot() - math.Pow(lean/rareTilt, 8)
			return try{t, w, m}, finite(w)
		}
	}
	return try{}, false
}

// poseAt makes the equations about a view.
func (pr *problem) poseAt(t *params, used []bool) (m poseEquations) {
	l := t.lens()
	for i := range pr.obs {
		if !used[i] {
			continue
		}
		o := &pr.obs[i]
		p := o.p
		p[0] += o.nut*t[nutWidth] + o.mid*t[midWidth]
		q := l.place(p)
		px, py, ok := l.see(q)
		if !ok {
			m.cost = math.Inf(1)
			return m
		}
		x, y := q[0]/q[2], q[1]/q[2]
		xx, xy, yy := l.bend(x, y, q[2])
		s := l.turn.apply(vec{-l.scale * p[1], l.scale * p[0], 0})
		e0, g0 := s[0]-x*s[2], s[1]-y*s[2]
		e3, g3 := q[0]-l.shiftX-x*(q[2]-l.f), q[1]-l.shiftY-y*(q[2]-l.f)
		w := &o.w
		u := [poses]float64{w[0] * (xx*e0 + xy*g0), w[0] * xx, w[0] * xy, w[0] * (xx*e3 + xy*g3)}
		v := [poses]float64{w[1]*(xx*e0+xy*g0) + w[2]*(xy*e0+yy*g0), w[1]*xx + w[2]*xy, w[1]*xy + w[2]*yy, w[1]*(xx*e3+xy*g3) + w[2]*(xy*e3+yy*g3)}
		ox, oy := o.x-px, o.y-py
		ox, oy = w[0]*ox, w[1]*ox+w[2]*oy
		m.cost += ox*ox + oy*oy
		for j := range poses {
			for k := 0; k <= j; k++ {
				m.a[j][k] += u[j]*u[k] + v[j]*v[k]
			}
			m.b[j] += u[j]*ox + v[j]*oy
		}
	}
	return m
}

// factor is Cholesky's, in place; false where the pose is not settled.
func (m *poseEquations) factor() bool {
	if math.IsInf(m.cost, 1) {
		return false
	}
	for i := range poses {
		for j := 0; j <= i; j++ {
			s := m.a[i][j]
			for k := 0; k < j; k++ {
				s -= m.a[i][k] * m.a[j][k]
			}
			if i > j {
				m.a[i][j] = s / m.a[j][j]
				continue
			}
			if !(s > 1e-14*m.a[i][i]) || math.IsInf(s, 0) {
				return false
			}
			m.a[i][i] = math.Sqrt(s)
		}
	}
	return true
}

// solve is the step that the factored equations ask for.
func (m *poseEquations) solve() [poses]float64 {
	x := m.b
	for i := range poses {
		for k := 0; k < i; k++ {
			x[i] -= m.a[i][k] * x[k]
		}
		x[i] /= m.a[i][i]
	}
	return m.back(x)
}

// back turns independent numbers of variance 1 into steps with the covariance of the pose.
func (m *poseEquations) back(x [poses]float64) [poses]float64 {
	for i := poses - 1; i >= 0; i-- {
		for k := i + 1; k < poses; k++ {
			x[i] -= m.a[k][i] * x[k]
		}
		x[i] /= m.a[i][i]
	}
	return x
}

// logRoot is the logarithm of the root of the equations' determinant.
func (m *poseEquations) logRoot() float64 {
	s := 0.0
	for i := range poses {
		s += math.Log(m.a[i][i])
	}
	return s
}
