package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// Sizes of tags in window units.
const (
	tagText   = 11.5
	tagHeight = 18.0
	tagPad    = 5.5
	tagSign   = 10.0 // swatch or warning sign before the text
)

// Tag is a word or a figure in a small box, which keeps its size at any zoom.
// Figures are tabular, as all of the typeface's are.
type Tag struct {
	Text   string
	Swatch Ink  // a square of this colour before the text, none when invisible
	Warn   bool // a triangle before the text: the figure is doubtful
}

// Size is the tag's width and height in view units.
func (t Tag) Size(st Style) (w, h float64) {
	u := st.unit()
	w = TextWidth(Sans, tagText*u, t.Text) + 2*tagPad*u
	if t.Swatch.A > 0 || t.Warn {
		w += (tagSign + 4) * u
	}
	return math.Ceil(w), math.Round(tagHeight * u)
}

// Ops draws the tag with its top left corner at the point.
func (t Tag) Ops(at shape.Pt, st Style) List {
	u := st.unit()
	w, h := t.Size(st)
	box := shape.Rect{Min: at, Max: shape.Pt{X: at.X + w, Y: at.Y + h}}
	l := List{{Path: shape.RoundRect(box, 2.5*u), Fill: st.Tag, Stroke: st.TagEdge, Width: 0.8 * u}}
	x, mid := at.X+tagPad*u, at.Y+h/2
	sign := shape.Rect{Min: shape.Pt{X: x, Y: mid - tagSign/2*u}, Max: shape.Pt{X: x + tagSign*u, Y: mid + tagSign/2*u}}
	switch {
	case t.Warn:
		l = append(l, warning(sign, st)...)
	case t.Swatch.A > 0:
		l = append(l, Op{Path: shape.RoundRect(sign, u), Fill: t.Swatch, Stroke: st.TagText, Width: 1.1 * u})
	}
	if t.Warn || t.Swatch.A > 0 {
		x += (tagSign + 4) * u
	}
	return append(l, Op{Kind: TextOp, Text: t.Text, Face: Sans, Size: tagText * u, Fill: st.TagText,
		At: shape.Pt{X: x, Y: mid + capHeight/2*tagText*u}})
}

// warning is a triangle with a stroke and a dot in it.
func warning(r shape.Rect, st Style) List {
	u := st.unit()
	mid := r.Center().X
	tri := shape.Polygon(shape.Pt{X: mid, Y: r.Min.Y}, shape.Pt{X: r.Max.X, Y: r.Max.Y}, shape.Pt{X: r.Min.X, Y: r.Max.Y})
	bar := shape.Polyline(shape.Pt{X: mid, Y: r.Min.Y + 3.4*u}, shape.Pt{X: mid, Y: r.Max.Y - 3.6*u})
	return List{
		{Path: tri, Stroke: st.Warn, Width: 1.2 * u},
		{Path: bar, Stroke: st.Warn, Width: 1.1 * u},
		dot(shape.Pt{X: mid, Y: r.Max.Y - 1.9*u}, st.Warn, 1.3*u),
	}
}

// unit is how many view units a window unit takes.
func (s Style) unit() float64 {
	if s.Unit > 0 {
		return s.Unit
	}
	return 1
}

// haloed is a line over a wider one that sets it off from any ground.
func haloed(p shape.Path, ink Ink, width float64, st Style) List {
	return List{{Path: p, Stroke: st.LineHalo, Width: width + 2*st.unit()}, {Path: p, Stroke: ink, Width: width}}
}
