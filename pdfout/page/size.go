package page

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// drawnSize is the size of a shape on the outline in words, to two figures and
// called "about": the outline is a drawing, not the instrument. A point has
// none.
func (l *layout) drawnSize(p record.Place) string {
	switch {
	case p.Shape == record.LineShape && len(p.Points) > 1:
		return l.say("size.drawn", l.figures(figures(shape.PolylineLength(p.Points))), "mm")
	case p.Shape == record.AreaShape && len(p.Points) > 2:
		a := shape.PolygonArea(p.Points)
		if a >= 100 {
			return l.say("size.drawn", l.figures(figures(a/100)), "cm²")
		}
		return l.say("size.drawn", l.figures(figures(a)), "mm²")
	}
	return ""
}

// figures rounds to two figures.
func figures(v float64) string {
	if !(v > 0) {
		return "0"
	}
	digits := 1 - int(math.Floor(math.Log10(v)))
	k := math.Pow(10, float64(digits))
	return fmt.Sprintf("%.*f", max(0, digits), math.Round(v*k)/k)
}
