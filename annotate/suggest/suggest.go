// Package suggest points at likely finish checks and likely dings in a chosen
// area of a photo, as ghosts for a person to accept or dismiss one by one. It
// decides nothing and adds nothing to a record.
//
// Start with Find; a window with a slider calls Prepare once and Search.At for
// each place of the slider, which takes a fraction of the time. Without leaves
// out what was dismissed or marked before. Help is what the window says about
// how far the suggestions can be trusted.
//
// Checks are looked for with steerable second derivatives averaged along 16
// directions (lines.go), measured against what the ground itself answers in
// each direction (bars.go), followed along their crests (walk.go), and kept
// where their profile is a thin line's and not an edge's (profile.go) and they
// wander as no string or binding does (ruled.go). Dings are places whose local
// energy ends all round them (pits.go).
//
// What it can and cannot do was measured on rendered and photographed
// surfaces: FIGURES.md holds the figures, made by TestFigures, which also holds
// the numbers in Help to them. Open grain hides faint checks; Result says so
// from the picture itself, and where the figures fall under 0.6 found at 0.8
// right the kind is not suggested at all.
//
// Lengths are never measured here. A line that a filter finds comes out up to a
// quarter too short, because the faint ends of a check sink into the noise, and
// now and then too long, because it runs on along the grain. Only a line that a
// person confirmed and traced may be measured. Screws, holes, lettering and
// hardware look like dings and checks to it: the area should hold finish.
package suggest

import (
	"context"
	"image"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The kinds that are suggested, as the rubric names them.
const (
	Check record.Kind = "finish check"
	Ding  record.Kind = "ding"
)

// MostGhosts is how many suggestions one search gives at most; Result.Note says
// when there would have been more.
const MostGhosts = 200

// Options say how to search and where the picture lies in the photo. With a
// whole upright photo, or a part of it made by SubImage, Offset and Scale stay
// zero.
type Options struct {
	Sensitivity float64  // 0 few and sure .. 1 many and doubtful; 0.5 is what the figures are about
	Offset      shape.Pt // photo pixels at the outer corner of the picture's pixel (0,0)
	Scale       float64  // photo pixels to a pixel of the picture; 0 is 1
}

// Ghost is one suggestion: a line for a finish check, a point for a ding.
type Ghost struct {
	Kind     record.Kind
	Shape    record.Shape
	Points   []shape.Pt // pixels of the whole upright photo, (0,0) the outer corner of its first
	Radius   float64    // photo pixels of a ring to draw round a ding, not its size; 0 for a line
	Score    float64    // 0..1, to sort by: no probability
	Contrast float64    // share by which it is darker or lighter than the finish beside it
}

// Result is what was found in an area.
type Result struct {
	Ghosts        []Ghost // best first, at most MostGhosts
	Grainy        bool    // grain or texture hides faint checks here
	FaintestCheck float64 // about the least contrast of a check that is mostly found here; 0: checks are not suggested here
	FaintestDing  float64 // the same of a ding
	Shrunk        float64 // how many times the area was reduced before the search; 1 when it was not
	Ruled         int     // long smooth lines left out: strings, binding, edges, reflections
	Note          string  // all of this in sentences, "" when there is nothing to say
}

// Find searches the area, a ring in pixels of the whole upright photo, in the
// picture, which is the photo or a part of it. An area over 4 megapixels is
// reduced to 4 first. Errors are sentences for the person at the screen (an
// area outside the photo, too small, too large) or the context's.
func Find(ctx context.Context, img image.Image, area []shape.Pt, opt Options) (*Result, error) {
	s, err := Prepare(ctx, img, area, opt)
	if err != nil {
		return nil, err
	}
	return s.At(opt.Sensitivity), nil
}
