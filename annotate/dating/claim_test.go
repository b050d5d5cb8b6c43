package dating

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// TestClaimedYears is a table of how people write years. "about", "early" and
// the like are common practice, no published source.
func TestClaimedYears(t *testing.T) {
	for _, c := range []struct {
		text     string
		from, to int
		ok       bool
	}{
		{"1974", 1974, 1974, true},
		{" 1974. ", 1974, 1974, true},
		{"1974 or 1975", 1974, 1975, true},
		{"1974, 1975 or 1976", 1974, 1976, true},
		{"about 1974", 1972, 1976, true},
		{"circa 1974", 1972, 1976, true},
		{"c. 1974", 1972, 1976, true},
		{"c1974", 1972, 1976, true},
		{"ca. 1974-76", 1972, 1978, true},
		{"1974?", 1972, 1976, true},
		{"1970s", 1970, 1979, true},
		{"1970's", 1970, 1979, true},
		{"the early 1960s", 1960, 1963, true},
		{"mid-1960s", 1964, 1966, true},
		{"Late 1960s", 1967, 1969, true},
		{"1974-1976", 1974, 1976, true},
		{"1974–1976", 1974, 1976, true},
		{"1974 to 1976", 1974, 1976, true},
		{"between 1974 and 1976", 1974, 1976, true},
		{"1974/75", 1974, 1975, true},
		{"1899/05", 1899, 1899, true}, // a month: it runs to no later year
		{"1974-03", 1974, 1974, true},
		{"1974-03-12", 1974, 1974, true},
		{"12 March 1974", 1974, 1974, true},
		{"March 1974", 1974, 1974, true},
		{"spring 1974", 1974, 1974, true},
		{"before 1950", 0, 1949, true},
		{"pre-1950", 0, 1949, true},
		{"by 1950", 0, 1950, true},
		{"1950 or earlier", 0, 1950, true},
		{"after 1960", 1961, 0, true},
		{"since 1960", 1960, 0, true},
		{"1960 or later", 1960, 0, true},
		{"18th century", 1700, 1800, true},
		{"late 19th century", 1865, 1900, true},
		{"1800s", 1800, 1900, true},
		{"", 0, 0, false},
		{"unknown", 0, 0, false},
		{"1976-1974", 0, 0, false},
		{"1974/70", 0, 0, false},
		{"74", 0, 0, false},
		{"19745", 0, 0, false},
		{"0974", 0, 0, false},
		{"serial 1974 and 12", 0, 0, false},
		{"9th century", 0, 0, false},
	} {
		from, to, ok := ClaimedYears(c.text)
		if from != c.from || to != c.to || ok != c.ok {
			t.Errorf("%q: %d to %d, %v, want %d to %d, %v", c.text, from, to, ok, c.from, c.to, c.ok)
		}
	}
}

// What Years writes, ClaimedYears reads back.
func TestClaimedYearsReadWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.IntRange(1100, 2090).Draw(t, "from")
		b := a + rapid.IntRange(0, 60).Draw(t, "more")
		for _, r := range []Range{Years(a, b), Years(a, 0), Years(0, b)} {
			from, to, ok := ClaimedYears(r.Words())
			if !ok || Years(from, to) != r {
				t.Fatalf("%q read as %d to %d, %v", r.Words(), from, to, ok)
			}
		}
		if from, to, ok := ClaimedYears(fmt.Sprintf("about %d", a)); !ok || to-from != 4 || from != a-2 {
			t.Fatalf("about %d: %d to %d %v", a, from, to, ok)
		}
	})
}

func FuzzClaimedYears(f *testing.F) {
	for _, s := range []string{"1974", "about 1974", "1974/75", "before 1950", "late 19th century", "1974-03", "9999 or later", "before 1000"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		from, to, ok := ClaimedYears(s)
		if !ok {
			if from != 0 || to != 0 {
				t.Fatalf("%q is refused with %d to %d", s, from, to)
			}
			return
		}
		if (from == 0 && to == 0) || (from != 0 && to != 0 && from > to) || from < 0 || to < 0 || from > 9999 || to > 9999 {
			t.Fatalf("%q: %d to %d", s, from, to)
		}
	})
}
