package record

import (
	"slices"
	"strings"
)

// Kind is the trade's name of a flaw, for example "ding". The rubric lists the
// kinds it knows; a Record may carry any.
type Kind string

// Depth says how deep a flaw goes. It is the intensity of kinds that are
// judged by eye.
type Depth string

// The depths. For kinds without a finish (frets, hardware, controls) the same
// three steps read light, middle, severe.
const (
	InFinish Depth = "in the finish"
	Through  Depth = "through the finish"
	IntoWood Depth = "into the wood"
)

// Depths lists the depths from shallow to deep.
func Depths() []Depth { return []Depth{InFinish, Through, IntoWood} }

// Level is 0, 1 or 2 from shallow to deep; an unknown depth is level -1.
func (d Depth) Level() int {
	for i, k := range Depths() {
		if d == k {
			return i
		}
	}
	return -1
}

// Short is the word for narrow places: in finish, through, in wood.
func (d Depth) Short() string {
	switch d {
	case InFinish:
		return "in finish"
	case Through:
		return "through"
	case IntoWood:
		return "in wood"
	}
	return string(d)
}

// Shape is how a flaw was drawn.
type Shape string

// The shapes of a mark.
const (
	PointShape Shape = "point"
	LineShape  Shape = "line"
	AreaShape  Shape = "area"
)

// Mark is one numbered flaw.
type Mark struct {
	Number  int          `json:"number"`
	Kind    Kind         `json:"kind"`
	Depth   Depth        `json:"depth,omitempty"`
	Reading *MarkReading `json:"reading,omitempty"` // measured intensity, where the kind has one; it overrules Depth
	On      []Place      `json:"on,omitempty"`      // places on the outline; usually one
	Photos  []PhotoPlace `json:"photos,omitempty"`  // places on photos
	Length  *Quantity    `json:"length,omitempty"`  // mm
	Width   *Quantity    `json:"width,omitempty"`   // mm
	Area    *Quantity    `json:"area,omitempty"`    // mm2
	Fade    *Fade        `json:"fade,omitempty"`    // how its colour difference was taken
	Note    string       `json:"note,omitempty"`
	Since   string       `json:"since,omitempty"` // against the last examination: "", unchanged, grown, new, repaired
}

// OnPhoto says whether the mark has a place on the photo.
func (m *Mark) OnPhoto(id string) bool {
	return slices.ContainsFunc(m.Photos, func(p PhotoPlace) bool { return p.Photo == id })
}

// Place is where a mark sits on the outline. Either it is drawn (Side, Region,
// Shape, Points), or its share of a part is stated (Part, Coverage), or the
// pieces of a counted part are named (Part, Pieces).
type Place struct {
	Side     string   `json:"side,omitempty"`   // side of the outline: front, back, bass side, treble side
	Region   string   `json:"region,omitempty"` // region of that side that the mark belongs to; it is clipped to it
	Shape    Shape    `json:"shape,omitempty"`
	Points   []Point  `json:"points,omitempty"` // mm on the outline: one, a polyline, or a closed ring
	Part     PartID   `json:"part,omitempty"`   // needed only when nothing is drawn
	Coverage *float64 `json:"coverage,omitempty"`
	Pieces   []int    `json:"pieces,omitempty"` // affected pieces of a counted part, from 1
}

// PhotoPlace is where a mark sits on a photo, in pixels of the upright photo.
type PhotoPlace struct {
	Photo  string  `json:"photo"` // Photo.ID
	Shape  Shape   `json:"shape"`
	Points []Point `json:"points"`
}

// ReadingKind says what was measured on a mark.
type ReadingKind string

// The readings that replace a judged depth.
const (
	FadeReading  ReadingKind = "colour difference" // dE*ab between a reference and the faded patch
	FlakeReading ReadingKind = "largest flake"     // mm
	RustReading  ReadingKind = "corroded area"     // per cent of the surface
	CrownReading ReadingKind = "fret crown height" // mm
)

// MarkReading is the measured intensity of a mark.
type MarkReading struct {
	Kind ReadingKind `json:"kind"`
	Quantity
}

// Title is the mark's short description: kind and, where judged, depth.
func (m Mark) Title() string {
	t := strings.ToUpper(string(m.Kind[:min(1, len(m.Kind))])) + string(m.Kind[min(1, len(m.Kind)):])
	if t == "" {
		t = "Mark"
	}
	if m.Reading == nil && m.Depth != "" {
		t += ", " + string(m.Depth)
	}
	return t
}
