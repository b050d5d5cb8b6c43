package draw

import (
	"strconv"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Pin is the numbered disc of one mark. Anchors makes pins in the unit of a
// sheet; ToView maps them to the view, where Layout places them.
type Pin struct {
	Number int
	Place  int      // index into the mark's places on that sheet's list (On or Photos)
	Level  int      // 0 hollow, 1 grey, 2 solid
	Anchor shape.Pt // what the pin points at
	At     shape.Pt // centre of the disc, set by Layout

	// Drawn is the line or the ring that was drawn for the mark, thinned out;
	// nil for a point. A pin stands beside a line or a small area and inside
	// a large area.
	Drawn []shape.Pt
	Area  bool // Drawn is a ring

	// Beside keeps the pin off its own anchor: on a photo the flaw itself is
	// there to be seen. On an outline there is nothing under the pin.
	Beside bool

	Leader   bool     // a line joins At and Tip, set by Layout
	Tip      shape.Pt // where the leader ends: short of a flaw on a photo, at the anchor, or at what was drawn
	Selected bool
	Ghost    bool // known, but not placed or not confirmed yet: drawn faint

	// Projected pins stand where a registration puts a mark that is known on
	// the other surface only: hollow, a thin broken ring, a lighter figure.
	Projected bool
}

// ToView maps the pins' anchors and drawn figures.
func ToView(pins []Pin, a shape.Affine) []Pin {
	out := make([]Pin, len(pins))
	for i, p := range pins {
		p.Anchor, p.At = a.Apply(p.Anchor), a.Apply(p.At)
		p.Drawn = a.ApplyAll(p.Drawn)
		out[i] = p
	}
	return out
}

// Anchors are the pins of the marks drawn on one side, in millimetres. A mark
// drawn in several places has a pin at each.
func Anchors(side outline.Side, marks []record.Mark, selected int) []Pin {
	var out []Pin
	for _, m := range marks {
		for i, p := range m.On {
			if p.Side == string(side) && len(p.Points) > 0 {
				pin := pinAt(m, p.Shape, p.Points, selected)
				pin.Place = i
				out = append(out, pin)
			}
		}
	}
	return out
}

// PhotoAnchors are the pins of the marks drawn on one photo, in its pixels.
func PhotoAnchors(photo string, marks []record.Mark, selected int) []Pin {
	var out []Pin
	for _, m := range marks {
		for i, p := range m.Photos {
			if p.Photo == photo && len(p.Points) > 0 {
				pin := pinAt(m, p.Shape, p.Points, selected)
				pin.Place, pin.Beside = i, true
				out = append(out, pin)
			}
		}
	}
	return out
}

func pinAt(m record.Mark, s record.Shape, pts []shape.Pt, selected int) Pin {
	a := AnchorOf(s, pts)
	pin := Pin{Number: m.Number, Level: Level(m), Anchor: a, At: a, Tip: a, Selected: m.Number == selected}
	if len(pts) > 1 {
		pin.Drawn, pin.Area = thin(pts), s == record.AreaShape
	}
	return pin
}

// thin keeps at most about fifty of the points, which is fine enough to stand
// beside and quick enough to measure from.
func thin(pts []shape.Pt) []shape.Pt {
	const most = 48
	if len(pts) <= most {
		return pts
	}
	out := make([]shape.Pt, 0, most+1)
	for i := range most {
		out = append(out, pts[i*len(pts)/most])
	}
	return append(out, pts[len(pts)-1])
}

// AnchorOf is the point of a drawn shape that its pin points at: the point,
// the middle of the line's length, or for an area its centre of gravity, moved
// onto the nearest edge where an area bends around its own centre.
func AnchorOf(s record.Shape, pts []shape.Pt) shape.Pt {
	switch {
	case len(pts) == 0:
		return shape.Pt{}
	case s == record.AreaShape && len(pts) > 2:
		c := shape.Centroid(pts)
		if !shape.PointInPolygon(c, pts) {
			c, _ = shape.ClosestPoint(c, append(append([]shape.Pt{}, pts...), pts[0]))
		}
		return c
	case len(pts) == 1:
		return pts[0]
	}
	half := shape.PolylineLength(pts) / 2
	for i := 1; i < len(pts); i++ {
		d := shape.Dist(pts[i-1], pts[i])
		if d >= half && d > 0 {
			return shape.Lerp(pts[i-1], pts[i], half/d)
		}
		half -= d
	}
	return pts[len(pts)-1]
}

// capHeight is the height of IBM Plex Sans' figures as a share of the em (698
// of 1000 units in the font's OS/2 table), which centres a figure in its disc.
const capHeight = 0.698

// PinsOps draws pins in view units: all leaders first, so that none runs over
// another pin's figure.
func PinsOps(pins []Pin, radius float64, st Style) List {
	var l List
	for _, p := range pins {
		l = append(l, leader(p, radius, st)...)
	}
	for _, p := range pins {
		p.Leader = false
		l = append(l, PinOps(p, radius, st)...)
	}
	return l
}

// PinOps draws one pin in view units: leader, halo, disc with its ring, figure;
// a wider ring round the selected one.
func PinOps(p Pin, radius float64, st Style) List {
	l := leader(p, radius, st)
	if p.Projected {
		return append(l, projectedPin(p, radius, st)...)
	}
	ring, fill, text := st.PinRing[p.Level], st.PinFill[p.Level], st.PinFigure[p.Level]
	disc := shape.Circle(p.At, radius-st.RingWidth/2)
	if p.Selected && st.Select.A > 0 {
		l = append(l,
			Op{Path: shape.Circle(p.At, radius+2*st.HaloWidth+st.RingWidth), Fill: st.Select},
			Op{Path: shape.Circle(p.At, radius+st.HaloWidth), Fill: Hex(0xFFFFFF)})
	} else {
		l = append(l, Op{Path: shape.Circle(p.At, radius+st.HaloWidth), Fill: st.Halo.Alpha(0.92)})
	}
	body := Op{Path: disc, Fill: fill, Stroke: ring, Width: st.RingWidth}
	if p.Ghost {
		body.Fill, body.Dash, text = st.Halo.Alpha(0.6), []float64{radius * 0.4, radius * 0.3}, ring
	}
	l = append(l, body)
	size := figureSize(p.Number, radius)
	return append(l, Op{
		Kind: TextOp, Text: strconv.Itoa(p.Number), Face: SemiBold, Size: size, Align: Centre, Fill: text,
		At: shape.Pt{X: p.At.X, Y: p.At.Y + capHeight/2*size},
	})
}

// projectedPin is a hollow disc, through which the ground shows, with a thin
// broken ring and a lighter figure. No level is claimed.
func projectedPin(p Pin, radius float64, st Style) List {
	ring := shape.Circle(p.At, radius-st.RingWidth/2)
	var l List
	if p.Selected && st.Select.A > 0 {
		l = append(l, Op{Path: shape.Circle(p.At, radius+2.2*st.HaloWidth), Stroke: Hex(0xFFFFFF), Width: 2.4 * st.RingWidth},
			Op{Path: shape.Circle(p.At, radius+2.2*st.HaloWidth), Stroke: st.Select, Width: 1.5 * st.RingWidth})
	}
	size := figureSize(p.Number, radius)
	return append(l,
		Op{Path: ring, Fill: st.Tag.Alpha(0.5), Stroke: st.Measure, Width: 0.75 * st.RingWidth, Dash: []float64{radius * 0.26, radius * 0.22}},
		Op{Kind: TextOp, Text: strconv.Itoa(p.Number), Face: Sans, Size: size, Align: Centre, Fill: st.TagText.Alpha(0.9),
			At: shape.Pt{X: p.At.X, Y: p.At.Y + capHeight/2*size}})
}

// figureSize fits one, two or more figures into the disc. Plex figures are 0.6
// em wide.
func figureSize(n int, radius float64) float64 {
	switch {
	case n < 10:
		return radius * 1.2
	case n < 100:
		return radius * 1.05
	}
	return radius * 0.8
}

// leader is the line from the disc to what the pin points at, light on dark or
// dark on light so that it shows on any ground. On a photo it ends at a small
// open ring about the flaw, on an outline at a dot; at a drawn figure it just
// ends.
func leader(p Pin, radius float64, st Style) List {
	if !p.Leader {
		return nil
	}
	if d := shape.Dist(p.At, p.Tip); p.Projected && d > radius {
		p.At = shape.Lerp(p.At, p.Tip, radius/d) // it would show through the disc
	}
	under := st.Halo
	if under == st.Leader {
		under = Hex(0x16181A)
	}
	line := shape.Polyline(p.Tip, p.At)
	low := List{{Path: line, Stroke: under.Alpha(0.75), Width: st.LeaderW * 2.6}}
	top := List{{Path: line, Stroke: st.Leader, Width: st.LeaderW}}
	switch {
	case !p.isPoint():
	case p.Beside:
		ring := shape.Circle(p.Anchor, aimShare*radius)
		low = append(low, Op{Path: ring, Stroke: under.Alpha(0.75), Width: st.LeaderW * 2.6})
		top = append(top, Op{Path: ring, Stroke: st.Leader, Width: st.LeaderW})
	default:
		low = append(low, dot(p.Anchor, under, st.LeaderW*4.6))
		top = append(top, dot(p.Anchor, st.Leader, st.LeaderW*3))
	}
	return append(low, top...)
}

// aimShare is the radius of the open ring about a flaw as a share of the pin's.
const aimShare = 0.55

// isPoint says that nothing was drawn for the mark but a point.
func (p Pin) isPoint() bool { return len(p.Drawn) == 0 }

// nearest is the point of what was drawn that is nearest to q, q itself inside
// an area.
func (p Pin) nearest(q shape.Pt) shape.Pt {
	if p.isPoint() {
		return p.Anchor
	}
	line := p.Drawn
	if p.Area {
		if shape.PointInPolygon(q, line) {
			return q
		}
		line = append(line[:len(line):len(line)], line[0])
	}
	c, _ := shape.ClosestPoint(q, line)
	return c
}
