package view

import (
	"fmt"
	"time"

	"wornwood/annotate/due"
	"wornwood/capture/bench"
)

// Bench is the screen that lists the instruments of a shop, and what is due.
type Bench struct {
	Query string

	b       *bench.Bench
	now     func() time.Time
	due     []due.Due
	soonest map[string]due.Due // by instrument
}

// NewBench makes the model on an opened bench. What is due is reckoned when it
// is made and by Reckon, not at every look: on this screen nothing changes it.
func NewBench(b *bench.Bench, now func() time.Time) (*Bench, error) {
	v := &Bench{b: b, now: now}
	return v, v.Reckon()
}

// Reckon lists anew what is due today.
func (v *Bench) Reckon() error {
	list, err := ListDue(v.b, v.now())
	if err != nil {
		return err
	}
	v.due, v.soonest = list, due.Soonest(list)
	return nil
}

// BenchRow is one instrument as the list shows it.
type BenchRow struct {
	bench.Row
	Title, Second, State string

	Due     string // what is due first, "" for nothing
	On      string // when: "2027-01-10", "overdue since 2026-10-01"
	Overdue bool
}

// Rows lists all instruments, or those that hold the words of Query.
func (v *Bench) Rows() ([]BenchRow, error) {
	var rows []bench.Row
	var err error
	if v.Query == "" {
		rows, err = v.b.Instruments()
	} else {
		rows, err = v.b.Search(v.Query)
	}
	if err != nil {
		return nil, fmt.Errorf("list instruments: %w", err)
	}
	out := make([]BenchRow, 0, len(rows))
	for _, r := range rows {
		b := BenchRow{Row: r, Title: r.Title, State: "draft"}
		if r.Year != "" {
			b.Title += ", " + r.Year
		}
		if r.Issued {
			b.State = r.Number
		}
		serial := ""
		if r.Serial != "" {
			serial = "No. " + r.Serial
		}
		b.Second = join(" · ", serial, string(r.Purpose)+", "+day(r.Date), count(r.Photos, "photo", "photos"), count(r.Marks, "mark", "marks"))
		if d, ok := v.soonest[r.Instrument]; ok {
			b.Due, b.On, b.Overdue = Capital(string(d.What)), dueOn(d), d.Overdue
		}
		out = append(out, b)
	}
	return out, nil
}

// dueOn says when a thing is due.
func dueOn(d due.Due) string {
	on := d.On.Format(time.DateOnly)
	if d.Overdue {
		return "overdue since " + on
	}
	return on
}
