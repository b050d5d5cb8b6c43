package suggest

import (
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Near is how close to a mark or a dismissed place, in photo pixels, a ghost
// counts as the same: a search at another place of the slider, or of another
// area, moves what it finds by a few pixels.
const Near = 8.0

// Without leaves out the ghosts that were dismissed or are marked already. The
// places must be those of the ghosts' own photo. A ding goes when it lies within
// Near, or its own radius, of a place, or inside an area. A line goes when half
// of it, or half of a dismissed or marked line, lies within Near of the other,
// or when half of it lies inside an area; points do not stand for lines. The
// ghosts handed in stay as they are.
func Without(ghosts []Ghost, dismissed, marks []record.PhotoPlace) []Ghost {
	places := slices.Concat(dismissed, marks)
	var out []Ghost
	for _, g := range ghosts {
		if !slices.ContainsFunc(places, func(p record.PhotoPlace) bool { return g.isAt(p) }) {
			out = append(out, g)
		}
	}
	return out
}

// isAt says whether a ghost stands for what is at a place already.
func (g Ghost) isAt(p record.PhotoPlace) bool {
	if len(g.Points) == 0 || len(p.Points) == 0 {
		return false
	}
	line := p.Points
	if p.Shape == record.AreaShape {
		line = append(slices.Clone(line), line[0])
	}
	if g.Shape == record.PointShape {
		at := g.Points[0]
		return shape.DistToPolyline(at, line) <= max(Near, g.Radius) || p.Shape == record.AreaShape && shape.PointInPolygon(at, p.Points)
	}
	switch p.Shape {
	case record.AreaShape:
		return shareOf(g.Points, func(q shape.Pt) bool {
			return shape.PointInPolygon(q, p.Points) || shape.DistToPolyline(q, line) <= Near
		}) >= 0.5
	case record.LineShape:
		near := func(l []shape.Pt) func(shape.Pt) bool {
			return func(q shape.Pt) bool { return shape.DistToPolyline(q, l) <= Near }
		}
		return shareOf(g.Points, near(line)) >= 0.5 || shareOf(line, near(g.Points)) >= 0.5
	}
	return false
}

// shareOf is the share of a line's length on which is holds, looked at every 4
// px or so; a line of many pixels is looked at in a thousand places at most.
func shareOf(line []shape.Pt, is func(shape.Pt) bool) float64 {
	total := shape.PolylineLength(line)
	if len(line) < 2 || total == 0 {
		if is(line[0]) {
			return 1
		}
		return 0
	}
	n := min(max(int(total/4), 2), 1000)
	hits, next, run := 0, 0, 0.0
	for i := 1; i < len(line); i++ {
		l := shape.Dist(line[i-1], line[i])
		for ; next < n && (float64(next)+0.5)/float64(n)*total <= run+l; next++ {
			t := ((float64(next)+0.5)/float64(n)*total - run) / max(l, 1e-12)
			if is(shape.Lerp(line[i-1], line[i], min(max(t, 0), 1))) {
				hits++
			}
		}
		run += l
	}
	return float64(hits) / float64(n)
}
