package suggest

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestLineFilterMatchesItsDefinition compares running sums over sheared rows
// with the sums written out, in every direction.
func TestLineFilterMatchesItsDefinition(t *testing.T) {
	die := rand.New(rand.NewPCG(1, 9))
	p := newPlane(90, 70)
	for i := range p.v {
		p.v[i] = die.Float32()
	}
	b := newLineTile()
	b.load(p, tile{0, 0, p.w, p.h})
	n := b.side
	for k := range directions {
		b.along(k)
		c, s := bearing(k)
		xx, xy, yy, slope := b.xx, b.xy, b.yy, c/s
		if !steep(k) {
			xx, xy, yy, slope = b.txx, b.txy, b.tyy, s/c
		}
		shift := func(y int) int { return int(math.Floor(slope*float64(y) + 0.5)) }
		for range 200 {
			y, x := lineHalo+die.IntN(tileSide), lineHalo+die.IntN(tileSide)
			sum := 0.0
			for v := y - lineLength/2; v <= y+lineLength/2; v++ {
				i := v*n + x + shift(v) - shift(y)
				sum += s*s*float64(xx[i]) - 2*c*s*float64(xy[i]) + c*c*float64(yy[i])
			}
			if got := float64(b.mean[y*n+x]); math.Abs(got-sum/lineLength) > 2e-5 {
				t.Fatalf("direction %d at %d,%d: %g, by definition %g", k, x, y, got, sum/lineLength)
			}
		}
	}
}

// TestLineFilterOnALine: a line of width w and depth c under a Gaussian of
// variance v has the second derivative c w / (sqrt(2 pi) v^1.5) in its middle
// (the bell's own second derivative); blur, pixels and line add up their
// variances, the second difference takes 1/12 more of each side. A ramp gives
// nothing. Paths of whole pixels cost up to 15 % between the axes and diagonals.
func TestLineFilterOnALine(t *testing.T) {
	for k := range directions {
		c, s := bearing(k)
		p := newPlane(128, 128)
		for y := range p.h {
			for x := range p.w {
				d := -s*(float64(x)-64) + c*(float64(y)-64)
				cover := math.Exp(-d*d/(2*0.25)) / math.Sqrt(2*math.Pi*0.25) // a soft line of variance 0.25 and area 1
				p.v[y*p.w+x] = float32(5 + 0.01*float64(x) - 0.02*float64(y) - 0.2*cover)
			}
		}
		b := newLineTile()
		b.load(p, tile{0, 0, p.w, p.h})
		v := lineBlur*lineBlur + 0.25 + 1.0/6
		want := 0.2 / (math.Sqrt(2*math.Pi) * math.Pow(v, 1.5))
		b.along(k)
		i := (64+lineHalo)*b.side + 64 + lineHalo // the middle, rows and columns exchanged or not
		if got := float64(b.mean[i]); math.Abs(got-want) > 0.18*want {
			t.Errorf("direction %d: %.4f on a line of that direction, expected about %.4f", k, got, want)
		}
		b.along((k + directions/2) % directions)
		if got := float64(b.mean[i]); math.Abs(got) > 0.15*want {
			t.Errorf("direction %d: %.4f across the line, expected next to nothing", k, got)
		}
	}
}

func TestQuantile(t *testing.T) {
	die := rand.New(rand.NewPCG(3, 5))
	for _, sigma := range []float64{0.002, 0.01, 0.05} {
		var bins [barBins]uint32
		for range 20000 {
			bins[barBin(float32(sigma*die.NormFloat64()))]++
		}
		// bellShare: the two-sided 85 % point of the normal distribution.
		if got := float64(quantile(bins[:], barShare)) / bellShare; math.Abs(got-sigma) > 0.06*sigma {
			t.Errorf("noise of %g is taken for %g", sigma, got)
		}
	}
	if math.Abs(math.Erf(bellShare/math.Sqrt2)-barShare) > 1e-4 {
		t.Errorf("%g is not where %g of a bell lie", bellShare, barShare)
	}
}
