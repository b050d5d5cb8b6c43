package outline

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Height is how far a place stands above the plane of the body's own edge on
// that side, towards the viewer, in mm. Sigma is its standard uncertainty: the
// figures are usual ones for the class, not the instrument's.
type Height struct{ Value, Sigma float64 }

// rises is the table of what stands above the body's face.
type rises struct {
	nut        figure `dim:"fingerboard above the body's face, at the nut"`
	joint      figure `dim:"fingerboard above the body's face, at the joint"`
	saddle     figure `dim:"top of the saddles above the body's face"`
	head       figure `dim:"headstock's face below the fingerboard, behind the nut"`
	headFall   figure `dim:"fall of the headstock's face in 100 mm"`
	boardDeep  figure `dim:"thickness of the fingerboard"`
	spread     figure `dim:"standard uncertainty of the fingerboard's height"` // 0 for a usual neck's
	machine    figure `dim:"tuners above the headstock's face"`                // 0 for 3 mm
	guard      figure `dim:"guard or cover above the face under it"`           // 0 for one that lies on it
	backSpread figure `dim:"standard uncertainty of the back's arch, where backs differ"`
	nutTall    figure `dim:"nut above the fingerboard, where it holds the strings far off it"`
}

// fretCrown is the usual height of a fret's crown in mm: 1.1 is a medium
// height when new (a luthier's page, read; see the project's outside facts).
const fretCrown = 1.1

// HeightAt is how high the place of a side stands. On the back it is above the
// plane of the back's edge; a neck's back lies below it. A side sheet is
// unrolled and a photo of it is not, so all that is known there is that the
// edge runs away from the viewer.
func (d *Drawing) HeightAt(side Side, p shape.Pt) Height {
	r, ok := d.RegionAt(side, p)
	if !ok {
		return Height{0, 15}
	}
	pl := d.plan
	q := pl.seenFromFront(side, p)
	switch side {
	case Front:
		return pl.heightFront(r, q)
	case Back:
		return pl.heightBack(r, q)
	}
	return Height{0, 30}
}

// raised is a part of a sheet that knows how its regions lie.
type raised interface {
	height(pl *plan, r Region) (Height, bool)
}

func (pl *plan) heightFront(r Region, p shape.Pt) Height {
	b := &pl.class.body
	for _, q := range pl.front {
		if up, ok := q.(raised); ok {
			if h, ok := up.height(pl, r); ok {
				return h
			}
		}
	}
	switch r.Part {
	case record.Fingerboard:
		return pl.boardHeight(p.Y)
	case record.Frets:
		h := pl.boardHeight(p.Y)
		return Height{h.Value + fretCrown, h.Sigma}
	case record.Nut:
		h := pl.boardHeight(max(0, p.Y)) // a short string's nut lies down the board
		return Height{h.Value + max(fretCrown, pl.rises.nutTall.mm*pl.size), h.Sigma}
	case record.Neck:
		h := pl.boardHeight(p.Y)
		return Height{h.Value - pl.boardThick(), h.Sigma}
	case record.Bridge:
		if math.Abs(p.Y-pl.long) < 12*pl.size {
			return Height{pl.rises.saddle.mm * pl.size * 0.8, 0.2*pl.rises.saddle.mm*pl.size + 1}
		}
		return pl.tailHeight(p)
	case record.Guard:
		return pl.guardHeight(p)
	case record.Electronics:
		h := pl.archHeight(p, b.arch.mm)
		return Height{h.Value + 8, h.Sigma + 5}
	}
	switch {
	case p.Y < 0:
		return pl.headHeight(r, p.Y)
	case r.Part == record.Tuners: // a peg in the neck's side
		return Height{pl.boardHeight(p.Y).Value - pl.sidePegDepth(), 3 * pl.size}
	}
	return pl.archHeight(p, b.arch.mm)
}

// sidePegDepth is how far below the fingerboard a peg stands in the neck's side.
func (pl *plan) sidePegDepth() float64 { return 0.5 * pl.class.neck.depth.mm * pl.size }

// tailHeight is what the bridge's part holds before and behind the saddles: a
// block's ends, or a tailpiece that falls towards the end of the body.
func (pl *plan) tailHeight(p shape.Pt) Height {
	if p.Y > pl.endY() {
		return pl.endPinHeight()
	}
	top := pl.rises.saddle.mm * pl.size
	t := math.Max(0, math.Min(1, (p.Y-pl.long)/(pl.endY()-pl.long)))
	return Height{top * (0.55 - 0.35*t), 0.2*top + 1}
}

