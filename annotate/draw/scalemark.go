package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// ResidualTimes is how many times longer than it is a residual is drawn: a
// good one is a fraction of a pixel and could not be seen.
const ResidualTimes = 10

// ScaleMark is one point that a photo is scaled by, in view units.
type ScaleMark struct {
	At       shape.Pt
	Name     string
	Off      shape.Pt // from the point to where the fitted scale has it
	Residual float64  // the length of Off, where its direction is not known
	Wild     bool     // left out of the fit
	Active   bool     // keys act on it
}

// ScaleOps draws scale points as fine crosses with their names and what is left
// between them and the fit. A point left out is a cross on its side in a broken
// ring. Names are kept inside room; named false leaves them out.
func ScaleOps(ms []ScaleMark, room shape.Rect, named bool, st Style) List {
	u := st.unit()
	var low, top, names List
	for _, m := range ms {
		ink := st.Measure
		if m.Wild {
			ink = st.Warn
		}
		cross := haloed(crossAt(m.At, 3*u, 10*u, m.Wild), ink, 1.2*u, st)
		low, top = append(low, cross[0]), append(top, cross[1])
		if m.Wild {
			top = append(top, Op{Path: shape.Circle(m.At, 12*u), Stroke: ink, Width: 1.2 * u, Dash: []float64{3 * u, 2.5 * u}})
		}
		if m.Active {
			top = append(top, Op{Path: square(m.At, 13*u), Stroke: Hex(0xFFFFFF), Width: 3.4 * u}, Op{Path: square(m.At, 13*u), Stroke: st.Select, Width: 1.6 * u})
		}
		l := m.residual(ink, st)
		low, top = append(low, l[:len(l)/2]...), append(top, l[len(l)/2:]...)
		if named && m.Name != "" && room.Contains(m.At) {
			names = append(names, m.name(room, st)...)
		}
	}
	return append(append(low, top...), names...)
}

// residual is a line to where the fit has the point, drawn longer than it is,
// or a ring of that radius.
func (m ScaleMark) residual(ink Ink, st Style) List {
	u := st.unit()
	if n := math.Hypot(m.Off.X, m.Off.Y) * ResidualTimes; n > 1.5*u {
		to := shape.Add(m.At, shape.Mul(m.Off, ResidualTimes))
		return append(haloed(shape.Polyline(m.At, to), ink, 1.6*u, st), dot(to, st.LineHalo, 6*u), dot(to, ink, 4*u))
	}
	if r := m.Residual * ResidualTimes; r > 1.5*u && m.Off == (shape.Pt{}) {
		return haloed(shape.Circle(m.At, r), ink, 0.9*u, st)
	}
	return nil
}

func (m ScaleMark) name(room shape.Rect, st Style) List {
	u := st.unit()
	tag := Tag{Text: m.Name, Warn: m.Wild}
	w, h := tag.Size(st)
	at := shape.Pt{X: m.At.X + 9*u, Y: m.At.Y + 7*u}
	if at.X+w > room.Max.X {
		at.X = m.At.X - 9*u - w
	}
	if at.Y+h > room.Max.Y {
		at.Y = m.At.Y - 7*u - h
	}
	return tag.Ops(at, st)
}

// crossAt is a cross that leaves its middle free, upright or on its side.
func crossAt(at shape.Pt, from, to float64, turned bool) shape.Path {
	dirs := [4]shape.Pt{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}}
	if turned {
		const s = math.Sqrt2 / 2
		dirs = [4]shape.Pt{{X: s, Y: s}, {X: -s, Y: -s}, {X: s, Y: -s}, {X: -s, Y: s}}
	}
	var p shape.Path
	for _, d := range dirs {
		p.MoveTo(shape.Add(at, shape.Mul(d, from)))
		p.LineTo(shape.Add(at, shape.Mul(d, to)))
	}
	return p
}
