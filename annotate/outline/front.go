package outline

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// front is the whole instrument from the front.
func (pl *plan) front() SideDrawing {
	s := newSheet(Front, pl.p.LeftHanded)
	pl.addHeadFront(s)
	s.add("body", "body front", record.FrontFinish, 0, shape.FromCurves(pl.body, true))
	if pl.neckEnd > pl.boardEnd {
		s.add("neck", "neck front", record.Neck, 0, pl.neckPath(0, pl.neckEnd))
	}
	s.add("guard", "guard", record.Guard, 0, shape.FromCurves(mapCurves(throughNodes(pl.guard, true), pl.onGuard), true))
	pl.addBoard(s)
	pl.addBridge(s)
	pl.addElectronics(s)
	pl.strokeStrings(s)
	pl.strokeRoundover(s)
	return s.done(pl.silhouette())
}

func (pl *plan) addHeadFront(s *sheet) {
	k := pl.size
	s.add("headstock", "headstock front", record.Headstock, 0, pl.head.path)
	nodes := []node{
		{X: 0, Y: -38, Angle: 0, In: 3.5, Out: 3.5},
		{X: 7.5, Y: -16, Angle: 90, In: 10, Out: 5},
		{X: 0, Y: -8.5, Angle: 180, In: 5, Out: 5},
		{X: -7.5, Y: -16, Angle: 270, In: 5, Out: 10},
	}
	cover := shape.FromCurves(mapCurves(throughNodes(nodes, true), shape.Scale(k, k).Apply), true)
	s.add("rod-cover", "truss rod cover", record.Guard, 0, cover)
	s.screw(shape.Pt{Y: -32.5 * k}, 1.4*k)
	s.screw(shape.Pt{Y: -12.5 * k}, 1.4*k)
	for i, t := range pl.head.tuners {
		n := i + 1
		s.add(slugOf("tuner", n)+"-button", nameOf("tuner", n)+" button", record.Tuners, n, t.button)
		s.add(slugOf("tuner", n), nameOf("tuner", n), record.Tuners, n, shape.Circle(t.post, 5.5*k))
		s.stroke(thin, shape.Circle(t.post, 3*k))
	}
}

// addBoard adds nut, fingerboard, frets and the position dots.
func (pl *plan) addBoard(s *sheet) {
	k, end := pl.size, pl.boardEnd
	s.add("board", "fingerboard", record.Fingerboard, 0, shape.Polygon(
		shape.Pt{X: -pl.nutHalf}, shape.Pt{X: pl.nutHalf},
		shape.Pt{X: pl.half(end), Y: end}, shape.Pt{X: -pl.half(end), Y: end}))
	for i, y := range pl.fretY {
		h := pl.fretHalf(i)
		// The ends follow the board's taper, a hair inside it.
		top, bottom := pl.half(y-h)-0.2*k, pl.half(y+h)-0.2*k
		s.add(slugOf("fret", i+1), nameOf("fret", i+1), record.Frets, i+1, shape.Polygon(
			shape.Pt{X: -top, Y: y - h}, shape.Pt{X: top, Y: y - h},
			shape.Pt{X: bottom, Y: y + h}, shape.Pt{X: -bottom, Y: y + h}))
	}
	s.add("nut", "nut", record.Nut, 0, shape.Polygon(
		shape.Pt{X: -pl.nutHalf, Y: -pl.nutLength.mm * k}, shape.Pt{X: pl.nutHalf, Y: -pl.nutLength.mm * k},
		shape.Pt{X: pl.nutHalf}, shape.Pt{X: -pl.nutHalf}))
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

// strokeDots draws the position dot behind fret n: one at the odd positions
// players count by, two at the octave.
func (pl *plan) strokeDots(s *sheet, n int) {
	above := 0.0
	if n > 1 {
		above = pl.fretY[n-2]
	}
	y := (above + pl.fretY[n-1]) / 2
	r := min(3*pl.size, (pl.fretY[n-1]-above)*0.22)
	switch n % 12 {
	case 3, 5, 7, 9:
		s.stroke(thin, shape.Circle(shape.Pt{Y: y}, r))
	case 0:
		x := pl.half(y) * 0.42
		s.stroke(thin, shape.Circle(shape.Pt{X: -x, Y: y}, r))
		s.stroke(thin, shape.Circle(shape.Pt{X: x, Y: y}, r))
	}
}

func (pl *plan) addBridge(s *sheet) {
	k, y := pl.size, pl.p.ScaleLength
	half := pl.stringSpan(y)/2 + pl.bridgeReach.mm*k
	box := shape.Rect{
		Min: shape.Pt{X: -half, Y: y - pl.bridgeFront.mm*k},
		Max: shape.Pt{X: half, Y: y + pl.bridgeBack.mm*k},
	}
	s.add("bridge", "bridge", record.Bridge, 0, shape.RoundRect(box, 4*k))
	for i := range pl.p.Strings {
		x := pl.stringX(i, y)
		hx := pl.saddleHalf()
		s.stroke(medium, shape.RoundRect(shape.Rect{
			Min: shape.Pt{X: x - hx, Y: y - 3*k}, Max: shape.Pt{X: x + hx, Y: y + 12*k}}, 1.2*k))
		s.dot(shape.Pt{X: x, Y: y + 18*k}, 1.1*k)
	}
	for _, sx := range []float64{-1, 1} {
		s.screw(shape.Pt{X: sx * (half - 5*k), Y: box.Min.Y + 5*k}, 1.8*k)
		s.screw(shape.Pt{X: sx * (half - 5*k), Y: box.Max.Y - 5*k}, 1.8*k)
	}
}

// saddleHalf is half a saddle's width: it leaves a gap to its neighbour.
func (pl *plan) saddleHalf() float64 {
	if pl.p.Strings == 1 {
		return 4.4 * pl.size
	}
	return min(4.4*pl.size, 0.42*pl.stringSpan(pl.p.ScaleLength)/float64(pl.p.Strings-1))
}

// strokeStrings draws each string from its post over the nut to its saddle.
func (pl *plan) strokeStrings(s *sheet) {
	for i := range pl.p.Strings {
		post := pl.head.tuners[pl.p.Strings-1-i].post
		nut := shape.Pt{X: pl.stringX(i, 0), Y: -pl.nutLength.mm * pl.size / 2}
		end := shape.Pt{X: pl.stringX(i, pl.p.ScaleLength), Y: pl.p.ScaleLength + 2*pl.size}
		s.stroke(hair, shape.Polyline(post, nut, end))
	}
}

// strokeRoundover draws where the rounding of the body's edge ends, from one
// side of the neck round to the other.
func (pl *plan) strokeRoundover(s *sheet) {
	var line []shape.Pt
	ring := piece(pl.body, pl.treble, pl.bass)
	for _, p := range inset(ring, pl.roundover.mm*pl.bulk) {
		if p.Y > pl.neckEnd || math.Abs(p.X) > pl.half(p.Y) {
			line = append(line, p)
		}
	}
	s.dashed(thin, shape.Polyline(line...))
}
