package outline

import (
	"fmt"
	"strings"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// sheet collects one side's drawing. Everything is given as on the front of a
// right-handed instrument; flip mirrors it where the side is seen the other
// way round.
type sheet struct {
	SideDrawing
	flip bool
	slug string
	lean *shape.Affine // what is added leans with the fan of the frets; nil for not
}

func newSheet(side Side, flip bool) *sheet {
	return &sheet{SideDrawing: SideDrawing{Side: side}, flip: flip, slug: strings.ReplaceAll(string(side), " ", "-")}
}

func (s *sheet) mirrored(a shape.Path) shape.Path {
	if s.lean != nil {
		a = a.Transform(*s.lean)
	}
	if s.flip {
		return a.Transform(shape.Scale(-1, 1))
	}
	return a
}

// add puts a region on top of those added before.
func (s *sheet) add(slug, name string, part record.PartID, piece int, a shape.Path) {
	s.Regions = append(s.Regions, Region{
		ID: s.slug + "/" + slug, Name: name, Part: part, Side: s.Side, Piece: piece, Path: s.mirrored(a),
	})
}

// hole puts a region on top that is open: a soundhole, the trough of a pegbox.
func (s *sheet) hole(slug, name string, part record.PartID, a shape.Path) {
	s.add(slug, name, part, 0, a)
	s.Regions[len(s.Regions)-1].Hollow = true
}

func (s *sheet) stroke(weight float64, a shape.Path) {
	s.Detail = append(s.Detail, Stroke{Path: s.mirrored(a), Weight: weight})
}

func (s *sheet) dashed(weight float64, a shape.Path) {
	s.Detail = append(s.Detail, Stroke{Path: s.mirrored(a), Weight: weight, Dash: []float64{4, 3}})
}

func (s *sheet) dot(c shape.Pt, radius float64) {
	s.Detail = append(s.Detail, Stroke{Path: s.mirrored(shape.Circle(c, radius)), Filled: true})
}

// screw is a small head with its slot.
func (s *sheet) screw(c shape.Pt, radius float64) {
	s.stroke(thin, shape.Circle(c, radius))
	d := shape.Pt{X: radius * 0.6, Y: -radius * 0.6}
	s.stroke(thin, shape.Polyline(shape.Sub(c, d), shape.Add(c, d)))
}

// Line weights against the outline's own.
const (
	medium = 0.6
	thin   = 0.4
	hair   = 0.25
)

func (s *sheet) done(silhouette shape.Path) SideDrawing {
	s.Silhouette = s.mirrored(silhouette)
	return s.SideDrawing
}

// drawFront is the whole instrument from the front.
func (pl *plan) drawFront() SideDrawing {
	s := newSheet(Front, pl.p.LeftHanded)
	s.parts(pl, pl.front)
	return s.done(pl.silhouette())
}

// drawBack is the whole instrument from the back.
func (pl *plan) drawBack() SideDrawing {
	s := newSheet(Back, !pl.p.LeftHanded)
	s.parts(pl, pl.back)
	return s.done(pl.silhouette())
}

func (s *sheet) parts(pl *plan, list []part) {
	for _, q := range list {
		q.draw(pl, s)
		s.lean = nil
	}
}

func slugOf(word string, n int) string { return fmt.Sprintf("%s-%d", word, n) }
func nameOf(word string, n int) string { return fmt.Sprintf("%s %d", word, n) }

// rectAt is the upright rectangle about c with the half sizes.
func rectAt(c shape.Pt, hx, hy float64) shape.Rect {
	return shape.Rect{Min: shape.Pt{X: c.X - hx, Y: c.Y - hy}, Max: shape.Pt{X: c.X + hx, Y: c.Y + hy}}
}
