package electronics

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// Calendar months: the same day of the month, or its last where it has no such
// day; a month printed on a battery ends with its last day.
func TestBatteryDue(t *testing.T) {
	for _, c := range []struct{ fitted, expires, want string }{
		{"2025-10-31", "", "2026-10-31"}, {"2024-02-29", "", "2025-02-28"}, {"", "2027-02", "2027-02-28"}, {"", "2028-02", "2028-02-29"}, {"", "2027-03-15", "2027-03-15"},
		{"2026-11-14", "2027-03", "2027-03-31"}, {"2026-01-10", "2030-01", "2027-01-10"}, {"", "", ""}, {"yesterday", "", ""}, {"", "soon", ""},
	} {
		due, ok := BatteryDue(record.Battery{Fitted: c.fitted, Every: 12, Expires: c.expires})
		got := ""
		if ok {
			got = due.Format(time.DateOnly)
		}
		if got != c.want {
			t.Errorf("fitted %q, expires %q: due %q, want %q", c.fitted, c.expires, got, c.want)
		}
	}
	if due, _ := BatteryDue(record.Battery{Fitted: "2026-01-31", Every: 1}); due.Format(time.DateOnly) != "2026-02-28" {
		t.Errorf("a month after 31 January is %s", due.Format(time.DateOnly))
	}
	if _, ok := BatteryDue(record.Battery{Fitted: "2026-01-31"}); ok {
		t.Error("a battery without a rule is due")
	}
}

// A change lies that many calendar months on and never in another month.
func TestMonthsGoOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := time.Date(rapid.IntRange(1990, 2060).Draw(t, "y"), time.Month(rapid.IntRange(1, 12).Draw(t, "m")), rapid.IntRange(1, 28).Draw(t, "d"), 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 3).Draw(t, "more"))
		n := rapid.IntRange(1, 240).Draw(t, "n")
		got := AddMonths(day, n)
		months := func(t time.Time) int { return t.Year()*12 + int(t.Month()) }
		if months(got) != months(day)+n || got.Day() > day.Day() || (got.Day() < day.Day() && got.AddDate(0, 0, 1).Day() != 1) {
			t.Fatalf("%v and %d months are %v", day, n, got)
		}
	})
}

// Worked: 550 mAh (common practice) at 0.35 mA are 1571
// hours; an entered capacity counts before the usual one.
func TestHours(t *testing.T) {
	i := record.Quantity{Value: 0.35}
	h, usual, ok := Hours(record.Battery{Type: "9v", Current: &i})
	if !ok || !usual || math.Abs(h-550/0.35) > 1e-9 || HoursWords(h) != "1570 hours" {
		t.Errorf("%v %v %v", h, usual, ok)
	}
	h, usual, ok = Hours(record.Battery{Type: "9 V block", Capacity: 1200, Current: &i})
	if !ok || usual || math.Abs(h-1200/0.35) > 1e-9 {
		t.Errorf("%v %v %v", h, usual, ok)
	}
	zero := record.Quantity{}
	for _, b := range []record.Battery{{}, {Type: "9 V block"}, {Type: "odd", Current: &i}, {Type: "9 V block", Current: &zero}} {
		if h, _, ok := Hours(b); ok {
			t.Errorf("%+v lasts %v", b, h)
		}
	}
}

// Names and the codes after IEC 60086 (from memory) find a type, once each.
func TestCells(t *testing.T) {
	for name, want := range map[string]string{"9V": "9 V block", "6lr61": "9 V block", " 9  V block ": "9 V block", "LR6": "AA", "lr03": "AAA", "coin cell": "CR2032", "23A": "12 V, 23A"} {
		if c, ok := CellOf(name); !ok || c.Name != want {
			t.Errorf("%q is %q", name, c.Name)
		}
	}
	if _, ok := CellOf("wooden"); ok {
		t.Error("a wooden battery")
	}
	seen := map[string]bool{}
	for _, c := range Cells {
		for _, n := range append(slices.Clone(c.Codes), c.Name) {
			if seen[strings.ToLower(n)] {
				t.Errorf("%q stands for two types", n)
			}
			seen[strings.ToLower(n)] = true
		}
		if c.Low >= c.Volts || c.Low < 0.75*c.Volts || c.Capacity <= 0 || (c.Source != "practice" && c.Source != "memory") {
			t.Errorf("%+v", c)
		}
	}
}

func TestBatteryDates(t *testing.T) {
	for _, c := range []struct {
		b    record.Battery
		want string
	}{
		{record.Battery{Fitted: "2025-11-14", Every: 12}, ""}, // due today is not past
		{record.Battery{Fitted: "2025-11-13", Every: 12}, "its change was due on 2026-11-13"},
		{record.Battery{Expires: "2026-10"}, "past the date printed on it, 2026-10"},
		{record.Battery{Expires: "2026-11"}, ""}, {record.Battery{Expires: "11/26"}, "is no date printed"},
		{record.Battery{Fitted: "2027-01-01"}, "still to come"}, {record.Battery{Fitted: "May"}, "is no date on which"},
	} {
		b := c.b
		got := check("", coil("neck", record.Active, 0), record.Component{ID: "battery-1", Kind: record.BatteryComponent, Battery: &b})
		if (c.want == "") != (len(got) == 0) || (c.want != "" && !strings.Contains(strings.Join(got, "|"), c.want)) {
			t.Errorf("%+v: %q, want %q", c.b, got, c.want)
		}
	}
}
