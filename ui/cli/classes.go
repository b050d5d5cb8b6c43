package cli

import (
	"context"
	"slices"
	"strings"

	"wornwood/annotate/outline"
)

var classesVerb = &verb{name: "classes", args: "[CLASS]",
	short: "list the classes of instrument, or the figures of one with their sources", run: runClasses}

func runClasses(_ context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print JSON")
	if err := c.parse(0, -1); err != nil {
		return err
	}
	if len(c.args) == 0 {
		if *asJSON {
			return c.printJSON(outline.Classes())
		}
		for _, name := range outline.Classes() {
			lo, hi := outline.ScaleRange(name)
			c.print("%-28s scale length %g to %g mm\n", name, lo, hi)
		}
		return nil
	}
	class := strings.Join(c.args, " ")
	if !slices.Contains(outline.Classes(), class) {
		return &usageError{"there is no class " + class + "; 'wornwood classes' lists them"}
	}
	if *asJSON {
		return c.printJSON(outline.Dimensions(class))
	}
	for _, d := range outline.Dimensions(class) {
		c.print("%-56s %8.1f mm  %s\n", d.Name, d.MM, d.Source)
	}
	return nil
}
