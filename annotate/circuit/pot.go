package circuit

import (
	"fmt"
	"math"
)

// Taper says how a potentiometer's resistance follows its turning.
type Taper string

// The tapers, in the record's words.
const (
	Logarithmic Taper = "logarithmic"
	Linear      Taper = "linear"
	Reverse     Taper = "reverse logarithmic"
)

// halfTurn is the share of the whole resistance that a logarithmic control has
// reached in the middle of its turn. Makers print such tracks in two straight
// pieces that meet there at 10 to 20 per cent; 15 is the middle of that
// (practice).
const halfTurn = 0.15

// leastOhms is what remains between a wiper and the end it is turned to:
// contacts of a real control never reach nothing (practice).
const leastOhms = 1

// Pot is a potentiometer.
type Pot struct {
	Total   float64 // ohms, end to end; more than leastOhms twice over
	Taper   Taper   // "" reads as linear
	Setting float64 // 0 to 10, as on a knob
}

// Share is the share of the whole resistance between the wiper and the end of
// setting 0, from 0 to 1.
func (p Pot) Share() float64 {
	x := min(max(p.Setting/10, 0), 1)
	switch p.Taper {
	case Logarithmic:
		return twoSlopes(x)
	case Reverse:
		return 1 - twoSlopes(1-x)
	}
	return x
}

func twoSlopes(x float64) float64 {
	if x <= 0.5 {
		return 2 * halfTurn * x
	}
	return halfTurn + 2*(1-halfTurn)*(x-0.5)
}

// below and above are the ohms from the wiper to the end of setting 0 and to
// the other.
func (p Pot) below() float64 { return max(p.Total*p.Share(), leastOhms) }
func (p Pot) above() float64 { return max(p.Total*(1-p.Share()), leastOhms) }

func (p Pot) check(what string) error {
	if math.IsNaN(p.Setting) || p.Setting < 0 || p.Setting > 10 {
		return fmt.Errorf("%s stands at %g; a setting is 0 to 10", what, p.Setting)
	}
	return within(what, p.Total, 2*leastOhms, 1e12, "Ω")
}
