package colour

import (
	"math"
	"slices"
)

// A broad sheen, the mirror image of a window or a bright wall, lies over a
// patch like a veil and cannot be told pixel by pixel. But it is seldom even:
// the patch's colour then changes from one part to another. Two figures look
// for that. Quarters is how far the four quarters of the patch are apart. Trend
// is how far the colour drifts across the patch when the direction of colour in
// which the grain of the wood goes has been taken out, since grain too differs
// from quarter to quarter.

const (
	// sheenQuarters is the CIEDE2000 between two quarters of a patch without
	// grain from which on a broad sheen is suspected.
	sheenQuarters = 3
	// sheenTrend is the drift dE*ab across a patch from which on a broad sheen
	// is suspected.
	sheenTrend = 2.5
	// sheenTimes is how many times the colour must drift further than chance
	// makes it: wood of more than one hue drifts as well. Chance is what is
	// left from tile to tile, divided by the square root of their number.
	sheenTimes = 48
	// grained is the spread of L* between the tiles of a patch from which on it
	// counts as grained.
	grained = 0.45
)

// tiles is into how many tiles a side a patch's box is cut.
const tiles = 12

// tile is the median colour of a small square of a patch. Its middle is given
// from -1 to 1 across the patch's box.
type tile struct {
	x, y float64
	lab  [3]float64
}

// evenness is how even a patch's colour is.
type evenness struct {
	quarters float64 // largest CIEDE2000 between two quarters
	trend    float64 // dE*ab that the colour drifts across the patch, across the grain's direction of colour
	chance   float64 // dE*ab by which a smooth colour would drift by chance, see sheenTimes
	grain    float64 // standard deviation of L* from tile to tile about the drift
}

// broadSheen tells whether the patch should be read with suspicion.
func (e evenness) broadSheen() bool {
	return e.trend > max(sheenTrend, sheenTimes*e.chance) || e.grain < grained && e.quarters > sheenQuarters
}

// evennessOf looks at all usable pixels, highlights included: medians do not
// mind small ones. It is zero for a patch too small to be divided.
func evennessOf(s []sample) (e evenness) {
	ts := tilesOf(s)
	if len(ts) < 16 {
		return e
	}
	e.quarters = quarters(ts)
	drift, rest := fitDrift(ts)
	var l []float64
	for _, r := range rest {
		l = append(l, r[0])
	}
	_, e.grain = medianDeviation(l)
	d := mainDirection(rest)
	e.trend = rangeAcross(drift, d)
	cross := 0.0
	for _, r := range rest {
		k := dot(r, d)
		cross += max(0, dot(r, r)-k*k) / float64(len(rest))
	}
	e.chance = math.Sqrt(cross / float64(len(rest)))
	return e
}

// tilesOf cuts the patch's box into tiles and drops those that hold little.
func tilesOf(s []sample) []tile {
	if len(s) == 0 {
		return nil
	}
	x0, y0, x1, y1 := s[0].x, s[0].y, s[0].x, s[0].y
	for i := range s {
		x0, y0, x1, y1 = min(x0, s[i].x), min(y0, s[i].y), max(x1, s[i].x), max(y1, s[i].y)
	}
	n := min(tiles, int(math.Sqrt(float64(len(s))/12)))
	if n < 4 {
		return nil
	}
	cells := make([][]Lab, n*n)
	for i := range s {
		k := (s[i].y-y0)*n/(y1-y0+1)*n + (s[i].x-x0)*n/(x1-x0+1)
		cells[k] = append(cells[k], s[i].lab)
	}
	var out []tile
	for k, c := range cells {
		if len(c) < 6 {
			continue
		}
		m := medianLab(c)
		out = append(out, tile{x: (2*float64(k%n)+1)/float64(n) - 1, y: (2*float64(k/n)+1)/float64(n) - 1, lab: [3]float64{m.L, m.A, m.B}})
	}
	return out
}

func medianLab(c []Lab) Lab {
	v := make([]float64, len(c))
	var m [3]float64
	for k := range m {
		for i := range c {
			v[i] = [3]float64{c[i].L, c[i].A, c[i].B}[k]
		}
		m[k] = median(v)
	}
	return Lab{m[0], m[1], m[2]}
}

