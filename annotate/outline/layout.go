package outline

import (
	"math"

	"wornwood/annotate/shape"
)

// layout is how the strings lie and how wide that makes neck and fingerboard.
type layout struct {
	nutStep    figure `dim:"strings at the nut, one to the next"`
	bridgeStep figure `dim:"strings at the bridge, one to the next"`
	crowdedNut figure `dim:"the same at the nut for every string above eight"`
	crowdedEnd figure `dim:"the same at the bridge for every string above eight"`
	margin     figure `dim:"outer string to the edge of the fingerboard"`
	marginEnd  figure `dim:"the same at the bridge, where it is another"`

	// From so many strings on they lie in pairs, and the steps above are from
	// pair to pair; 0 for never.
	pairsFrom int
	pairNut   figure `dim:"strings of a pair at the nut"`
	pairEnd   figure `dim:"strings of a pair at the bridge"`

	short shortString
}

// paired says whether the strings lie in pairs.
func (pl *plan) paired() bool { return pl.pairsFrom > 0 && pl.p.Strings >= pl.pairsFrom }

// courses is the number of strings or pairs of them.
func (pl *plan) courses() int {
	if pl.paired() {
		return (pl.p.Strings + 1) / 2
	}
	return pl.p.Strings
}

// stringSpan is the distance between the outer strings at the height y.
func (pl *plan) stringSpan(y float64) float64 {
	gaps := float64(pl.courses() - 1)
	nut, bridge := pl.nutStep.mm*min(gaps, 7), pl.bridgeStep.mm*min(gaps, 7)
	if pl.shorted() {
		nut -= pl.nutStep.mm
	}
	if gaps > 7 {
		nut += pl.crowdedNut.mm * (gaps - 7)
		bridge += pl.crowdedEnd.mm * (gaps - 7)
	}
	if pl.paired() {
		nut, bridge = nut+pl.pairNut.mm, bridge+pl.pairEnd.mm
	}
	return pl.size * (nut + (bridge-nut)*y/pl.long)
}

// half is half the width of neck and fingerboard at the height y.
func (pl *plan) half(y float64) float64 {
	h := pl.stringSpan(y)/2 + pl.margin.mm*pl.size
	if pl.marginEnd.mm != 0 {
		h += (pl.marginEnd.mm - pl.margin.mm) * pl.size * y / pl.long
	}
	return h
}

// stringX is the place across of the string with the index from the bass side.
func (pl *plan) stringX(i int, y float64) float64 {
	if pl.p.Strings == 1 {
		return 0
	}
	return pl.stringSpan(y) * pl.share(i, y)
}

// share is where the string lies between the outer ones, -0.5 to 0.5.
func (pl *plan) share(i int, y float64) float64 {
	if pl.shorted() {
		return pl.shortShare(i, y)
	}
	if !pl.paired() {
		return float64(i)/float64(pl.p.Strings-1) - 0.5
	}
	pair := pl.size * (pl.pairNut.mm + (pl.pairEnd.mm-pl.pairNut.mm)*y/pl.long)
	span := pl.stringSpan(y)
	step := 0.0
	if n := pl.courses(); n > 1 {
		step = (span - pair) / float64(n-1)
	}
	return (float64(i/2)*step+float64(i%2)*pair)/span - 0.5
}

// stringEnds are the ends of the vibrating length of the string with the
// index from the bass side.
func (pl *plan) stringEnds(i int) (nut, saddle shape.Pt) {
	v, begin := pl.leanOf(i), pl.begin(i)
	nut.Y, saddle.Y = begin*pl.long+(begin-pl.square)*v, pl.long+(1-pl.square)*v
	nut.X, saddle.X = pl.stringX(i, nut.Y), pl.stringX(i, saddle.Y)
	return nut, saddle
}

// leanOf is how much longer than the mean the string's own scale length is.
func (pl *plan) leanOf(i int) float64 {
	if pl.fan == 0 || pl.p.Strings == 1 {
		return 0
	}
	return -pl.fan * pl.share(i, 0)
}

// across is the line across the strings at the share f of the scale length, 0
// at the nut and 1 at the saddles, from the board's bass edge to its treble
// edge. Frets that are fanned lean: the line meets each outer string at the
// share f of that string's own length.
func (pl *plan) across(f float64) (bass, treble shape.Pt) {
	y := f * pl.long
	slope := pl.slope(f)
	if slope == 0 {
		return shape.Pt{X: -pl.edgeHalf(-1, y), Y: y}, shape.Pt{X: pl.half(y), Y: y}
	}
	b := pl.outer(f, -1)
	c := b.Y - slope*b.X // height on the centre line
	h0, rise := pl.half(0), pl.half(1)-pl.half(0)
	bass.X = -(h0 + rise*c) / (1 + rise*slope)
	treble.X = (h0 + rise*c) / (1 - rise*slope)
	bass.Y, treble.Y = c+slope*bass.X, c+slope*treble.X
	if pl.shorted() {
		bass = pl.leaningBass(c, slope, bass)
	}
	return bass, treble
}

// outer is where the line at the share f meets the outer string of the side,
// -1 for the bass.
func (pl *plan) outer(f, side float64) shape.Pt {
	y := f*pl.long - side*(f-pl.square)*pl.fan/2
	return shape.Pt{X: side * pl.stringSpan(y) / 2, Y: y}
}

// slope is how far a line across the strings falls per millimetre to the
// treble side, 0 without fanned frets.
func (pl *plan) slope(f float64) float64 {
	if pl.fan == 0 || pl.p.Strings == 1 {
		return 0
	}
	b, t := pl.outer(f, -1), pl.outer(f, 1)
	return (t.Y - b.Y) / (t.X - b.X)
}

// lean is the shear that sets what was drawn square at the height y along the
// fan, nil where nothing leans.
func (pl *plan) lean(y float64) *shape.Affine {
	m := pl.slope(y / pl.long)
	if m == 0 {
		return nil
	}
	return &shape.Affine{1, 0, 0, m, 1, 0}
}

// along is the height on the centre line of the line across the strings that
// runs through the point.
func (pl *plan) along(p shape.Pt) float64 {
	span := pl.stringSpan(p.Y)
	if pl.fan == 0 || span <= 0 {
		return p.Y
	}
	v := math.Max(-2, math.Min(2, -p.X/span)) * pl.fan
	return (p.Y + pl.square*v) / (pl.long + v) * pl.long
}