// endPinHeight is an end pin beyond the body: half-way between front and back.
func (pl *plan) endPinHeight() Height {
	return Height{-pl.class.body.depth.mm * pl.bulk / 2, 3 * pl.size}
}

// guardHeight is a guard on the face or raised over it, a cover plate, or the
// cover of the rod's end on the head.
func (pl *plan) guardHeight(p shape.Pt) Height {
	if p.Y < 0 {
		h := pl.headHeight(Region{}, p.Y)
		return Height{h.Value + 1.5*pl.size, h.Sigma}
	}
	h := pl.archHeight(p, pl.class.body.arch.mm)
	if up := pl.rises.guard.mm * pl.size; up > 0 {
		return Height{h.Value + up, h.Sigma + 0.35*up}
	}
	return Height{h.Value + 2.5, h.Sigma + 1}
}

// boardThick is the thickness of the fingerboard in mm.
func (pl *plan) boardThick() float64 {
	if pl.rises.boardDeep.mm > 0 {
		return pl.rises.boardDeep.mm * pl.size
	}
	return 5.5 * pl.size // common practice
}

// boardHeight is the fingerboard's surface on the centre line. Necks are set
// by eye and bend under the strings, so it is good to a millimetre or two.
func (pl *plan) boardHeight(y float64) Height {
	joint := pl.base(shape.Pt{Y: pl.joint.mm}).Y
	a, b := pl.rises.nut.mm*pl.size, pl.rises.joint.mm*pl.size
	sigma := 1.2
	if pl.rises.spread.mm > 0 {
		sigma = pl.rises.spread.mm
	}
	return Height{a + (b-a)*y/joint, sigma * pl.size}
}

// headHeight is the headstock's face and what stands on it.
func (pl *plan) headHeight(r Region, y float64) Height {
	back := -y - pl.nutLength.mm*pl.size
	h := pl.boardHeight(0).Value - pl.rises.head.mm*pl.size - back*pl.rises.headFall.mm/100
	sigma := 1.5 + 0.035*back // two degrees of its angle
	if r.Piece > 0 {          // a post or a button
		up := pl.rises.machine.mm
		if up == 0 {
			up = 3
		}
		return Height{h + up*pl.size, sigma + 4*pl.size}
	}
	return Height{h, sigma}
}

// archHeight is an arched plate: level in the middle, falling to nothing at
// the edge over a quarter of the body's width.
func (pl *plan) archHeight(p shape.Pt, top float64) Height {
	if top == 0 {
		return Height{0, 0.3}
	}
	line := shape.FromCurves(pl.body, true).FlattenOpen(0.5)[0]
	box := shape.RectAround(line...)
	t := min(1, shape.DistToPolyline(p, line)/(0.24*box.Dx()))
	top *= pl.bulk
	// Over a hollow at the edge: nothing for the first tenth of the way.
	t = max(0, (t-0.1)/0.9)
	h := top * t * t * (3 - 2*t)
	return Height{h, 0.3 + 0.15*top}
}

func (pl *plan) heightBack(r Region, p shape.Pt) Height {
	b := &pl.class.body
	switch r.Part {
	case record.Neck, record.Headstock, record.Scroll, record.Tuners, record.Pegs:
		depth := pl.class.neck.depth.mm * pl.size
		y := max(0, p.Y)
		front := pl.boardHeight(y).Value
		if p.Y < 0 {
			front = pl.headHeight(Region{}, p.Y).Value
			depth = 15 * pl.size
		} else if r.Part == record.Tuners {
			depth = pl.sidePegDepth()
		}
		// From the back's edge: the body's depth less what the neck fills of it.
		return Height{-(pl.depthAt(p) + front - depth), 3 * pl.size}
	case record.Guard, record.Bridge:
		if p.Y > pl.endY() {
			return pl.endPinHeight()
		}
		h := pl.archHeight(p, b.swell.mm)
		return Height{h.Value + 1.5, h.Sigma + 1}
	}
	h := pl.archHeight(p, b.swell.mm)
	return Height{h.Value, math.Hypot(h.Sigma, pl.rises.backSpread.mm*pl.bulk)}
}
