package cli

import (
	"context"
	"fmt"
	"strings"

	"wornwood/pdfout/archive"
)

// covered are the options that say which instruments are meant.
type covered struct {
	find, what, serial *string
}

func (c *call) coveredFlags() covered {
	return covered{
		find:   c.flags.String("find", "", "the instruments of all reports that answer this `query`"),
		what:   c.flags.String("described", "", "an instrument without a report: `what` it is"),
		serial: c.flags.String("serial", "", "of an instrument without a report: its serial `number`"),
	}
}

// items are the instruments meant, by reports and options.
func (c *call) items(a *archive.Archive, hashes []string, f covered) ([]archive.Item, error) {
	var out []archive.Item
	for _, h := range hashes {
		i, err := a.ItemOf(h)
		if err != nil {
			return nil, err
		}
		out = append(out, i)
	}
	if c.said()["find"] {
		q, err := archive.ParseQuery(*f.find)
		if err != nil {
			return nil, &usageError{err.Error()}
		}
		found, err := a.Find(q, 0, everything)
		if err != nil {
			return nil, err
		}
		for _, r := range found.Rows {
			i, err := a.ItemOf(r.Hash)
			if err != nil {
				return nil, err
			}
			out = append(out, i)
		}
	}
	if *f.what != "" || *f.serial != "" {
		i, err := archive.Describe(*f.what, *f.serial)
		if err != nil {
			return nil, err
		}
		out = append(out, i)
	}
	return out, nil
}

func runArchiveCollections(ctx context.Context, c *call) error {
	by := c.flags.String("by", "", "your `name`, for the log")
	since := c.flags.String("since", "", "the `day` from which it holds, 2026-11-14; today otherwise")
	why := c.flags.String("why", "", "`reason`, for the log")
	asJSON := c.flags.Bool("json", false, "print the list as JSON")
	which := c.coveredFlags()
	if err := c.parse(1, -1); err != nil {
		return err
	}
	usage := &usageError{"usage: wornwood archive collections DIR [add|remove|end|show NAME [SHA256 ...]] [options]"}
	if len(c.args) == 1 {
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.listCollections(a, *asJSON) })
	}
	if len(c.args) < 3 {
		return usage
	}
	word, name, hashes := c.args[1], c.args[2], c.args[3:]
	if word == "show" && len(hashes) == 0 {
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.showCollection(a, name, *asJSON) })
	}
	if word != "add" && word != "remove" && word != "end" {
		return usage
	}
	return c.withArchive(ctx, func(a *archive.Archive) error {
		items, err := c.items(a, hashes, which)
		if err != nil {
			return err
		}
		switch {
		case word == "add":
			n, err := a.Collect(*by, name, *since, items...)
			if err == nil {
				c.print("%d put into %s, %d were in it\n", n, name, len(items)-n)
			}
			return err
		case word == "remove" && len(items) == 0:
			return &usageError{"wornwood archive collections: say which instruments to take out; 'end' takes out all"}
		case word == "end" && len(items) > 0:
			return &usageError{"wornwood archive collections: 'end' takes out everything; 'remove' takes out what is named"}
		}
		n, err := a.TakeOut(*by, name, *since, *why, items...)
		if err == nil {
			c.print("%d taken out of %s\n", n, name)
		}
		return err
	})
}

func (c *call) listCollections(a *archive.Archive, asJSON bool) error {
	list, err := a.Collections()
	if err != nil {
		return err
	}
	if asJSON {
		if list == nil {
			list = []archive.Collection{}
		}
		return c.printJSON(list)
	}
	for _, l := range list {
		c.print("%6d  %s\n", len(l.In(c.today())), onOneLine(l.Name))
	}
	if len(list) == 0 {
		c.print("there is no collection\n")
	}
	return nil
}

func (c *call) showCollection(a *archive.Archive, name string, asJSON bool) error {
	l, err := a.Collection(name)
	if err != nil {
		return err
	}
	if asJSON {
		return c.printJSON(l)
	}
	for _, i := range l.Items {
		days := "since " + i.Since
		if i.Until != "" {
			days += ", out on " + i.Until
		}
		what := i.What
		if i.Serial != "" {
			what += ", serial " + i.Serial
		}
		if !i.Described() {
			what = "report " + i.Report[:min(16, len(i.Report))]
			if s, err := a.Show(i.Report); err == nil {
				what = s.Row.Title() + ", serial " + orDash(s.Row.Serial) + ", " + what
			}
		}
		c.print("%s\n", onOneLine(fmt.Sprintf("%-24s  %s; by %s", days, what, i.By)))
	}
	return nil
}

// today is the day by the call's clock.
func (c *call) today() string { return c.Now().Format("2006-01-02") }

func runArchivePolicies(ctx context.Context, c *call) error {
	f := c.policyFlags()
	if err := c.parse(1, -1); err != nil {
		return err
	}
	usage := &usageError{"usage: wornwood archive policies DIR [add|change|end|show NUMBER [SHA256 ...]] [options]"}
	if len(c.args) == 1 {
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.listPolicies(a, f) })
	}
	if len(c.args) < 3 {
		return usage
	}
	word, number, hashes := c.args[1], c.args[2], c.args[3:]
	switch word {
	case "show":
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.showPolicy(a, number, f) })
	case "add", "change":
		return c.withArchive(ctx, func(a *archive.Archive) error { return c.writePolicy(a, word == "change", number, hashes, f) })
	case "end":
		return c.withArchive(ctx, func(a *archive.Archive) error {
			if err := a.EndPolicy(*f.by, number, *f.on, *f.why); err != nil {
				return err
			}
			c.print("policy %s is ended\n", strings.TrimSpace(number))
			return nil
		})
	}
	return usage
}
