package sound

import "math"

// thinner keeps every factor-th sample behind a low-pass of windowed sinc, so
// that nothing above half the new rate folds down.
type thinner struct {
	factor int
	taps   []float32
	hist   []float32 // samples not yet used up, the oldest first
}

const lobes = 24 // of the sinc on either side; with a Blackman window 0.8 of the new band passes

func newThinner(factor int) *thinner {
	t := &thinner{factor: max(1, factor)}
	if t.factor == 1 {
		return t
	}
	half := lobes * t.factor
	sum := 0.0
	h := make([]float64, 2*half+1)
	for i := range h {
		x := float64(i-half) / float64(t.factor) * 0.9
		w := float64(i) / float64(len(h)-1)
		h[i] = sinc(x) * (0.42 - 0.5*math.Cos(2*math.Pi*w) + 0.08*math.Cos(4*math.Pi*w))
		sum += h[i]
	}
	for _, v := range h {
		t.taps = append(t.taps, float32(v/sum))
	}
	t.hist = make([]float32, half) // the first output lies on the first sample
	return t
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

// push takes samples and appends what comes of them.
func (t *thinner) push(out, in []float32) []float32 {
	if t.factor == 1 {
		return append(out, in...)
	}
	t.hist = append(t.hist, in...)
	at := 0
	for ; at+len(t.taps) <= len(t.hist); at += t.factor {
		var v float32
		for i, h := range t.taps {
			v += h * t.hist[at+i]
		}
		out = append(out, v)
	}
	t.hist = append(t.hist[:0], t.hist[at:]...)
	return out
}

// end appends what the last samples give.
func (t *thinner) end(out []float32) []float32 {
	if t.factor == 1 {
		return out
	}
	return t.push(out, make([]float32, len(t.taps)/2))
}

// Reduced is the clip thinned out to a whole fraction of its rate that is not
// below least; the clip itself where no fraction is.
func (c *Clip) Reduced(least int) *Clip {
	f := c.Rate / max(1, least)
	if f < 2 {
		return c
	}
	t := newThinner(f)
	out := make([]float32, 0, len(c.Samples)/f+2)
	return &Clip{Info: c.Info, Rate: c.Rate / f, Samples: t.end(t.push(out, c.Samples))}
}
