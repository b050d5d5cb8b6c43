// Package outline draws the classes of instruments in millimetres: the sides
// of an instrument as sheets, each divided into regions that belong to parts.
//
// Start with New, which makes the Drawing of one class for a scale length, a
// number of frets and strings; Drawing.RegionAt says what a point lies on and
// Drawing.Labels counts the cells of each region. A class is a table of parts,
// one file each; CLASSES.md says how to add one, and Dimensions lists its
// figures with their sources. Frets may be fanned, and an instrument's own
// traced outline may take the place of its class's body.
//
// Coordinates are millimetres on a sheet, the instrument upright with its head
// up: X to the right as seen, Y down along the strings, Y = 0 at the nut's
// edge towards the fingerboard, X = 0 on the centre line. The sheets "bass
// side" and "treble side" are the body's edge unrolled at its true length: Y
// runs along the edge from the neck joint to the end pin, X across the
// thickness.
//
// The drawing is a projection and nobody's product: its curves are our own,
// its figures are usual for the class. It does not promise the measures of a
// given instrument. The round back of a neck shows about half the area that a
// cloth around it would cover.
package outline

import (
	"fmt"
	"math"
	"sync"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Side names one sheet of a drawing.
type Side string

// The sides of an instrument.
const (
	Front      Side = "front"
	Back       Side = "back"
	BassSide   Side = "bass side"
	TrebleSide Side = "treble side"
)

// AllSides lists the sides in the order in which they are shown.
func AllSides() []Side { return []Side{Front, Back, BassSide, TrebleSide} }

// Region is a closed area of a side that belongs to one part.
type Region struct {
	ID    string        // unique in the drawing, for example "front/fret-7"
	Name  string        // the trade's words, for example "fret 7"
	Part  record.PartID // the part it counts for
	Side  Side
	Piece int        // which piece of a counted part, from 1; 0 for other parts
	Path  shape.Path // mm; closed rings that do not cross themselves

	Hollow bool // an opening, such as a soundhole
}

// Stroke is a decorative line that belongs to no region.
type Stroke struct {
	Path   shape.Path // mm; rings may be open
	Weight float64    // line width as a share of the outline's own, 0 for none
	Dash   []float64  // mm on and off in turn, none for a full line
	Filled bool       // fill the path with the ink of the line
}

// SideDrawing is one sheet. Regions lie from back to front: a point belongs to
// the last of them that contains it. Detail is drawn over the regions.
type SideDrawing struct {
	Side       Side
	Bounds     shape.Rect // of the silhouette
	Silhouette shape.Path // disjoint closed rings around everything seen
	Regions    []Region
	Detail     []Stroke

	boxes []shape.Rect // bounds of each region
}

// Drawing is the outline of one instrument. It does not change after New and
// may be used by several goroutines.
type Drawing struct {
	Params               // as given, defaults filled in
	Sides  []SideDrawing // in the order of AllSides

	plan    *plan
	byID    map[string]regionRef
	labels  labelCache
	visible struct {
		sync.Once
		area map[string]float64
	}
}

type regionRef struct{ side, index int }

// New draws the class with the parameters; zero parameters take the class's
// defaults. The error names the parameter that is out of range.
func New(p Params) (*Drawing, error) {
	c, p, err := p.check()
	if err != nil {
		return nil, err
	}
	pl, err := newPlan(c, p)
	if err != nil {
		return nil, fmt.Errorf("draw outline: %w", err)
	}
	d := &Drawing{Params: p, plan: pl, byID: map[string]regionRef{}}
	d.Sides = []SideDrawing{pl.drawFront(), pl.drawBack(), pl.drawSide(BassSide), pl.drawSide(TrebleSide)}
	for i := range d.Sides {
		s := &d.Sides[i]
		s.Bounds = s.Silhouette.Bounds()
		for j, r := range s.Regions {
			s.boxes = append(s.boxes, r.Path.Bounds())
			d.byID[r.ID] = regionRef{i, j}
		}
	}
	return d, nil
}

// Side is the sheet of a side, nil when the drawing has none of that name.
func (d *Drawing) Side(s Side) *SideDrawing {
	for i := range d.Sides {
		if d.Sides[i].Side == s {
			return &d.Sides[i]
		}
	}
	return nil
}

// Region finds a region by its ID.
func (d *Drawing) Region(id string) (Region, bool) {
	ref, ok := d.byID[id]
	if !ok {
		return Region{}, false
	}
	return d.Sides[ref.side].Regions[ref.index], true
}

// RegionAt is the topmost region that contains the point; false outside the
// silhouette.
func (d *Drawing) RegionAt(side Side, p shape.Pt) (Region, bool) {
	s := d.Side(side)
	if s == nil || !p.Finite() {
		return Region{}, false
	}
	if i := s.indexAt(p); i >= 0 {
		return s.Regions[i], true
	}
	return Region{}, false
}

// indexAt is the index of the topmost region that contains p, -1 for none.
func (s *SideDrawing) indexAt(p shape.Pt) int {
	for i := len(s.Regions) - 1; i >= 0; i-- {
		if s.boxes[i].Contains(p) && s.Regions[i].Path.Contains(p) {
			return i
		}
	}
	return -1
}

// FretPosition is the distance in the unit of scale from the nut to fret n:
// scale (1 - 2^(-n/12)), twelve equal semitones to the octave.
func FretPosition(scale float64, n int) float64 {
	return scale * -math.Expm1(-float64(n)/12*math.Ln2)
}
