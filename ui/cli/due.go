package cli

import (
	"context"
	"fmt"
	"time"

	"wornwood/annotate/due"
	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/ui/view"
)

var dueVerb = &verb{name: "due", args: "BENCH [options]",
	short: "list what is due: batteries, examinations, countersignatures; also as a calendar", run: runDue}

func runDue(_ context.Context, c *call) error {
	on := c.flags.String("on", "", "the `day` that counts as today, 2026-11-14; today otherwise")
	asJSON := c.flags.Bool("json", false, "print the list as JSON")
	file := c.flags.String("ics", "", "write it as a calendar (iCalendar) to this `file`; - writes it to the output")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	today := c.Now()
	if *on != "" {
		day, err := time.Parse(time.DateOnly, *on)
		if err != nil {
			return &usageError{fmt.Sprintf("--on %q is no day; write it as 2026-11-14", *on)}
		}
		today = day
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		list, err := view.ListDue(b, today)
		if err != nil {
			return err
		}
		switch {
		case *file == "-":
			return due.Calendar(c.Stdout, list, c.Now(), b.Settings().Shop)
		case *file != "":
			if err := view.SaveCalendar(*file, list, c.Now(), b.Settings().Shop); err != nil {
				return err
			}
		}
		if *asJSON {
			if list == nil {
				list = []due.Due{}
			}
			return c.printJSON(list)
		}
		for _, d := range list {
			late := ""
			if d.Overdue {
				late = "overdue"
			}
			c.print("%s  %-7s  %-16s  %s, serial %s: %s\n", d.On.Format(time.DateOnly), late, d.What, onOneLine(d.Title), orDash(onOneLine(d.Serial)), onOneLine(d.Text))
		}
		if len(list) == 0 {
			c.print("nothing is due\n")
		}
		return nil
	})
}

var returnedVerb = &verb{name: "returned", args: "BENCH REPORT.pdf",
	short: "keep the countersigned copy of a report that came back from its buyer", run: runReturned}

func runReturned(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print what was kept as JSON")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	known, err := c.knownKeys("")
	if err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		r, err := pdfout.TakeBack(ctx, b, c.args[1], pdfout.VerifyOptions{Known: known})
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(r)
		}
		word := "kept"
		if r.Known {
			word = "was kept before"
		}
		c.print("%s, countersigned by %s, %s as %s\n", r.Number, onOneLine(r.By), word, r.File)
		return nil
	})
}
