package outline

import (
	"wornwood/annotate/shape"
)

// stringLines draws each string from its post over the nut to where the
// bridge or the tailpiece holds it.
type stringLines struct{}

func (stringLines) draw(pl *plan, s *sheet) {
	for i := range pl.p.Strings {
		post := pl.headed.tuners[pl.p.Strings-1-i].post
		nut, _ := pl.stringEnds(i)
		nut.Y -= pl.nutLength.mm * pl.size / 2
		pts := append([]shape.Pt{post, nut}, pl.bridge.stringEnd(pl, i)...)
		s.stroke(hair, shape.Polyline(pts...))
	}
}
