package cli

import (
	"context"
	"fmt"
	"os"
	"strings"
	"time"

	"wornwood/annotate/due"
	"wornwood/capture/bench"
	"wornwood/pdfout"
	"wornwood/pdfout/receive"
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

var returnedVerb = &verb{name: "returned", args: "BENCH FILE.pdf|NUMBER",
	short: "keep what came back from a buyer: the countersigned copy of a report, or a receipt", run: runReturned}

func runReturned(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print what was kept as JSON")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	opt, err := pdfout.Trusting("", "", c.Now())
	if err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		if _, err := os.Stat(c.args[1]); err != nil && !strings.Contains(c.args[1], ".") {
			return printAnswered(ctx, c, b, c.args[1], *asJSON)
		}
		r, err := receive.TakeBack(ctx, b, c.args[1], opt)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(r)
		}
		printTaken(c, r)
		return nil
	})
}

// printTaken says what was kept, and what its buyer found.
func printTaken(c *call, r *receive.Done) {
	word := "kept"
	if r.Known {
		word = "was kept before"
	}
	what := "countersigned by"
	if strings.Contains(r.File, "-receipt-") {
		what = "receipt by"
	}
	found := ""
	if r.Words != "" {
		found = ": " + onOneLine(r.Words)
	}
	c.print("%s, %s %s, %s as %s%s\n", r.Number, what, onOneLine(r.By), word, r.File, found)
	if r.Beside != "" {
		c.print("the answers beside it as %s\n", r.Beside)
	}
}

// printAnswered lists what came back for a report, with what differs.
func printAnswered(ctx context.Context, c *call, b *bench.Bench, number string, asJSON bool) error {
	list, err := receive.Answers(ctx, b, number)
	if err != nil {
		return err
	}
	if asJSON {
		if list == nil {
			list = []receive.Answered{}
		}
		return c.printJSON(list)
	}
	if len(list) == 0 {
		c.print("nothing came back for %s yet\n", number)
	}
	for _, a := range list {
		c.print("%s\n", onOneLine(a.Line()))
		for _, l := range a.Details() {
			c.print("  %s\n", onOneLine(l))
		}
	}
	return nil
}
