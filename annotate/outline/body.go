package outline

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// body is the table of a body: its curve, its depth and what is at its edges.
type body struct {
	length figure `dim:"body length"`
	width  figure `dim:"body width"`
	upper  figure `dim:"upper bout"`
	waist  figure `dim:"waist"`
	depth  figure `dim:"body depth, edge to edge at the end"`
	narrow figure `dim:"the same at the neck, where it is another"`
	round  figure `dim:"radius of the rounded edge, drawn as a line"`
	lip    figure `dim:"edge of the plates, seen from the side"`
	arch   figure `dim:"height of the front's arch"`
	swell  figure `dim:"height of the back's arch"`

	// Where the body is widest its curve must run straight up or down: the
	// sheet is stretched from there towards the neck, see plan.base. Clockwise
	// as seen from the front. half is the bass half of a symmetric body, from
	// the end to the neck on the centre line; ring a whole one.
	ring, half []node

	border border
	front  face
	back   face
	sides  face
}

// face is a surface's name and the part it counts for.
type face struct {
	name string
	part record.PartID
}

// border runs round front and back: a binding, or edge and purfling.
type border struct {
	width figure `dim:"binding or edge, seen from the front"`
	part  record.PartID
	name  string    // "binding"
	lines []float64 // mm from the body's edge, drawn as fine lines
	bare  bool      // the back has none
}

func (b *body) curves() []shape.Curve {
	if len(b.half) > 0 {
		return throughNodes(whole(b.half), true)
	}
	return throughNodes(b.ring, true)
}

// depthAt is the depth of the body at the point of the front.
func (pl *plan) depthAt(p shape.Pt) float64 {
	b := &pl.class.body
	if b.narrow.mm == 0 {
		return b.depth.mm * pl.bulk
	}
	box := shape.FromCurves(pl.body, true).Bounds()
	t := math.Max(0, math.Min(1, (p.Y-box.Min.Y)/box.Dy()))
	return pl.bulk * (b.narrow.mm + (b.depth.mm-b.narrow.mm)*t)
}

// faces draws the body's front or back with its border.
type faces struct{}

func (faces) draw(pl *plan, s *sheet) {
	b := &pl.class.body
	f := b.front
	if s.Side == Back {
		f = b.back
	}
	full := shape.FromCurves(pl.body, true)
	w := b.border.width.mm * pl.bulk
	if w == 0 || (s.Side == Back && b.border.bare) {
		s.add("body", f.name, f.part, 0, full)
		return
	}
	s.add("border", b.border.name, b.border.part, 0, full)
	s.add("body", f.name, f.part, 0, shape.Polygon(insetRing(pl.body, w)...))
	for _, d := range b.border.lines {
		s.stroke(hair, pl.openRing(s, d*pl.bulk))
	}
}

// roundover draws where the rounding of the body's edge ends: on the front
// from one side of the neck round to the other, and so on the back too where
// the neck runs through into the body without a joint.
type roundover struct{ through bool }

func (r roundover) draw(pl *plan, s *sheet) {
	d := pl.class.body.round.mm * pl.bulk
	if s.Side == Back && !r.through {
		s.dashed(thin, shape.Polygon(inset(pl.body, d)...))
		return
	}
	var line []shape.Pt
	for _, p := range inset(piece(pl.body, pl.treble, pl.bass), d) {
		if p.Y > pl.neckEnd || math.Abs(p.X) > pl.half(p.Y) {
			line = append(line, p)
		}
	}
	s.dashed(thin, shape.Polyline(line...))
}

// openRing is the line d mm inside the body's edge, left out under the neck.
func (pl *plan) openRing(s *sheet, d float64) shape.Path {
	pts := insetRing(pl.body, d)
	if s.Side == Back {
		return shape.Polygon(pts...)
	}
	under := func(p shape.Pt) bool { return p.Y < pl.neckEnd && math.Abs(p.X) < pl.half(p.Y) }
	from := -1
	for i, p := range pts {
		if under(p) && !under(pts[(i+1)%len(pts)]) {
			from = i + 1
		}
	}
	if from < 0 {
		return shape.Polygon(pts...)
	}
	var line []shape.Pt
	for i := range pts {
		if p := pts[(from+i)%len(pts)]; !under(p) {
			line = append(line, p)
		}
	}
	return shape.Polyline(line...)
}

// carve is a line at a share of the way in from the edge, where a carved
// plate's hollow turns into its arch; decoration only.
type carve struct {
	in figure `dim:"edge to the hollow of the arch"`
}

func (c carve) draw(pl *plan, s *sheet) {
	s.dashed(hair, pl.openRing(s, c.in.mm*pl.bulk))
}
