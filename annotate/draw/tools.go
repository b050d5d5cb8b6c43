package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// Handle is a point of a figure that can be taken hold of, in view units.
type Handle struct {
	At     shape.Pt
	Kind   HandleKind
	Active bool // keys act on it: drawn filled
}

// HandleKind says what a handle moves.
type HandleKind uint8

// The kinds of handle.
const (
	CornerHandle  HandleKind = iota // a corner of a line or an area, a node of a curve: a square
	BetweenHandle                   // the middle of an edge, where a corner can be added: a small ring
	ArmHandle                       // the end of a curve's arm: a disc
)

// HandleOps draws handles, small enough to see past them.
func HandleOps(hs []Handle, st Style) List {
	u := st.unit()
	var l List
	for _, h := range hs {
		ink, fill := st.Select, Hex(0xFFFFFF)
		if h.Active {
			fill = st.Select
		}
		switch h.Kind {
		case BetweenHandle:
			l = append(l, Op{Path: shape.Circle(h.At, 2.6*u), Fill: Hex(0xFFFFFF).Alpha(0.75), Stroke: ink.Alpha(0.8), Width: 1 * u})
		case ArmHandle:
			l = append(l, Op{Path: shape.Circle(h.At, 4.6*u), Fill: Hex(0xFFFFFF)}, Op{Path: shape.Circle(h.At, 3.4*u), Fill: fill, Stroke: ink, Width: 1.3 * u})
		default:
			r := 3.2
			if h.Active {
				r = 4
			}
			l = append(l, Op{Path: square(h.At, (r+1.6)*u), Fill: Hex(0xFFFFFF)}, Op{Path: square(h.At, r*u), Fill: fill, Stroke: ink, Width: 1.3 * u})
		}
	}
	return l
}

func square(at shape.Pt, half float64) shape.Path {
	return shape.RoundRect(shape.Rect{Min: shape.Pt{X: at.X - half, Y: at.Y - half}, Max: shape.Pt{X: at.X + half, Y: at.Y + half}}, half/4)
}

// SnapOps marks the place to which a point snaps: a square about a corner, a
// ring about a place on an edge.
func SnapOps(at shape.Pt, corner bool, st Style) List {
	u := st.unit()
	p := shape.Circle(at, 5*u)
	if corner {
		p = square(at, 5*u)
	}
	return List{{Path: p, Stroke: Hex(0xFFFFFF).Alpha(0.9), Width: 3.6 * u}, {Path: p, Stroke: st.Select, Width: 1.5 * u}, dot(at, st.Select, 2.4*u)}
}

// KeyCursor is the cross that keys move.
func KeyCursor(at shape.Pt, st Style) List {
	u := st.unit()
	p := crossAt(at, 4*u, 14*u, false)
	return List{{Path: p, Stroke: Hex(0xFFFFFF), Width: 4 * u}, {Path: p, Stroke: st.Select, Width: 1.8 * u}}
}

// PatchFrame is a rectangle being dragged, with ticks at its corners.
func PatchFrame(r shape.Rect, st Style) List {
	u := st.unit()
	box := shape.RoundRect(r, 0)
	long := math.Min(8*u, math.Min(r.Dx(), r.Dy())/3)
	var ticks shape.Path
	for _, c := range [4][3]float64{{r.Min.X, r.Min.Y, 1}, {r.Max.X, r.Min.Y, 2}, {r.Max.X, r.Max.Y, 3}, {r.Min.X, r.Max.Y, 4}} {
		dx, dy := long, long
		if c[2] == 2 || c[2] == 3 {
			dx = -long
		}
		if c[2] > 2 {
			dy = -long
		}
		ticks.MoveTo(shape.Pt{X: c[0] + dx, Y: c[1]})
		ticks.LineTo(shape.Pt{X: c[0], Y: c[1]})
		ticks.LineTo(shape.Pt{X: c[0], Y: c[1] + dy})
	}
	dark, light := Hex(0x16181A), Hex(0xFFFFFF)
	return List{
		{Path: box, Fill: st.Select.Alpha(0.10), Stroke: dark.Alpha(0.55), Width: 2.6 * u},
		{Path: box, Stroke: light, Width: 1 * u},
		{Path: ticks, Stroke: dark.Alpha(0.7), Width: 5 * u},
		{Path: ticks, Stroke: light, Width: 2.8 * u},
	}
}

// Patch is an area that a colour is read from, in view units.
type Patch struct {
	Ring   []shape.Pt
	Tag    Tag
	Joined bool // a fine broken line joins it to the patch before it
}

// PatchOps draws patches and their tags, which stand on the upper edge, inside
// room.
func PatchOps(ps []Patch, room shape.Rect, st Style) List {
	u := st.unit()
	var l, tags List
	for i, p := range ps {
		if len(p.Ring) < 3 {
			continue
		}
		ring := shape.Polygon(p.Ring...)
		if p.Joined && i > 0 && len(ps[i-1].Ring) > 2 {
			a, b := shape.RectAround(ps[i-1].Ring...), shape.RectAround(p.Ring...)
			l = append(l, haloed(join2(a, b), st.Measure, 1*u, st)...)
			l[len(l)-1].Dash = []float64{4 * u, 3 * u}
		}
		l = append(l, haloed(ring, st.Measure, 1.5*u, st)...)
		box := shape.RectAround(p.Ring...)
		w, h := p.Tag.Size(st)
		at := shape.Pt{X: box.Min.X, Y: box.Min.Y - h - 3*u}
		if at.Y < room.Min.Y {
			at.Y = box.Max.Y + 3*u
		}
		at.X = math.Max(room.Min.X, math.Min(room.Max.X-w, at.X))
		if p.Tag.Text != "" && overlaps(box, room) {
			tags = append(tags, p.Tag.Ops(at, st)...)
		}
	}
	return append(l, tags...)
}

// join2 is the line between the middles of two boxes, as far as it lies outside
// of both.
func join2(a, b shape.Rect) shape.Path {
	from, to := a.Center(), b.Center()
	_, p, _ := clipSegment(from, to, a)
	q, _, _ := clipSegment(from, to, b)
	return shape.Polyline(p, q)
}
