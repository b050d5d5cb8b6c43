package cli

import (
	"context"
	"fmt"
	"strings"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/ui/view"
)

func runArchiveInsured(ctx context.Context, c *call) error {
	on := c.flags.String("at", "", "the `day`, 2026-11-14; today otherwise")
	asJSON := c.flags.Bool("json", false, "print the list as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	at, err := c.day("at", *on)
	if err != nil {
		return err
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		list, err := a.Insured(ctx, at)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(list)
		}
		for _, i := range list {
			last := "no report"
			if i.Latest != nil {
				last = fmt.Sprintf("last examined %s (%s)", i.Latest.Date, orDash(i.Latest.Number))
			}
			also := ""
			if len(i.Others) > 0 {
				also = "; also under " + strings.Join(i.Others, ", ")
			}
			c.print("%s\n", onOneLine(fmt.Sprintf("%-12s %s, serial %s; %s; insured %s to %s, %s%s", i.Policy, i.Title, orDash(i.Serial), last, i.Since, i.Until, i.Holder, also)))
		}
		if len(list) == 0 {
			c.print("nothing is insured on %s\n", at.Format(time.DateOnly))
		}
		return nil
	})
}

func runArchiveDue(ctx context.Context, c *call) error {
	on := c.flags.String("at", "", "the `day` that counts as today, 2026-11-14; today otherwise")
	days := c.flags.Int("days", 90, "so many `days` ahead")
	file := c.flags.String("calendar", "", "write it as a calendar (iCalendar) to this `file`; - writes it to the output")
	asCSV := c.flags.Bool("csv", false, "print the list as CSV for spreadsheets")
	asJSON := c.flags.Bool("json", false, "print the list as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	at, err := c.day("at", *on)
	if err != nil {
		return err
	}
	if *days < 0 {
		return &usageError{"wornwood archive due: --days is 0 or more"}
	}
	return c.readArchive(ctx, func(a *archive.Archive) error {
		list, err := a.Due(ctx, at)
		if err != nil {
			return err
		}
		list = archive.Within(list, at, *days)
		switch {
		case *file == "-":
			return a.WriteCalendar(c.Stdout, list, c.Now())
		case *file != "":
			err = view.SaveCalendar(*file, a.Events(list), c.Now(), a.Settings.Name)
		}
		switch {
		case err != nil:
			return err
		case *asCSV:
			return archive.WriteDueCSV(c.Stdout, list)
		case *asJSON:
			return c.printJSON(list)
		}
		for _, d := range list {
			what := string(d.What)
			if d.Named != "" {
				what = d.Named
			}
			late := ""
			if d.Overdue {
				late = "overdue"
			}
			serial := ""
			if d.What != archive.DueEnd {
				serial = ", serial " + orDash(d.Serial)
			}
			c.print("%s\n", onOneLine(fmt.Sprintf("%s  %-7s  %-16s  %s%s: %s", d.On, late, what, d.Title, serial, d.Text)))
		}
		if len(list) == 0 {
			c.print("nothing is due\n")
		}
		return nil
	})
}
