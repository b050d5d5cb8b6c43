package outline

import (
	"wornwood/annotate/shape"
)

// Landmark is a point of the instrument that a photo can be scaled by.
type Landmark struct {
	ID   string
	Name string
	Side Side
	At   shape.Pt // mm
}

// Landmarks lists points of the front that are easy to find in a photo: the
// ends of the nut, of the last and of the twelfth fret, the corners of the
// fingerboard's end, the saddles, the body's widest, its waist and its end. All
// frets are to be had from FretLine.
func (d *Drawing) Landmarks() []Landmark {
	pl := d.plan
	var out []Landmark
	one := func(id, name string, p shape.Pt) {
		out = append(out, Landmark{id, name, Front, pl.seenFromFront(Front, p)})
	}
	pair := func(id, name string, bass, treble shape.Pt) {
		one(id+"-bass", name+", bass end", bass)
		one(id+"-treble", name+", treble end", treble)
	}
	pair("nut", "nut", pl.nut[0].board, pl.nut[1].board)
	for _, n := range []int{12, len(pl.fretY)} {
		if n >= 1 && n <= len(pl.fretY) && (n != 12 || len(pl.fretY) > 12) {
			b, t := pl.across(pl.fretY[n-1] / pl.long)
			pair(slugOf("fret", n), nameOf("fret", n), b, t)
		}
	}
	b, t := pl.across(pl.boardEnd / pl.long)
	pair("board-end", "fingerboard's end", b, t)
	one("saddles", "saddles, centre line", shape.Pt{Y: pl.long})
	if pl.p.Strings > 1 {
		_, b = pl.stringEnds(0)
		_, t = pl.stringEnds(pl.p.Strings - 1)
		pair("saddle", "outer saddles", b, t)
	}
	for _, side := range []Side{BassSide, TrebleSide} {
		word := "bass"
		if side == TrebleSide {
			word = "treble"
		}
		for _, q := range pl.strips[side].bouts() {
			one(q.id+"-"+word, q.name+", "+word+" side", q.at)
		}
	}
	st := pl.strips[BassSide]
	one("end", "end of the body, centre line", st.line[len(st.line)-1])
	return out
}

// bout is a place of a strip that a photo shows.
type bout struct {
	id, name string
	at       shape.Pt
}

// bouts are the widest of the lower bout, and where there is a waist its
// narrowest and the widest above it.
func (st strip) bouts() []bout {
	widest := func(from, to int) int {
		best := from
		for i := from; i < to; i++ {
			if abs(st.line[i].X) > abs(st.line[best].X) {
				best = i
			}
		}
		return best
	}
	tip, half := 0, 0
	for i, p := range st.line {
		if p == st.tip {
			tip = i
		}
		if p.Y < st.middle() {
			half = i
		}
	}
	lower := widest(half, len(st.line))
	out := []bout{{"lower-bout", "widest of the lower bout", st.line[lower]}}
	// The waist is the narrowest place that has a wider one above it.
	waist, above := -1, tip
	for i := tip; i < lower; i++ {
		if abs(st.line[i].X) > abs(st.line[above].X) {
			above = i
		}
		if abs(st.line[i].X) < abs(st.line[above].X)-1 && (waist < 0 || abs(st.line[i].X) < abs(st.line[waist].X)) {
			waist = i
		}
	}
	if waist >= 0 {
		out = append(out, bout{"waist", "waist", st.line[waist]}, bout{"upper-bout", "widest of the upper bout", st.line[widest(tip, waist)]})
	}
	return out
}

// middle is the height half-way down the body.
func (st strip) middle() float64 {
	return (st.tip.Y + st.line[len(st.line)-1].Y) / 2
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// FretLine is the middle of fret n on the front sheet from the board's bass
// edge to its treble edge, in mm; 0 is the nut's edge towards the board. It is
// also given where there are no frets. Zero points for a fret the instrument
// has not.
func (d *Drawing) FretLine(n int) (bass, treble shape.Pt) {
	pl := d.plan
	if n < 0 || n > pl.p.Frets {
		return shape.Pt{}, shape.Pt{}
	}
	bass, treble = pl.across(FretPosition(1, n))
	return pl.seenFromFront(Front, bass), pl.seenFromFront(Front, treble)
}

// StringLine is the vibrating length of string n, 1 being the treble-most: on
// the front sheet from the nut to its saddle, in mm. Zero points for a string
// the instrument has not.
func (d *Drawing) StringLine(n int) (nut, saddle shape.Pt) {
	pl := d.plan
	if n < 1 || n > pl.p.Strings {
		return shape.Pt{}, shape.Pt{}
	}
	nut, saddle = pl.stringEnds(pl.p.Strings - n)
	return pl.seenFromFront(Front, nut), pl.seenFromFront(Front, saddle)
}

// Thickness is the thickness of the body in mm, from edge to edge at its end.
func (d *Drawing) Thickness() float64 { return d.plan.class.body.depth.mm * d.plan.bulk }
