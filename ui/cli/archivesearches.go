package cli

import (
	"context"

	"wornwood/pdfout/archive"
)

const searchesUsage = "usage: wornwood archive searches DIR [save NAME QUERY ... | rename NAME NEW | remove NAME] --by WHO"

func runArchiveSearches(ctx context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print them as JSON")
	by := c.flags.String("by", "", "your `name`, for the log, when something is changed")
	c.protect()
	if err := c.parse(1, -1); err != nil {
		return err
	}
	var change func(*archive.Archive) error
	words := c.args[1:]
	switch n := len(words); {
	case n == 0:
		return c.readArchive(ctx, func(a *archive.Archive) error { return c.printSearches(a, *asJSON) })
	case n >= 3 && words[0] == "save":
		line := queryLine(words[2:])
		change = func(a *archive.Archive) error { return a.SaveSearch(*by, words[1], line) }
	case n == 3 && words[0] == "rename":
		change = func(a *archive.Archive) error { return a.RenameSearch(*by, words[1], words[2]) }
	case n == 2 && words[0] == "remove":
		change = func(a *archive.Archive) error { return a.RemoveSearch(*by, words[1]) }
	default:
		return &usageError{searchesUsage}
	}
	if *by == "" {
		return &usageError{"wornwood archive searches: --by is needed: the log keeps who changed them"}
	}
	return c.withArchive(ctx, func(a *archive.Archive) error {
		if err := change(a); err != nil {
			return err
		}
		return c.printSearches(a, *asJSON)
	})
}

func (c *call) printSearches(a *archive.Archive, asJSON bool) error {
	list, err := a.SavedSearches()
	switch {
	case err != nil:
		return err
	case asJSON:
		return c.printJSON(list)
	case len(list) == 0:
		c.print("no search is saved\n")
	}
	for _, s := range list {
		c.print("%s\n", onOneLine(s.Name+": "+orDash(s.Line)+"  (by "+s.By+", "+s.Time.Format("2006-01-02")+")"))
	}
	return nil
}
