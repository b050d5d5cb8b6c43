package cli

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"wornwood/capture/bench"
	"wornwood/pdfout/catalogue"
)

var settingsVerb = &verb{name: "settings", args: "BENCH [options]",
	short: "show or change what a bench fills in: shop, examiner, place, paper, unit of lengths, language of reports, when to examine again, whom to ask for time-stamps", run: runSettings}

func runSettings(_ context.Context, c *call) error {
	shop := c.flags.String("shop", "", "shop's `name`")
	examiner := c.flags.String("examiner", "", "examiner's `name`")
	place := c.flags.String("place", "", "`town` where the bench stands")
	paper := c.flags.String("paper", "", "`A4` or Letter")
	unit := c.flags.String("units", "", "`mm` or in, for lengths of the setup")
	language := c.flags.String("language", "", "language of reports: `"+strings.Join(catalogue.Languages(), " or ")+"`")
	every := c.flags.Int("examine-every", 0, "after how many `months` an instrument is examined again when its examination names no date; 0 for no rule")
	stamp := c.flags.String("timestamp", "", "`address` of a time-stamp authority (RFC 3161) that is asked when a report is issued; none for none")
	longTerm := c.flags.Bool("long-term", false, "embed what the signing certificate's authority publishes on revoked certificates when a report is issued; --long-term=false for not")
	asJSON := c.flags.Bool("json", false, "print the settings as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		set, changed := b.Settings(), false
		c.flags.Visit(func(f *flag.Flag) {
			switch f.Name {
			case "shop":
				set.Shop, changed = *shop, true
			case "examiner":
				set.Examiner, changed = *examiner, true
			case "place":
				set.Place, changed = *place, true
			case "paper":
				set.Paper, changed = *paper, true
			case "units":
				set.Units, changed = *unit, true
			case "language":
				set.Language, changed = *language, true
			case "examine-every":
				set.ExamineEvery, changed = *every, true
			case "timestamp":
				if set.Timestamp, changed = *stamp, true; *stamp == noAuthority {
					set.Timestamp = ""
				}
			case "long-term":
				set.LongTerm, changed = *longTerm, true
			}
		})
		if _, err := catalogue.For(set.Language); err != nil && changed {
			return err
		}
		if changed {
			if err := b.SetSettings(set); err != nil {
				return err
			}
		}
		return c.printSettings(set, *asJSON)
	})
}

func (c *call) printSettings(set bench.Settings, asJSON bool) error {
	if set.Paper == "" {
		set.Paper = "A4"
	}
	if set.Units == "" {
		set.Units = "mm"
	}
	if set.Language == "" {
		set.Language = catalogue.Source
	}
	if asJSON {
		return c.printJSON(set)
	}
	for _, l := range [][2]string{{"shop", set.Shop}, {"examiner", set.Examiner}, {"place", set.Place}, {"paper", set.Paper}, {"units", set.Units}, {"language", set.Language}, {"again", againAfter(set.ExamineEvery)}, {"stamped", stampedBy(set.Timestamp)}, {"long-term", longTermOf(set.LongTerm)}} {
		c.print("%-9s %s\n", l[0], orDash(l[1]))
	}
	return nil
}

// againAfter says when an instrument is examined again by the bench's rule.
func againAfter(months int) string {
	switch months {
	case 0:
		return ""
	case 1:
		return "examined after a month"
	}
	return fmt.Sprintf("examined after %d months", months)
}

// stampedBy says who stamps the time of a report.
func stampedBy(address string) string {
	if address == "" {
		return ""
	}
	return "by " + address
}

func longTermOf(on bool) string {
	if on {
		return "statements on revoked certificates are embedded"
	}
	return ""
}
