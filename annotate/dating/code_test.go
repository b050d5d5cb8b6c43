package dating

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// in2026 reads codes as in the year of the facts.
var in2026 = Spans{Last: 2026}

func weeks(list ...string) string { return strings.Join(list, " ") }

func asWords(ws []Week) string {
	var out []string
	for _, w := range ws {
		out = append(out, w.String())
	}
	return weeks(out...)
}

// TestPublishedCodes holds the reading to the examples that are published.
func TestPublishedCodes(t *testing.T) {
	for _, c := range []struct{ code, source, name, weeks, from string }{
		// Electronic Components Industry Association, page "EIA Source Codes"
		// (read): "113" and "99" for 1999 and "10" for the week of March 7-13.
		{"113-9910", "113", "", "1999-W10", "ECIA"},
		// Reprints of the reading of six digits (read): 137 denotes CTS, the
		// year could be 1956, 66 or 76, the week is 34.
		{"137634", "137", "CTS", "1956-W34 1966-W34 1976-W34", "reprint"},
		// A published example of a parted code (read): EIA 606-4-21 is week 21
		// of a year that ends in 4.
		{"EIA 606-4-21", "606", "", "1954-W21 1964-W21 1974-W21", "reprint"},
		// The rule of the same page for seven digits, by hand.
		{"137-6634", "137", "CTS", "1966-W34", "rule"},
		{"1376634", "137", "CTS", "1966-W34", "rule"},
		{"304 6422", "304", "Stackpole", "1964-W22", "rule"},
		{"304 64 22", "304", "Stackpole", "1964-W22", "rule"},
		{"137–0034", "137", "CTS", "2000-W34", "rule"},
		{"137 2634", "137", "CTS", "2026-W34", "rule"},
		// EIA-476-A (scope read): a source of one to four digits, at most eight
		// digits together.
		{"12347412", "1234", "", "1974-W12", "scope"},
		{"1234-7412", "1234", "", "1974-W12", "scope"},
		{"65422", "65", "", "1954-W22 1964-W22 1974-W22", "scope"},
		{"65-7422", "65", "", "1974-W22", "scope"},
		// Words and numbers with letters beside it.
		{"B250K 137-6634", "137", "CTS", "1966-W34", "split"},
		{"137-6634 R33A", "137", "CTS", "1966-W34", "split"},
		{"(137) 6634", "137", "CTS", "1966-W34", "split"},
	} {
		k, err := PotCodeIn(c.code, in2026)
		if err != nil {
			t.Errorf("%s (%s): %v", c.code, c.from, err)
			continue
		}
		if k.Source != c.source || k.Name != c.name || asWords(k.Weeks()) != c.weeks {
			t.Errorf("%s (%s): source %s %q, %s, want %s %q, %s", c.code, c.from, k.Source, k.Name, asWords(k.Weeks()), c.source, c.name, c.weeks)
		}
		if k.Earliest() != k.Weeks()[0] || k.Latest() != k.Weeks()[len(k.Weeks())-1] {
			t.Errorf("%s: earliest %v, latest %v", c.code, k.Earliest(), k.Latest())
		}
	}
}

// TestCodeTraps are readings that must not come about.
func TestCodeTraps(t *testing.T) {
	for _, c := range []struct{ code, says string }{
		{"", "no digits"},
		{"none", "no digits"},
		{"137-6654", `no week of 01 to 53`},
		{"137-6600", `no week of 01 to 53`},
		{"137654", `no week`},
		{"137-3034", "no year from 1945 to 2026 ends in 30"},
		{"137-4434", "no year from 1945 to 2026 ends in 44"},
		{"1376", "5 to 8 digits"},
		{"123456789", "5 to 8 digits"},
		{"250K1376634", "a letter or a point touches"},
		{"137.6634", "a letter or a point touches"},
		{"0.022", "a letter or a point touches"},
		{"0.022 600", "5 to 8 digits"},
		{"12 137-6634", "more than one way"},
		{"137-6634 304-6422", "more than one way"},
		{"500 137 6634", "more than one way"},
		{"१३७६६३४", "no digits"},
		{strings.Repeat("1 ", 60), "longer than 80"},
	} {
		k, err := PotCodeIn(c.code, in2026)
		if err == nil {
			t.Errorf("%q was read as %s", c.code, k.Words())
		} else if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v, want %q", c.code, err, c.says)
		}
	}
}

// TestCodeSpans shows that the spans bound what is read and nothing is guessed.
func TestCodeSpans(t *testing.T) {
	for _, c := range []struct {
		code string
		sp   Spans
		want string
	}{
		{"137634", Spans{Last: 1970}, "1956-W34 1966-W34"},
		{"137634", Spans{Last: 2026, OneFirst: 1945, OneLast: 1949}, "1946-W34"},
		{"137634", Spans{Last: 2026, OneFirst: 1960, OneLast: 1969}, "1966-W34"},
		{"137-4634", Spans{Last: 2050}, "1946-W34 2046-W34"},
		{"137-2434", Spans{First: 1924, Last: 2026}, "1924-W34 2024-W34"},
	} {
		k, err := PotCodeIn(c.code, c.sp)
		if err != nil || asWords(k.Weeks()) != c.want {
			t.Errorf("%s within %+v: %v %v, want %s", c.code, c.sp, asWords(k.Weeks()), err, c.want)
		}
	}
	k, err := PotCode("137-6634")
	if err != nil || k.Earliest() != (Week{1966, 34}) {
		t.Errorf("by the system's clock: %v %v", k, err)
	}
}

