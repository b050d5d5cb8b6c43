package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"wornwood/pdfout/archive"
)

// retention are the flags of what is to be kept and for how long.
type retention struct {
	set, end, query, after, law, who, why *string
	months, years, most                   *int
	hold, release, all, asJSON            *bool
}

func runArchiveRetention(ctx context.Context, c *call) error {
	r := &retention{
		set:     c.flags.String("set", "", "set a rule of this `name`, in place of one that has it"),
		end:     c.flags.String("end", "", "end the rule of this `name`"),
		query:   c.flags.String("for", "", "with --set: which reports, a `query` as for find; all otherwise"),
		after:   c.flags.String("after", "filed", "with --set: counted from the day of being \"filed\", \"examined\", or from the last day \"insured\" under a policy"),
		years:   c.flags.Int("years", 0, "with --set: keep so many years"),
		months:  c.flags.Int("months", 0, "with --set: and so many months"),
		law:     c.flags.String("law", "", "with --set: what the rule rests on"),
		hold:    c.flags.Bool("hold", false, "keep these reports from being removed, whatever a rule says"),
		release: c.flags.Bool("release", false, "end such a hold"),
		all:     c.flags.Bool("all", false, "with --hold and --release: the whole archive in place of reports"),
		who:     c.flags.String("by", "", "`name` of who decides it"),
		why:     c.flags.String("why", "", "why; it stays in the log"),
		most:    c.flags.Int("most", 100, "list at most so many reports that are due"),
		asJSON:  c.flags.Bool("json", false, "print rules, holds and what is due as JSON"),
	}
	if err := c.parse(1, -1); err != nil {
		return err
	}
	n := 0
	for _, is := range []bool{*r.set != "", *r.end != "", *r.hold, *r.release} {
		if is {
			n++
		}
	}
	named := len(c.args) > 1
	if n > 1 || *r.most < 1 || named && !*r.hold && !*r.release || (*r.hold || *r.release) && named == *r.all {
		return &usageError{"usage: wornwood archive retention DIR [--set NAME ... | --end NAME | --hold SHA256 ...|--all | --release SHA256 ...|--all] --by WHO --why TEXT"}
	}
	if n == 0 {
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.printRetention(ctx, a, r) })
	}
	return c.withArchive(ctx, func(a *archive.Archive) error { return r.change(c, a) })
}

func (r *retention) change(c *call, a *archive.Archive) error {
	var err error
	did := ""
	switch {
	case *r.set != "":
		did = "set the rule " + *r.set
		err = a.SetRule(*r.who, archive.Rule{Name: *r.set, Query: *r.query, Basis: archive.Basis(*r.after), Months: 12**r.years + *r.months, Law: *r.law, Why: *r.why})
	case *r.end != "":
		did = "ended the rule " + *r.end
		err = a.EndRule(*r.who, *r.end, *r.why)
	case *r.hold:
		did = "held"
		err = a.Hold(*r.who, *r.why, c.args[1:]...)
	case *r.release:
		did = "released"
		err = a.Release(*r.who, *r.why, c.args[1:]...)
	}
	if err != nil {
		return err
	}
	c.print("%s; line %d of the log\n", onOneLine(did), a.Head().Seq)
	return nil
}

func (c *call) printRetention(ctx context.Context, a *archive.Archive, r *retention) error {
	rules, err := a.Rules()
	holds, err2 := a.Holds()
	due, more, err3 := a.Expired(ctx, c.Now(), *r.most)
	if err := errors.Join(err, err2, err3); err != nil {
		return err
	}
	if *r.asJSON {
		return c.printJSON(map[string]any{"rules": rules, "holds": holds, "due": due, "more": more, "caution": archive.RemovalCaution})
	}
	if len(rules) == 0 {
		c.print("no rule is set, so everything is kept\n")
	}
	for _, u := range rules {
		c.print("%s\n", onOneLine(fmt.Sprintf("rule  %s: keep %s %s, %s; by %s, line %d%s", u.Name, span(u.Months), countedFrom(u.Basis), which(u.Query), u.By, u.Seq, resting(u.Law))))
	}
	for _, h := range holds {
		what := "the whole archive"
		if n := len(h.Reports); n > 0 {
			var list []string
			for _, m := range h.Reports {
				list = append(list, m.Report[:min(16, len(m.Report))])
			}
			what = strings.Join(list, ", ")
		}
		c.print("%s\n", onOneLine(fmt.Sprintf("hold  %s: %s; by %s, line %d", what, h.Why, h.By, h.Seq)))
	}
	for _, e := range due {
		held := ""
		if e.Hold != nil {
			held = "; held, so it stays"
		}
		c.print("%s\n", onOneLine(fmt.Sprintf("due   %s  %s, serial %s, examined %s; since %s under %s%s", e.Row.Hash, e.Row.Title(), orDash(e.Row.Serial), e.Row.Date, e.Since, strings.Join(e.Rules, ", "), held)))
	}
	if more {
		c.print("there are more; --most shows them\n")
	}
	c.print("%d due to be removed; nothing is removed by itself\n%s\n", len(due), archive.RemovalCaution)
	return nil
}

func span(months int) string {
	var list []string
	for _, s := range []struct {
		n   int
		one string
	}{{months / 12, "year"}, {months % 12, "month"}} {
		switch {
		case s.n == 1:
			list = append(list, "1 "+s.one)
		case s.n > 1:
			list = append(list, fmt.Sprintf("%d %ss", s.n, s.one))
		}
	}
	return strings.Join(list, " and ")
}

func countedFrom(b archive.Basis) string {
	switch b {
	case archive.AfterExamination:
		return "from the day of the examination"
	case archive.AfterInsurance:
		return "from the last day insured"
	}
	return "from the day of filing"
}

func which(query string) string {
	if query == "" {
		return "all reports"
	}
	return "those that answer " + query
}

func resting(law string) string {
	if law == "" {
		return ""
	}
	return "; rests on " + law
}
