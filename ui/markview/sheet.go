package markview

import (
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Sheet is what a canvas shows: a photo or one side of the outline, with the
// marks of the record. Either Photo or Side is set; the zero Sheet is empty.
type Sheet struct {
	Photo         string // record.Photo.ID
	Width, Height int    // of the upright photo, in pixels

	Side  *outline.SideDrawing
	Focus shape.Rect // part of the side to fit, mm; the whole when empty

	Marks    []record.Mark
	Selected int // mark number, 0 for none

	// What more is shown, and can be worked on; each of them nil for none.
	Projected []Projected
	Measures  []Measure
	Scale     []ScaleMark
	Patches   []Patch
	Ghosts    []Ghost
	Curve     []record.Node // the instrument's own outline being corrected, closed
}

// Projected is a mark that is known on the other surface only, where the photo's
// registration puts it on this one. It can be selected, not moved. Once the
// mark has a place here the caller leaves its projection out.
type Projected struct {
	Number int
	Level  int // of draw.Level, for the ink of a line or an area
	Shape  record.Shape
	Points []shape.Pt
}

// same says that the other sheet shows the same ground, so that the zoom may
// stay as it is.
func (s Sheet) same(o Sheet) bool {
	return s.Photo == o.Photo && s.Width == o.Width && s.Height == o.Height && s.Side == o.Side && s.Focus == o.Focus
}

// empty says that there is no ground to show.
func (s Sheet) empty() bool { return s.Photo == "" && s.Side == nil }

// bounds is the ground in its own unit: pixels of the photo or millimetres.
func (s Sheet) bounds() shape.Rect {
	if s.Side != nil {
		return s.Side.Bounds
	}
	return shape.Rect{Max: shape.Pt{X: float64(s.Width), Y: float64(s.Height)}}
}

// fitTo is the part of the ground that fitting shows.
func (s Sheet) fitTo() shape.Rect {
	if s.Side != nil && !s.Focus.Empty() {
		return s.Focus
	}
	return s.bounds()
}

// holds says whether something can be marked at the point.
func (s Sheet) holds(p shape.Pt) bool {
	if s.Side != nil {
		return s.Side.Silhouette.Contains(p)
	}
	return s.Photo != "" && s.bounds().Contains(p)
}

// place is one drawn figure of a mark on the sheet.
type place struct {
	number, index int
	shape         record.Shape
	pts           []shape.Pt
}

// places lists the figures of the marks on this sheet in the order in which
// they are drawn.
func (s Sheet) places() []place {
	var out []place
	for _, m := range s.Marks {
		if s.Side != nil {
			for i, p := range m.On {
				if p.Side == string(s.Side.Side) && len(p.Points) > 0 {
					out = append(out, place{m.Number, i, p.Shape, p.Points})
				}
			}
			continue
		}
		for i, p := range m.Photos {
			if p.Photo == s.Photo && len(p.Points) > 0 {
				out = append(out, place{m.Number, i, p.Shape, p.Points})
			}
		}
	}
	return out
}

// with is the sheet with the points of one place changed; the marks given are
// left as they are.
func (s Sheet) with(number, index int, pts []shape.Pt) Sheet {
	s.Marks = slices.Clone(s.Marks)
	for i := range s.Marks {
		m := &s.Marks[i]
		switch {
		case m.Number != number:
		case s.Side != nil && index < len(m.On):
			m.On = slices.Clone(m.On)
			m.On[index].Points = pts
		case s.Side == nil && index < len(m.Photos):
			m.Photos = slices.Clone(m.Photos)
			m.Photos[index].Points = pts
		}
	}
	return s
}

// shapes and anchors are what is drawn of the marks, in the sheet's unit.
func (s Sheet) shapes(st draw.Style) draw.List {
	if s.Side != nil {
		return draw.Shapes(s.Side.Side, s.Marks, s.Selected, st)
	}
	return draw.PhotoShapes(s.Photo, s.Marks, s.Selected, st)
}

func (s Sheet) anchors() []draw.Pin {
	var pins []draw.Pin
	if s.Side != nil {
		pins = draw.Anchors(s.Side.Side, s.Marks, s.Selected)
	} else {
		pins = draw.PhotoAnchors(s.Photo, s.Marks, s.Selected)
	}
	for _, p := range s.Projected {
		if len(p.Points) == 0 {
			continue
		}
		a := draw.AnchorOf(p.Shape, p.Points)
		pin := draw.Pin{Number: p.Number, Place: -1, Level: level(p.Level), Anchor: a, At: a, Tip: a,
			Beside: s.Side == nil, Selected: p.Number == s.Selected, Projected: true}
		if len(p.Points) > 1 {
			pin.Drawn, pin.Area = p.Points, p.Shape == record.AreaShape
		}
		pins = append(pins, pin)
	}
	return pins
}
