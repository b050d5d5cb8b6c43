package cli

import (
	"context"
	"fmt"
	"strconv"

	"wornwood/annotate/dating"
	"wornwood/capture/bench"
	"wornwood/ui/view"
)

var tablesVerb = &verb{name: "tables", args: "BENCH [--serials FILE] [--features FILE], or BENCH add [options], or BENCH remove LINE",
	short: "show a shop's own tables of serial numbers and features, bring in others, or change lines", run: runTables}

func runTables(_ context.Context, c *call) error {
	asJSON := c.flags.Bool("json", false, "print the tables as JSON")
	bring := map[bench.TableKind]*string{
		bench.SerialTable:  c.flags.String("serials", "", "`file` (.csv or .json) to be the table of serial numbers"),
		bench.FeatureTable: c.flags.String("features", "", "`file` (.csv or .json) to be the table of features"),
	}
	imported := c.flags.String("import", "", "the same as --serials: `file`")
	l := c.serialFlags()
	if err := c.parse(1, 3); err != nil {
		return err
	}
	if *imported != "" {
		bring[bench.SerialTable] = imported
	}
	return c.withBench(c.args[0], func(b *bench.Bench) error {
		m := view.NewOwnTables(b)
		if len(c.args) > 1 {
			return c.changeTable(m, l)
		}
		brought := false
		for _, k := range bench.TableKinds() {
			if *bring[k] == "" {
				continue
			}
			said, err := m.Import(string(k), *bring[k])
			if err != nil {
				return err
			}
			c.print("%s: %s\n", k, said)
			brought = true
		}
		if brought {
			return nil
		}
		if *asJSON {
			return c.printJSON(dating.Load(b))
		}
		return c.printTables(m)
	})
}

// serialFlags are the options of a line of the table of serial numbers.
func (c *call) serialFlags() *dating.Serial {
	var s dating.Serial
	f := c.flags
	f.StringVar(&s.Pattern, "pattern", "", "`pattern` of a line to add, # where the number counts: L#####")
	f.StringVar(&s.First, "first", "", "first `number`; all of the pattern otherwise")
	f.StringVar(&s.Last, "last", "", "last `number`")
	f.IntVar(&s.From, "from", 0, "first `year`, 0 for open")
	f.IntVar(&s.To, "to", 0, "last `year`, 0 for open")
	f.StringVar(&s.For, "for", "", "`text` that maker, model or class must hold; any otherwise")
	f.StringVar(&s.Source, "source", "", "`text`: which list, whose")
	f.StringVar(&s.Note, "note", "", "`text`")
	return &s
}

func (c *call) changeTable(m *view.OwnTables, s *dating.Serial) error {
	switch {
	case c.args[1] == "add" && len(c.args) == 2:
		return m.Add(*s)
	case c.args[1] == "remove" && len(c.args) == 3:
		n, err := strconv.Atoi(c.args[2])
		if err != nil {
			return &usageError{fmt.Sprintf("wornwood tables: %q is no number of a line", c.args[2])}
		}
		return m.RemoveLine(n)
	}
	return &usageError{"usage: wornwood tables " + c.verb.args}
}

// printTables prints what is loaded; lines that cannot be used end with
// AnswerNo.
func (c *call) printTables(m *view.OwnTables) error {
	bad := false
	for _, t := range m.Tables() {
		c.print("%s\n", t.Title)
		for _, l := range t.Lines {
			if l.Line > 0 {
				c.print("  line %d: %s\n", l.Line, l.Words)
			} else {
				c.print("  %s\n", l.Words)
			}
		}
		for _, b := range t.Bad {
			c.print("  not used: %s\n", b)
			bad = true
		}
	}
	if bad {
		return errAnswerNo
	}
	return nil
}
