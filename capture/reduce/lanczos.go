package reduce

import "math"

// weights of one direction, fixed point of 14 bits; each sample's add up to exactly one, so that flat areas stay flat.
type weights struct {
	taps  int     // per output sample, a multiple of four
	start []int   // first input sample
	w     []int64 // taps for each output sample
	used  []int   // how many of the taps are not padding
}

const weightBits = 14

// lanczos is the three-lobed Lanczos kernel sinc(x) sinc(x/3).
func lanczos(x float64) float64 {
	x = math.Abs(x)
	if x < 1e-9 {
		return 1
	}
	if x >= 3 {
		return 0
	}
	px := math.Pi * x
	return 3 * math.Sin(px) * math.Sin(px/3) / (px * px)
}

// newWeights maps n input samples to m output samples whose centres lie at (i + 0.5 + offset) * ratio. The kernel
// widens with the ratio when reducing and is cut off at the edges.
func newWeights(n, m int, ratio, offset float64) weights {
	wide := max(ratio, 1)
	taps := (min(int(math.Ceil(6*wide)), n) + 3) &^ 3
	t := weights{taps: taps, start: make([]int, m), w: make([]int64, m*taps), used: make([]int, m)}
	raw := make([]float64, 0, taps+4)
	for i := range m {
		centre := (float64(i) + 0.5 + offset) * ratio
		lo := min(max(int(math.Floor(centre-3*wide-0.5))+1, 0), n-1)
		hi := max(min(int(math.Ceil(centre+3*wide-0.5))-1, n-1), lo)
		raw = raw[:0]
		sum := 0.0
		for j := lo; j <= hi && len(raw) < taps; j++ {
			k := lanczos((float64(j) + 0.5 - centre) / wide)
			raw = append(raw, k)
			sum += k
		}
		t.start[i], t.used[i] = lo, len(raw)
		quantise(t.w[i*taps:], raw, sum)
	}
	return t
}

// quantise writes raw/sum in fixed point, giving the rounding error to the largest weight.
func quantise(dst []int64, raw []float64, sum float64) {
	if math.Abs(sum) < 1e-6 {
		dst[0] = 1 << weightBits
		return
	}
	left, largest := int64(1<<weightBits), 0
	for j, k := range raw {
		dst[j] = int64(math.Round(k / sum * (1 << weightBits)))
		left -= dst[j]
		if dst[j] > dst[largest] {
			largest = j
		}
	}
	dst[largest] += left
}

// geometry says how the samples of a source plane lie under those of a result plane, in one direction.
type geometry struct {
	n, m   int     // samples of source and result
	ratio  float64 // source samples per result sample
	offset float64 // of the result's samples, in result samples
}

func (g geometry) identity() bool { return g.n == g.m && g.ratio == 1 && g.offset == 0 }

// scaler resamples one plane. Rows are pushed in one after another; finished rows appear in the result.
//
// Two samples of 32 bits share one 64-bit word, and one multiplication serves both: (a<<32 + b)*w holds a*w above
// b*w, and the borrow of a negative b*w is undone when the two are taken apart. First two rows at a time are reduced
// across, then two columns at a time down.
type scaler struct {
	across, down weights
	n            int
	copyOnly     bool

	pair []uint64  // the last one or two rows pushed, two rows to a word
	ring [][]int64 // reduced rows, two columns to a word, six bits of fraction
	acc  []int64

	rows, have, next int // source rows in all, pushed, and result rows done
	dst              []byte
	stride, m, mRows int
}

// newScaler writes the result to dst.
func newScaler(x, y geometry, dst []byte, stride int) *scaler {
	s := &scaler{n: x.n, rows: y.n, dst: dst, stride: stride, m: x.m, mRows: y.m}
	if x.identity() && y.identity() {
		s.copyOnly = true
		return s
	}
	s.across, s.down = newWeights(x.n, x.m, x.ratio, x.offset), newWeights(y.n, y.m, y.ratio, y.offset)
	s.pair = make([]uint64, x.n+s.across.taps)
	s.ring = make([][]int64, s.down.taps+2)
	half := (x.m + 1) / 2
	store := make([]int64, half*len(s.ring))
	for i := range s.ring {
		s.ring[i] = store[i*half:][:half:half]
	}
	s.acc = make([]int64, half)
	return s
}

