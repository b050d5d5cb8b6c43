package annotate

import (
	"errors"
	"math"
	"slices"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// errOutside says that a mark was drawn beside the instrument.
var errOutside = errors.New("place mark: the place is outside the instrument; click inside the outline")

// placeOn ties a drawn shape to the region it belongs to: the one under a
// point or the first point of a line; for an area the one of which most is
// covered. Where the kind is known, regions of parts on which it can occur come
// first: fret wear drawn across the board belongs to the frets, a fade drawn
// over the same place to the wood between them.
func placeOn(d *outline.Drawing, side outline.Side, sh record.Shape, pts []record.Point, kind grade.KindInfo) (record.Place, outline.Region, error) {
	if len(pts) == 0 || d.Side(side) == nil {
		return record.Place{}, outline.Region{}, errOutside
	}
	cover := covered(d, side, sh, pts)
	best, ok := pick(d, side, cover, kind)
	if !ok {
		return record.Place{}, outline.Region{}, errOutside
	}
	pl := record.Place{Side: string(side), Region: best.ID, Shape: sh, Points: pts}
	if best.Piece > 0 {
		pl.Pieces = pieces(d, side, cover, best.Part)
	}
	return pl, best, nil
}

// covered counts how much of each region lies under a shape: cells of the
// raster for an area, the touched regions for a point or a line, the one under
// the first point counting most.
func covered(d *outline.Drawing, side outline.Side, sh record.Shape, pts []record.Point) map[int]int {
	m := d.Labels(side, grade.Default().CellMM)
	n := map[int]int{}
	count := func(p record.Point, weight int) {
		if i := m.At(p); i >= 0 {
			n[i] += weight
		}
	}
	switch {
	case sh == record.AreaShape && len(pts) > 2:
		shape.FillPolygon(m.Grid, [][]shape.Pt{pts}, func(y, x0, x1 int) {
			for x := x0; x < x1; x++ {
				if i := m.Label[y*m.Grid.W+x]; i >= 0 {
					n[int(i)]++
				}
			}
		})
	case sh == record.LineShape:
		for i := 1; i < len(pts); i++ {
			for _, q := range along(pts[i-1], pts[i]) {
				count(q, 1)
			}
		}
	}
	if len(n) == 0 || sh == record.LineShape {
		count(pts[0], 1<<20) // a line belongs to where it begins
	}
	return n
}

// along gives points on a segment, at most a millimetre apart.
func along(a, b record.Point) []record.Point {
	k := int(math.Min(1e4, math.Hypot(b.X-a.X, b.Y-a.Y))) + 1
	out := make([]record.Point, k+1)
	for i := range out {
		t := float64(i) / float64(k)
		out[i] = record.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}
	}
	return out
}

// pick chooses the region: of parts that the kind can occur on, if any are
// touched, the one with the most under the shape. The pieces of a counted part
// count together, because twenty frets are one part.
func pick(d *outline.Drawing, side outline.Side, cover map[int]int, kind grade.KindInfo) (outline.Region, bool) {
	regs := d.Side(side).Regions
	sum := map[record.PartID]int{}
	for i, n := range cover {
		sum[regs[i].Part] += n
	}
	best, found := -1, false
	better := func(i, j int) bool {
		a, b := regs[i], regs[j]
		if on, bn := kind.Kind != "" && kind.On(a.Part), kind.Kind != "" && kind.On(b.Part); on != bn {
			return on
		}
		if sum[a.Part] != sum[b.Part] {
			return sum[a.Part] > sum[b.Part]
		}
		if cover[i] != cover[j] {
			return cover[i] > cover[j]
		}
		return i > j // the upper one
	}
	for i := range cover {
		if !found || better(i, best) {
			best, found = i, true
		}
	}
	if !found {
		return outline.Region{}, false
	}
	return regs[best], true
}

// pieces lists the touched pieces of a counted part.
func pieces(d *outline.Drawing, side outline.Side, cover map[int]int, part record.PartID) []int {
	var out []int
	for i := range cover {
		if r := d.Side(side).Regions[i]; r.Part == part && r.Piece > 0 && !slices.Contains(out, r.Piece) {
			out = append(out, r.Piece)
		}
	}
	slices.Sort(out)
	return out
}
