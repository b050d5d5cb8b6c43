package outline

import (
	"math"
	"sync"

	"wornwood/annotate/shape"
)

// DefaultCell is the usual side of a raster cell in mm.
const DefaultCell = 0.5

// Cells smaller than this would make rasters of hundreds of millions of cells.
const smallestCell = 0.1

// LabelMap says for each cell of a side's raster which region its centre lies
// on. Label[y*Grid.W+x] is the index in SideDrawing.Regions, -1 outside the
// silhouette; Count is the number of cells of each region. Shared: read only.
type LabelMap struct {
	Grid  shape.Grid
	Label []int16
	Count []int
}

// At is the label of the cell that holds p, -1 outside.
func (m *LabelMap) At(p shape.Pt) int {
	x, y, ok := m.Grid.CellAt(p)
	if !ok {
		return -1
	}
	return int(m.Label[y*m.Grid.W+x])
}

// labelCache keeps the raster at the default cell for every side, and the last
// one at any other size.
type labelCache struct {
	sync.Mutex
	kept  map[Side]*LabelMap
	other *LabelMap
	whose Side
}

// Labels is the side's raster with cells of the side cell in mm, 0 for
// DefaultCell; less than 0.1 mm is taken as 0.1. It is made once and kept. An
// unknown side gives an empty map.
func (d *Drawing) Labels(side Side, cell float64) *LabelMap {
	s := d.Side(side)
	if s == nil {
		return &LabelMap{}
	}
	if !(cell > 0) || math.IsInf(cell, 0) {
		cell = DefaultCell
	}
	cell = max(cell, smallestCell)
	c := &d.labels
	c.Lock()
	defer c.Unlock()
	if cell == DefaultCell {
		if c.kept == nil {
			c.kept = map[Side]*LabelMap{}
		}
		if c.kept[side] == nil {
			c.kept[side] = s.label(cell)
		}
		return c.kept[side]
	}
	if c.other == nil || c.whose != side || c.other.Grid.Cell != cell {
		c.other, c.whose = s.label(cell), side
	}
	return c.other
}

// label fills the regions one over the other, as they lie.
func (s *SideDrawing) label(cell float64) *LabelMap {
	g := shape.GridOver(s.Bounds.Grow(1), cell)
	m := &LabelMap{Grid: g, Label: make([]int16, g.W*g.H), Count: make([]int, len(s.Regions))}
	for i := range m.Label {
		m.Label[i] = -1
	}
	for i, r := range s.Regions {
		shape.FillPolygon(g, r.Path.Flatten(cell/50), func(y, x0, x1 int) {
			row := m.Label[y*g.W : (y+1)*g.W]
			for x := x0; x < x1; x++ {
				row[x] = int16(i)
			}
		})
	}
	for _, l := range m.Label {
		if l >= 0 {
			m.Count[l]++
		}
	}
	return m
}
