package outline

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
)

type path = shape.Path

// frame is how the body lies under the strings.
type frame struct {
	joint    figure  `dim:"nut to where the body meets the neck"`
	pocket   figure  `dim:"shortest neck inside the body"`
	deep     figure  `dim:"nut to the bottom of the deepest cutaway"`
	rigid    bool    // the body keeps its form, as a round one does, and stays where the bridge is
	fixed    bool    // the joint lies at one fret; otherwise before the board's end, wherever that is
	hinge    float64 // Y from which the body is stretched towards the neck; 0 is the bridge
	shortest float64 // how far it may shrink and stretch there
	longest  float64
}

// plan holds the measures of one instrument, seen from the front with the bass
// strings on the left. The sheets are drawn from it and mirrored where needed.
//
// Another scale length moves the bridge to its end and everything on the body
// with it. Bodies grow more slowly than scales (a bass of 864 mm has a body
// hardly wider than a guitar of 648 mm), so sizes follow the cube root of the
// scale length. Above the hinge the body is stretched along the strings as
// well, so that it meets the neck where it should.
type plan struct {
	*class
	p      Params
	long   float64 // scale length on the centre line
	fan    float64 // by how much the bass string's is longer than the treble string's
	square float64 // share of the scale length at which the frets run square
	size   float64 // of neck, head and hardware against the class's table
	bulk   float64 // of the body
	wide   float64 // of the body across the strings
	foot   float64 // of the body along the strings, below the hinge
	rise   float64 // the same above it
	fold   float64 // Y of the hinge

	nutHalf  float64       // half the nut's length across the strings
	nut      [2]outset     // its bass and treble end
	boardEnd float64       // Y on the centre line
	neckEnd  float64       // Y, inside the body
	fretY    []float64     // of frets, or of the lines that stand for them
	body     []shape.Curve // closed ring, clockwise
	bass     cutAt         // where the neck's edges enter the body
	treble   cutAt
	headed   headstock
	strips   map[Side]strip
	own      *carrier // carries the class's body to the instrument's own, nil for none
}

// outset is one end of the nut: towards the board and towards the head.
type outset struct{ board, head shape.Pt }

func newPlan(c *class, p Params) (*plan, error) {
	pl := &plan{class: c, p: p}
	pl.long = p.ScaleLength
	if p.BassScale > 0 {
		pl.long = (p.BassScale + p.ScaleLength) / 2
		pl.fan = p.BassScale - p.ScaleLength
		pl.square = FretPosition(1, p.StraightFret)
	}
	pl.size = math.Cbrt(pl.long / c.scale.mm)
	pl.bulk = pl.size * p.BodyScale
	pl.wide, pl.foot = pl.bulk, pl.bulk
	pl.setNut()
	last := FretPosition(pl.long, p.Frets)
	pl.boardEnd = last + min(c.overhang.mm*pl.size, (pl.long-last)/4)
	if c.boardLength.mm > 0 {
		pl.boardEnd = c.boardLength.mm * pl.long / c.scale.mm
	}
	if !p.Fretless || c.lined {
		for n := 1; n <= p.Frets; n++ {
			pl.fretY = append(pl.fretY, FretPosition(pl.long, n))
		}
	}
	if err := pl.setBody(); err != nil {
		return nil, err
	}
	joint := pl.base(shape.Pt{Y: c.joint.mm}).Y
	pl.neckEnd = pl.boardEnd
	if pl.boardEnd < joint+c.pocket.mm*pl.size/2 {
		pl.neckEnd = joint + c.pocket.mm*pl.size
	}
	if c.deep.mm > 0 {
		pl.neckEnd = max(pl.neckEnd, pl.base(shape.Pt{Y: c.deep.mm}).Y)
	}
	if err := pl.joinNeck(); err != nil {
		return nil, err
	}
	pl.headed = c.head.shape(pl)
	pl.strips = map[Side]strip{BassSide: pl.strip(BassSide), TrebleSide: pl.strip(TrebleSide)}
	return pl, nil
}

func (pl *plan) setNut() {
	pl.nutHalf = pl.half(0)
	bass, treble := pl.across(0)
	up := func(p shape.Pt) shape.Pt { return shape.Pt{X: p.X, Y: p.Y - pl.nutLength.mm*pl.size} }
	pl.nut = [2]outset{{bass, up(bass)}, {treble, up(treble)}}
}

