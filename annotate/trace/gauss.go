package trace

import "math"

// gauss is a normal distribution of colours.
type gauss struct {
	mean  lab
	chol  [6]float32 // the inverse of the covariance's Cholesky factor: rows 0, 1 0, 2 1 0
	scale float32    // log of its density at the mean
	sigma [3]float64 // standard deviations of the channels
}

// noiseFloor keeps a distribution from being narrower than photos are true:
// the standard deviation in each channel.
var noiseFloor = [3]float64{1.2, 0.9, 0.9}

// log is the logarithm of the density at c, per unit of CIELAB cubed.
func (g *gauss) log(c lab) float32 { return g.scale - 0.5*g.mahal2(c) }

// mahal2 is the square of the distance from the mean in standard deviations.
func (g *gauss) mahal2(c lab) float32 {
	d := c.sub(g.mean)
	u := g.chol[0] * d.L
	v := g.chol[1]*d.L + g.chol[2]*d.A
	w := g.chol[3]*d.L + g.chol[4]*d.A + g.chol[5]*d.B
	return u*u + v*v + w*w
}

// moments add colours up to their mean and covariance.
type moments struct {
	n    float64
	mean [3]float64 // sums until gauss divides them
	sq   [6]float64 // LL, LA, AA, LB, AB, BB
}

func (m *moments) add(c lab) {
	l, a, b := float64(c.L), float64(c.A), float64(c.B)
	m.n++
	m.mean[0] += l
	m.mean[1] += a
	m.mean[2] += b
	m.sq[0] += l * l
	m.sq[1] += l * a
	m.sq[2] += a * a
	m.sq[3] += l * b
	m.sq[4] += a * b
	m.sq[5] += b * b
}

func (m *moments) join(o *moments) {
	m.n += o.n
	for i := range m.mean {
		m.mean[i] += o.mean[i]
	}
	for i := range m.sq {
		m.sq[i] += o.sq[i]
	}
}

// gauss is the normal distribution with the moments, its variances raised by
// the square of the floor. Without any colour it is black with that spread.
func (m *moments) gauss(floor [3]float64) gauss {
	n := max(1, m.n)
	mu := [3]float64{m.mean[0] / n, m.mean[1] / n, m.mean[2] / n}
	c := [6]float64{
		m.sq[0]/n - mu[0]*mu[0], m.sq[1]/n - mu[0]*mu[1], m.sq[2]/n - mu[1]*mu[1],
		m.sq[3]/n - mu[0]*mu[2], m.sq[4]/n - mu[1]*mu[2], m.sq[5]/n - mu[2]*mu[2],
	}
	c[0] = max(0, c[0]) + floor[0]*floor[0]
	c[2] = max(0, c[2]) + floor[1]*floor[1]
	c[5] = max(0, c[5]) + floor[2]*floor[2]
	// Cholesky, each pivot at least a tenth of its floor in case of rounding.
	l00 := math.Sqrt(c[0])
	l10 := c[1] / l00
	l11 := math.Sqrt(max(c[2]-l10*l10, 0.01*floor[1]*floor[1]))
	l20 := c[3] / l00
	l21 := (c[4] - l20*l10) / l11
	l22 := math.Sqrt(max(c[5]-l20*l20-l21*l21, 0.01*floor[2]*floor[2]))
	i00, i11, i22 := 1/l00, 1/l11, 1/l22
	i10 := -l10 * i00 * i11
	i21 := -l21 * i11 * i22
	i20 := -(l20*i00 + l21*i10) * i22
	return gauss{
		mean:  lab{float32(mu[0]), float32(mu[1]), float32(mu[2])},
		chol:  [6]float32{float32(i00), float32(i10), float32(i11), float32(i20), float32(i21), float32(i22)},
		scale: float32(math.Log(i00*i11*i22) - 1.5*math.Log(2*math.Pi)),
		sigma: [3]float64{math.Sqrt(c[0]), math.Sqrt(c[2]), math.Sqrt(c[5])},
	}
}

// mixture is several normal distributions with their shares.
type mixture struct {
	parts []gauss
	share []float32 // logarithms
}

// log is the logarithm of the density at c, of the nearest part alone.
func (m *mixture) log(c lab) float32 {
	best := float32(math.Inf(-1))
	for i := range m.parts {
		best = max(best, m.share[i]+m.parts[i].log(c))
	}
	return best
}

// mix fits a mixture of up to k parts to the colours: the widest part is split
// along its longest axis until there are k (Orchard and Bouman 1991), then a few
// rounds of hard assignment. It is the same for the same colours in the same order.
func mix(colours []lab, k int, floor [3]float64) *mixture {
	label := make([]int, len(colours))
	m := &mixture{}
	m.refit(colours, label, 1, floor)
	for n := 1; n < k; n++ {
		i, axis := m.widest()
		if i < 0 {
			break
		}
		split(colours, label, i, n, axis, &m.parts[i])
		for range 4 {
			m.refit(colours, label, n+1, floor)
			m.assign(colours, label)
		}
	}
	m.refit(colours, label, len(m.parts), floor)
	return m
}

// widest is the part and channel with the most spread in total, -1 when none is wider
// than noise.
func (m *mixture) widest() (part, axis int) {
	part = -1
	most := 0.0
	for i := range m.parts {
		for c, s := range m.parts[i].sigma {
			total := s * s * math.Exp(float64(m.share[i]))
			if s > 2*noiseFloor[c] && total > most {
				part, axis, most = i, c, total
			}
		}
	}
	return part, axis
}

func split(colours []lab, label []int, from, to, axis int, g *gauss) {
	for i, c := range colours {
		if label[i] != from {
			continue
		}
		d := c.sub(g.mean)
		if [3]float32{d.L, d.A, d.B}[axis] > 0 {
			label[i] = to
		}
	}
}

func (m *mixture) refit(colours []lab, label []int, k int, floor [3]float64) {
	sums := make([]moments, k)
	for i, c := range colours {
		sums[label[i]].add(c)
	}
	m.parts, m.share = make([]gauss, k), make([]float32, k)
	for i := range sums {
		m.parts[i] = sums[i].gauss(floor)
		m.share[i] = float32(math.Log((sums[i].n + 1e-3) / (float64(len(colours)) + 1e-3)))
	}
}

func (m *mixture) assign(colours []lab, label []int) {
	for i, c := range colours {
		best := float32(math.Inf(-1))
		for j := range m.parts {
			if v := m.share[j] + m.parts[j].log(c); v > best {
				best, label[i] = v, j
			}
		}
	}
}
