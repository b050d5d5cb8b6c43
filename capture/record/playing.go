package record

import "fmt"

// Sound is how a string speaks at one fret.
type Sound string

// The sounds of a position.
const (
	Clean    Sound = "clean"
	Buzz     Sound = "buzz"
	Choke    Sound = "choke"
	Dead     Sound = "dead"
	NotTried Sound = "not tried"
)

// Sounds lists the sounds in the order in which a form offers them.
func Sounds() []Sound { return []Sound{Clean, Buzz, Choke, Dead, NotTried} }

// Playing is the fret-by-string grid. Positions not listed have the sound
// Others; the zero value is a grid on which nothing was tried.
type Playing struct {
	Others    Sound      `json:"others,omitempty"` // "" reads as not tried
	Positions []Position `json:"positions,omitempty"`
}

// Position is one string stopped at one fret. Strings count from the treble
// side, string 1 being the thinnest; frets count from the nut.
type Position struct {
	String int   `json:"string"`
	Fret   int   `json:"fret"`
	Sound  Sound `json:"sound"`
}

// At returns the sound of one position.
func (p Playing) At(str, fret int) Sound {
	for _, q := range p.Positions {
		if q.String == str && q.Fret == fret {
			return q.Sound
		}
	}
	if p.Others == "" {
		return NotTried
	}
	return p.Others
}

// With returns a copy in which one position has another sound; positions that
// sound like Others are not listed.
func (p Playing) With(str, fret int, s Sound) Playing {
	out := Playing{Others: p.Others}
	for _, q := range p.Positions {
		if q.String != str || q.Fret != fret {
			out.Positions = append(out.Positions, q)
		}
	}
	if s != out.At(str, fret) {
		out.Positions = append(out.Positions, Position{str, fret, s})
	}
	return out
}

// Reading is a measured value of the setup or the electronics.
type Reading struct {
	ID    string   `json:"id"` // what was read: "string height, bass, fret 12" ...
	Value Quantity `json:"value"`
	Unit  string   `json:"unit"`
}

// String is the reading in words with its unit, to the place that its
// uncertainty leaves.
func (r Reading) String() string {
	if r.Value.Uncertainty > 0 {
		return r.Value.String() + " " + r.Unit
	}
	return trim2(r.Value.Value) + " " + r.Unit
}

func trim2(v float64) string { return fmt.Sprintf("%.2f", v) }
