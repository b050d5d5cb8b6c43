package outline

import (
	"wornwood/annotate/shape"
)

// inset is the ring or run of curves as points d mm to its inner side, the
// right-hand side of travel for a clockwise ring.
func inset(curves []shape.Curve, d float64) []shape.Pt {
	var line []shape.Pt
	for _, c := range curves {
		steps := 4 + int(shape.Dist(c.P[0], c.P[3])/2)
		for i := range steps {
			t := (float64(i) + 0.5) / float64(steps)
			before, after := c.At(t-0.01), c.At(t+0.01)
			l := shape.Dist(before, after)
			if l == 0 {
				continue
			}
			n := shape.Pt{X: -(after.Y - before.Y) / l, Y: (after.X - before.X) / l}
			line = append(line, shape.Add(c.At(t), shape.Mul(n, d)))
		}
	}
	return line
}

// insetRing is inset for a closed ring that may have corners: the runs between
// corners are cut where they meet, so that the line does not cross itself.
func insetRing(ring []shape.Curve, d float64) []shape.Pt {
	runs := smoothRuns(ring)
	if len(runs) == 1 {
		return inset(ring, d)
	}
	var lines [][]shape.Pt
	for _, r := range runs {
		// The cut tip of a corner is shorter than the border is wide: its
		// neighbours meet behind it.
		if len(r) > 1 || shape.Dist(r[0].P[0], r[0].P[3]) > 2.5*d {
			lines = append(lines, inset(r, d))
		}
	}
	for i := range lines {
		j := (i + 1) % len(lines)
		lines[i], lines[j] = meet(lines[i], lines[j], 8*d)
	}
	var out []shape.Pt
	for _, l := range lines {
		out = append(out, l...)
	}
	return out
}

// smoothRuns parts a closed ring at its corners of more than ten degrees.
func smoothRuns(ring []shape.Curve) [][]shape.Curve {
	const sharp = 0.17
	first := -1
	corner := make([]bool, len(ring)) // before the curve
	for i, c := range ring {
		before := ring[(i+len(ring)-1)%len(ring)]
		in, out := shape.Sub(before.P[3], before.P[2]), shape.Sub(c.P[1], c.P[0])
		corner[i] = turn(in, out) > sharp
		if corner[i] && first < 0 {
			first = i
		}
	}
	if first < 0 {
		return [][]shape.Curve{ring}
	}
	var runs [][]shape.Curve
	for i := range ring {
		k := (first + i) % len(ring)
		if corner[k] {
			runs = append(runs, nil)
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], ring[k])
	}
	return runs
}

// meet cuts the end of a and the start of b where they cross, looking no
// farther than reach along each. Lines that do not cross are left: the ring
// then runs straight from one to the other.
func meet(a, b []shape.Pt, reach float64) (left, right []shape.Pt) {
	for i, run := len(a)-1, 0.0; i > 0 && run < reach; i-- {
		run += shape.Dist(a[i], a[i-1])
		for j, other := 1, 0.0; j < len(b) && other < reach; j++ {
			other += shape.Dist(b[j], b[j-1])
			if p, ok := shape.Meet(a[i-1], a[i], b[j-1], b[j]); ok {
				return append(append([]shape.Pt(nil), a[:i]...), p), b[j:]
			}
		}
	}
	return a, b
}
