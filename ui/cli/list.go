package cli

import (
	"context"
	"strings"

	"wornwood/capture/bench"
)

var listVerb = &verb{name: "list", args: "BENCH [WORD ...]",
	short: "list the instruments of a bench, or those that hold the words", run: runList}

func runList(_ context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the rows as JSON")
	if err := c.parse(1, -1); err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		find := b.Instruments
		if q := strings.Join(c.args[1:], " "); q != "" {
			find = func() ([]row, error) { return b.Search(q) }
		}
		rows, err := find()
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(rows)
		}
		for _, r := range rows {
			state := "open"
			if r.Issued {
				state = r.Number
			}
			c.print("%s  %s  %-13s %s, serial %s, %d photos, %d marks\n", r.Exam, r.Date.Format("2006-01-02"), state, r.Title, orDash(r.Serial), r.Photos, r.Marks)
		}
		return nil
	})
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
