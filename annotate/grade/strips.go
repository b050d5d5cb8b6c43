package grade

import (
	"cmp"
	"slices"
)

// topScore is the highest score of a flaw.
const topScore = 6

// strip is a run of cells of one row, or one piece of a counted part, that a
// mark covers. All cells of a strip belong to one part.
type strip struct {
	key  uint64 // part, sheet, row and first column, so that strips sort by it
	x1   int32  // column behind the last
	mark int32
}

func newStrip(part, sheet, y, x0, x1 int, mark int32) strip {
	return strip{key: uint64(part)<<40 | uint64(sheet)<<32 | uint64(uint16(y))<<16 | uint64(uint16(x0)), x1: int32(x1), mark: mark}
}

// row is equal for strips of one part in one row: only those can meet.
func (s strip) row() uint64 { return s.key >> 16 }
func (s strip) part() int   { return int(s.key >> 40) }
func (s strip) x0() int32   { return int32(s.key & 0xffff) }

// Rows and columns are kept in 16 bits. The largest drawing has a few thousand.
const maxGrid = 1<<16 - 1

// pieceSheet is the sheet number under which pieces lie; no side has it.
const pieceSheet = 255

// partCover is how one part is covered by what was drawn on it, in units.
type partCover struct {
	drawn [topScore + 1]int // units whose worst score it is
	share []float64         // of each mark in the units where it is among the worst; equals share alike
	own   []int             // units of each mark, whatever lies over it
}

// countStrips goes through each row from left to right. scores are those of the
// marks. It sorts strips in place.
func countStrips(strips []strip, scores []int, parts int) []partCover {
	out := make([]partCover, parts)
	for i := range out {
		out[i].share, out[i].own = make([]float64, len(scores)), make([]int, len(scores))
	}
	slices.SortFunc(strips, func(a, b strip) int { return cmp.Compare(a.key, b.key) })
	sw := sweep{scores: scores, active: make([]int, len(scores)), from: make([]int32, len(scores)), entered: make([]float64, len(scores))}
	for i := 0; i < len(strips); {
		j := i + 1
		for j < len(strips) && strips[j].row() == strips[i].row() {
			j++
		}
		sw.row(strips[i:j], &out[strips[i].part()])
		i = j
	}
	return out
}

// sweep is the state of one row's pass. Between two neighbouring ends the set
// of marks is the same; the units between go to the worst score in equal parts.
// gain[s] is what one mark of the score s has earned since the row's start, so
// that a mark's share is the gain between its start and its end, and no pass
// over all the marks of a place is needed.
type sweep struct {
	scores  []int
	active  []int     // of each mark: strips open here
	from    []int32   // where it became active
	entered []float64 // gain of its score there
	gain    [topScore + 1]float64
	count   [topScore + 1]int // active marks of each score
	ends    []end
}

// end is where a mark's strip begins or stops, as one number that sorts by
// column, then by mark; where two strips of a mark meet, the second opens
// before the first closes, so that the mark stays active.
type end uint64

func opening(s strip) end  { return end(s.x0())<<33 | end(s.mark)<<1 }
func closing(s strip) end  { return end(s.x1)<<33 | end(s.mark)<<1 | 1 }
func (e end) x() int32     { return int32(e >> 33) }
func (e end) mark() int32  { return int32(e >> 1) }
func (e end) closes() bool { return e&1 == 1 }

func (sw *sweep) row(strips []strip, to *partCover) {
	if len(strips) == 1 { // by far the most common
		s, n := strips[0], int(strips[0].x1-strips[0].x0())
		to.drawn[sw.scores[s.mark]] += n
		to.share[s.mark] += float64(n)
		to.own[s.mark] += n
		return
	}
	sw.ends = sw.ends[:0]
	for _, s := range strips {
		sw.ends = append(sw.ends, opening(s), closing(s))
	}
	slices.Sort(sw.ends)
	clear(sw.gain[:])
	last := sw.ends[0].x()
	for _, e := range sw.ends {
		if e.x() > last {
			sw.pass(int(e.x()-last), to)
			last = e.x()
		}
		sw.turn(e, to)
	}
}

// pass hands n units to the worst score present.
func (sw *sweep) pass(n int, to *partCover) {
	for s := topScore; s > 0; s-- {
		if k := sw.count[s]; k > 0 {
			to.drawn[s] += n
			sw.gain[s] += float64(n) / float64(k)
			return
		}
	}
}

// turn opens or closes one strip. A mark whose strips overlap is active once.
func (sw *sweep) turn(e end, to *partCover) {
	m, s := e.mark(), sw.scores[e.mark()]
	before := sw.active[m]
	if e.closes() {
		sw.active[m]--
	} else {
		sw.active[m]++
	}
	switch now := sw.active[m]; {
	case before == 0 && now != 0:
		sw.count[s]++
		sw.from[m], sw.entered[m] = e.x(), sw.gain[s]
	case before != 0 && now == 0:
		sw.count[s]--
		to.own[m] += int(e.x() - sw.from[m])
		to.share[m] += sw.gain[s] - sw.entered[m]
	}
}
