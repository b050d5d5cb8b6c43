package view

import (
	"fmt"

	"wornwood/capture/bench"
)

// Bench is the screen that lists the instruments of a shop.
type Bench struct {
	b     *bench.Bench
	Query string
}

// NewBench makes the model on an opened bench.
func NewBench(b *bench.Bench) *Bench { return &Bench{b: b} }

// BenchRow is one instrument as the list shows it.
type BenchRow struct {
	bench.Row
	Title, Second, State string
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
		out = append(out, b)
	}
	return out, nil
}
