package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// StrokeRings is the outline of a stroke of the width along the line, as rings
// to be filled by the non-zero rule: round joins, and round or flat ends. A
// closed line (its first point repeated at its end) gives an outer and an
// inner ring.
func StrokeRings(line []shape.Pt, width float64, flatEnds bool) [][]shape.Pt {
	pts := withoutRepeats(line)
	half := width / 2
	if len(pts) == 0 || !(half > 0) {
		return nil
	}
	if len(pts) == 1 {
		if flatEnds {
			return nil
		}
		return [][]shape.Pt{arc(nil, pts[0], half, 0, 2*math.Pi)}
	}
	if n := len(pts); n > 3 && pts[0] == pts[n-1] {
		ring := pts[:n-1]
		return [][]shape.Pt{offsetRing(ring, half), offsetRing(reversed(ring), half)}
	}
	back := reversed(pts)
	var out []shape.Pt
	out = offsetSide(out, pts, half)
	out = endCap(out, pts[len(pts)-2], pts[len(pts)-1], half, flatEnds)
	out = offsetSide(out, back, half)
	out = endCap(out, back[len(back)-2], back[len(back)-1], half, flatEnds)
	return [][]shape.Pt{out}
}

// withoutRepeats drops points that lie on the one before.
func withoutRepeats(line []shape.Pt) []shape.Pt {
	var out []shape.Pt
	for _, p := range line {
		if len(out) == 0 || shape.Dist(out[len(out)-1], p) > 1e-6 {
			out = append(out, p)
		}
	}
	// The last point decides whether the line is closed, so it stays exact.
	if n := len(out); n > 1 && line[0] == line[len(line)-1] {
		out[n-1] = line[0]
		if shape.Dist(out[n-2], out[n-1]) <= 1e-6 {
			out = append(out[:n-2], line[0])
		}
	}
	return out
}

func reversed(line []shape.Pt) []shape.Pt {
	out := make([]shape.Pt, len(line))
	for i, p := range line {
		out[len(line)-1-i] = p
	}
	return out
}

// normal is the step of the length half to the left of the way from p to q as
// seen (Y down).
func normal(p, q shape.Pt, half float64) shape.Pt {
	d := shape.Sub(q, p)
	n := math.Hypot(d.X, d.Y)
	return shape.Pt{X: d.Y / n * half, Y: -d.X / n * half}
}

// offsetSide appends the left side of an open line, joins included.
func offsetSide(out, pts []shape.Pt, half float64) []shape.Pt {
	n := normal(pts[0], pts[1], half)
	out = append(out, shape.Add(pts[0], n))
	for i := 1; i+1 < len(pts); i++ {
		out = join(out, pts[i-1], pts[i], pts[i+1], half)
	}
	last := len(pts) - 1
	return append(out, shape.Add(pts[last], normal(pts[last-1], pts[last], half)))
}

// offsetRing is the left side of a closed ring.
func offsetRing(ring []shape.Pt, half float64) []shape.Pt {
	var out []shape.Pt
	n := len(ring)
	for i := range ring {
		out = join(out, ring[(i+n-1)%n], ring[i], ring[(i+1)%n], half)
	}
	return out
}

// join appends the left side of the corner at b: an arc on the outside of the
// turn; on the inside the corner itself, which keeps the winding whole where
// the two sides cross.
func join(out []shape.Pt, a, b, c shape.Pt, half float64) []shape.Pt {
	n0, n1 := normal(a, b, half), normal(b, c, half)
	sin, cos := n0.X*n1.Y-n0.Y*n1.X, n0.X*n1.X+n0.Y*n1.Y
	if math.Abs(sin) < 0.15*cos { // nearly straight: a flattened curve
		return append(out, shape.Add(b, n0), shape.Add(b, n1))
	}
	turn := math.Atan2(sin, cos)
	if turn < 0 {
		return append(out, shape.Add(b, n0), b, shape.Add(b, n1))
	}
	return arc(out, b, half, math.Atan2(n0.Y, n0.X), turn)
}

// endCap appends the end of a line that comes from p and ends at q.
func endCap(out []shape.Pt, p, q shape.Pt, half float64, flat bool) []shape.Pt {
	if flat {
		return out
	}
	n := normal(p, q, half)
	return arc(out, q, half, math.Atan2(n.Y, n.X), math.Pi)
}

// arc appends points on a circle; a step strays at most 0.05 units from it.
func arc(out []shape.Pt, c shape.Pt, r, from, sweep float64) []shape.Pt {
	step := math.Pi / 4
	if r > 0.05 {
		step = math.Min(step, 2*math.Acos(1-0.05/r))
	}
	n := max(1, int(math.Ceil(math.Abs(sweep)/step)))
	for i := range n + 1 {
		s, k := math.Sincos(from + sweep*float64(i)/float64(n))
		out = append(out, shape.Pt{X: c.X + r*k, Y: c.Y + r*s})
	}
	return out
}

// maxDashes bounds the pieces of one line; beyond it the line is left solid,
// which at that zoom nobody can tell.
const maxDashes = 20000

// Dashes cuts the line into its dashes. The pattern starts at the first point.
// On a closed line it is stretched or shrunk to go round in whole periods, at
// least six, so that a small ring stays a ring to the eye.
func Dashes(line []shape.Pt, dash []float64) [][]shape.Pt {
	period := 0.0
	for _, d := range dash {
		period += math.Max(d, 0)
	}
	length := shape.PolylineLength(line)
	if !(period > 0) || !(length > 0) || length/period*float64(len(dash)) > maxDashes {
		return [][]shape.Pt{line}
	}
	if line[0] == line[len(line)-1] {
		dash = times(dash, length/(math.Max(6, math.Round(length/period))*period))
	}
	var out [][]shape.Pt
	var piece []shape.Pt
	k, left := 0, dash[0]
	for i := 0; i+1 < len(line); i++ {
		at, end := line[i], line[i+1]
		if k%2 == 0 && len(piece) == 0 {
			piece = append(piece, at)
		}
		for length := shape.Dist(at, end); length > left; length = shape.Dist(at, end) {
			at = shape.Lerp(at, end, left/length)
			if k%2 == 0 {
				out = append(out, append(piece, at))
				piece = nil
			} else {
				piece = []shape.Pt{at}
			}
			k++
			left = math.Max(dash[k%len(dash)], 1e-9)
		}
		left -= shape.Dist(at, end)
		if k%2 == 0 {
			piece = append(piece, end)
		}
	}
	if len(piece) > 1 {
		out = append(out, piece)
	}
	return out
}
