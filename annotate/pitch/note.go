package pitch

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Note is a note of twelve-tone equal temperament, counted in semitones so that
// 69 is A4 and 60 is C4.
type Note int

// A4 is the usual pitch of A4 in Hz (ISO 16:1975, from memory).
const A4 = 440.0

var noteNames = [12]string{"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"}

// String is the name with its octave, "E2", "F#3".
func (n Note) String() string {
	i := ((int(n) % 12) + 12) % 12
	return noteNames[i] + strconv.Itoa((int(n)-i)/12-1)
}

// Hz is the note's frequency where A4 has a4 Hz: a4 * 2^((n-69)/12).
func (n Note) Hz(a4 float64) float64 { return a4 * math.Exp2(float64(n-69)/12) }

// ParseNote reads "E2", "f#3", "Bb1", also with the signs ♯ and ♭.
func ParseNote(s string) (Note, error) {
	t := strings.NewReplacer("♯", "#", "♭", "b").Replace(strings.TrimSpace(s))
	bad := fmt.Errorf("%q is not a note; write a letter from A to G, # or b, and an octave: E2, F#3, Bb1", s)
	if len(t) < 2 || len(t) > 4 {
		return 0, bad
	}
	i := strings.Index("C D EF G A B", strings.ToUpper(t[:1]))
	if i < 0 || t[0] == ' ' {
		return 0, bad
	}
	rest := t[1:]
	switch rest[0] {
	case '#':
		i, rest = i+1, rest[1:]
	case 'b':
		i, rest = i-1, rest[1:]
	}
	oct, err := strconv.Atoi(rest)
	if err != nil || len(rest) != 1 {
		return 0, bad
	}
	return Note(12*(oct+1) + i), nil
}

// Cents is how far a frequency lies above another: 1200 log2(hz/of).
func Cents(hz, of float64) float64 { return 1200 * math.Log2(hz/of) }

// Nearest is the note nearest to a frequency, and how many cents the frequency
// lies above it.
func Nearest(hz, a4 float64) (Note, float64) {
	n := Note(math.Round(69 + 12*math.Log2(hz/a4)))
	return n, Cents(hz, n.Hz(a4))
}
