package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// bridgeKind is a kind of bridge with whatever holds the strings' ends.
type bridgeKind interface {
	part
	front() float64 // how far it reaches before the scale length, mm
	// stringEnd is how a string goes on from the nut: over its saddle to where
	// it is held.
	stringEnd(pl *plan, i int) []shape.Pt
}

// saddleHalf is half a saddle's width: it leaves a gap to its neighbour.
func (pl *plan) saddleHalf() float64 {
	if pl.p.Strings == 1 {
		return 4.4 * pl.size
	}
	return min(4.4*pl.size, 0.42*pl.stringSpan(pl.long)/float64(pl.p.Strings-1))
}

// plateBridge is a metal plate screwed to a solid body, with a saddle for each
// string.
type plateBridge struct {
	before figure `dim:"bridge before the scale length"`
	behind figure `dim:"bridge behind the scale length"`
	reach  figure `dim:"bridge beyond the outer strings"`
	saddle figure `dim:"saddles behind the scale length, where they are long"`
}

func (b plateBridge) front() float64 { return b.before.mm }

func (b plateBridge) stringEnd(pl *plan, i int) []shape.Pt {
	_, saddle := pl.stringEnds(i)
	if b.saddle.mm > 0 {
		return []shape.Pt{saddle, {X: saddle.X, Y: saddle.Y + (b.saddle.mm+6)*pl.size}}
	}
	saddle.Y += 2 * pl.size
	return []shape.Pt{saddle}
}

func (b plateBridge) draw(pl *plan, s *sheet) {
	k, y := pl.size, pl.long
	s.lean = pl.lean(y)
	half := pl.stringSpan(y)/2 + b.reach.mm*k
	box := shape.Rect{
		Min: shape.Pt{X: -half, Y: y - b.before.mm*k},
		Max: shape.Pt{X: half, Y: y + b.behind.mm*k},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.RoundRect(box, 4*k))
	long := 12.0
	if b.saddle.mm > 0 {
		long = b.saddle.mm
	}
	for i := range pl.p.Strings {
		x := pl.stringX(i, y)
		hx := pl.saddleHalf()
		s.stroke(medium, shape.RoundRect(shape.Rect{
			Min: shape.Pt{X: x - hx, Y: y - 3*k}, Max: shape.Pt{X: x + hx, Y: y + long*k}}, 1.2*k))
		s.dot(shape.Pt{X: x, Y: y + (long+6)*k}, 1.1*k)
	}
	for _, sx := range []float64{-1, 1} {
		s.screw(shape.Pt{X: sx * (half - 5*k), Y: box.Min.Y + 5*k}, 1.8*k)
		s.screw(shape.Pt{X: sx * (half - 5*k), Y: box.Max.Y - 5*k}, 1.8*k)
	}
}

// bridgeFront puts the class's bridge on the front.
type bridgeFront struct{}

func (bridgeFront) draw(pl *plan, s *sheet) { pl.bridge.draw(pl, s) }
