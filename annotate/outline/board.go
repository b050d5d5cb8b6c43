package outline

import (
	"slices"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// board is the table of nut, fingerboard and frets.
type board struct {
	nutLength   figure `dim:"nut, along the strings"`
	fretWidth   figure `dim:"crown of a fret, across"`
	overhang    figure `dim:"fingerboard beyond its last fret"`
	boardLength figure `dim:"fingerboard"` // where the frets do not say how long it is
	dots        []int  // frets of the first octave with a dot; the octave has two
}

// boardFront draws nut, fingerboard, frets and the position dots.
type boardFront struct{}

func (boardFront) draw(pl *plan, s *sheet) {
	k := pl.size
	b, t := pl.across(pl.boardEnd / pl.long)
	edge := append([]shape.Pt{pl.nut[0].board, pl.nut[1].board, t, b}, pl.bassEdge(pl.nut[0].board.Y, b.Y)...)
	s.add("board", "fingerboard", record.Fingerboard, 0, shape.Polygon(edge...))
	for i, y := range pl.fretY {
		if pl.lined {
			a, b := pl.across(y / pl.long)
			s.stroke(medium, shape.Polyline(a, b))
			continue
		}
		h := pl.fretHalf(i)
		// The ends follow the board's taper, a hair inside it.
		a, b := pl.across((y - h) / pl.long)
		c, d := pl.across((y + h) / pl.long)
		a.X, b.X, c.X, d.X = a.X+0.2*k, b.X-0.2*k, c.X+0.2*k, d.X-0.2*k
		if pl.fan == 0 {
			a.Y, b.Y, c.Y, d.Y = y-h, y-h, y+h, y+h
		}
		s.add(slugOf("fret", i+1), nameOf("fret", i+1), record.Frets, i+1, shape.Polygon(a, b, d, c))
	}
	s.add("nut", "nut", record.Nut, 0, shape.Polygon(pl.nut[0].head, pl.nut[1].head, pl.nut[1].board, pl.nut[0].board))
	for n := 1; n <= len(pl.fretY); n++ {
		pl.strokeDots(s, n)
	}
}

// fretHalf is half the width of a fret's crown along the strings, never so
// wide that neighbours touch.
func (pl *plan) fretHalf(i int) float64 {
	gap := pl.boardEnd - pl.fretY[i]
	if i > 0 {
		gap = min(gap, pl.fretY[i]-pl.fretY[i-1])
	}
	return min(pl.fretWidth.mm*pl.size/2, gap*0.4)
}

// strokeDots draws the position dot behind fret n: one at the frets players
// count by, two at the octave.
func (pl *plan) strokeDots(s *sheet, n int) {
	above := 0.0
	if n > 1 {
		above = pl.fretY[n-2]
	}
	y := (above + pl.fretY[n-1]) / 2
	r := min(3*pl.size, (pl.fretY[n-1]-above)*0.22)
	s.lean = pl.lean(y)
	defer func() { s.lean = nil }()
	switch {
	case len(pl.dots) == 0:
	case n%12 == 0:
		x := pl.half(y) * 0.42
		s.stroke(thin, shape.Circle(shape.Pt{X: -x, Y: y}, r))
		s.stroke(thin, shape.Circle(shape.Pt{X: x, Y: y}, r))
	case slices.Contains(pl.dots, n%12):
		s.stroke(thin, shape.Circle(shape.Pt{Y: y}, r))
	}
}
