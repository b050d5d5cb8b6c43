package pitch

import (
	"fmt"
	"math"

	"wornwood/capture/record"
)

// Place says which string a note was played on, and stopped at which fret, 0
// for open.
type Place struct{ String, Fret int }

// None is the place of a note that is left out.
var None = Place{}

// Instrument is what is known of the instrument before it is heard.
type Instrument struct {
	Class   string
	Strings int
	Tuning  Tuning  // string 1 first; nil where none is usual
	A4      float64 // Hz; 0 takes 440
}

// InstrumentOf is what a record says before the instrument is heard: its tuning
// is that of the setup, else the usual one. A tuning that cannot be read decides
// nothing; the setup shows it as it was written.
func InstrumentOf(su *record.Setup, class string, strings int) Instrument {
	in := Instrument{Class: class, Strings: strings, Tuning: Usual(class, strings)}
	if su == nil {
		return in
	}
	in.A4 = su.A4
	if t, err := ParseTuning(su.Tuning); err == nil {
		in.Tuning = t
	}
	return in
}

// a4 is the pitch of A4.
func (in Instrument) a4() float64 {
	if in.A4 > 0 {
		return in.A4
	}
	return A4
}

// Expected is the pitch that a place should have; 0 where none is known.
func (in Instrument) Expected(p Place) float64 {
	if p.String < 1 || p.String > len(in.Tuning) {
		return 0
	}
	return (in.Tuning[p.String-1] + Note(Semitones(in.Class, in.Strings, p.String, p.Fret))).Hz(in.a4())
}

// places are those of a whole take in playing order: each string open and at
// its octave, from the last string to the first or the other way.
func (in Instrument) places(down bool) []Place {
	var out []Place
	for i := range len(in.Tuning) {
		str := i + 1
		if down {
			str = len(in.Tuning) - i
		}
		out = append(out, Place{str, 0}, Place{str, OctaveFret(in.Class, in.Strings, str)})
	}
	return out
}

// Assign proposes which place each note is, on the understanding that strings
// were taken in order, each open and then at its octave. Strings may be left
// out and notes repeated; what fits nowhere is None. It is a proposal: the
// examiner corrects it.
func Assign(notes []Heard, in Instrument) []Place {
	up, upCost := in.align(notes, in.places(true))
	down, downCost := in.align(notes, in.places(false))
	if downCost < upCost {
		return down
	}
	return up
}

// The costs of an alignment in semitones: a note farther than leftOut from its
// place is rather left out, together with the place.
const (
	leftOut = 1.3 // a note that gets no place
	passed  = 0.3 // a place that gets no note
)

// align is the cheapest way to lay the notes along the places in order, by
// dynamic programming.
func (in Instrument) align(notes []Heard, places []Place) ([]Place, float64) {
	n, m := len(notes), len(places)
	cost, step := make([][]float64, n+1), make([][]int, n+1) // step: 0 left out, 1 taken, 2 passed, 3 string passed
	for i := range cost {
		cost[i], step[i] = make([]float64, m+1), make([]int, m+1)
		for j := range cost[i] {
			if i == 0 && j == 0 {
				continue
			}
			best, by := math.Inf(1), 0
			try := func(c float64, how int) {
				if c < best {
					best, by = c, how
				}
			}
			if i > 0 && j > 0 {
				try(cost[i-1][j-1]+in.off(notes[i-1], places[j-1]), 1)
			}
			if j > 1 && j%2 == 0 {
				try(cost[i][j-2]+passed, 3)
			}
			if j > 0 {
				try(cost[i][j-1]+passed, 2)
			}
			if i > 0 {
				try(cost[i-1][j]+leftOut, 0)
			}
			cost[i][j], step[i][j] = best, by
		}
	}
	return trace(step, places), cost[n][m]
}

// trace follows the cheapest way back.
func trace(step [][]int, places []Place) []Place {
	i, j := len(step)-1, len(places)
	out := make([]Place, i)
	for i > 0 || j > 0 {
		switch step[i][j] {
		case 1:
			i, j = i-1, j-1
			out[i] = places[j]
		case 2:
			j--
		case 3:
			j -= 2
		default:
			i--
		}
	}
	return out
}

// off is how far a note is from a place, in semitones.
func (in Instrument) off(h Heard, p Place) float64 {
	want := in.Expected(p)
	if want == 0 {
		return 10
	}
	return math.Abs(Cents(h.Hz, want)) / 100
}

// Octave is how far a stopped note is from what it should be above the open
// string, in cents with the standard uncertainty of both readings together.
// Both come from one recording, so its clock drops out.
type Octave struct {
	Cents, Uncertainty float64
	Semitones          int
}

// OctaveOf compares a stopped note with the open string it is so many semitones
// above: cents = 1200 log2(stopped/open) - 100 semitones.
func OctaveOf(open, openU, stopped, stoppedU float64, semitones int) Octave {
	return Octave{Cents: Cents(stopped, open) - 100*float64(semitones), Semitones: semitones,
		Uncertainty: centsOf(math.Hypot(openU/open, stoppedU/stopped))}
}

// Words is "4.1 ± 0.6 cents sharp of the octave". An error smaller than twice
// its uncertainty is said to be none that was found.
func (o Octave) Words() string {
	of := "the octave"
	if o.Semitones != 12 {
		of = fmt.Sprintf("%d semitones above the open string", o.Semitones)
	}
	side := "sharp of"
	if o.Cents < 0 {
		side = "flat of"
	}
	if math.Abs(o.Cents) < max(2*o.Uncertainty, 0.05) {
		return fmt.Sprintf("at %s within %s cents", of, tenths(max(2*o.Uncertainty, 0.1)))
	}
	return fmt.Sprintf("%s ± %s cents %s %s", tenths(math.Abs(o.Cents)), tenths(max(o.Uncertainty, 0.1)), side, of)
}

// Stopped says in words where a string is stopped: "12th fret".
func Stopped(fret int) string {
	suffix := "th"
	if fret/10 != 1 {
		switch fret % 10 {
		case 1:
			suffix = "st"
		case 2:
			suffix = "nd"
		case 3:
			suffix = "rd"
		}
	}
	return fmt.Sprintf("%d%s fret", fret, suffix)
}

// Signed is a number of cents with its side in words: "3.2 sharp", "0.4 flat".
func Signed(cents float64) string {
	switch {
	case cents >= 0.05:
		return tenths(cents) + " sharp"
	case cents <= -0.05:
		return tenths(-cents) + " flat"
	}
	return "0.0"
}

func tenths(v float64) string { return fmt.Sprintf("%.1f", v) }

// IntonationOf is the octave of a string as the record keeps it; false where one
// of its two notes is missing.
func IntonationOf(in Instrument, x record.Intonation) (Octave, bool) {
	if x.Open == nil || x.Stopped == nil || x.Open.Value <= 0 || x.Stopped.Value <= 0 {
		return Octave{}, false
	}
	fret := x.Fret
	if fret == 0 {
		fret = 12
	}
	return OctaveOf(x.Open.Value, x.Open.Uncertainty, x.Stopped.Value, x.Stopped.Uncertainty, Semitones(in.Class, in.Strings, x.String, fret)), true
}
