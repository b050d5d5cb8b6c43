package page

import (
	"math"
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// pinStyle is how drawings look on paper, with the size of the pins in points.
type pinStyle struct {
	style  draw.Style
	radius float64
}

func newPinStyle() pinStyle { return pinStyle{style: draw.Paper(), radius: 6.2} }

// crowded makes the pins smaller where many have to stand on one drawing.
func (s pinStyle) crowded(pins int) pinStyle {
	switch {
	case pins > 80:
		s.radius *= 0.66
	case pins > 30:
		s.radius *= 0.8
	}
	return s
}

// onPage is the map from points of the page to mm.
var onPage = shape.Scale(pt, pt)

// pin draws one pin about a point of the page, in mm.
func (l *layout) pin(number, level int, x, y float64) {
	p := draw.Pin{Number: number, Level: level, At: shape.Pt{X: x / pt, Y: y / pt}}
	p.Anchor = p.At
	l.d.Ops(draw.PinOps(p, l.style.radius, l.style.style), onPage)
}

// sheet is one view of a side of the outline, placed on the page.
type sheet struct {
	side   outline.Side
	bounds shape.Rect   // of the side, mm of the instrument
	view   shape.Affine // to mm of the page
	frame  shape.Rect   // on the page
}

// scaled places a view at a scale with its top left corner at a point. Turned
// views lie down, the head to the left.
func scaled(side outline.Side, bounds shape.Rect, scale, x, y float64, turned bool) sheet {
	m := shape.Identity()
	b := bounds
	if turned {
		m = shape.Rotate(-math.Pi / 2)
		b = shape.RectAround(m.Apply(bounds.Min), m.Apply(bounds.Max))
	}
	m = m.Then(shape.Translate(shape.Mul(b.Min, -1))).Then(shape.Scale(scale, scale)).Then(shape.Translate(shape.Pt{X: x, Y: y}))
	return sheet{side, bounds, m, shape.Rect{Min: shape.Pt{X: x, Y: y}, Max: shape.Pt{X: x + b.Dx()*scale, Y: y + b.Dy()*scale}}}
}

// pinsOn are the pins of the marks with a place on the view, in points of the
// page.
func (l *layout) pinsOn(s sheet) []draw.Pin {
	marks := l.r.Record.Marks
	if l.only != nil {
		marks = l.only
	}
	var pins []draw.Pin
	for _, p := range append(draw.Anchors(s.side, marks, 0), l.piecePins(s.side, marks)...) {
		if s.bounds.Contains(p.Anchor) {
			pins = append(pins, p)
		}
	}
	return draw.ToView(pins, s.view.Then(shape.Scale(1/pt, 1/pt)))
}

// piecePins are pins for marks whose place names pieces of a counted part, such
// as frets, instead of a drawn shape: on the middle one of the pieces.
func (l *layout) piecePins(side outline.Side, marks []record.Mark) []draw.Pin {
	var pins []draw.Pin
	for i := range marks {
		for _, p := range marks[i].On {
			if at, ok := l.pieceOn(side, p); ok {
				pins = append(pins, draw.Pin{Number: marks[i].Number, Level: level(&marks[i]), Anchor: at, At: at})
			}
		}
	}
	return pins
}

// pieceOn is the middle of the middle piece that a place names, false when it
// names none that this side shows.
func (l *layout) pieceOn(side outline.Side, p record.Place) (shape.Pt, bool) {
	if len(p.Points) > 0 || len(p.Pieces) == 0 {
		return shape.Pt{}, false
	}
	middle := slices.Sorted(slices.Values(p.Pieces))[len(p.Pieces)/2]
	for _, r := range l.r.Drawing.Side(side).Regions {
		if r.Part == p.Part && r.Piece == middle {
			return r.Path.Bounds().Center(), true
		}
	}
	return shape.Pt{}, false
}

// drawSheet draws a view with its marks and pins. Pins may stand up to room mm
// outside the frame.
func (l *layout) drawSheet(s sheet, alt string, room float64) {
	sd := l.r.Drawing.Side(s.side)
	if sd == nil {
		return
	}
	f := s.frame
	wide := f.Grow(room)
	pins := l.pinsOn(s)
	st := l.style.crowded(len(pins))
	bounds := shape.Rect{Min: shape.Mul(wide.Min, 1/pt), Max: shape.Mul(wide.Max, 1/pt)}
	l.d.Figure(alt, f.Min.X, f.Min.Y, f.Dx(), f.Dy(), func() {
		l.d.ClipBox(f.Min.X, f.Min.Y, f.Dx(), f.Dy(), func() {
			l.d.Ops(draw.Outline(sd, st.style), s.view)
			l.d.Ops(draw.Shapes(s.side, l.r.Record.Marks, 0, st.style), s.view)
		})
		for _, p := range draw.Layout(pins, st.radius, bounds) {
			l.d.Ops(draw.PinOps(p, st.radius, st.style), onPage)
		}
	})
}

// bodyBounds is the part of a side that shows the body: from where the
// silhouette has grown to half its greatest width, with some neck above.
func bodyBounds(sd *outline.SideDrawing) shape.Rect {
	b := sd.Bounds
	reach := max(-b.Min.X, b.Max.X)
	top := b.Max.Y
	for _, ring := range sd.Silhouette.Flatten(0.5) {
		for _, p := range ring {
			if (p.X > reach*0.5 || p.X < -reach*0.5) && p.Y < top {
				top = p.Y
			}
		}
	}
	b.Min.Y = max(b.Min.Y, top-(b.Max.Y-top)*0.12)
	return b.Grow(4)
}

// level is how deep a mark goes, as its pin shows it.
func level(m *record.Mark) int { return draw.Level(*m) }

// depthKey draws the key to the pins downwards from y and returns its foot.
func (l *layout) depthKey(x, y float64) float64 {
	for i, words := range []string{l.say("depth.light"), l.say("depth.middle"), l.say("depth.deep")} {
		cy := y + 2.6 + float64(i)*6
		l.d.Tag("P", func() {
			r := l.style.radius
			p := draw.Pin{Level: i, At: shape.Pt{X: (x + 2.4) / pt, Y: cy / pt}}
			p.Anchor = p.At
			ops := draw.PinOps(p, r, l.style.style)
			l.d.Ops(ops[:len(ops)-1], onPage) // without a figure
			l.d.Text(x+6.6, cy+1, words, smallFont, paint.Black)
		})
	}
	return y + 18
}
