package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// paddle is a solid head with geared tuners through it, on both sides or all
// on the bass side.
type paddle struct {
	reach    figure `dim:"headstock beyond the nut's end, at its widest"`
	least    figure `dim:"half the headstock's width at the least"`
	shoulder figure `dim:"nut to the headstock's widest"`
	tip      figure `dim:"headstock beyond its last tuner"`
	first    figure `dim:"nut to the first tuner"`
	step     figure `dim:"from tuner to tuner"`
	crowded  figure `dim:"the same from five a side"`
	inset    figure `dim:"tuner's post to the headstock's edge"`

	bassOnly bool    // all tuners on the bass side
	large    float64 // size of the machines against a guitar's, 0 for the same
	cover    bool    // a truss rod cover behind the nut
	contour  func(headSize) []node
}

// headSize is what a head's contour is drawn to, in the class's millimetres
// from the nut's edge towards the board, all positive.
type headSize struct {
	nut, nutLength float64 // half the nut's width; its length
	wide           float64 // half the head's width
	shoulder       float64 // where it is that wide
	last, tip      float64 // the last tuner; from there to the tip
}

func (h paddle) shape(pl *plan) headstock {
	bassCount := (pl.p.Strings + 1) / 2
	step := h.step.mm
	if bassCount > 4 {
		step = h.crowded.mm
	}
	if h.bassOnly {
		bassCount = pl.p.Strings
		if bassCount > 6 {
			step = h.crowded.mm
		}
	}
	nut := pl.nutHalf / pl.size
	size := headSize{nut: nut, nutLength: pl.nutLength.mm, wide: max(nut+h.reach.mm, h.least.mm),
		shoulder: h.shoulder.mm, last: h.first.mm + step*float64(bassCount-1), tip: h.tip.mm}
	head := pl.newHeadstock(h.contour(size))
	for s := 1; s <= pl.p.Strings; s++ {
		head.tuners = append(head.tuners, h.tuner(pl, head.path, s, bassCount, step))
	}
	return head
}

// tuner places the machine of string s: treble strings from the nut outwards
// on their side, bass strings from the tip back to the nut on theirs, so that
// no string crosses another; all on the bass side, from the bass string on.
func (h paddle) tuner(pl *plan, head shape.Path, s, bassCount int, step float64) tuner {
	k := pl.size
	trebleCount := pl.p.Strings - bassCount
	side, place := 1.0, s-1
	if s > trebleCount {
		side, place = -1, pl.p.Strings-s
	}
	y := -k * (h.first.mm + step*float64(place))
	edge := headEdgeAt(head, side, y-3*k, y, y+3*k)
	post := shape.Pt{X: side * (edge.near - h.inset.mm*k), Y: y}
	m := k * h.machine()
	half := min(11*h.machine(), step/2-3)
	t := tuner{post: post, side: side, button: tunerButton(side, edge.far+0.3*k, y, m)}
	near := edge.near
	if h.large > 0 { // high enough for the edge to lean past a corner
		near = headEdgeAt(head, side, y-half*k, y, y+half*k).near
	}
	x0, x1 := side*(near-2*k), side*(near-2*k-17*m)
	t.box = shape.RectAround(shape.Pt{X: x0, Y: y - half*k}, shape.Pt{X: x1, Y: y + half*k})
	return t
}

// machine is the size of the machines against a guitar's.
func (h paddle) machine() float64 {
	if h.large == 0 {
		return 1
	}
	return h.large
}

func (h paddle) face(pl *plan, s *sheet) {
	k := pl.size * h.machine()
	s.add("headstock", "headstock front", record.Headstock, 0, pl.headed.path)
	if h.cover {
		pl.addRodCover(s)
	}
	for i, t := range pl.headed.tuners {
		n := i + 1
		s.add(slugOf("tuner", n)+"-button", nameOf("tuner", n)+" button", record.Tuners, n, t.button)
		s.add(slugOf("tuner", n), nameOf("tuner", n), record.Tuners, n, shape.Circle(t.post, 5.5*k))
		s.stroke(thin, shape.Circle(t.post, 3*k))
	}
}

// addRodCover is the plate over the end of the truss rod; a neck for one string
// has no room for it.
func (pl *plan) addRodCover(s *sheet) {
	k := pl.size
	nodes := []node{
		{X: 0, Y: -38, Angle: 0, In: 3.5, Out: 3.5},
		{X: 7.5, Y: -16, Angle: 90, In: 10, Out: 5},
		{X: 0, Y: -8.5, Angle: 180, In: 5, Out: 5},
		{X: -7.5, Y: -16, Angle: 270, In: 5, Out: 10},
	}
	cover := shape.FromCurves(mapCurves(throughNodes(nodes, true), shape.Scale(k, k).Apply), true)
	for _, p := range cover.Flatten(0.5)[0] {
		if !pl.headed.path.Contains(p) {
			return
		}
	}
	s.add("rod-cover", "truss rod cover", record.Guard, 0, cover)
	s.screw(shape.Pt{Y: -32.5 * k}, 1.4*k)
	s.screw(shape.Pt{Y: -12.5 * k}, 1.4*k)
}

func (paddle) back(pl *plan, s *sheet) {
	s.add("headstock", "headstock back", record.Headstock, 0, pl.headed.path)
}

func (h paddle) machines(pl *plan, s *sheet) {
	k := pl.size * h.machine()
	for i, t := range pl.headed.tuners {
		n := i + 1
		s.add(slugOf("tuner", n)+"-button", nameOf("tuner", n)+" button", record.Tuners, n, t.button)
		s.add(slugOf("tuner", n), nameOf("tuner", n), record.Tuners, n, shape.RoundRect(t.box, 4*k))
		c := t.box.Center()
		s.stroke(thin, shape.Circle(c, 3.2*k))
		s.screw(shape.Pt{X: c.X - t.side*5.2*k, Y: c.Y + t.box.Dy()/2 - 3*k}, 1.2*k)
	}
}

// tunerButton is the shaft and the button beyond the head's edge.
func tunerButton(side, x, y, k float64) shape.Path {
	nodes := []node{
		{X: 5.5, Y: -2, Angle: 270, Out: 3},
		{X: 12, Y: -8.5, Angle: 0, In: 4.5, Out: 4.5},
		{X: 19, Y: 0, Angle: 90, In: 5, Out: 5},
		{X: 12, Y: 8.5, Angle: 180, In: 4.5, Out: 4.5},
		{X: 5.5, Y: 2, Angle: 270, In: 3},
	}
	m := shape.Affine{side * k, 0, side * x, 0, k, y}
	ring := throughNodes(nodes, false)
	foot := [2]shape.Pt{{X: 0, Y: -2}, {X: 0, Y: 2}}
	ring = append([]shape.Curve{shape.LineCurve(foot[0], nodes[0].at())}, ring...)
	ring = append(ring, shape.LineCurve(nodes[4].at(), foot[1]))
	return shape.FromCurves(mapCurves(ring, m.Apply), true)
}
