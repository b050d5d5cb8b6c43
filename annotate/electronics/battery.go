package electronics

import (
	"strings"
	"time"

	"wornwood/capture/record"
)

// Cell is what is usual of a type of battery. Capacities are those of a fresh
// one at a small current, and differ by half between makers.
type Cell struct {
	Name     string
	Codes    []string // other names, among them those after IEC 60086
	Volts    float64  // nominal
	Capacity float64  // mAh
	Low      float64  // volts below which it wants changing; 7.5 V of a 9 V block is 1.25 V a cell
	Source   string   // "practice" or "memory"
}

// Cells lists the types in the order of a form.
var Cells = []Cell{
	{"9 V block", []string{"9v", "9 v", "6LR61", "6F22", "9 V block, alkaline"}, 9, 550, 7.5, "practice"},
	{"9 V block, lithium", nil, 9, 1200, 7.5, "memory"},
	{"9 V block, rechargeable", []string{"6HR61"}, 8.4, 200, 7.5, "memory"},
	{"AA", []string{"LR6", "mignon"}, 1.5, 2500, 1.25, "memory"},
	{"AAA", []string{"LR03", "micro"}, 1.5, 1100, 1.25, "memory"},
	{"CR2032", []string{"coin cell", "button cell"}, 3, 225, 2.7, "memory"},
	{"LR44", nil, 1.5, 110, 1.25, "memory"},
	{"12 V, 23A", []string{"23A", "8LR932"}, 12, 55, 10, "memory"},
}

// CellOf finds a type by its name or one of its codes.
func CellOf(name string) (Cell, bool) {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	for _, c := range Cells {
		if strings.ToLower(c.Name) == name {
			return c, true
		}
		for _, k := range c.Codes {
			if strings.ToLower(k) == name {
				return c, true
			}
		}
	}
	return Cell{}, false
}

// Hours is how long a fresh battery lasts: capacity over current. usual tells
// that the capacity is that usual of the type and was not entered. ok is false
// where the current or both capacities are not known.
func Hours(b record.Battery) (hours float64, usual, ok bool) {
	if b.Current == nil || !(b.Current.Value > 0) {
		return 0, false, false
	}
	capacity := b.Capacity
	if capacity == 0 {
		c, known := CellOf(b.Type)
		if !known {
			return 0, false, false
		}
		capacity, usual = c.Capacity, true
	}
	return capacity / b.Current.Value, usual, true
}

// BatteryDue is the day on which a battery wants changing, at midnight UTC: so
// many calendar months after it was fitted, or when the date printed on it is
// over, whichever comes first. ok is false where neither was recorded.
func BatteryDue(b record.Battery) (due time.Time, ok bool) {
	if t, err := time.Parse(time.DateOnly, b.Fitted); err == nil && b.Every > 0 {
		due, ok = AddMonths(t, b.Every), true
	}
	if t, known := Expiry(b.Expires); known && (!ok || t.Before(due)) {
		due, ok = t, true
	}
	return due, ok
}

// Expiry is the last day of a date printed as 2027-03 or 2027-03-15: of a month
// its last day, because such dates name the end of it.
func Expiry(s string) (time.Time, bool) {
	if t, err := time.Parse(time.DateOnly, s); err == nil {
		return t, true
	}
	if t, err := time.Parse("2006-01", s); err == nil {
		return t.AddDate(0, 1, -1), true
	}
	return time.Time{}, false
}

// AddMonths goes so many months on in the calendar; a day that the month does
// not have becomes its last: 31 January and a month is 28 February.
func AddMonths(t time.Time, months int) time.Time {
	first := time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC).AddDate(0, months, 0)
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(t.Day(), last)-1)
}
