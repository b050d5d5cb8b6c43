package outline

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Params say which instrument to draw. Zero values take the class's default.
type Params struct {
	Class       string  // one of Classes
	ScaleLength float64 // mm, in the class's ScaleRange; with BassScale the treble string's
	Frets       int     // 1 to 36
	Fretless    bool    // no frets; the fingerboard is as long as with Frets of them
	Strings     int     // 1 to 12
	LeftHanded  bool    // drawn as the mirror image

	BassScale    float64 // mm, the bass string's scale length where frets are fanned; 0 for one scale length
	StraightFret int     // the fret that is square to the strings then, 0 to Frets; 0 is the nut

	BodyScale  float64 // size of the body against the class's usual one, 0.8 to 1.3
	BodyLength float64 // mm
	BodyWidth  float64 // mm, at its widest

	// Own is the body's own outline in mm of the front sheet. It takes the place
	// of the class's body; what lies on it is carried over.
	Own *record.Own
}

// ParamError is a parameter that cannot be drawn.
type ParamError struct {
	Field string // the parameter's name in plain words
	Value string // what was given
	Want  string // what it must be
}

// Error says what is wrong and what would be right.
func (e *ParamError) Error() string {
	return fmt.Sprintf("%s %s cannot be drawn: give %s", e.Field, e.Value, e.Want)
}

// check fills in the class's defaults and refuses what cannot be drawn.
func (p Params) check() (*class, Params, error) {
	if p.Class == "" {
		p.Class = names[0]
	}
	c := byName[p.Class]
	if c == nil {
		return nil, p, &ParamError{"class", fmt.Sprintf("%q", p.Class), "one of: " + strings.Join(Classes(), ", ")}
	}
	if p.ScaleLength == 0 {
		p.ScaleLength = c.scale.mm
	}
	if p.Frets == 0 {
		p.Frets = c.frets
	}
	if p.Strings == 0 {
		p.Strings = c.strings
	}
	if p.BodyScale == 0 {
		p.BodyScale = 1
	}
	p.Fretless = p.Fretless || c.fretless
	return c, p, p.limits(c)
}

func (p Params) limits(c *class) error {
	lo, hi := c.limits[0], c.limits[1]
	span := fmt.Sprintf("%g to %g mm", lo, hi)
	switch {
	case !within(p.ScaleLength, lo, hi):
		return &ParamError{"scale length", fmt.Sprintf("%g mm", p.ScaleLength), span}
	case p.Frets < 0 || p.Frets > 36:
		return &ParamError{"number of frets", fmt.Sprint(p.Frets), "0 to 36, where 0 takes the usual number"}
	case p.Strings < 1 || p.Strings > 12:
		return &ParamError{"number of strings", fmt.Sprint(p.Strings), "1 to 12"}
	case !within(p.BodyScale, 0.8, 1.3):
		return &ParamError{"body size", fmt.Sprintf("%g", p.BodyScale), "0.8 to 1.3 times the usual"}
	case p.BassScale != 0 && !within(p.BassScale, lo, hi):
		return &ParamError{"bass string's scale length", fmt.Sprintf("%g mm", p.BassScale), span}
	case p.BassScale != 0 && !within(p.BassScale/p.ScaleLength, 0.9, 1.15):
		return &ParamError{"bass string's scale length", fmt.Sprintf("%g mm", p.BassScale),
			fmt.Sprintf("%.0f to %.0f mm with a treble string of %g", 0.9*p.ScaleLength, 1.15*p.ScaleLength, p.ScaleLength)}
	case p.StraightFret < 0 || p.StraightFret > p.Frets:
		return &ParamError{"straight fret", fmt.Sprint(p.StraightFret), fmt.Sprintf("0 for the nut, or a fret up to %d", p.Frets)}
	}
	return p.bodyLimits(c)
}

// bodyLimits keep a body in the proportions that its class can be drawn in.
func (p Params) bodyLimits(c *class) error {
	usual := shape.FromCurves(c.body.curves(), true).Bounds()
	for _, q := range []struct {
		name        string
		mm, usual   float64
		least, most float64
	}{{"body width", p.BodyWidth, usual.Dx(), 0.75, 1.35}, {"body length", p.BodyLength, usual.Dy(), 0.7, 1.4}} {
		if lo, hi := math.Ceil(q.least*q.usual), math.Floor(q.most*q.usual); q.mm != 0 && !within(q.mm, lo, hi) {
			return &ParamError{q.name, fmt.Sprintf("%g mm", q.mm), fmt.Sprintf("%.0f to %.0f mm, or 0 for the usual", lo, hi)}
		}
	}
	return nil
}

// ScaleRange is the shortest and the longest scale length in mm that the class
// is drawn with, zeros for an unknown class.
func ScaleRange(class string) (least, most float64) {
	if c := byName[class]; c != nil {
		return c.limits[0], c.limits[1]
	}
	return 0, 0
}

// within is false for a value that is not a number.
func within(v, lo, hi float64) bool { return !math.IsNaN(v) && v >= lo && v <= hi }
