package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// shortString is a string beside the others that begins part of the way down
// the neck, as a banjo's fifth does. The neck is wider on the bass side from
// there on.
type shortString struct {
	of     int    // with so many strings the bass-most is short; 0 for never
	fret   int    // the fret at which it begins
	beside figure `dim:"short string to its neighbour, where it begins"`
	from   figure `dim:"where the neck begins to widen, before the short string's nut"`
	to     figure `dim:"where the neck is as wide as it becomes, before the same"`
}

// shorted says whether the bass-most string is short.
func (pl *plan) shorted() bool { return pl.short.of > 0 && pl.p.Strings == pl.short.of }

// begin is the share of the scale length at which the string with the index
// from the bass side begins: 0 but for a short one.
func (pl *plan) begin(i int) float64 {
	if i == 0 && pl.shorted() {
		return FretPosition(1, pl.short.fret)
	}
	return 0
}

// shortShare is share where the bass-most string is short: at the bridge all
// strings are spaced alike, at the nut the others are, about the centre line.
func (pl *plan) shortShare(i int, y float64) float64 {
	n, span := pl.p.Strings, pl.stringSpan(y)
	end := pl.stringSpan(pl.long)
	along := func(j int, y float64) float64 { // of a long string
		nut := pl.stringSpan(0) * (float64(j-1)/float64(n-2) - 0.5)
		saddle := end * (float64(j)/float64(n-1) - 0.5)
		return nut + (saddle-nut)*y/pl.long
	}
	if i > 0 {
		return along(i, y) / span
	}
	top := pl.begin(0) * pl.long
	x := along(1, top) - pl.short.beside.mm*pl.size
	return (x + (-end/2-x)*(y-top)/(pl.long-top)) / span
}

// ledge is by how much the neck is wider on the bass side at the height y.
func (pl *plan) ledge(y float64) float64 {
	if !pl.shorted() {
		return 0
	}
	nut, _ := pl.stringEnds(0)
	full := -pl.stringX(0, y) - pl.stringSpan(y)/2
	from, to := nut.Y-pl.short.from.mm*pl.size, nut.Y-pl.short.to.mm*pl.size
	t := max(0, min(1, (y-from)/(to-from)))
	return full * t * t * (3 - 2*t)
}

// edgeHalf is how far the edge of neck and fingerboard lies off the centre line
// at the height y, on the bass side for a negative sign.
func (pl *plan) edgeHalf(sign, y float64) float64 {
	if sign < 0 {
		return pl.half(y) + pl.ledge(y)
	}
	return pl.half(y)
}

// bassEdge are the points between two heights, from the lower end up, that make
// the neck's bass edge other than straight.
func (pl *plan) bassEdge(top, bottom float64) []shape.Pt {
	if !pl.shorted() {
		return nil
	}
	nut, _ := pl.stringEnds(0)
	from, to := nut.Y-pl.short.from.mm*pl.size, nut.Y-pl.short.to.mm*pl.size
	const steps = 24
	var out []shape.Pt
	for i := steps; i >= 0; i-- {
		if y := from + (to-from)*float64(i)/steps; y > top && y < bottom {
			out = append(out, shape.Pt{X: -pl.edgeHalf(-1, y), Y: y})
		}
	}
	return out
}

// leaningBass is where a line that falls by slope to the treble side, at the
// height c on the centre line, meets the bass edge of a neck that is not
// straight there.
func (pl *plan) leaningBass(c, slope float64, from shape.Pt) shape.Pt {
	p := from
	for range 40 {
		p.X = -pl.edgeHalf(-1, p.Y)
		p.Y = c + slope*p.X
	}
	return p
}

// shortNut is the pip that the short string runs over.
type shortNut struct {
	across figure `dim:"short string's nut, across"`
}

func (n shortNut) draw(pl *plan, s *sheet) {
	if !pl.shorted() {
		return
	}
	at, _ := pl.stringEnds(0)
	r := n.across.mm * pl.size / 2
	s.add("nut-short", "short string's nut", record.Nut, 0, shape.Circle(shape.Pt{X: at.X, Y: at.Y - r}, r))
}