// TestGeneratedCodes writes codes and reads them back.
func TestGeneratedCodes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.StringMatching(`[0-9]{3}`).Draw(t, "source")
		year, week := rapid.IntRange(1945, 2026).Draw(t, "year"), rapid.IntRange(1, 53).Draw(t, "week")
		sep := rapid.SampledFrom([]string{"", "-", " ", "–", " - "}).Draw(t, "between")
		k, err := PotCodeIn(fmt.Sprintf("%s%s%02d%02d", source, sep, year%100, week), in2026)
		if err != nil {
			t.Fatal(err)
		}
		if k.Source != source || !slices.Equal(k.Weeks(), []Week{{year, week}}) {
			t.Fatalf("read as source %s, %v", k.Source, k.Weeks())
		}
		one, err := PotCodeIn(fmt.Sprintf("%s%s%d%02d", source, sep, year%10, week), in2026)
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range one.Weeks() {
			if w.Week != week || w.Year%10 != year%10 || w.Year < 1950 || w.Year > 1979 || w.Year != one.Earliest().Year+10*i {
				t.Fatalf("one digit of %d read as %v", year, one.Weeks())
			}
		}
		if len(one.Weeks()) != 3 {
			t.Fatalf("one digit of %d leaves %d decades", year, len(one.Weeks()))
		}
	})
}

// TestWeeksAreNotISO shows why a week 53 is taken in any year: ISO 8601, by
// time.ISOWeek, begins week 10 of 1999 a day after the EIA's example does, so
// its rule on which years have 53 weeks is not the EIA's.
func TestWeeksAreNotISO(t *testing.T) {
	for _, day := range []int{7, 13} { // the week of the ECIA's page
		y, w := time.Date(1999, 3, day, 12, 0, 0, 0, time.UTC).ISOWeek()
		if (y == 1999 && w == 10) != (day == 13) {
			t.Errorf("ISO puts %d March 1999 into week %d of %d", day, w, y)
		}
	}
	for _, year := range []int{1965, 1966} { // 1965 has an ISO week 53, 1966 none
		k, err := PotCodeIn(fmt.Sprintf("137-%02d53", year%100), in2026)
		if err != nil || k.Earliest() != (Week{year, 53}) {
			t.Errorf("week 53 of %d: %v %v", year, k, err)
		}
	}
}

// TestMonths holds Month to time.ISOWeek for every day of a century.
func TestMonths(t *testing.T) {
	n := 0
	for d := time.Date(1945, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() < 2045; d = d.AddDate(0, 0, 1) {
		if d.Weekday() != time.Thursday {
			continue
		}
		y, w := d.ISOWeek()
		if got := (Week{y, w}).Month(); got != d.Month().String() {
			t.Fatalf("week %d of %d lies about %s, want %s", w, y, got, d.Month())
		}
		n++
	}
	if n < 5000 {
		t.Fatalf("only %d weeks were compared", n)
	}
}

func TestCodeWords(t *testing.T) {
	for code, want := range map[string]string{
		"137634":   "source 137 (CTS), week 34 of 1956, 1966 or 1976",
		"304 6422": "source 304 (Stackpole, name from memory), week 22 of 1964",
		"113-9910": "source 113, week 10 of 1999",
	} {
		k, err := PotCodeIn(code, in2026)
		if err != nil || k.Words() != want {
			t.Errorf("%s: %q %v, want %q", code, k.Words(), err, want)
		}
	}
	k, err := PotCodeIn("AUDIO 137634 X9", in2026)
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Join(k.Remarks(), " ")
	for _, want := range []string{"within 1950 to 1979", "AUDIO X9"} {
		if !strings.Contains(got, want) {
			t.Errorf("remarks %q do not say %q", got, want)
		}
	}
}

func FuzzPotCode(f *testing.F) {
	for _, s := range []string{"113-9910", "137634", "304 6422", "B250K 137-6634", "0.022", "12 137-6634", "१३७", "\xff137", "----", "137\x006634"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		k, err := PotCodeIn(s, in2026)
		if err != nil {
			if errors.Unwrap(err) == nil || strings.ContainsAny(err.Error(), "\n\x00") {
				t.Errorf("%q: the sentence is %q", s, err)
			}
			return
		}
		n := len(k.Digits)
		if n < 5 || n > 8 || strings.Trim(k.Digits, "0123456789") != "" || len(k.Weeks()) == 0 {
			t.Fatalf("%q was read as %q, %v", s, k.Digits, k.Weeks())
		}
		for i, w := range k.Weeks() {
			if w.Week < 1 || w.Week > 53 || w.Year < 1945 || w.Year > 2026 || (i > 0 && k.Weeks()[i-1].Compare(w) >= 0) {
				t.Fatalf("%q was read as %v", s, k.Weeks())
			}
		}
		if !strings.Contains(k.Words(), k.Source) {
			t.Fatalf("%q: %q", s, k.Words())
		}
	})
}
