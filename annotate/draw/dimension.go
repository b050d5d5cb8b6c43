package draw

import (
	"math"

	"wornwood/annotate/shape"
)

// Dimension is a measured line or ring as a draughtsman marks one, in view
// units: a thin line, ticks across its ends, and the figure in a box that keeps
// its size.
type Dimension struct {
	Points []shape.Pt
	Closed bool
	Label  string // "" for none
	Warn   bool   // the figure is doubtful: the line is broken and the figure has a sign
	Live   bool   // being drawn, in the accent
}

// Sizes of dimensions in window units.
const (
	dimWidth = 1.3
	dimTick  = 5.0 // each way
	dimClear = 6.0 // what a label keeps free between itself and the line or its ends
)

// DimensionLines draws the lines and ticks without the labels.
func DimensionLines(ds []Dimension, st Style) List {
	u := st.unit()
	var low, top List
	add := func(l List) { low, top = append(low, l[:1]...), append(top, l[1:]...) }
	for _, d := range ds {
		if len(d.Points) == 0 {
			continue
		}
		ink := d.ink(st)
		body := haloed(d.path(), ink, dimWidth*u, st)
		if d.Warn {
			body[1].Dash = []float64{5 * u, 3.5 * u}
		}
		add(body)
		n := len(d.Points)
		if !d.Closed && n > 1 {
			add(haloed(tick(d.Points[0], d.Points[1], dimTick*u), ink, dimWidth*u, st))
			add(haloed(tick(d.Points[n-1], d.Points[n-2], dimTick*u), ink, dimWidth*u, st))
		}
		for i, p := range d.Points {
			if d.Closed || i > 0 && i < n-1 {
				top = append(top, dot(p, ink, 3.2*u))
			}
		}
	}
	return append(low, top...)
}

func (d Dimension) ink(st Style) Ink {
	switch {
	case d.Live:
		return st.Guide
	case d.Warn:
		return st.Warn
	}
	return st.Measure
}

func (d Dimension) path() shape.Path {
	if d.Closed && len(d.Points) > 2 {
		return shape.Polygon(d.Points...)
	}
	return shape.Polyline(d.Points...)
}

// line is the points with the first repeated at the end of a ring.
func (d Dimension) line() []shape.Pt {
	if d.Closed && len(d.Points) > 2 {
		return append(d.Points[:len(d.Points):len(d.Points)], d.Points[0])
	}
	return d.Points
}

// tick is a short line across the end p of the line that goes on to q.
func tick(p, q shape.Pt, half float64) shape.Path {
	d := shape.Sub(q, p)
	n := math.Hypot(d.X, d.Y)
	if n == 0 {
		return shape.Path{}
	}
	o := shape.Pt{X: -d.Y / n * half, Y: d.X / n * half}
	return shape.Polyline(shape.Add(p, o), shape.Sub(p, o))
}

// DimensionLabels places and draws the labels: beside the middle of what can be
// seen of each line, or in the middle of a ring, off the line's own ends, which
// somebody wants to see where they are, and as far as there is room inside it,
// off one another, off what is taken and off the ends of other lines.
func DimensionLabels(ds []Dimension, room shape.Rect, taken []shape.Rect, st Style) List {
	var l List
	for i, box := range DimensionBoxes(ds, room, taken, st) {
		if !box.Empty() {
			l = append(l, ds[i].tag().Ops(box.Min, st)...)
		}
	}
	return l
}

func (d Dimension) tag() Tag { return Tag{Text: d.Label, Warn: d.Warn} }

// DimensionBoxes are the places of the labels, empty for one that has none or
// of whose line nothing can be seen.
func DimensionBoxes(ds []Dimension, room shape.Rect, taken []shape.Rect, st Style) []shape.Rect {
	out := make([]shape.Rect, len(ds))
	taken = taken[:len(taken):len(taken)]
	var ends []shape.Pt
	for _, d := range ds {
		if n := len(d.Points); n > 0 && !d.Closed {
			ends = append(ends, d.Points[0], d.Points[n-1])
		}
	}
	for i, d := range ds {
		if d.Label == "" || len(d.Points) == 0 {
			continue
		}
		if box, ok := d.place(room, taken, ends, st); ok {
			out[i] = box
			taken = append(taken, box)
		}
	}
	return out
}

