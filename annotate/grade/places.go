package grade

import (
	"fmt"
	"slices"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// laid is where one mark lies.
type laid struct {
	touched []bool    // parts the mark lies on
	stated  []float64 // stated share of each part, 0..1
	placed  bool
	remarks []string
}

// layer lays the marks of one record onto the sheets.
type layer struct {
	*sheets
	halo      float64
	strips    []strip
	crossings int

	// of the mark in hand
	mark  int32
	kind  KindInfo
	alone []int // parts that the kind is confined to, when all of them are counted
	out   *laid
}

// lay places one mark; index is its place in the list of scores.
func (l *layer) lay(index int, m *record.Mark, k KindInfo) (laid, error) {
	out := laid{touched: make([]bool, len(l.shares)), stated: make([]float64, len(l.shares))}
	l.mark, l.kind, l.out, l.alone = int32(index), k, &out, l.confined(k)
	for i := range m.On {
		if err := l.place(&m.On[i]); err != nil {
			return out, fmt.Errorf("grade: mark %d: %w", m.Number, err)
		}
	}
	for i := range out.stated {
		out.stated[i] = min(1, out.stated[i])
	}
	if !out.placed && len(out.remarks) == 0 {
		l.remark("not placed on the outline, so it costs nothing")
	}
	return out, nil
}

func (l *layer) remark(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); !slices.Contains(l.out.remarks, s) {
		l.out.remarks = append(l.out.remarks, s)
	}
}

// confined lists the parts of a kind that occurs on counted parts only, such
// as fret wear. Wherever such a mark is drawn, it means the pieces under it.
func (l *layer) confined(k KindInfo) []int {
	var out []int
	for _, p := range k.Parts {
		i, ok := l.byPart[p]
		if ok && !l.shares[i].Counted {
			return nil
		}
		if ok {
			out = append(out, i)
		}
	}
	return out
}

func (l *layer) place(pl *record.Place) error {
	if len(pl.Points) == 0 {
		return l.state(pl)
	}
	ref, ok, err := l.region(pl)
	if err != nil {
		return err
	}
	if !ok {
		if pl.Part != "" && (pl.Coverage != nil || len(pl.Pieces) > 0) {
			return l.state(pl)
		}
		return nil
	}
	sh := &l.list[ref.sheet]
	part := sh.part[ref.region]
	switch {
	case l.shares[part].Counted && len(pl.Pieces) > 0 && l.kind.On(l.shares[part].Part):
		l.addPieces(part, pl.Pieces)
	case len(l.alone) > 0:
		return l.drawnPieces(sh, pl, ref, l.alone)
	case l.shares[part].Counted:
		return l.drawnPieces(sh, pl, ref, []int{part})
	default:
		return l.drawnCells(sh, pl, ref)
	}
	return nil
}

// state takes a place of which only the part is named.
func (l *layer) state(pl *record.Place) error {
	part, ok := l.byPart[pl.Part]
	if !ok {
		return fmt.Errorf("it lies on %q, a part that this class does not have; choose another part", pl.Part)
	}
	if !l.kind.On(pl.Part) {
		l.remark("%s is not usual on the %s", l.kind.Kind, pl.Part)
	}
	switch {
	case l.shares[part].Counted && len(pl.Pieces) > 0:
		l.addPieces(part, pl.Pieces)
	case pl.Coverage != nil:
		l.out.stated[part] += *pl.Coverage
		l.touch(part)
	default:
		l.remark("pieces are not counted on the %s; state how much of it is affected", pl.Part)
	}
	return nil
}

func (l *layer) touch(part int) { l.out.touched[part], l.out.placed = true, true }

func (l *layer) addPieces(part int, pieces []int) {
	for _, n := range pieces {
		i := l.pieceAt(part, n)
		if i < 0 {
			l.remark("the %s have no piece %d", l.shares[part].Part, n)
			continue
		}
		l.add(part, pieceSheet, 0, i, i+1)
	}
}

func (l *layer) add(part, sheet, y, x0, x1 int) {
	l.strips = append(l.strips, newStrip(part, sheet, y, x0, x1, l.mark))
	l.touch(part)
}

// region is the region that a drawn place belongs to: the one it names, else
// the one at its anchor; false for none.
func (l *layer) region(pl *record.Place) (ref regionRef, ok bool, err error) {
	if pl.Region != "" {
		ref, ok := l.byID[pl.Region]
		if ok && (pl.Side == "" || l.list[ref.sheet].side == outline.Side(pl.Side)) {
			return ref, true, nil
		}
		l.remark("the outline has no region %q on that side; the place drawn was taken", pl.Region)
	}
	sh := l.sheet(outline.Side(pl.Side))
	if sh == nil {
		l.remark("drawn on %q, which the outline does not have, so it costs nothing", pl.Side)
		return regionRef{}, false, nil
	}
	i := sh.labels.At(pl.Points[0])
	if pl.Shape == record.AreaShape {
		if i, err = l.fullest(sh, pl, i); err != nil {
			return regionRef{}, false, err
		}
	}
	if i < 0 {
		l.remark("drawn outside the outline, so it costs nothing")
	}
	return regionRef{sh.index, i}, i >= 0, nil
}

