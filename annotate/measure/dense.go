package measure

import "math"

// dim is the largest number of unknowns of a fit.
const dim = 10

// normal is a set of normal equations: a x = b for n unknowns.
type normal struct {
	n int
	a [dim][dim]float64
	b [dim]float64
}

// add takes in one observation: its derivatives by the unknowns and what it
// is off by, both in units of its standard uncertainty.
func (m *normal) add(d *[dim]float64, off float64) {
	for i := 0; i < m.n; i++ {
		if d[i] == 0 {
			continue
		}
		for j := 0; j <= i; j++ {
			m.a[i][j] += d[i] * d[j]
		}
		m.b[i] += d[i] * off
	}
}

// factor is a lower triangle l with l l' = a.
type factor struct {
	n int
	l [dim][dim]float64
}

// cholesky factors the equations with their diagonal raised by the share damp.
// It is false where they do not settle every unknown.
func (m *normal) cholesky(damp float64) (*factor, bool) {
	f := &factor{n: m.n}
	for i := 0; i < m.n; i++ {
		for j := 0; j <= i; j++ {
			s := m.a[i][j]
			if i == j {
				s *= 1 + damp
			}
			whole := s
			for k := 0; k < j; k++ {
				s -= f.l[i][k] * f.l[j][k]
			}
			if i > j {
				f.l[i][j] = s / f.l[j][j]
				continue
			}
			if !(s > 1e-14*whole) || math.IsInf(s, 0) {
				return nil, false
			}
			f.l[i][i] = math.Sqrt(s)
		}
	}
	return f, true
}

// solve is the x with a x = b.
func (f *factor) solve(b *[dim]float64) [dim]float64 {
	x := *b
	for i := 0; i < f.n; i++ {
		for k := 0; k < i; k++ {
			x[i] -= f.l[i][k] * x[k]
		}
		x[i] /= f.l[i][i]
	}
	return f.back(&x)
}

// back is the x with l' x = z: where z are independent and of variance 1, x
// has the covariance that is the inverse of a.
func (f *factor) back(z *[dim]float64) [dim]float64 {
	x := *z
	for i := f.n - 1; i >= 0; i-- {
		for k := i + 1; k < f.n; k++ {
			x[i] -= f.l[k][i] * x[k]
		}
		x[i] /= f.l[i][i]
	}
	return x
}

// logDet is the logarithm of the determinant of a.
func (f *factor) logDet() float64 {
	s := 0.0
	for i := 0; i < f.n; i++ {
		s += 2 * math.Log(f.l[i][i])
	}
	return s
}

// inverse is the inverse of a.
func (f *factor) inverse() [dim][dim]float64 {
	var out [dim][dim]float64
	for j := 0; j < f.n; j++ {
		var e [dim]float64
		e[j] = 1
		x := f.solve(&e)
		for i := 0; i < f.n; i++ {
			out[i][j] = x[i]
		}
	}
	return out
}

// least is the unit vector that a symmetric matrix shrinks most: its last
// eigenvector, by Jacobi's rotations.
func least(a [9][9]float64) [9]float64 {
	var v [9][9]float64
	for i := range v {
		v[i][i] = 1
	}
	whole := 0.0
	for _, row := range a {
		for _, x := range row {
			whole += x * x
		}
	}
	for range 40 {
		off := 0.0
		for p := 0; p < 9; p++ {
			for q := p + 1; q < 9; q++ {
				off += a[p][q] * a[p][q]
				turn(&a, &v, p, q)
			}
		}
		if !(off > 1e-34*whole) {
			break
		}
	}
	best := 0
	for i := range a {
		if a[i][i] < a[best][best] {
			best = i
		}
	}
	var out [9]float64
	for i := range out {
		out[i] = v[i][best]
	}
	return out
}

// turn is one of Jacobi's rotations: it makes a[p][q] zero.
func turn(a, v *[9][9]float64, p, q int) {
	if a[p][q] == 0 {
		return
	}
	theta := (a[q][q] - a[p][p]) / (2 * a[p][q])
	t := 1 / (math.Abs(theta) + math.Hypot(theta, 1))
	if theta < 0 {
		t = -t
	}
	c := 1 / math.Hypot(t, 1)
	s := t * c
	for k := 0; k < 9; k++ {
		x, y := a[k][p], a[k][q]
		a[k][p], a[k][q] = c*x-s*y, s*x+c*y
	}
	for k := 0; k < 9; k++ {
		x, y := a[p][k], a[q][k]
		a[p][k], a[q][k] = c*x-s*y, s*x+c*y
		x, y = v[k][p], v[k][q]
		v[k][p], v[k][q] = c*x-s*y, s*x+c*y
	}
}
