package cli

import (
	"fmt"
	"strings"
	"time"

	"wornwood/pdfout/archive"
)

// policyFlags are the options of policies.
type policyFlags struct {
	by, on, why, at, holder, collection, from, to, sum *string
	months                                             *int
	json                                               *bool
	which                                              covered
}

func (c *call) policyFlags() policyFlags {
	text := func(name, usage string) *string { return c.flags.String(name, "", usage) }
	return policyFlags{
		by: text("by", "your `name`, for the log"), on: text("on", "change: the `day` from which it holds; end: the last day insured; today otherwise"),
		why: text("why", "`reason` for a change or end, for the log"), at: text("at", "list the policies as they stand on this `day`; today otherwise"),
		holder: text("holder", "whose `policy` it is"), collection: text("collection", "insure what is in this `collection`"),
		from: text("from", "the first `day` insured"), to: text("to", "the last `day` insured"), sum: text("sum", "the `sum` insured in all with its currency's code after ISO 4217, \"250000.00 EUR\""),
		months: c.flags.Int("report-months", 0, "how many `months` old the latest examination of an instrument may be; 0 is any age"),
		json:   c.flags.Bool("json", false, "print the list as JSON"), which: c.coveredFlags(),
	}
}

// writePolicy adds a policy or changes what was named of one.
func (c *call) writePolicy(a *archive.Archive, change bool, number string, hashes []string, f policyFlags) error {
	p := archive.Policy{Number: number}
	at := c.Now()
	if change && *f.on != "" {
		day, err := c.day("on", *f.on)
		if err != nil {
			return err
		}
		at = day
	}
	old, err := a.PolicyOf(number, at)
	switch {
	case change && err != nil:
		return err
	case !change && err == nil:
		return fmt.Errorf("policy %s is there already; 'change' changes it", old.Number)
	case change:
		p = old.Policy
	}
	p.On, p.Why = *f.on, *f.why
	items, err := c.items(a, hashes, f.which)
	if err != nil {
		return err
	}
	if len(items) > 0 {
		p.Items = items
	}
	for name, into := range map[string]*string{"holder": &p.Holder, "collection": &p.Collection, "from": &p.From, "to": &p.To} {
		if c.said()[name] {
			*into = *map[string]*string{"holder": f.holder, "collection": f.collection, "from": f.from, "to": f.to}[name]
		}
	}
	if c.said()["sum"] {
		p.Sum, p.Currency, _ = strings.Cut(strings.TrimSpace(*f.sum), " ")
	}
	if c.said()["to"] {
		p.Ended = "" // it goes on
	}
	if c.said()["report-months"] {
		p.ReportMonths = *f.months
	}
	if err := a.Insure(*f.by, p); err != nil {
		return err
	}
	c.print("policy %s is in the log, line %d\n", strings.TrimSpace(number), a.Head().Seq)
	return nil
}

// day reads a day that an option names; today where it names none.
func (c *call) day(option, s string) (time.Time, error) {
	if s == "" {
		return c.Now(), nil
	}
	day, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return day, &usageError{fmt.Sprintf("--%s %.40q is no day; write it as 2026-11-14", option, s)}
	}
	return day, nil
}

func (c *call) listPolicies(a *archive.Archive, f policyFlags) error {
	at, err := c.day("at", *f.at)
	if err != nil {
		return err
	}
	list, err := a.Policies(at)
	if err != nil {
		return err
	}
	if *f.json {
		if list == nil {
			list = []archive.PolicyAt{}
		}
		return c.printJSON(list)
	}
	for _, p := range list {
		c.print("%s\n", onOneLine(fmt.Sprintf("%-9s %s to %s  %s, %s: %s", p.State, p.From, p.Last(), p.Number, p.Holder, coverOf(p.Policy))))
	}
	if len(list) == 0 {
		c.print("there is no policy\n")
	}
	return nil
}

// coverOf is what a policy covers and asks for, in words.
func coverOf(p archive.Policy) string {
	var out []string
	if p.Collection != "" {
		out = append(out, "collection "+p.Collection)
	}
	if n := len(p.Items); n > 0 {
		out = append(out, fmt.Sprintf("instruments named: %d", n))
	}
	if p.Sum != "" {
		out = append(out, p.Sum+" "+p.Currency)
	}
	if p.ReportMonths > 0 {
		out = append(out, fmt.Sprintf("reports up to %d months old", p.ReportMonths))
	}
	return strings.Join(out, "; ")
}

func (c *call) showPolicy(a *archive.Archive, number string, f policyFlags) error {
	at, err := c.day("at", *f.at)
	if err != nil {
		return err
	}
	p, err := a.PolicyOf(number, at)
	if err != nil {
		return err
	}
	if *f.json {
		return c.printJSON(p)
	}
	c.print("policy   %s, %s\nholder   %s\ninsured  %s to %s\ncovers   %s\n", onOneLine(p.Number), p.State, onOneLine(p.Holder), p.From, p.Last(), onOneLine(coverOf(p.Policy)))
	for _, l := range p.Lines {
		why := ""
		if l.Why != "" {
			why = ": " + l.Why
		}
		c.print("%s\n", onOneLine(fmt.Sprintf("line %d of the log, %s, by %s, holds from %s%s", l.Seq, l.Time.UTC().Format("2006-01-02 15:04Z"), l.By, l.On, why)))
	}
	return nil
}
