package reduce

import (
	"math"
	"math/rand/v2"
	"testing"
)

// directIDCT is the defining sum of T.81 section A.3.3, with n samples for n coefficients, in floating point.
func directIDCT(coef *[64]int32, n int) (out [64]float64) {
	c := func(u int) float64 {
		if u == 0 {
			return math.Sqrt2 / 2
		}
		return 1
	}
	cos := func(x, u int) float64 { return math.Cos(float64((2*x+1)*u) * math.Pi / float64(2*n)) }
	for y := range n {
		for x := range n {
			sum := 0.0
			for v := range n {
				for u := range n {
					sum += c(u) * c(v) * float64(coef[8*v+u]) * cos(x, u) * cos(y, v)
				}
			}
			out[n*y+x] = math.Min(math.Max(sum/4+128, 0), 255)
		}
	}
	return out
}

func TestInverseTransformMatchesDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := 1; n <= 8; n++ {
		worst := 0.0
		for round := range 400 {
			var q [64]uint16
			var coef, scaled [64]int32
			for k, at := range natural {
				q[k] = uint16(1 + rng.IntN(30))
				if rng.IntN(3) == 0 {
					coef[at] = int32(rng.IntN(1+600/(k+1)/int(q[k]))) * int32(1-2*rng.IntN(2))
				}
			}
			quant := scaledQuant(&q, n)
			want := coef
			for k, at := range natural {
				scaled[at] = coef[at] * quant[k]
				want[at] *= int32(q[k])
			}
			got := make([]byte, 8*8)
			idcts[n](&scaled, got, 8)
			ref := directIDCT(&want, n)
			for i := range n * n {
				d := math.Abs(float64(got[i/n*8+i%n]) - ref[i])
				worst = max(worst, d)
				if d > 0.6 { // half a level of rounding, and a little of fixed point
					t.Fatalf("size %d, block %d, sample %d: got %d, want %.3f", n, round, i, got[i/n*8+i%n], ref[i])
				}
			}
		}
		t.Logf("size %d: largest error %.3f", n, worst)
	}
}

// The forward transform times the inverse must give the block back.
func TestForwardTransformMatchesDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for round := range 200 {
		var block [64]int32
		var samples [64]float64
		for i := range block {
			v := rng.IntN(256)
			samples[i] = float64(v) - 128
			block[i] = int32(v-128) << fdctBits
		}
		forward8x8(&block)
		for at := range 64 {
			u, v := at&7, at>>3
			sum := 0.0
			for i, s := range samples {
				sum += s * math.Cos(float64((2*(i&7)+1)*u)*math.Pi/16) * math.Cos(float64((2*(i>>3)+1)*v)*math.Pi/16)
			}
			want := sum / 4
			if u == 0 {
				want *= math.Sqrt2 / 2
			}
			if v == 0 {
				want *= math.Sqrt2 / 2
			}
			got := float64(block[at]) / (aan[u] * aan[v] * 8 * (1 << fdctBits))
			if math.Abs(got-want) > 0.3 {
				t.Fatalf("block %d, coefficient %d: got %.3f, want %.3f", round, at, got, want)
			}
		}
	}
}

func TestZigzagIsAPermutation(t *testing.T) {
	var seen [64]bool
	for _, at := range natural {
		if seen[at] {
			t.Fatalf("place %d occurs twice", at)
		}
		seen[at] = true
	}
	// The corners of T.81 figure A.6, read off the figure.
	for k, want := range map[int]uint8{0: 0, 1: 1, 2: 8, 27: 6, 28: 7, 35: 56, 63: 63} {
		if natural[k] != want {
			t.Errorf("zigzag index %d: place %d, want %d", k, natural[k], want)
		}
	}
}
