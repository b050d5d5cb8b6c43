package outline

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
)

// plan holds the measures of one instrument, seen from the front with the bass
// strings on the left. The sheets are drawn from it and mirrored where needed.
//
// Another scale length moves the bridge to its end and everything on the body
// with it. Bodies grow more slowly than scales (a bass of 864 mm has a body
// hardly wider than a guitar of 648 mm), so sizes follow the cube root of the
// scale length. Above the bridge the body is stretched along the strings as
// well, so that it meets the neck just before the fingerboard ends.
type plan struct {
	*class
	p    Params
	size float64 // of neck, head and hardware against the class's table
	bulk float64 // of the body
	rise float64 // of the body along the strings, above the bridge

	nutHalf  float64 // half the nut's length across the strings
	boardEnd float64 // Y
	neckEnd  float64 // Y, inside the body
	fretY    []float64
	body     []shape.Curve // closed ring, clockwise
	bass     cutAt         // where the neck's edges enter the body
	treble   cutAt
	head     headstock
	strips   map[Side]strip
}

func newPlan(c *class, p Params) (*plan, error) {
	pl := &plan{class: c, p: p}
	pl.size = math.Cbrt(p.ScaleLength / c.scale.mm)
	pl.bulk = pl.size * p.BodyScale
	pl.nutHalf = pl.half(0)
	last := FretPosition(p.ScaleLength, p.Frets)
	pl.boardEnd = last + min(c.overhang.mm*pl.size, (p.ScaleLength-last)/4)
	if !p.Fretless {
		for n := 1; n <= p.Frets; n++ {
			pl.fretY = append(pl.fretY, FretPosition(p.ScaleLength, n))
		}
	}
	// The joint lies as far before the board's end as on the usual instrument.
	usual := FretPosition(c.scale.mm, c.frets) + c.overhang.mm - c.joint.mm
	reach := (p.ScaleLength - pl.boardEnd + usual*pl.size) / (c.scale.mm - c.joint.mm)
	pl.rise = max(c.shortest*pl.bulk, min(reach, c.longest*pl.bulk))
	joint := pl.onBody(shape.Pt{Y: c.joint.mm}).Y
	pl.neckEnd = pl.boardEnd
	if pl.boardEnd < joint+c.pocket.mm*pl.size/2 {
		pl.neckEnd = joint + c.pocket.mm*pl.size
	}
	pl.body = pl.onBodyAll(throughNodes(c.body, true))
	if err := pl.joinNeck(); err != nil {
		return nil, err
	}
	pl.head = pl.newHeadstock()
	pl.strips = map[Side]strip{BassSide: pl.strip(BassSide), TrebleSide: pl.strip(TrebleSide)}
	return pl, nil
}

// onBody moves a point of the class's body to this instrument's: about the
// bridge, more strongly above it where the body has to reach the neck. Curves
// are moved by their controls, so one that runs straight up where it passes
// the bridge's height stays smooth.
func (pl *plan) onBody(p shape.Pt) shape.Pt {
	k, d := pl.bulk, p.Y-pl.scale.mm
	if d < 0 {
		k = pl.rise
	}
	return shape.Pt{X: p.X * pl.bulk, Y: pl.p.ScaleLength + k*d}
}

// onClass undoes onBody.
func (pl *plan) onClass(p shape.Pt) shape.Pt {
	k, d := pl.bulk, p.Y-pl.p.ScaleLength
	if d < 0 {
		k = pl.rise
	}
	return shape.Pt{X: p.X / pl.bulk, Y: pl.scale.mm + d/k}
}

// onGuard moves a point of the class's guard, which hangs between the end of
// the fingerboard and the bridge.
func (pl *plan) onGuard(p shape.Pt) shape.Pt {
	usual := pl.scale.mm - FretPosition(pl.scale.mm, pl.frets) - pl.overhang.mm
	k := (pl.p.ScaleLength - pl.neckEnd) / usual
	return shape.Pt{X: p.X * pl.bulk, Y: pl.p.ScaleLength + k*(p.Y-pl.scale.mm)}
}

func (pl *plan) onBodyAll(curves []shape.Curve) []shape.Curve { return mapCurves(curves, pl.onBody) }

// stringSpan is the distance between the outer strings at the height y.
func (pl *plan) stringSpan(y float64) float64 {
	gaps := float64(pl.p.Strings - 1)
	nut, bridge := pl.nutStep.mm*min(gaps, 7), pl.bridgeStep.mm*min(gaps, 7)
	if gaps > 7 {
		nut += pl.crowdedNut.mm * (gaps - 7)
		bridge += pl.crowdedEnd.mm * (gaps - 7)
	}
	return pl.size * (nut + (bridge-nut)*y/pl.p.ScaleLength)
}

// half is half the width of neck and fingerboard at the height y.
func (pl *plan) half(y float64) float64 { return pl.stringSpan(y)/2 + pl.margin.mm*pl.size }

// stringX is the place across of the string with the index from the bass side.
func (pl *plan) stringX(i int, y float64) float64 {
	if pl.p.Strings == 1 {
		return 0
	}
	return pl.stringSpan(y) * (float64(i)/float64(pl.p.Strings-1) - 0.5)
}

// joinNeck finds where the neck's edges enter the body. With the classes of
// today every neck in range does so once on each side; a new class whose
// cutaways are too narrow is told so here.
func (pl *plan) joinNeck() error {
	limit := pl.neckEnd
	enter := func(sign float64) (cutAt, error) {
		var hit []cutAt
		for _, at := range cuts(pl.body, func(p shape.Pt) float64 { return sign*p.X - pl.half(p.Y) }) {
			if p := pl.body[at.curve].At(at.t); p.Y < limit {
				hit = append(hit, at)
			}
		}
		if len(hit) != 1 {
			return cutAt{}, fmt.Errorf("%d strings make a neck too wide for a body of this size: give fewer strings or a larger body", pl.p.Strings)
		}
		return hit[0], nil
	}
	var err error
	if pl.bass, err = enter(-1); err != nil {
		return err
	}
	pl.treble, err = enter(1)
	return err
}

// neckPath is the neck's outline from the height top down into the body.
func (pl *plan) neckPath(top, end float64) shape.Path {
	nut := pl.nutHalf
	pts := []shape.Pt{{X: nut, Y: 0}, {X: pl.half(end), Y: end}, {X: -pl.half(end), Y: end}, {X: -nut, Y: 0}}
	if top < 0 {
		pts = append([]shape.Pt{{X: -nut, Y: top}, {X: nut, Y: top}}, pts...)
	}
	return shape.Polygon(pts...)
}

// silhouette is the ring around body, neck and headstock, and one ring for
// each tuner button, which stands a hair off the headstock's edge.
func (pl *plan) silhouette() shape.Path {
	ring := piece(pl.body, pl.treble, pl.bass)
	start, end := ring[0].P[0], ring[len(ring)-1].P[3]
	nut, top := pl.nutHalf, -pl.nutLength.mm*pl.size
	ring = append(ring, shape.LineCurve(end, shape.Pt{X: -nut}),
		shape.LineCurve(shape.Pt{X: -nut}, shape.Pt{X: -nut, Y: top}))
	ring = append(ring, pl.head.edge...)
	ring = append(ring, shape.LineCurve(shape.Pt{X: nut, Y: top}, shape.Pt{X: nut}),
		shape.LineCurve(shape.Pt{X: nut}, start))
	out := shape.FromCurves(ring, true)
	for _, t := range pl.head.tuners {
		out.Append(t.button)
	}
	return out
}
