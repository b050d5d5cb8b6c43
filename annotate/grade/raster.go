package grade

import (
	"fmt"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Limits on what one record may ask to be counted. Two hundred marks drawn with
// care stay far below them; a hostile record must not fill the memory.
const (
	maxStrips    = 4 << 20
	maxCrossings = 8 << 20 // rows crossed by the edges of all shapes
)

// lineReach, in cells, is the least distance within which a line always finds
// the centre of every cell it passes through: half a cell's diagonal and a bit.
const lineReach = 0.75

// fill visits the cells of a drawn shape; lines and points are grown by reach.
func (l *layer) fill(sh *sheet, pl *record.Place, reach float64, visit func(y, x0, x1 int)) error {
	g := sh.labels.Grid
	if err := l.spend(g, pl, reach); err != nil {
		return err
	}
	if pl.Shape == record.AreaShape {
		shape.FillPolygon(g, [][]shape.Pt{pl.Points}, visit)
	} else {
		shape.FillCapsules(g, pl.Points, reach, visit)
	}
	if len(l.strips) > maxStrips {
		return fmt.Errorf("the marks are drawn in more detail than can be counted; draw simpler areas")
	}
	return nil
}

// spend adds up the rows that a shape's edges cross, before they are crossed.
func (l *layer) spend(g shape.Grid, pl *record.Place, reach float64) error {
	for i := range pl.Points {
		a, b := pl.Points[i], pl.Points[(i+1)%len(pl.Points)]
		top, end := min(a.Y, b.Y)-reach, max(a.Y, b.Y)+reach
		top, end = max(top, g.Origin.Y), min(end, g.Origin.Y+float64(g.H)*g.Cell)
		if end > top {
			l.crossings += int((end-top)/g.Cell) + 1
		}
	}
	if l.crossings > maxCrossings {
		return fmt.Errorf("the marks are drawn in more detail than can be counted; draw simpler areas")
	}
	return nil
}
