package outline

import (
	"fmt"
	"math"
	"strings"
)

// Params say which instrument to draw. Zero values take the class's default.
type Params struct {
	Class       string  // one of Classes
	ScaleLength float64 // mm, 300 to 1200
	Frets       int     // 1 to 36
	Fretless    bool    // no frets; the fingerboard is as long as with Frets of them
	Strings     int     // 1 to 12
	LeftHanded  bool    // drawn as the mirror image
	BodyScale   float64 // size of the body against the class's usual one, 0.8 to 1.3
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
		p.Class = classes[0].name
	}
	c := classByName(p.Class)
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
	switch {
	case !within(p.ScaleLength, 300, 1200):
		return nil, p, &ParamError{"scale length", fmt.Sprintf("%g mm", p.ScaleLength), "300 to 1200 mm"}
	case p.Frets < 0 || p.Frets > 36:
		return nil, p, &ParamError{"number of frets", fmt.Sprint(p.Frets), "0 to 36, where 0 takes the usual number"}
	case p.Strings < 1 || p.Strings > 12:
		return nil, p, &ParamError{"number of strings", fmt.Sprint(p.Strings), "1 to 12"}
	case !within(p.BodyScale, 0.8, 1.3):
		return nil, p, &ParamError{"body size", fmt.Sprintf("%g", p.BodyScale), "0.8 to 1.3 times the usual"}
	}
	return c, p, nil
}

// within is false for a value that is not a number.
func within(v, lo, hi float64) bool { return !math.IsNaN(v) && v >= lo && v <= hi }
