package cli

import (
	"context"
	"strings"

	"wornwood/capture/bench"
	"wornwood/ui/view"
)

var listVerb = &verb{name: "list", args: "BENCH [WORD ...]",
	short: "list the instruments of a bench, or those that hold the words", run: runList}

func runList(_ context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the rows as JSON")
	answers := c.flags.Bool("answers", false, "grade each one and print the three answers")
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
		if *answers {
			return c.listAnswers(b, rows, *asJSON)
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

// answered is a row with its answers.
type answered struct {
	row
	Condition   string `json:"condition"`
	Originality string `json:"originality"`
	Plays       string `json:"plays"`
}

// listAnswers prints the rows with their answers, grading those that were not
// graded since they changed.
func (c *call) listAnswers(b *bench.Bench, rows []row, asJSON bool) error {
	g := view.NewGrader(b)
	out := make([]answered, 0, len(rows))
	for _, r := range rows {
		a, ok := g.Known(r)
		if !ok {
			var err error
			if a, err = g.Find(r); err != nil {
				return err
			}
		}
		out = append(out, answered{r, a[0].Text(), a[1].Text(), a[2].Text()})
	}
	if asJSON {
		return c.printJSON(out)
	}
	for _, r := range out {
		c.print("%s  %s, serial %s: condition %s; originality %s; plays clean %s\n", r.Exam, r.Title, orDash(r.Serial), r.Condition, r.Originality, r.Plays)
	}
	return nil
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
