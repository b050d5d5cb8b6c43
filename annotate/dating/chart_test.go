package dating

import (
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// Whatever the evidence, everything with an end lies inside the chart, the axis
// names few years in even steps, and every row says its piece.
func TestChartHoldsEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Reckon(drawRecord(t), ownTables, noon)
		c := r.Chart()
		if len(c.Rows) != len(r.Pieces) {
			t.Fatalf("%d rows of %d pieces", len(c.Rows), len(r.Pieces))
		}
		bars := append([]Bar{}, c.Claims...)
		bars = append(bars, c.Foot...)
		for i, row := range c.Rows {
			if row.Piece != i {
				t.Fatalf("row %d is of piece %d", i, row.Piece)
			}
			bars = append(append(bars, row.Bars...), row.Blocks...)
			if row.Conflict() && !r.Pieces[i].Counts() {
				t.Fatalf("piece %d does not count and is called a contradiction", i)
			}
		}
		for _, b := range bars {
			if b.From > b.To || b.From < c.From || b.To > c.To {
				t.Fatalf("a bar from %v to %v on a chart from %v to %v", b.From, b.To, c.From, c.To)
			}
			if !b.OpenFrom && b.From < c.From+1 || !b.OpenUntil && b.To > c.To-1 {
				t.Fatalf("an end at %v, %v stands on the edge of %v to %v", b.From, b.To, c.From, c.To)
			}
		}
		if len(c.Ticks) > mostTicks || (c.To > c.From && len(c.Ticks) < 3) {
			t.Fatalf("%d years on the axis", len(c.Ticks))
		}
		for i := 2; i < len(c.Ticks); i++ {
			if c.Ticks[i].At-c.Ticks[i-1].At != c.Ticks[1].At-c.Ticks[0].At {
				t.Fatal("the steps of the axis differ")
			}
		}
	})
}

// Places by hand: a week takes a 53rd of its year.
func TestChartPlaces(t *testing.T) {
	rec := &record.Record{Instrument: record.Instrument{Year: "1974"}, Components: []record.Component{pot("a", "137634", record.Original)}, Evidence: []record.Evidence{receipt(1955)}}
	r := Reckon(rec, nil, noon)
	c := r.Chart()
	code := c.Rows[1]
	if len(code.Blocks) != 3 || len(code.Bars) != 1 || !code.Bars[0].OpenUntil || code.Bars[0].From != 1956+33.0/53 || code.Blocks[1].To != 1966+34.0/53 {
		t.Errorf("the code's row: %+v", code)
	}
	if c.Claims[0].From != 1974 || c.Claims[0].To != 1975 {
		t.Errorf("the claimed year's band: %+v", c.Claims)
	}
	if len(c.Foot) != 0 || r.Sign(&code) != "≠" || r.SignWords(&code) != "contradicts 1" {
		t.Errorf("foot %v, sign %q, %q", c.Foot, r.Sign(&code), r.SignWords(&code))
	}
	if got := r.SignWords(&c.Rows[0]); got != "contradicts 2 and the claimed year" {
		t.Errorf("the receipt %s", got)
	}
	if x := c.X(c.From, 10, 110); x != 10 {
		t.Errorf("the left edge is at %v", x)
	}
	if x := c.X(c.To, 10, 110); x != 110 {
		t.Errorf("the right edge is at %v", x)
	}
	if empty := (&Result{}).Chart(); empty.From != 0 || len(empty.Ticks) != 0 || empty.X(1974, 10, 110) != 10 {
		t.Errorf("an empty chart: %+v", empty)
	}
}
