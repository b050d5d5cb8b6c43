package draw

import (
	"math"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// thinWire is how many times longer than thick a fret region must be to be drawn
// as a single line.
const thinWire = 3.0

// Outline is one side of an instrument in millimetres: surfaces from back to
// front, fittings, details, and the silhouette over them.
func Outline(sd *outline.SideDrawing, st Style) List {
	l := List{{Path: sd.Silhouette, Fill: st.Finish}}
	for _, r := range sd.Regions {
		fill, edge := st.regionFill(r)
		op := Op{Path: r.Path, Fill: fill}
		if edge > 0 {
			op.Stroke, op.Width = st.Line, edge
		}
		if wire, ok := fretWire(r); ok {
			// A wire is a line on any sheet smaller than life: two edges and
			// a fill would only smear.
			op = Op{Path: wire, Stroke: st.Line, Width: st.Region}
		}
		l = append(l, op)
	}
	for _, d := range sd.Detail {
		l = append(l, detail(d, st))
	}
	return append(l, Op{Path: sd.Silhouette, Stroke: st.Line, Width: st.Silhouette})
}

// detail is a decorative line. Its weight is a share of the silhouette's; the
// fine ones are grey so that marks stay in front.
func detail(d outline.Stroke, st Style) Op {
	op := Op{Path: d.Path, Stroke: st.Thin, Width: math.Max(d.Weight*st.Silhouette, st.Detail*0.6)}
	if d.Weight >= 0.5 {
		op.Stroke = st.Line
	}
	if len(d.Dash) > 0 {
		op.Dash, op.Stroke = st.EdgeDash, st.Thin
	}
	if d.Filled {
		op.Fill = op.Stroke
	}
	if d.Weight <= 0 {
		op.Stroke = Ink{}
		if d.Filled {
			op.Fill = st.Thin
		}
	}
	return op
}

// regionFill is partFill, and what hollow instruments have: openings, plates
// that a binding or a purfling borders, pegs.
func (st Style) regionFill(r outline.Region) (fill Ink, edge float64) {
	if r.Hollow {
		return st.Thin.Alpha(0.32), st.Region
	}
	switch r.Part {
	case record.Top, record.Back, record.Belly, record.Edges, record.Skin:
		return st.Finish, st.Detail
	case record.Ribs:
		return st.Finish, 0
	case record.Scroll, record.Rim, record.Resonator:
		return st.Finish, st.Region
	case record.Pegs:
		return st.Board, st.Region
	case record.Cone:
		return st.Guard, st.Region
	}
	return st.partFill(r.Part)
}

// fretWire is the middle line of a region that is a fret: a band much longer
// than thick. A fret of a fanned board runs slanting.
func fretWire(r outline.Region) (shape.Path, bool) {
	b := r.Path.Bounds()
	if r.Part != record.Frets || len(r.Path.Segs) == 0 {
		return shape.Path{}, false
	}
	if s := r.Path.Segs; len(s) == 5 && s[0].P[0].Y != s[1].P[0].Y {
		left, right := shape.Lerp(s[0].P[0], s[3].P[0], 0.5), shape.Lerp(s[1].P[0], s[2].P[0], 0.5)
		return shape.Polyline(left, right), true
	}
	if b.Dx() < thinWire*b.Dy() {
		return shape.Path{}, false
	}
	y := b.Center().Y
	return shape.Polyline(shape.Pt{X: b.Min.X, Y: y}, shape.Pt{X: b.Max.X, Y: y}), true
}