// fullest is the region in which an area has most cells, one where the kind
// can occur before one where it cannot; without any cell it is the one given.
func (l *layer) fullest(sh *sheet, pl *record.Place, given int) (int, error) {
	counts := make([]int, len(sh.regions))
	if err := l.fill(sh, pl, 0, func(y, x0, x1 int) {
		sh.runs.visit(y, x0, x1, func(i, x0, x1 int) {
			if i >= 0 {
				counts[i] += x1 - x0
			}
		})
	}); err != nil {
		return -1, err
	}
	best := given
	for i, n := range counts {
		if n > 0 && (best < 0 || l.before(sh, counts, i, best)) {
			best = i
		}
	}
	return best, nil
}

func (l *layer) before(sh *sheet, counts []int, i, best int) bool {
	here, there := l.kind.On(sh.regions[i].Part), l.kind.On(sh.regions[best].Part)
	if here != there {
		return here
	}
	return counts[i] > counts[best]
}

// drawnCells takes the cells of the place's own region that the shape covers.
func (l *layer) drawnCells(sh *sheet, pl *record.Place, ref regionRef) error {
	part := sh.part[ref.region]
	if !l.kind.On(l.shares[part].Part) {
		l.remark("%s is not usual on the %s", l.kind.Kind, l.shares[part].Part)
	}
	before := len(l.strips)
	err := l.fill(sh, pl, l.halo, func(y, x0, x1 int) {
		sh.runs.visit(y, x0, x1, func(i, x0, x1 int) {
			if i == ref.region {
				l.add(part, ref.sheet, y, x0, x1)
			}
		})
	})
	if err != nil || len(l.strips) > before {
		return err
	}
	// No cell's centre is in it. Giving it a cell nevertheless would let a mark
	// that grows to the next cell's centre cost less than before.
	if l.touches(sh, pl, ref) {
		l.touch(part)
		l.remark("too small to be counted as an area; draw it as a point")
		return nil
	}
	l.remark("drawn outside its region, %s, so it costs nothing", sh.regions[ref.region].Name)
	return nil
}

// touches says whether the edge of a shape passes within a cell of its region.
func (l *layer) touches(sh *sheet, pl *record.Place, ref regionRef) bool {
	g, hit := sh.labels.Grid, false
	closed := append(slices.Clone(pl.Points), pl.Points[0])
	shape.FillCapsules(g, closed, lineReach*g.Cell, func(y, x0, x1 int) {
		hit = hit || slices.Contains(sh.labels.Label[y*g.W+x0:y*g.W+x1], int16(ref.region))
	})
	return hit
}

// drawnPieces takes the pieces of the parts under the shape as drawn, without
// the halo, and the piece of the place's own region.
func (l *layer) drawnPieces(sh *sheet, pl *record.Place, ref regionRef, parts []int) error {
	hit := map[int]bool{}
	if slices.Contains(parts, sh.part[ref.region]) {
		hit[ref.region] = true
	}
	if i := sh.labels.At(pl.Points[0]); i >= 0 {
		hit[i] = true
	}
	if pl.Shape != record.PointShape {
		err := l.fill(sh, pl, lineReach*sh.labels.Grid.Cell, func(y, x0, x1 int) {
			sh.runs.visit(y, x0, x1, func(i, _, _ int) {
				if i >= 0 {
					hit[i] = true
				}
			})
		})
		if err != nil {
			return err
		}
	}
	if l.takeHits(sh, parts, hit) {
		return nil
	}
	if pl.Shape == record.PointShape {
		if i := l.nearest(sh, parts, pl.Points[0]); i >= 0 {
			l.takeHits(sh, parts, map[int]bool{i: true})
			return nil
		}
	}
	l.remark("nothing that %s can occur on lies under it, so it costs nothing", l.kind.Kind)
	return nil
}

// takeHits adds the pieces of the regions hit that belong to the parts.
func (l *layer) takeHits(sh *sheet, parts []int, hit map[int]bool) bool {
	any := false
	for i := range sh.regions {
		if part := sh.part[i]; hit[i] && slices.Contains(parts, part) {
			n := l.pieceAt(part, sh.regions[i].Piece)
			l.add(part, pieceSheet, 0, n, n+1)
			any = true
		}
	}
	return any
}

// nearest is the region of the parts nearest to a point within the halo, -1
// for none: a click beside a fret means the fret.
func (l *layer) nearest(sh *sheet, parts []int, p shape.Pt) int {
	best, dist := -1, l.halo+1
	shape.FillCapsules(sh.labels.Grid, []shape.Pt{p}, l.halo, func(y, x0, x1 int) {
		for x := x0; x < x1; x++ {
			i := int(sh.labels.Label[y*sh.labels.Grid.W+x])
			if i < 0 || !slices.Contains(parts, sh.part[i]) {
				continue
			}
			if d := shape.Dist(p, sh.labels.Grid.Center(x, y)); d < dist {
				best, dist = i, d
			}
		}
	})
	return best
}
