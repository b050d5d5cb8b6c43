package measure

import (
	"math"
	"math/rand/v2"

	"wornwood/annotate/shape"
)

// The sample of cameras. Drawing is importance sampling from a mixture of
// Student distributions about the views found (JCGM 101:2008 propagates
// distributions likewise): drawn are the unknowns that clicks may leave open
// (focal length, distortion, tilts, widths), the pose is solved for each, and its own spread is added.
const (
	drawn   = 320 // tries a round
	kept    = 256 // cameras of the sample
	rounds  = 4   // at most
	enough  = 130 // effective tries that end the rounds
	inner   = firstPose
	freedom = 6.0 // of the Student distributions
)

// bell is one Student distribution of the drawn unknowns.
type bell struct {
	mid    params
	shape  *factor               // of the inverse of its covariance
	pose   [poses][inner]float64 // how the pose goes with the drawn unknowns
	weight float64
}

// try is one drawn camera.
type try struct {
	at     params
	logW   float64
	spread poseEquations // at the pose, factored
}

// sample draws the cameras that explain the clicks about as well as the best.
func (pr *problem) sample(f *fitted) []posterior {
	r := rand.New(rand.NewPCG(1, 2))
	bells := pr.bellsOf(f)
	if len(bells) == 0 {
		return nil
	}
	var best []try
	most := 0.0
	for range rounds {
		tries := pr.draw(r, bells, f)
		n := effective(tries)
		if n > most {
			best, most = tries, n
		}
		if most >= enough || n < 3 {
			break
		}
		bells = refined(tries)
	}
	return pr.settle(r, best)
}

// bellsOf makes the first distributions: the curvature about each view found.
func (pr *problem) bellsOf(f *fitted) []bell {
	var out []bell
	for _, m := range f.modes {
		l, ok := m.eq.cholesky(0)
		if !ok {
			continue
		}
		cov := l.inverse()
		b, ok := bellAbout(m.at, cov)
		if !ok {
			continue
		}
		b.weight = math.Exp(-0.5*(m.cost-f.cost)) + 0.02
		out = append(out, b)
	}
	return out
}

// bellAbout is the distribution with a middle and the first block of a covariance.
func bellAbout(mid params, cov [dim][dim]float64) (bell, bool) {
	c := normal{n: inner}
	for i := 0; i < inner; i++ {
		copy(c.a[i][:inner], cov[i][:inner])
	}
	g, ok := c.cholesky(1e-9)
	if !ok {
		return bell{}, false
	}
	inv := normal{n: inner, a: g.inverse()}
	s, ok := inv.cholesky(1e-9)
	b := bell{mid: mid, shape: s, weight: 1}
	for i := range b.pose {
		for j := range b.pose[i] {
			for k := range inner {
				b.pose[i][j] += cov[firstPose+i][k] * inv.a[k][j]
			}
		}
	}
	return b, ok
}

// refined makes the next distribution of the moments of weighted tries.
func refined(tries []try) []bell {
	w := weights(tries)
	var mid params
	for k, t := range tries {
		for i := range mid {
			mid[i] += w[k] * t.at[i]
		}
	}
	var cov [dim][dim]float64
	for k, t := range tries {
		for i := range dim {
			for j := range inner {
				cov[i][j] += w[k] * (t.at[i] - mid[i]) * (t.at[j] - mid[j])
			}
		}
	}
	for i := 0; i < inner; i++ {
		cov[i][i] = cov[i][i]*1.1 + 1e-20
	}
	b, ok := bellAbout(mid, cov)
	if !ok {
		return nil
	}
	return []bell{b}
}

// draw makes one round of tries.
func (pr *problem) draw(r *rand.Rand, bells []bell, f *fitted) []try {
	total := 0.0
	for _, b := range bells {
		total += b.weight
	}
	out := make([]try, 0, drawn)
	for k := range drawn {
		if len(bells) == 0 {
			break
		}
		// Which distribution: evenly spread by their weights.
		at, pick := (float64(k)+0.5)/drawn*total, 0
		for pick < len(bells)-1 && at > bells[pick].weight {
			at -= bells[pick].weight
			pick++
		}
		t := bells[pick].draw(r)
		if tr, ok := pr.explain(t, f.used); ok {
			tr.logW -= density(bells, &t)
			out = append(out, tr)
		}
	}
	return out
}

// draw is one point of the distribution, with the pose that goes with it to first order.
func (b *bell) draw(r *rand.Rand) params {
	var z [dim]float64
	for i := range inner {
		z[i] = r.NormFloat64()
	}
	chi := 0.0
	for range int(freedom) {
		g := r.NormFloat64()
		chi += g * g
	}
	x := b.shape.back(&z)
	t := b.mid
	for i := range inner {
		x[i] *= math.Sqrt(freedom / chi)
		t[i] += x[i]
	}
	for i := range b.pose {
		for j := range b.pose[i] {
			t[firstPose+i] += b.pose[i][j] * x[j]
		}
	}
	return t
}

// density is the logarithm of the mixture's density, but for a constant.
func density(bells []bell, t *params) float64 {
	sum := 0.0
	for _, b := range bells {
		var d [dim]float64
		for i := range inner {
			d[i] = t[i] - b.mid[i]
		}
		m := 0.0
		for j := range inner { // |l' d|²
			v := 0.0
			for i := j; i < inner; i++ {
				v += b.shape.l[i][j] * d[i]
			}
			m += v * v
		}
		sum += b.weight * math.Exp(0.5*b.shape.logDet()-0.5*(freedom+inner)*math.Log1p(m/freedom))
	}
	return math.Log(sum)
}

// weights are the tries' weights, of sum 1.
func weights(tries []try) []float64 {
	top := math.Inf(-1)
	for _, t := range tries {
		top = max(top, t.logW)
	}
	w, sum := make([]float64, len(tries)), 0.0
	for i, t := range tries {
		w[i] = math.Exp(t.logW - top)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// effective is how many equally weighted tries the weighted ones are worth.
func effective(tries []try) float64 {
	s := 0.0
	for _, w := range weights(tries) {
		s += w * w
	}
	if s == 0 {
		return 0
	}
	return 1 / s
}

// settle makes cameras of equal weight of the tries (systematic resampling) and
// gives each what the pose, the known length and the scale's height leave open.
func (pr *problem) settle(r *rand.Rand, tries []try) []posterior {
	if len(tries) == 0 {
		return nil
	}
	w := weights(tries)
	lengths, levels := scores(r, kept), scores(r, kept)
	out := make([]posterior, 0, kept)
	at, sum := 0, w[0]
	for k := range kept {
		for goal := (float64(k) + 0.5) / kept; sum < goal && at < len(tries)-1; sum += w[at] {
			at++
		}
		t := &tries[at]
		var z [poses]float64
		for i := range z {
			z[i] = r.NormFloat64()
		}
		view := t.at
		for i, x := range t.spread.back(z) {
			view[firstPose+i] += x
		}
		out = append(out, posterior{view.lens(), 1 + pr.lengthSD*lengths[k], pr.heightSD * levels[k]})
	}
	return out
}

// scores are n normal numbers, evenly spread and in random order.
func scores(r *rand.Rand, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/float64(n)-1)
	}
	r.Shuffle(n, func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// toMM is the place of a pixel on the plane at height h as this camera of the sample sees it.
// Its origin is the middle of the scale's points.
func (p *posterior) toMM(f *frame, px shape.Pt, h float64) (shape.Pt, bool) {
	x, y := f.pixel(px)
	u, v, ok := p.lens.meet(x, y, h-p.level)
	return shape.Pt{X: u * p.factor, Y: v * p.factor}, ok
}
