package paint

import (
	"fmt"
	"sync"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"wornwood/icons"
)

// Face names one of the typefaces compiled into the program.
type Face string

// The faces of a report.
const (
	Sans     Face = "sans"
	SansBold Face = "sans-semibold"
	Cond     Face = "condensed"
	CondBold Face = "condensed-semibold"
	Serif    Face = "serif-medium"
	Mono     Face = "mono"
)

// Font is a face at a size, with letter spacing.
type Font struct {
	Face  Face
	Size  float64 // points
	Track float64 // points added after every character
}

// Sized is the font at another size.
func (f Font) Sized(size float64) Font { f.Size = size; return f }

// metric holds what is known of one face: which characters it has and how far
// each advances, in thousandths of the size.
type metric struct {
	mu      sync.Mutex
	font    *sfnt.Font
	buf     sfnt.Buffer
	advance map[rune]int // -1: the face lacks the character
	err     error
}

var (
	metricsMu sync.Mutex
	metrics   = map[Face]*metric{}
)

func metricOf(face Face) *metric {
	metricsMu.Lock()
	defer metricsMu.Unlock()
	m := metrics[face]
	if m == nil {
		m = &metric{advance: map[rune]int{}}
		m.font, m.err = sfnt.ParseReaderAt(icons.FontReader(string(face)))
		metrics[face] = m
	}
	return m
}

// of is the advance of a character in thousandths of the size, and whether the
// face has it.
func (m *metric) of(r rune) (int, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if a, ok := m.advance[r]; ok {
		return a, a >= 0
	}
	a := -1
	if g, err := m.font.GlyphIndex(&m.buf, r); err == nil && g != 0 {
		units := fixed.Int26_6(m.font.UnitsPerEm()) << 6
		if v, err := m.font.GlyphAdvance(&m.buf, g, units, 0); err == nil {
			a = int(float64(v) / 64 * 1000 / float64(m.font.UnitsPerEm()))
		}
	}
	m.advance[r] = a
	return a, a >= 0
}

// Has tells whether a character can be printed: the sans face, which stands in
// for the others, has the most characters. The drawing library holds no
// character above U+FFFF.
func Has(face Face, r rune) bool {
	if r < 0x20 || r > 0xFFFF {
		return false
	}
	if _, ok := metricOf(face).of(r); ok {
		return true
	}
	_, ok := metricOf(Sans).of(r)
	return ok
}

// RuneError says that a text holds a character that no face of the report has.
type RuneError struct{ Rune rune }

func (e *RuneError) Error() string {
	return fmt.Sprintf("the character %q (U+%04X) is not in the report's typefaces; write it another way", string(e.Rune), e.Rune)
}

// CheckText refuses a text with a character that cannot be printed.
func CheckText(s string) error {
	for _, r := range s {
		if !Has(Sans, r) {
			return &RuneError{Rune: r}
		}
	}
	return nil
}

// run is a piece of text in one face.
type run struct {
	face Face
	text string
}

// runs cuts a text where the face has to change because it lacks a character.
func runs(face Face, s string) ([]run, error) {
	m, sub := metricOf(face), metricOf(Sans)
	if m.err != nil {
		return nil, fmt.Errorf("read typeface %s: %w", face, m.err)
	}
	var out []run
	start, now := 0, face
	for i, r := range s {
		if r < 0x20 || r > 0xFFFF {
			return nil, &RuneError{Rune: r}
		}
		want := face
		if _, ok := m.of(r); !ok {
			if _, ok := sub.of(r); !ok {
				return nil, &RuneError{Rune: r}
			}
			want = Sans
		}
		if want != now {
			if i > start {
				out = append(out, run{now, s[start:i]})
			}
			start, now = i, want
		}
	}
	if start < len(s) {
		out = append(out, run{now, s[start:]})
	}
	return out, nil
}

// Width is how far a text advances, in mm. Characters that cannot be printed
// count as the widest letter; drawing them fails.
func Width(s string, f Font) float64 {
	m, sub := metricOf(f.Face), metricOf(Sans)
	sum, n := 0, 0
	for _, r := range s {
		a, ok := m.of(r)
		if !ok {
			if a, ok = sub.of(r); !ok {
				a = 1000
			}
		}
		sum += a
		n++
	}
	return (float64(sum)/1000*f.Size + float64(n)*f.Track) * pt
}
