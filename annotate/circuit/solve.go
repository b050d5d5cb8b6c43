package circuit

import (
	"math"
	"math/cmplx"
)

// nodes is a circuit at one frequency: the admittances between its nodes, in
// siemens, and the currents driven into them, for node-voltage analysis. Node
// ground has no row. A chain has at most MaxSources+2 nodes, so plain elimination
// is quick enough and needs no library.
type nodes struct {
	n int
	y [MaxSources + 2][MaxSources + 2]complex128
	i [MaxSources + 2]complex128
}

const ground = -1

// node is a new node's number.
func (s *nodes) node() int { s.n++; return s.n - 1 }

// join puts an admittance between two nodes.
func (s *nodes) join(a, b int, y complex128) {
	if a != ground {
		s.y[a][a] += y
	}
	if b != ground {
		s.y[b][b] += y
	}
	if a != ground && b != ground {
		s.y[a][b] -= y
		s.y[b][a] -= y
	}
}

// solve gives the voltage of one node, by Gaussian elimination with the largest
// pivot of each column. The circuit is passive and each node has a way to
// ground, so a pivot of 0 does not come about.
func (s *nodes) solve(of int) complex128 {
	n := s.n
	for k := range n {
		p := k
		for r := k + 1; r < n; r++ {
			if cmplx.Abs(s.y[r][k]) > cmplx.Abs(s.y[p][k]) {
				p = r
			}
		}
		s.y[k], s.y[p] = s.y[p], s.y[k]
		s.i[k], s.i[p] = s.i[p], s.i[k]
		for r := k + 1; r < n; r++ {
			f := s.y[r][k] / s.y[k][k]
			if f == 0 {
				continue
			}
			for c := k; c < n; c++ {
				s.y[r][c] -= f * s.y[k][c]
			}
			s.i[r] -= f * s.i[k]
		}
	}
	var v [len(s.i)]complex128
	for k := n - 1; k >= 0; k-- {
		sum := s.i[k]
		for c := k + 1; c < n; c++ {
			sum -= s.y[k][c] * v[c]
		}
		v[k] = sum / s.y[k][k]
	}
	return v[of]
}

// Gain is the voltage at the amplifier for one volt in each pickup, at a
// frequency of 0 Hz and more. It is a complex ratio; its angle is the phase.
func (c Chain) Gain(hz float64) complex128 {
	w := 2 * math.Pi * hz
	var s nodes
	joined := s.node()
	for i := range c.Sources {
		src := &c.Sources[i]
		hot := joined
		if src.Volume != nil {
			hot = s.node()
		}
		src.Pickup.drive(&s, hot, w)
		src.put(&s, hot, joined, w)
	}
	out := joined
	if c.Shared.Volume != nil {
		out = s.node()
	}
	c.Shared.put(&s, joined, out, w)
	y := complex(0, w*c.Cable)
	if c.Load > 0 {
		y += complex(1/c.Load, 0)
	}
	s.join(out, ground, y)
	return s.solve(out)
}

// drive puts the pickup on a node: its source and series impedance as a current
// into its admittance (Norton's form), and its capacitance.
func (p *Pickup) drive(s *nodes, hot int, w float64) {
	z := complex(p.Resistance, 0)
	coil := complex(0, w*p.Inductance)
	if p.Loss > 0 {
		coil = coil * complex(p.Loss, 0) / (coil + complex(p.Loss, 0))
	}
	y := 1 / (z + coil)
	s.join(hot, ground, y+complex(0, w*p.Capacitance))
	s.i[hot] += y
}

// put places controls between a hot node and the node that follows, which is
// the same when there is no volume control.
func (k *Controls) put(s *nodes, hot, next int, w float64) {
	if k.Volume != nil {
		s.join(hot, next, complex(1/k.Volume.above(), 0))
		s.join(next, ground, complex(1/k.Volume.below(), 0))
		if k.Bleed != nil {
			s.join(hot, next, k.Bleed.admittance(w))
		}
	}
	at := hot
	if k.ToneAfter {
		at = next
	}
	for _, t := range k.Tones {
		s.join(at, ground, inSeries(t.Pot.below(), t.Capacitance, w))
	}
}

// inSeries is the admittance of a resistance and a capacitance in series. It is
// written without dividing by the frequency, so 0 Hz is an ordinary case.
func inSeries(ohms, farads, w float64) complex128 {
	y := complex(0, w*farads)
	return y / (1 + y*complex(ohms, 0))
}

func (b *Bleed) admittance(w float64) complex128 {
	if b.Series {
		return inSeries(b.Resistance, b.Capacitance, w)
	}
	y := complex(0, w*b.Capacitance)
	if b.Resistance > 0 {
		y += complex(1/b.Resistance, 0)
	}
	return y
}
