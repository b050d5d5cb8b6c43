package pitch

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"wornwood/annotate/outline"
)

func parse(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestNoteFrequencies compares with the table of equal temperament at A4 = 440
// Hz that physics handbooks print to a hundredth (from memory).
func TestNoteFrequencies(t *testing.T) {
	for name, want := range map[string]float64{
		"C0": 16.35, "B0": 30.87, "E1": 41.20, "A1": 55.00, "D2": 73.42, "E2": 82.41, "G2": 98.00, "A2": 110.00, "C3": 130.81, "D3": 146.83,
		"G3": 196.00, "B3": 246.94, "C4": 261.63, "E4": 329.63, "F#4": 369.99, "A4": 440.00, "Bb4": 466.16, "E5": 659.26, "C8": 4186.01,
	} {
		n, err := ParseNote(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := n.Hz(A4); math.Abs(got-want) > 0.005 {
			t.Errorf("%s has %.4f Hz, the table %.2f", name, got, want)
		}
		if near, c := Nearest(want, A4); near != n || math.Abs(c) > 0.6 {
			t.Errorf("%.2f Hz is nearest to %v, %.2f cents", want, near, c)
		}
	}
	if c := Cents(660, 440); math.Abs(c-701.955) > 0.0005 { // a pure fifth, any handbook of acoustics
		t.Errorf("a pure fifth has %.4f cents, want 701.955", c)
	}
}

// fretFactors are the distances of frets 1 on from the nut as shares of the scale
// length, 1 - 2^(-n/12), as the project's table of frets has them to six places.
var fretFactors = []float64{0.056126, 0.109101, 0.159104, 0.206299, 0.250846, 0.292893, 0.332580, 0.370039, 0.405396, 0.438769, 0.470268, 0.500000, 0.528063, 0.554551, 0.579552, 0.603150, 0.625423, 0.646447, 0.666290, 0.685020, 0.702698, 0.719384, 0.735134, 0.750000}

// TestFretsAndCents: stopped at a fret, what is left of an ideal string sounds in
// inverse proportion to its length; at every fret of the table that is the note
// so many semitones up. Six places are worth 0.004 cent at the 24th fret.
func TestFretsAndCents(t *testing.T) {
	const open = 40
	for i, factor := range fretFactors {
		hz := Note(open).Hz(A4) / (1 - factor)
		if c := Cents(hz, Note(open+i+1).Hz(A4)); math.Abs(c) > 0.005 {
			t.Errorf("fret %d of the table is %g cents from its note", i+1, c)
		}
	}
}

func TestParseNote(t *testing.T) {
	for in, want := range map[string]string{"e2": "E2", " F#3 ": "F#3", "Gb3": "F#3", "B♭1": "A#1", "C♯4": "C#4", "Cb4": "B3", "B#3": "C4"} {
		if n, err := ParseNote(in); err != nil || n.String() != want {
			t.Errorf("%q is %v, %v; want %s", in, n, err, want)
		}
	}
	for _, in := range []string{"", "E", "H2", "2E", "E22", "E-1", "##2", " 4", "E2x"} {
		if n, err := ParseNote(in); err == nil {
			t.Errorf("%q was read as %v", in, n)
		}
	}
	for n := Note(12); n < 120; n++ {
		if m, err := ParseNote(n.String()); err != nil || m != n {
			t.Errorf("%d is written %s and read as %d, %v", n, n, m, err)
		}
	}
}

// TestTunings: every class has a usual tuning for its usual number of strings,
// which ParseTuning reads back.
func TestTunings(t *testing.T) {
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		tu := Usual(class, d.Strings)
		if len(tu) != d.Strings {
			t.Errorf("%s with %d strings has the tuning %v", class, d.Strings, tu)
			continue
		}
		if back, err := ParseTuning(tu.String()); err != nil || back.String() != tu.String() {
			t.Errorf("%s: %v is read back as %v, %v", class, tu, back, err)
		}
		for _, n := range tu {
			if hz := n.Hz(A4); hz < lowest || 2*hz > highest {
				t.Errorf("%s: %v or its octave is outside what is listened for", class, n)
			}
		}
	}
	for family, lines := range usual {
		for _, s := range lines {
			if _, err := ParseTuning(s); err != nil {
				t.Errorf("%s: %v", family, err)
			}
		}
	}
	for _, in := range []string{"", "E4 H3", strings.Repeat("E2 ", 65)} {
		if tu, err := ParseTuning(in); err == nil {
			t.Errorf("%q was read as %v", in, tu)
		}
	}
	if tu, err := ParseTuning("E4-B3, G3 D3\tA2;E2"); err != nil || tu.String() != "E4 B3 G3 D3 A2 E2" {
		t.Errorf("%v, %v", tu, err)
	}
	if n := OctaveFret("banjo", 5, 5); n != 17 || Semitones("banjo", 5, 5, 17) != 12 || OctaveFret("banjo", 5, 4) != 12 || OctaveFret("banjo", 4, 4) != 12 {
		t.Errorf("the short string of a banjo has its octave at fret %d", n)
	}
}