// place tries boxes beside the line, the best at its middle and above it.
func (d Dimension) place(room shape.Rect, taken []shape.Rect, ends []shape.Pt, st Style) (shape.Rect, bool) {
	line := seen(d.line(), room)
	if len(line) == 0 {
		return shape.Rect{}, false
	}
	u := st.unit()
	w, h := d.tag().Size(st)
	best, least := shape.Rect{}, math.Inf(1)
	if d.Closed {
		best = rectAt(shape.Centroid(d.Points), w, h)
		least = d.trouble(best, line, room, taken, ends, u) - 1
	}
	for k, share := range []float64{0.5, 0.38, 0.62, 0.25, 0.75} {
		at, dir := along(line, share)
		for s, side := range []float64{1, -1} {
			// The normal that points up, or left of an upright line.
			n := shape.Pt{X: dir.Y * side, Y: -dir.X * side}
			if dir.X < 0 || dir.X == 0 && dir.Y > 0 {
				n = shape.Mul(n, -1)
			}
			for f, far := range []float64{0, 1, 2, 4, 7} {
				off := w/2*math.Abs(n.X) + h/2*math.Abs(n.Y) + (dimClear+far*10)*u
				mid := shape.Add(at, shape.Mul(n, off))
				box := rectAt(mid, w, h)
				c := float64(k)*0.5 + float64(s)*0.7 + float64(f) + d.trouble(box, line, room, taken, ends, u)
				if c < least {
					best, least = box, c
				}
			}
		}
	}
	return best, true
}

// trouble is what speaks against a box: an end of its own line under it most of
// all, then ends of others.
func (d Dimension) trouble(box shape.Rect, line []shape.Pt, room shape.Rect, taken []shape.Rect, ends []shape.Pt, u float64) float64 {
	c := 0.0
	for _, e := range ends {
		if distToRect(e, box) < dimClear*u {
			c += 100
		}
	}
	if n := len(d.Points); !d.Closed && math.Min(distToRect(d.Points[0], box), distToRect(d.Points[n-1], box)) < dimClear*u {
		c += 1000
	}
	for _, t := range taken {
		if overlaps(box, t) {
			c += 30
		}
	}
	if !room.Contains(box.Min) || !room.Contains(box.Max) {
		c += 60
	}
	for i := 1; i < len(line); i++ {
		if _, _, ok := clipSegment(line[i-1], line[i], box); ok {
			c += 4
		}
	}
	return c
}

func rectAt(mid shape.Pt, w, h float64) shape.Rect {
	lo := shape.Pt{X: math.Round(mid.X - w/2), Y: math.Round(mid.Y - h/2)}
	return shape.Rect{Min: lo, Max: shape.Pt{X: lo.X + w, Y: lo.Y + h}}
}

// seen is the longest run of the line that lies in the room.
func seen(line []shape.Pt, room shape.Rect) []shape.Pt {
	if len(line) == 1 {
		if room.Contains(line[0]) {
			return line
		}
		return nil
	}
	var best, run []shape.Pt
	keep := func() {
		if shape.PolylineLength(run) > shape.PolylineLength(best) || best == nil {
			best = run
		}
	}
	for i := 1; i < len(line); i++ {
		a, b, ok := clipSegment(line[i-1], line[i], room)
		if !ok {
			continue
		}
		if len(run) == 0 || run[len(run)-1] != a {
			keep()
			run = []shape.Pt{a}
		}
		run = append(run, b)
	}
	keep()
	return best
}

// along is the point at the share of the line's length and the direction there.
func along(line []shape.Pt, share float64) (shape.Pt, shape.Pt) {
	left := share * shape.PolylineLength(line)
	for i := 1; i < len(line); i++ {
		d := shape.Dist(line[i-1], line[i])
		if d > 0 && (left <= d || i == len(line)-1) {
			return shape.Lerp(line[i-1], line[i], math.Min(1, left/d)), shape.Mul(shape.Sub(line[i], line[i-1]), 1/d)
		}
		left -= d
	}
	return line[0], shape.Pt{X: 1}
}
