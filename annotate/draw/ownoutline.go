package draw

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// CurveOps draws an instrument's own outline being corrected, in view units,
// with the arms of the active node; -1 for none.
func CurveOps(nodes []record.Node, active int, st Style) List {
	u := st.unit()
	l := haloed(shape.NodePath(nodes), st.Guide, 1.6*u, st)
	if active >= 0 && active < len(nodes) {
		n := nodes[active]
		var arms shape.Path
		for _, end := range []shape.Pt{n.In, n.Out} {
			arms.MoveTo(n.At)
			arms.LineTo(end)
		}
		l = append(l, haloed(arms, st.Guide, 1*u, st)...)
	}
	return l
}

// BrushOps draws the brush's circle about the cursor with a sign in its middle,
// plus for adding and minus for erasing, and what was brushed so far, in view
// units.
func BrushOps(stroke []shape.Pt, at shape.Pt, radius float64, adds bool, st Style) List {
	u := st.unit()
	ink, fill := st.Guide, st.Guide.Alpha(0.35)
	if !adds {
		ink, fill = st.Warn, Hex(0x16181A).Alpha(0.45)
	}
	var l List
	if len(stroke) > 0 {
		var band shape.Path
		for _, r := range StrokeRings(stroke, 2*radius, false) {
			band.Append(shape.Polygon(r...))
		}
		op := Op{Path: band, Fill: fill, NonZero: true}
		l = append(l, op)
	}
	l = append(l, haloed(shape.Circle(at, math.Max(radius, 2*u)), ink, 1.4*u, st)...)
	arm := math.Min(5*u, radius*0.6)
	var sign shape.Path
	sign.MoveTo(shape.Pt{X: at.X - arm, Y: at.Y})
	sign.LineTo(shape.Pt{X: at.X + arm, Y: at.Y})
	if adds {
		sign.MoveTo(shape.Pt{X: at.X, Y: at.Y - arm})
		sign.LineTo(shape.Pt{X: at.X, Y: at.Y + arm})
	}
	return append(l, haloed(sign, ink, 1.4*u, st)...)
}
