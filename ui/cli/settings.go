package cli

import (
	"context"
	"flag"

	"wornwood/capture/bench"
)

var settingsVerb = &verb{name: "settings", args: "BENCH [options]",
	short: "show or change what a bench fills in: shop, examiner, place, paper, unit of lengths", run: runSettings}

func runSettings(_ context.Context, c *call) error {
	shop := c.flags.String("shop", "", "shop's `name`")
	examiner := c.flags.String("examiner", "", "examiner's `name`")
	place := c.flags.String("place", "", "`town` where the bench stands")
	paper := c.flags.String("paper", "", "`A4` or Letter")
	unit := c.flags.String("units", "", "`mm` or in, for lengths of the setup")
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
			}
		})
		if changed {
			if err := b.SetSettings(set); err != nil {
				return err
			}
		}
		if set.Paper == "" {
			set.Paper = "A4"
		}
		if set.Units == "" {
			set.Units = "mm"
		}
		if *asJSON {
			return c.printJSON(set)
		}
		for _, l := range [][2]string{{"shop", set.Shop}, {"examiner", set.Examiner}, {"place", set.Place}, {"paper", set.Paper}, {"units", set.Units}} {
			c.print("%-9s %s\n", l[0], orDash(l[1]))
		}
		return nil
	})
}
