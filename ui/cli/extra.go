package cli

import (
	"context"
	"flag"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var extraVerb = &verb{name: "extra", args: "BENCH [add|set ID|remove ID] [--kind K] [--what T] [--state S] [--number N] [--note T] [--photo NAME] [--untie NAME] [--exam ID]",
	short: "list what comes with the instrument: case, papers, tools, removed parts; add, set, remove", run: runExtra}

// extraFlags are the flags that say something of one thing.
type extraFlags struct {
	kind, what, state, number, note *string
	tie, untie                      words
}

func runExtra(_ context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	var f extraFlags
	f.kind = fs.String("kind", "", "`kind`: "+strings.Join(record.ExtraKinds(), ", "))
	f.what = fs.String("what", "", "what it is, in `words`")
	f.state = fs.String("state", "", "`state` against the instrument, such as original; \"\" for not judged")
	f.number = fs.String("number", "", "how `many`")
	f.note = fs.String("note", "", "`text` beside it")
	fs.Var(&f.tie, "photo", "`name` of a photo that shows it")
	fs.Var(&f.untie, "untie", "`name` of a photo that does not")
	asJSON := fs.Bool("json", false, "print the list as JSON")
	if err := c.parse(1, 3); err != nil {
		return err
	}
	do := strings.Join(c.args[1:min(2, len(c.args))], "")
	if want, ok := map[string]int{"": 1, "add": 2, "set": 3, "remove": 3}[do]; !ok || len(c.args) != want {
		return &usageError{"usage: wornwood extra " + c.verb.args}
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		edit, err := f.edit(fs, s)
		if err != nil {
			return err
		}
		switch do {
		case "add":
			var e record.Extra
			edit(&e)
			_, err = s.AddExtra(e)
		case "set":
			err = s.SetExtra(c.args[2], "Change", edit)
		case "remove":
			err = s.RemoveExtra(c.args[2])
		}
		if err != nil {
			return err
		}
		return c.printExtras(s, *asJSON)
	})
}

func (c *call) printExtras(s *annotate.Session, asJSON bool) error {
	if asJSON {
		return c.printJSON(append([]record.Extra{}, s.Extras()...))
	}
	rows := view.NewExtras(s).Rows()
	if len(rows) == 0 {
		c.print("nothing is listed that comes with it\n")
	}
	for _, r := range rows {
		state := r.State
		if state == "" {
			state = view.StateNotJudged
		}
		line := r.ID + "  " + orDash(r.Kind) + ": " + orDash(r.What)
		if r.Number != "1" {
			line += ", " + r.Number + " of them"
		}
		line += ", " + state
		if r.Note != "" {
			line += "; " + onOneLine(r.Note)
		}
		c.print("%s\n", line)
	}
	return nil
}

// edit is what the flags that were given say.
func (f *extraFlags) edit(fs *flag.FlagSet, s *annotate.Session) (func(*record.Extra), error) {
	number, err := view.ExtraNumber(*f.number)
	if err != nil {
		return nil, err
	}
	tie, err := photoIDs(s, f.tie)
	if err != nil {
		return nil, err
	}
	untie, err := photoIDs(s, f.untie)
	if err != nil {
		return nil, err
	}
	return func(e *record.Extra) {
		fs.Visit(func(g *flag.Flag) {
			switch g.Name {
			case "kind":
				e.Kind = *f.kind
			case "what":
				e.What = *f.what
			case "state":
				e.State = record.State(*f.state)
			case "number":
				e.Number = number
			case "note":
				e.Note = *f.note
			}
		})
		e.Files = tied(e.Files, tie, untie)
	}, nil
}

// tied is a list of files with some added and some taken away, each once.
func tied(list, add, drop []string) []string {
	var out []string
	for _, f := range append(append([]string{}, list...), add...) {
		if !slices.Contains(drop, f) && !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}
