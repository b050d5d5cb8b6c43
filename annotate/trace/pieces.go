package trace

import (
	"cmp"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// piece is one connected part of a mask.
type piece struct {
	id             int32 // its number in the labels
	area           int
	x0, y0, x1, y1 int // its box, the second corner included
}

// piecesOf labels the connected parts of a mask, counting pixels that share a side as
// connected; label 0 is what is outside. The largest piece comes first.
func piecesOf(mask []bool, w, h int) ([]int32, []piece) {
	label := make([]int32, len(mask))
	var out []piece
	var todo []int32
	for i, in := range mask {
		if !in || label[i] != 0 {
			continue
		}
		p := piece{id: int32(len(out) + 1), x0: w, y0: h}
		todo = append(todo[:0], int32(i))
		for len(todo) > 0 {
			j := int(todo[len(todo)-1])
			todo = todo[:len(todo)-1]
			if label[j] == 0 {
				todo = p.takeRun(mask, label, todo, j, w, h)
			}
		}
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b piece) int { return cmp.Compare(b.area, a.area) })
	return label, out
}

// takeRun labels the run of its row that pixel j lies in, and adds the first pixel of each
// run above and below that touches it to those to do.
func (p *piece) takeRun(mask []bool, label []int32, todo []int32, j, w, h int) []int32 {
	y := j / w
	from, to := j, j+1
	for from > y*w && mask[from-1] {
		from--
	}
	for to < (y+1)*w && mask[to] {
		to++
	}
	for i := from; i < to; i++ {
		label[i] = p.id
	}
	p.area += to - from
	p.x0, p.y0, p.x1, p.y1 = min(p.x0, from-y*w), min(p.y0, y), max(p.x1, to-1-y*w), max(p.y1, y)
	for _, step := range [2]int{-w, w} {
		if y == 0 && step < 0 || y == h-1 && step > 0 {
			continue
		}
		before := false
		for i := from + step; i < to+step; i++ {
			is := mask[i] && label[i] == 0
			if is && !before {
				todo = append(todo, int32(i))
			}
			before = is
		}
	}
	return todo
}

// hull is the convex hull of the piece's pixels, taken as squares.
func (p *piece) hull(label []int32, w int) []shape.Pt {
	var pts []shape.Pt
	for y := p.y0; y <= p.y1; y++ {
		lo, hi := -1, -1
		for x := p.x0; x <= p.x1; x++ {
			if label[y*w+x] == p.id {
				if lo < 0 {
					lo = x
				}
				hi = x + 1
			}
		}
		if lo >= 0 {
			for _, x := range [2]int{lo, hi} {
				pts = append(pts, shape.Pt{X: float64(x), Y: float64(y)}, shape.Pt{X: float64(x), Y: float64(y + 1)})
			}
		}
	}
	return convexHull(pts)
}