// setBody finds how the class's body is stretched and draws its ring.
func (pl *plan) setBody() error {
	c := pl.class
	ring := c.body.curves()
	usual := shape.FromCurves(ring, true).Bounds()
	hinge := pl.hingeAt()
	// The joint lies as far before the board's end as on the usual instrument,
	// or at its own fret.
	joint, reach := pl.boardEnd, FretPosition(c.scale.mm, c.frets)+c.overhang.mm-c.joint.mm
	if c.fixed {
		joint, reach = c.joint.mm*pl.long/c.scale.mm, 0
	}
	if pl.p.BodyWidth > 0 {
		pl.wide = pl.p.BodyWidth / usual.Dx()
	}
	switch {
	case pl.p.BodyLength > 0 && c.rigid:
		pl.foot = pl.p.BodyLength / usual.Dy()
	case pl.p.BodyLength > 0:
		above := (hinge - usual.Min.Y) / (hinge - c.joint.mm)
		open := pl.long - joint + reach*pl.size
		pl.foot = (pl.p.BodyLength - above*open) / (above*(hinge-c.scale.mm) + usual.Max.Y - hinge)
		if lo, hi := 0.55*pl.bulk, 1.9*pl.bulk; !within(pl.foot, lo, hi) {
			at := func(k float64) float64 {
				return above*(open+k*(hinge-c.scale.mm)) + k*(usual.Max.Y-hinge)
			}
			return &ParamError{"body length", fmt.Sprintf("%g mm", pl.p.BodyLength),
				fmt.Sprintf("%.0f to %.0f mm for this scale length", math.Ceil(at(lo)), math.Floor(at(hi)))}
		}
	}
	pl.fold = pl.long + pl.foot*(hinge-c.scale.mm)
	stretch := (pl.fold - joint + reach*pl.size) / (hinge - c.joint.mm)
	pl.rise = stretch
	switch {
	case c.rigid:
		pl.rise = pl.foot
	case pl.p.BodyLength == 0:
		pl.rise = max(c.shortest*pl.bulk, min(stretch, c.longest*pl.bulk))
	}
	// A neck of a few frets would put a horn beside the head.
	if most := pl.fold / (hinge - usual.Min.Y); pl.rise > most {
		if pl.p.BodyLength > 0 {
			return &ParamError{"body length", fmt.Sprintf("%g mm", pl.p.BodyLength), "a shorter one, or a neck with more frets"}
		}
		pl.rise = most
	}
	pl.body = mapCurves(ring, pl.base)
	return pl.takeOwn()
}

func (pl *plan) hingeAt() float64 {
	if pl.hinge != 0 {
		return pl.hinge
	}
	return pl.scale.mm
}

// base moves a point of the class's body to this instrument's: about the
// hinge, more strongly above it where the body has to reach the neck. Curves
// are moved by their controls, so one that runs straight up where it passes
// the hinge's height stays smooth.
func (pl *plan) base(p shape.Pt) shape.Pt {
	k, d := pl.foot, p.Y-pl.hingeAt()
	if d < 0 {
		k = pl.rise
	}
	return shape.Pt{X: p.X * pl.wide, Y: pl.fold + k*d}
}

// onBody is base carried on to the instrument's own outline, if it has one.
func (pl *plan) onBody(p shape.Pt) shape.Pt { return pl.own.carry(pl.base(p)) }

// onClass undoes onBody.
func (pl *plan) onClass(p shape.Pt) shape.Pt {
	p = pl.own.carryBack(p)
	k, d := pl.foot, p.Y-pl.fold
	if d < 0 {
		k = pl.rise
	}
	return shape.Pt{X: p.X / pl.wide, Y: pl.hingeAt() + d/k}
}

func (pl *plan) onBodyAll(curves []shape.Curve) []shape.Curve { return mapCurves(curves, pl.onBody) }

// joinNeck finds where the neck's edges enter the body. A class whose cutaways
// are too narrow for the neck, or a body of its own that leaves it, is told so
// here.
func (pl *plan) joinNeck() (err error) {
	pl.bass, pl.treble, err = pl.entries(pl.body, pl.neckEnd)
	return err
}

// entries are the places above the limit where the neck's bass and treble
// edges enter a ring.
func (pl *plan) entries(ring []shape.Curve, limit float64) (bass, treble cutAt, err error) {
	var found [2]cutAt
	for i, sign := range []float64{-1, 1} {
		var hit []cutAt
		for _, at := range cuts(ring, func(p shape.Pt) float64 { return sign*p.X - pl.edgeHalf(sign, p.Y) }) {
			if p := ring[at.curve].At(at.t); p.Y < limit {
				hit = append(hit, at)
			}
		}
		if len(hit) != 1 {
			return bass, treble, fmt.Errorf("%d strings make a neck too wide for a body of this size: give fewer strings or a larger body", pl.p.Strings)
		}
		found[i] = hit[0]
	}
	return found[0], found[1], nil
}

// neckPath is the neck's outline down into the body, from the nut or, with
// head set, from the nut's far side.
func (pl *plan) neckPath(head bool, end float64) shape.Path {
	b, t := pl.nut[0], pl.nut[1]
	pts := []shape.Pt{t.board, {X: pl.half(end), Y: end}, {X: -pl.edgeHalf(-1, end), Y: end}}
	pts = append(append(pts, pl.bassEdge(b.board.Y, end)...), b.board)
	if head {
		pts = append([]shape.Pt{b.head, t.head}, pts...)
	}
	return shape.Polygon(pts...)
}

// silhouette is the ring around body, neck and headstock, and one ring for
// each thing that stands off it: tuner buttons, a peg on the neck.
func (pl *plan) silhouette() shape.Path {
	ring := piece(pl.body, pl.treble, pl.bass)
	start, end := ring[0].P[0], ring[len(ring)-1].P[3]
	b, t := pl.nut[0], pl.nut[1]
	for _, p := range append(pl.bassEdge(b.board.Y, end.Y), b.board, b.head) {
		ring = append(ring, shape.LineCurve(end, p))
		end = p
	}
	ring = append(ring, pl.headed.edge...)
	ring = append(ring, shape.LineCurve(t.head, t.board), shape.LineCurve(t.board, start))
	out := shape.FromCurves(ring, true)
	for _, u := range pl.headed.tuners {
		out.Append(u.button)
	}
	for _, q := range pl.front {
		if o, ok := q.(outsider); ok {
			for _, ring := range o.outside(pl) {
				out.Append(ring)
			}
		}
	}
	return out
}