// push takes the next row; it may be longer than the plane is wide.
func (s *scaler) push(row []byte) {
	if s.have >= s.rows {
		return
	}
	row = row[:s.n]
	s.have++
	if s.copyOnly {
		copy(s.dst[s.next*s.stride:][:s.m], row)
		s.next++
		return
	}
	pair := s.pair[:len(row)]
	if s.have&1 == 1 {
		for i, v := range row {
			pair[i] = uint64(v)
		}
		if s.have < s.rows {
			return
		}
	} else {
		for i, v := range row {
			pair[i] |= uint64(v) << 32
		}
	}
	s.reduceAcross()
	for s.next < s.mRows && s.down.start[s.next]+s.down.used[s.next] <= s.have {
		s.reduceDown()
		s.next++
	}
}

// reduceAcross resamples the pair of rows into the ring.
func (s *scaler) reduceAcross() {
	first := (s.have - 1) &^ 1
	a, b := s.ring[first%len(s.ring)], s.ring[(first+1)%len(s.ring)]
	const half = 1 << 7
	for i := range a {
		x := 2 * i
		p := s.dot(x)
		var q int64
		if x+1 < s.m {
			q = s.dot(x + 1)
		}
		p0, q0 := int64(int32(p)), int64(int32(q))
		p1, q1 := (p-p0)>>32, (q-q0)>>32
		a[i] = (p0+half)>>8 + (q0+half)>>8<<32
		b[i] = (p1+half)>>8 + (q1+half)>>8<<32
	}
}

// dot is the weighted sum for output column x, of both rows.
func (s *scaler) dot(x int) int64 {
	taps := s.across.taps
	p := s.pair[s.across.start[x]:][:taps]
	w := s.across.w[x*taps:][:taps]
	if taps == 8 {
		p, w := (*[8]uint64)(p), (*[8]int64)(w)
		return int64(p[0])*w[0] + int64(p[1])*w[1] + int64(p[2])*w[2] + int64(p[3])*w[3] +
			int64(p[4])*w[4] + int64(p[5])*w[5] + int64(p[6])*w[6] + int64(p[7])*w[7]
	}
	var sum int64
	for len(p) >= 4 && len(w) >= 4 {
		sum += int64(p[0])*w[0] + int64(p[1])*w[1] + int64(p[2])*w[2] + int64(p[3])*w[3]
		p, w = p[4:], w[4:]
	}
	return sum
}

// reduceDown makes result row next from the ring.
func (s *scaler) reduceDown() {
	taps, start := s.down.taps, s.down.start[s.next]
	w := s.down.w[s.next*taps:][:taps]
	ring := func(t int) []int64 { return s.ring[(start+t)%len(s.ring)] }
	for t := 0; t+4 < taps; t += 4 {
		add4(s.acc, ring(t), ring(t+1), ring(t+2), ring(t+3), w[t:t+4], t == 0)
	}
	t := taps - 4
	finish4(s.dst[s.next*s.stride:][:s.m], s.acc, ring(t), ring(t+1), ring(t+2), ring(t+3), w[t:t+4], t == 0)
}

// add4 adds four weighted rows to acc, or sets it to them.
func add4(acc, r0, r1, r2, r3, w []int64, set bool) {
	r0, r1, r2, r3 = r0[:len(acc)], r1[:len(acc)], r2[:len(acc)], r3[:len(acc)]
	w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
	if set {
		for i := range acc {
			acc[i] = r0[i]*w0 + r1[i]*w1 + r2[i]*w2 + r3[i]*w3
		}
		return
	}
	for i := range acc {
		acc[i] += r0[i]*w0 + r1[i]*w1 + r2[i]*w2 + r3[i]*w3
	}
}

// finish4 adds the last four rows and writes samples. With set, acc holds nothing yet.
func finish4(dst []byte, acc, r0, r1, r2, r3, w []int64, set bool) {
	const half, shift = 1 << (weightBits + 5), weightBits + 6
	r0, r1, r2, r3 = r0[:len(acc)], r1[:len(acc)], r2[:len(acc)], r3[:len(acc)]
	w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
	if set {
		clear(acc)
	}
	for i := range len(dst) / 2 {
		v := acc[i] + r0[i]*w0 + r1[i]*w1 + r2[i]*w2 + r3[i]*w3
		lo := int32(v)
		hi := int32((v - int64(lo)) >> 32)
		d := dst[2*i : 2*i+2 : 2*i+2]
		d[0], d[1] = clamp8((lo+half)>>shift), clamp8((hi+half)>>shift)
	}
	if i := len(dst) - 1; i&1 == 0 {
		h := i / 2
		v := acc[h] + r0[h]*w0 + r1[h]*w1 + r2[h]*w2 + r3[h]*w3
		dst[i] = clamp8((int32(v) + half) >> shift)
	}
}
