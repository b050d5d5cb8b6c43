package draw

import (
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// HaloRadius is how far from a point or a line its flaw counts as covering
// ground, in millimetres (the rubric's rule, shown round a selected mark).
const HaloRadius = 10.0

// Level is how strongly a mark is drawn: 0 light, 1 middle, 2 deep. It is the
// intensity that the rubric takes for the mark, from its reading or its depth,
// so that a pin and the points it costs tell the same story. A mark about
// which nothing was judged is light.
func Level(m record.Mark) int {
	r := grade.Default()
	if m.Reading != nil {
		for _, k := range r.Kinds() {
			if k.Kind != m.Kind || k.Reading != m.Reading.Kind {
				continue
			}
			for _, sc := range r.Scales {
				if sc.Kind == k.Reading {
					return sc.Intensity(m.Reading.Value)
				}
			}
		}
	}
	return max(0, m.Depth.Level())
}

// Shapes is what was drawn of the marks on one side of the outline, in
// millimetres; the selected mark comes last, over the others.
func Shapes(side outline.Side, marks []record.Mark, selected int, st Style) List {
	var l, top List
	for _, m := range marks {
		for _, p := range m.On {
			if p.Side != string(side) || len(p.Points) == 0 {
				continue
			}
			if m.Number != selected {
				l = append(l, figure(p.Shape, p.Points, Level(m), false, st)...)
				continue
			}
			top = append(top, hint(p, st)...)
			top = append(top, figure(p.Shape, p.Points, Level(m), true, st)...)
		}
	}
	return append(l, top...)
}

// PhotoShapes is what was drawn of the marks on one photo, in its pixels.
func PhotoShapes(photo string, marks []record.Mark, selected int, st Style) List {
	var l, top List
	for _, m := range marks {
		for _, p := range m.Photos {
			switch {
			case p.Photo != photo || len(p.Points) == 0:
			case m.Number == selected:
				top = append(top, figure(p.Shape, p.Points, Level(m), true, st)...)
			default:
				l = append(l, figure(p.Shape, p.Points, Level(m), false, st)...)
			}
		}
	}
	return append(l, top...)
}

// Draft is a shape that is being drawn: its points so far, and the cursor as
// the next one.
func Draft(s record.Shape, pts []shape.Pt, cursor shape.Pt, st Style) List {
	if len(pts) == 0 {
		return nil
	}
	line := shape.Polyline(append(append([]shape.Pt{}, pts...), cursor)...)
	l := List{}
	if s == record.AreaShape && len(pts) > 1 {
		l = append(l, Op{Path: shape.Polygon(append(append([]shape.Pt{}, pts...), cursor)...), Fill: st.Guide.Alpha(0.16)})
	}
	l = append(l, haloed(line, st.Guide, 1.2*st.MarkLine, st)...)
	for _, p := range pts {
		l = append(l, dot(p, st.Halo, st.MarkLine*5), dot(p, st.Select, st.MarkLine*3.2))
	}
	return l
}

// Freehand is a shape being drawn by a drag.
func Freehand(s record.Shape, pts []shape.Pt, st Style) List {
	if len(pts) == 0 {
		return nil
	}
	line := shape.Polyline(pts...)
	var l List
	if s == record.AreaShape && len(pts) > 2 {
		ring := shape.Polygon(pts...)
		l = append(l, Op{Path: ring, Fill: st.Guide.Alpha(0.16), NonZero: true},
			Op{Path: shape.Polyline(pts[len(pts)-1], pts[0]), Stroke: st.Guide, Width: st.MarkLine, Dash: st.MarkDash})
	}
	return append(l, haloed(line, st.Guide, 1.2*st.MarkLine, st)...)
}

// dot is a disc of the diameter in view units, drawn as the round ends of a
// line that has next to no length.
func dot(p shape.Pt, ink Ink, diameter float64) Op {
	return Op{Path: shape.Polyline(p, shape.Pt{X: p.X + 1e-5, Y: p.Y}), Stroke: ink, Width: diameter}
}

// figure is one drawn shape. A point draws nothing: its pin says where it is.
func figure(s record.Shape, pts []shape.Pt, level int, selected bool, st Style) List {
	edge, width := st.Edge[level], st.MarkLine
	if selected {
		width *= 1.4
	}
	halo := func(p shape.Path, ink Ink) Op {
		return Op{Path: p, Stroke: ink, Width: width + 2*st.MarkLine}
	}
	switch {
	case s == record.PointShape || len(pts) == 1:
		return nil
	case s == record.LineShape || len(pts) == 2:
		path := shape.Polyline(pts...)
		return List{halo(path, st.LineHalo), {Path: path, Stroke: edge, Width: width}}
	}
	path := shape.Polygon(pts...)
	op := Op{Path: path, Fill: st.Tint[level], Hatch: st.Hatching[level], Stroke: edge, Width: width, Dash: st.MarkDash}
	if selected {
		op.Dash = nil
	}
	if st.EdgeHalo.A > 0 {
		return List{halo(path, st.EdgeHalo), op}
	}
	return List{op}
}

// hint is the ground that a selected point or line counts as covering.
func hint(p record.Place, st Style) List {
	if st.Hint.A == 0 {
		return nil
	}
	switch p.Shape {
	case record.PointShape:
		return List{{Path: shape.Circle(p.Points[0], HaloRadius), Fill: st.Hint}}
	case record.LineShape:
		var path shape.Path
		for _, ring := range StrokeRings(p.Points, 2*HaloRadius, false) {
			path.Append(shape.Polygon(ring...))
		}
		return List{{Path: path, Fill: st.Hint, NonZero: true}}
	}
	return nil
}
