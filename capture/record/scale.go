package record

import "fmt"

// ScaleKind says what a photo was scaled by.
type ScaleKind string

// The ways to scale a photo.
const (
	TwoPointScale ScaleKind = "two points" // two points a known length apart
	FretScale     ScaleKind = "frets"      // ends or centres of nut and frets; the scale length is the ruler
	CardScale     ScaleKind = "card"       // the four corners of an ID-1 card, 85.60 x 53.98 mm
	RulerScale    ScaleKind = "ruler"      // two or more graduations of a ruler
	LandmarkScale ScaleKind = "landmarks"  // points of the outline
)

// ScaleKinds lists the kinds in the order in which a menu offers them.
func ScaleKinds() []ScaleKind {
	return []ScaleKind{FretScale, CardScale, RulerScale, TwoPointScale, LandmarkScale}
}

// Scale says how the pixels of a photo become millimetres. It holds what was
// clicked, never what was computed from it, so that a better computation can
// be made of it years later.
//
// Points of a FretScale or LandmarkScale carry millimetres of Side, so the
// scale also lays the photo over the outline. Points of the other kinds carry
// millimetres of a plane of their own, in which only distances mean something.
type Scale struct {
	Kind   ScaleKind    `json:"kind"`
	Side   string       `json:"side,omitempty"` // side of the outline whose millimetres the points carry
	Points []ScalePoint `json:"points"`
	// Height is how far the scaled plane stands above the instrument's front
	// face, towards the camera, in mm: a card lying on the top 0, one on the
	// table beside it minus the body's thickness. Points on the outline take
	// theirs from it, and Height is nil.
	Height *Quantity `json:"height,omitempty"`
	// Length is the known length of a TwoPointScale, mm; its uncertainty is
	// that of the ruler or of the part it was taken from.
	Length *Quantity `json:"length,omitempty"`
}

// ScalePoint is one clicked point of known place.
type ScalePoint struct {
	Name    string  `json:"name,omitempty"`    // landmark of the outline, "nut-bass", or in words, "corner 1"
	At      Point   `json:"at"`                // pixels of the upright photo, as used
	Clicked *Point  `json:"clicked,omitempty"` // as clicked, where At was then found on the edges
	MM      Point   `json:"mm"`                // millimetres of the side, or of the scale's own plane
	Noise   float64 `json:"noise,omitempty"`   // standard uncertainty of At, pixels; 0 takes that of a click
}

// MaxScalePoints bounds one scale: the ends of 36 frets and some more.
const MaxScalePoints = 100

func (s *Scale) check() error {
	known := false
	for _, k := range ScaleKinds() {
		known = known || k == s.Kind
	}
	if !known {
		return fmt.Errorf("unknown kind of scale %q", s.Kind)
	}
	if len(s.Points) < 2 || len(s.Points) > MaxScalePoints {
		return fmt.Errorf("a scale with %d points: it needs 2 to %d", len(s.Points), MaxScalePoints)
	}
	for _, p := range s.Points {
		for _, q := range []*Point{&p.At, p.Clicked, &p.MM} {
			if q != nil && !ordinary(*q) {
				return fmt.Errorf("a scale's coordinate is not an ordinary number")
			}
		}
		if !finite(p.Noise) || p.Noise < 0 {
			return fmt.Errorf("the noise of a scale's point is not a number of 0 or more")
		}
	}
	for _, q := range []*Quantity{s.Height, s.Length} {
		if q != nil && (!finite(q.Value) || !finite(q.Uncertainty) || q.Uncertainty < 0) {
			return fmt.Errorf("a scale's length or height is not a number")
		}
	}
	if s.Length != nil && s.Length.Value <= 0 {
		return fmt.Errorf("a scale's known length is not above 0")
	}
	return nil
}