// convexHull is Andrew's monotone chain (1979); the result runs round once.
func convexHull(pts []shape.Pt) []shape.Pt {
	slices.SortFunc(pts, func(a, b shape.Pt) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	half := func(pts []shape.Pt) []shape.Pt {
		var run []shape.Pt
		for _, p := range pts {
			for len(run) > 1 && shape.Cross(shape.Sub(run[len(run)-1], run[len(run)-2]), shape.Sub(p, run[len(run)-1])) <= 0 {
				run = run[:len(run)-1]
			}
			run = append(run, p)
		}
		return run
	}
	lower := half(pts)
	slices.Reverse(pts)
	upper := half(pts)
	if len(lower) < 2 {
		return lower
	}
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
}

// Cards, grey cards, rulers and colour charts fill the smallest rectangle about
// them; no instrument and hardly any part of one does. An ID-1 card seen squarely
// fills 0.998 of it, one seen from 30 degrees off about 0.95. A card whose middle is
// like the backdrop comes out as a frame, so its hull is what counts, if
// at least some of that is there.
const (
	boxy   = 0.92
	framed = 0.1
)

// isRectangle says whether the piece's hull fills the smallest rectangle about it.
// One side of that rectangle lies along the hull (Freeman and Shapira 1975).
func (p *piece) isRectangle(label []int32, w int) bool {
	hull := p.hull(label, w)
	least := math.Inf(1)
	for i, a := range hull {
		d := shape.Sub(hull[(i+1)%len(hull)], a)
		if d == (shape.Pt{}) {
			continue
		}
		u0, u1, v1 := 0.0, 0.0, 0.0
		for _, q := range hull {
			e := shape.Sub(q, a)
			u := e.X*d.X + e.Y*d.Y
			u0, u1, v1 = min(u0, u), max(u1, u), max(v1, shape.Cross(d, e))
		}
		least = min(least, (u1-u0)*v1/(d.X*d.X+d.Y*d.Y))
	}
	full := shape.PolygonArea(hull)
	return full >= boxy*least && float64(p.area) >= framed*full
}

// isThin says whether the piece is a line, such as a cello's end pin, for a picture
// of that longer side.
func (p *piece) isThin(long float64) bool {
	return float64(p.area) < thin*long*math.Hypot(float64(p.x1-p.x0+1), float64(p.y1-p.y0+1))
}

// sorting is what became of the pieces of a mask.
type sorting struct {
	cards  int     // rectangles left out
	beside float64 // area of the largest thing left out that is no rectangle, as a share of the instrument's
	parts  int     // pieces that were joined to the instrument
	joined float64 // their area as a share of the largest piece's
}

// Sizes as shares, of the instrument's area or of the picture's longer side.
const (
	speck    = 0.0003 // smaller pieces are noise
	reach    = 0.010  // pieces as near as that belong to it
	thin     = 0.012  // thinner pieces are no cards
	leastBox = 0.005  // smaller rectangles are no cards
)

// bridges are half the widths of what may join a card to the instrument, as shares of the
// longer side, tried in turn.
var bridges = [...]float64{0.004, 0.008, 0.013}

// sortPieces keeps the instrument of all that stands out from the backdrop: the largest piece that
// is no rectangle, with what lies close to it or was said to belong to it.
func sortPieces(mask []bool, seeds []int8, w, h int) ([]bool, sorting) {
	var s sorting
	mask = s.dropJoined(mask, seeds, w, h)
	label, all := piecesOf(mask, w, h)
	kept := saidPieces(label, seeds, len(all))
	main := -1
	for i := range all {
		if kept[all[i].id] || !all[i].isRectangle(label, w) {
			main = i
			break
		}
	}
	if main < 0 {
		main = 0
	}
	out := make([]bool, len(mask))
	if len(all) == 0 {
		return out, s
	}
	inst := all[main]
	for i, l := range label {
		out[i] = l == inst.id
	}
	long := float64(max(w, h))
	for i := range all {
		p := &all[i]
		if i == main || float64(p.area) < speck*float64(inst.area) && !kept[p.id] {
			continue
		}
		if !kept[p.id] && p.isRectangle(label, w) && float64(p.area) > leastBox*float64(inst.area) && !p.isThin(long) {
			s.cards++
			continue
		}
		far := int(reach*long) + 1
		if kept[p.id] {
			far = max(w, h)
		}
		if joinPiece(out, label, p, w, h, far) {
			s.parts++
			s.joined += float64(p.area) / float64(inst.area)
			continue
		}
		s.beside = max(s.beside, float64(p.area)/float64(inst.area))
	}
	return out, s
}

func saidPieces(label []int32, seeds []int8, n int) []bool {
	out := make([]bool, n+1)
	for i, s := range seeds {
		if s == said {
			out[label[i]] = true
		}
	}
	out[0] = false
	return out
}

// dropJoined removes rectangles that hang on the instrument by a bridge narrower
// than they are: where the mask is shrunk until the bridge is gone, they come off
// as rectangles, right beside what is left of the instrument.
func (s *sorting) dropJoined(mask []bool, seeds []int8, w, h int) []bool {
	long := float64(max(w, h))
	var off []int16
	for _, share := range bridges {
		r := int16(share*long) + 1
		if off == nil {
			// Without its holes: what lies around a hole may be a rectangle, too.
			solid := append([]bool(nil), mask...)
			fillHoles(solid, seeds, w, h, func([]int32) bool { return false })
			off = apart(solid, w, h)
		}
		core := make([]bool, len(mask))
		for i, d := range off {
			core[i] = d > 3*r
		}
		label, all := piecesOf(core, w, h)
		if len(all) < 2 {
			continue
		}
		kept := saidPieces(label, seeds, len(all))
		var main []int16
		for _, p := range all[1:] {
			if float64(p.area) < leastBox*float64(all[0].area) || kept[p.id] || p.isThin(long) || !p.isRectangle(label, w) {
				continue
			}
			if main == nil {
				main = distanceTo(label, all[0].id, w, h)
			}
			if takeOut(mask, seeds, label, p, main, r, w, h) {
				s.cards++
				off = nil
			}
		}
	}
	return mask
}

// takeOut takes a rectangle that was shrunk by r out of the mask, with what lies nearer to it
// than to the main piece. It must lie beside that: a headstock comes off as well
// when the neck is thinner than the bridge, but far from the body.
func takeOut(mask []bool, seeds []int8, label []int32, p piece, main []int16, r int16, w, h int) bool {
	near := distanceTo(label, p.id, w, h)
	gap := int16(30000)
	for i, l := range label {
		if l == p.id {
			gap = min(gap, main[i])
		}
	}
	if gap > 3*(3*r+4) {
		return false
	}
	for i, d := range near {
		if d <= 3*(3*r/2+2) && d < main[i] && seeds[i] != said {
			mask[i] = false
		}
	}
	return true
}

// distanceTo is the distance of every pixel from the piece with the number, in the
// units of apart, 0 on it.
func distanceTo(label []int32, id int32, w, h int) []int16 {
	set := make([]bool, len(label))
	for i, l := range label {
		set[i] = l == id
	}
	d := apart(set, w, h)
	for i := range d {
		d[i] = max(0, -d[i])
	}
	return d
}
