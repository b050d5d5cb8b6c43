package draw

import (
	"math"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

// cornerTurn is how far, in degrees, an edge must turn to make a corner.
const cornerTurn = 15.0

// VisibleEdges are the edges that Outline strokes, as lines that stay within tol
// millimetres of the curves, and the corners on them. What other regions lie
// over is left out, piece by piece: nobody snaps to what cannot be seen.
func VisibleEdges(sd *outline.SideDrawing, tol float64) (lines [][]shape.Pt, corners []shape.Pt) {
	c := covers(sd, tol)
	add := func(p shape.Path, above []cover) {
		for _, l := range p.FlattenOpen(tol) {
			lines = append(lines, uncovered(l, above)...)
		}
		for _, q := range cornersOf(p) {
			if !covered(q, above) {
				corners = append(corners, q)
			}
		}
	}
	// Outline gives the silhouette's ground and then one operation a region.
	for i, op := range Outline(sd, ScreenLight())[1 : 1+len(sd.Regions)] {
		if op.Stroke.A > 0 && op.Width > 0 {
			add(op.Path, c[i+1:])
		}
	}
	add(sd.Silhouette, nil)
	return lines, corners
}

// cover is a region flattened, to tell what lies under it.
type cover struct {
	box   shape.Rect
	rings [][]shape.Pt
}

func covers(sd *outline.SideDrawing, tol float64) []cover {
	out := make([]cover, len(sd.Regions))
	for i, r := range sd.Regions {
		out[i] = cover{r.Path.Bounds(), r.Path.Flatten(tol)}
	}
	return out
}

// covered says whether one of the regions lies over the point. A point on the
// edge of one counts as free: that edge itself can be seen there.
func covered(p shape.Pt, above []cover) bool {
	const clear = 0.2 // mm
	for _, c := range above {
		if !c.box.Contains(p) {
			continue
		}
		inside := false
		for _, r := range c.rings {
			inside = inside != shape.PointInPolygon(p, r)
		}
		if inside && c.distance(p) >= clear {
			return true
		}
	}
	return false
}

// distance is how far the point is from the region's edge.
func (c cover) distance(p shape.Pt) float64 {
	least := math.Inf(1)
	for _, r := range c.rings {
		least = math.Min(least, shape.DistToPolyline(p, append(r[:len(r):len(r)], r[0])))
	}
	return least
}

// coverStep is how long a piece of an edge, in millimetres, is seen or hidden as
// a whole.
const coverStep = 2.0

// uncovered are the runs of pieces whose middles can be seen.
func uncovered(line []shape.Pt, above []cover) [][]shape.Pt {
	if len(above) == 0 {
		return [][]shape.Pt{line}
	}
	line = inPieces(line, coverStep)
	var out [][]shape.Pt
	var run []shape.Pt
	for i := 1; i < len(line); i++ {
		if covered(shape.Lerp(line[i-1], line[i], 0.5), above) {
			if len(run) > 1 {
				out = append(out, run)
			}
			run = nil
			continue
		}
		if len(run) == 0 {
			run = append(run, line[i-1])
		}
		run = append(run, line[i])
	}
	if len(run) > 1 {
		out = append(out, run)
	}
	return out
}

// inPieces is the line with points added so that no piece is longer than step.
func inPieces(line []shape.Pt, step float64) []shape.Pt {
	var out []shape.Pt
	for i, p := range line {
		if i > 0 {
			n := math.Ceil(shape.Dist(line[i-1], p) / step)
			for k := 1.0; k < n; k++ {
				out = append(out, shape.Lerp(line[i-1], p, k/n))
			}
		}
		out = append(out, p)
	}
	return out
}

// cornersOf are the places where the path turns.
func cornersOf(p shape.Path) []shape.Pt {
	var out []shape.Pt
	for _, ring := range p.Rings(true) {
		for i, c := range ring {
			before := ring[(i+len(ring)-1)%len(ring)]
			a, b := heading(before, true), heading(c, false)
			la, lb := math.Hypot(a.X, a.Y), math.Hypot(b.X, b.Y)
			if la > 0 && lb > 0 && (a.X*b.X+a.Y*b.Y)/(la*lb) < math.Cos(cornerTurn*math.Pi/180) {
				out = append(out, c.P[0])
			}
		}
	}
	return out
}

// heading is the way the curve runs at its end or at its start.
func heading(c shape.Curve, end bool) shape.Pt {
	from, order := c.P[0], [3]int{1, 2, 3}
	if end {
		from, order = c.P[3], [3]int{2, 1, 0}
	}
	for _, k := range order {
		d := shape.Sub(c.P[k], from)
		if math.Hypot(d.X, d.Y) > 1e-9 {
			if end {
				return shape.Mul(d, -1)
			}
			return d
		}
	}
	return shape.Pt{}
}
