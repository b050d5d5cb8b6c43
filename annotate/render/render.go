// Package render makes the demo's photos: an instrument that does not exist,
// with its marks at known places, in front of a pinhole camera.
//
// Start with Views, the list of photos, and Studio.Photo, which takes one.
// DemoMarks is the list of flaws that the pictures show and that the demo
// examination records. The instrument's outline is that of package outline, so
// a place in millimetres on the outline and the place in a picture belong
// together exactly; Studio.Truth says how.
//
// The pictures are the same to the last bit for the same width and number of
// samples, whatever the number of goroutines. The package promises no physics:
// light is sampled only as far as a picture of this kind needs.
package render

import (
	"context"
	"fmt"
	"image"

	"wornwood/annotate/outline"
)

// Options say how large and how carefully a picture is made.
type Options struct {
	Width   int // pixels of the upright picture; 0 for the view's own
	Samples int // the most rays per pixel, up to 32; 0 for 14
	Workers int // goroutines; 0 for one per core
}

// Studio holds the demo instrument ready to be photographed.
type Studio struct{ model *model }

// NewStudio builds the demo instrument, which takes about a second.
func NewStudio() (*Studio, error) {
	d, err := outline.New(outline.Params{ScaleLength: demoScale})
	if err != nil {
		return nil, fmt.Errorf("build demo instrument: %w", err)
	}
	p, err := newPlan(d)
	if err != nil {
		return nil, fmt.Errorf("build demo instrument: %w", err)
	}
	return &Studio{newModel(p, DemoMarks())}, nil
}

// ScaleLength is the demo instrument's, in mm.
func (s *Studio) ScaleLength() float64 { return s.model.plan.scale }

// Photo takes the upright picture of a view. The error is the context's.
func (s *Studio) Photo(ctx context.Context, v View, o Options) (*image.RGBA, error) {
	if o.Width == 0 {
		o.Width = v.Width
	}
	if o.Samples == 0 {
		o.Samples = 14
	}
	w, cam, _ := v.setUp(s.model, o.Width)
	b, err := w.trace(ctx, &cam, o.Samples, o.Workers)
	if err != nil {
		return nil, err
	}
	return b.develop(&cam, v.exposure, o.Workers), nil
}
