package record

import "fmt"

// Fade is how a mark's colour difference was taken: patches of photos, each a
// closed ring in pixels of the upright photo. The reading itself is the mark's
// MarkReading of the kind FadeReading; this says what it was computed from.
type Fade struct {
	Reference Patch    `json:"reference"`       // where the colour is as it was
	Faded     Patch    `json:"faded"`           // where it has changed
	Grey      *Patch   `json:"grey,omitempty"`  // a neutral grey card, for white balance and exposure
	DE2000    Quantity `json:"de2000"`          // CIEDE2000 between the two
	DEab      Quantity `json:"deab"`            // dE*ab between the two
	Step      string   `json:"step,omitempty"`  // grey-scale step after ISO 105-A02: "4", "3-4"; "" for no change shown
	Floor     float64  `json:"floor,omitempty"` // what the camera's tone curve may hide or add, dE
	Warnings  []string `json:"warnings,omitempty"`
}

// Patch is an area of a photo that a colour was read from.
type Patch struct {
	Photo string  `json:"photo"` // Photo.ID
	Ring  []Point `json:"ring"`
}

func (f *Fade) check() error {
	patches := []Patch{f.Reference, f.Faded}
	if f.Grey != nil {
		patches = append(patches, *f.Grey)
	}
	for _, p := range patches {
		if err := checkShape(AreaShape, p.Ring); err != nil {
			return fmt.Errorf("a colour patch is %w", err)
		}
	}
	for _, q := range []Quantity{f.DE2000, f.DEab, {Value: f.Floor}} {
		if !finite(q.Value) || q.Value < 0 || !finite(q.Uncertainty) || q.Uncertainty < 0 {
			return fmt.Errorf("its colour difference is not a number of 0 or more")
		}
	}
	return nil
}
