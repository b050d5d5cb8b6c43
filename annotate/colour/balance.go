package colour

import (
	"errors"
	"math"

	"wornwood/capture/icc"
)

// GreyReflectance is what a grey card is taken to reflect of the light that
// falls on it: 18 per cent, which has an L* of 49.5.
const GreyReflectance = 0.18

var errGrey = errors.New("the grey patch is too dark to balance colours by; choose a grey card in the same light")

// cone is the response matrix of the linear Bradford adaptation (ICC.1:2010
// annex E.3), by which a wrong white is made right.
var cone = [9]float64{0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296}

// balance puts colours in white light of the exposure in which the grey card
// reflects what it should.
type balance struct{ gain [3]float64 }

func coneOf(c Linear) (v [3]float64) {
	x, y, z := icc.LinearToXYZ(c[0], c[1], c[2])
	for i := range v {
		v[i] = cone[3*i]*x + cone[3*i+1]*y + cone[3*i+2]*z
	}
	return v
}

// balanceOn makes the gains that turn the grey patch as read into a neutral of
// the reflectance.
func balanceOn(grey Linear, reflectance float64) (b balance, err error) {
	have, want := coneOf(grey), coneOf(Linear{reflectance, reflectance, reflectance})
	for i := range have {
		if !(have[i] > 1e-3) {
			return balance{}, errGrey
		}
		b.gain[i] = want[i] / have[i]
	}
	return b, nil
}

// of applies the gains.
func (b balance) of(c Linear) Linear {
	v := coneOf(c)
	for i := range v {
		v[i] *= b.gain[i]
	}
	x, y, z := coneInverse(v)
	r, g, bl := icc.XYZToLinear(x, y, z)
	return Linear{r, g, bl}
}

// coneInverse is the inverse of cone, by cofactors.
func coneInverse(v [3]float64) (x, y, z float64) {
	m := &cone
	c := func(a, b, d, e int) float64 { return m[a]*m[e] - m[b]*m[d] }
	det := m[0]*c(4, 5, 7, 8) - m[1]*c(3, 5, 6, 8) + m[2]*c(3, 4, 6, 7)
	x = c(4, 5, 7, 8)*v[0] - c(1, 2, 7, 8)*v[1] + c(1, 2, 4, 5)*v[2]
	y = -c(3, 5, 6, 8)*v[0] + c(0, 2, 6, 8)*v[1] - c(0, 2, 3, 5)*v[2]
	z = c(3, 4, 6, 7)*v[0] - c(0, 1, 6, 7)*v[1] + c(0, 1, 3, 4)*v[2]
	return x / det, y / det, z / det
}

// Without a grey card exposure and white balance are as the camera chose them:
// within half a stop and 15 per cent each way, as ordinary photos are.
const (
	looseEV      = 0.5
	looseBalance = 0.15
)

// loose is how much a difference may be wrong for want of a grey card: the root
// mean square change over exposures and balances spread evenly within the
// bounds (three points of Gauss and Legendre each way).
func loose(p, q Linear, d func(p, q Lab) float64) float64 {
	at := [3]float64{-math.Sqrt(0.6), 0, math.Sqrt(0.6)}
	weight := [3]float64{5.0 / 18, 8.0 / 18, 5.0 / 18}
	base := d(p.Lab(), q.Lab())
	sum := 0.0
	for i, e := range at {
		for j, r := range at {
			for k, b := range at {
				f := math.Exp2(looseEV * e)
				g := balance{[3]float64{f * (1 + looseBalance*r), f, f * (1 + looseBalance*b)}}
				v := d(g.of(p).Lab(), g.of(q).Lab()) - base
				sum += weight[i] * weight[j] * weight[k] * v * v
			}
		}
	}
	return math.Sqrt(sum)
}