// quarters is the largest CIEDE2000 between the medians of the tiles left and
// right, above and below of their middle.
func quarters(ts []tile) float64 {
	cx, cy := 0.0, 0.0
	for _, t := range ts {
		cx, cy = cx+t.x/float64(len(ts)), cy+t.y/float64(len(ts))
	}
	var part [4][]Lab
	for _, t := range ts {
		k := 0
		if t.x > cx {
			k++
		}
		if t.y > cy {
			k += 2
		}
		part[k] = append(part[k], Lab{t.lab[0], t.lab[1], t.lab[2]})
	}
	most := 0.0
	for i, p := range part {
		for _, q := range part[:i] {
			if len(p) > 1 && len(q) > 1 {
				most = max(most, DE2000(medianLab(p), medianLab(q)))
			}
		}
	}
	return most
}

// terms of the smooth surface that is fitted to a patch's colour.
func terms(t tile) [6]float64 {
	return [6]float64{1, t.x, t.y, t.x * t.x, t.x * t.y, t.y * t.y}
}

// fitDrift fits a quadratic surface to each axis of colour by least squares:
// its values at the tiles, and what is left of them.
func fitDrift(ts []tile) (drift, rest [][3]float64) {
	var m [6][9]float64
	for _, t := range ts {
		b := terms(t)
		for i := range b {
			for j := range b {
				m[i][j] += b[i] * b[j]
			}
			for k := range 3 {
				m[i][6+k] += b[i] * t.lab[k]
			}
		}
	}
	solve(&m)
	for _, t := range ts {
		b := terms(t)
		var d, r [3]float64
		for k := range 3 {
			for i := range b {
				d[k] += b[i] * m[i][6+k]
			}
			r[k] = t.lab[k] - d[k]
		}
		drift, rest = append(drift, d), append(rest, r)
	}
	return drift, rest
}

// solve turns the left part of m into the unit matrix by elimination with the
// largest pivot; a direction that nothing determines gets 0.
func solve(m *[6][9]float64) {
	scale := m[0][0]
	for i := range m {
		p := i
		for j := i; j < len(m); j++ {
			if math.Abs(m[j][i]) > math.Abs(m[p][i]) {
				p = j
			}
		}
		m[i], m[p] = m[p], m[i]
		f := 0.0
		if math.Abs(m[i][i]) > 1e-9*scale {
			f = 1 / m[i][i]
		}
		for k := range m[i] {
			m[i][k] *= f
		}
		for j := range m {
			if j == i {
				continue
			}
			f := m[j][i]
			for k := range m[j] {
				m[j][k] -= f * m[i][k]
			}
		}
	}
}

// mainDirection is the direction in which vectors spread most: the first
// principal axis, by power iteration. On wood it is the way from the light to
// the dark of the grain.
func mainDirection(v [][3]float64) (d [3]float64) {
	var cov [3][3]float64
	for _, r := range v {
		for i := range 3 {
			for j := range 3 {
				cov[i][j] += r[i] * r[j]
			}
		}
	}
	d = [3]float64{1, 0.3, 0.3}
	for range 40 {
		var e [3]float64
		for i := range 3 {
			e[i] = cov[i][0]*d[0] + cov[i][1]*d[1] + cov[i][2]*d[2]
		}
		n := math.Sqrt(dot(e, e))
		if n == 0 {
			return [3]float64{}
		}
		d = [3]float64{e[0] / n, e[1] / n, e[2] / n}
	}
	return d
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// rangeAcross is the largest distance of two vectors after their part along d
// has been taken out.
func rangeAcross(v [][3]float64, d [3]float64) float64 {
	flat := slices.Clone(v)
	for i, p := range flat {
		k := dot(p, d)
		flat[i] = [3]float64{p[0] - k*d[0], p[1] - k*d[1], p[2] - k*d[2]}
	}
	most := 0.0
	for i, p := range flat {
		for _, q := range flat[:i] {
			e := [3]float64{p[0] - q[0], p[1] - q[1], p[2] - q[2]}
			most = max(most, dot(e, e))
		}
	}
	return math.Sqrt(most)
}
