package cli

import (
	"context"
	"flag"
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

var datingVerb = &verb{name: "dating", args: "BENCH [add | set ID | remove ID] [options], or --code CODE",
	short: "say what the dated parts and papers allow, or list, change and remove evidence; ends with 1 when the evidence contradicts the claimed year or itself",
	run:   runDating}

// evidenceFlags are the options that describe a piece of evidence.
type evidenceFlags struct {
	kind, what, code, bound, source, note, aside, files *string
	from, to                                            *int
}

func (c *call) evidenceFlags() *evidenceFlags {
	var kinds, bounds []string
	for _, k := range record.EvidenceKinds() {
		kinds = append(kinds, string(k))
	}
	for _, b := range record.Bounds() {
		bounds = append(bounds, string(b))
	}
	f := c.flags
	return &evidenceFlags{
		kind:   f.String("kind", "", "`kind` of evidence: "+strings.Join(kinds, ", ")),
		what:   f.String("what", "", "`text`: what is dated, such as receipt"),
		code:   f.String("code", "", "`code` as read on the part; without a bench it is read aloud"),
		bound:  f.String("bound", "", "`years` it allows: "+strings.Join(bounds, ", ")+"; the usual of its kind otherwise"),
		from:   f.Int("from", 0, "first `year`, 0 for open; for a code its decade"),
		to:     f.Int("to", 0, "last `year`, 0 for open; for a code its decade"),
		source: f.String("source", "", "`text`: who or what says so"),
		note:   f.String("note", "", "`text`"),
		aside:  f.String("set-aside", "", "`reason` for which it does not count; \"\" counts it again"),
		files:  f.String("files", "", "`IDs` of photos or attachments that show it, parted by commas"),
	}
}

// fill gives a piece what was said on the command line and leaves the rest.
func (o *evidenceFlags) fill(f *flag.FlagSet, e *record.Evidence) {
	f.Visit(func(g *flag.Flag) {
		switch g.Name {
		case "kind":
			if e.Kind != record.EvidenceKind(*o.kind) {
				e.Kind, e.Bound = record.EvidenceKind(*o.kind), ""
			}
		case "what":
			e.What = *o.what
		case "code":
			e.Code = *o.code
		case "from":
			e.From = *o.from
		case "to":
			e.To = *o.to
		case "source":
			e.Source = *o.source
		case "note":
			e.Note = *o.note
		case "set-aside":
			e.SetAside = *o.aside
		case "files":
			e.Files = slices.DeleteFunc(strings.Split(*o.files, ","), func(s string) bool { return s == "" })
		}
	})
	f.Visit(func(g *flag.Flag) { // after the kind, which takes the bound with it
		if g.Name == "bound" {
			e.Bound = record.Bound(*o.bound)
		}
	})
}

func runDating(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print the result as JSON")
	o := c.evidenceFlags()
	if err := c.parse(0, 3); err != nil {
		return err
	}
	if len(c.args) == 0 {
		if *o.code == "" {
			return &usageError{"usage: wornwood dating " + c.verb.args}
		}
		return c.readCode(*o.code, *o.from, *o.to, *asJSON)
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		if len(c.args) > 1 {
			return c.changeEvidence(s, o)
		}
		return c.printDating(dating.OfRecord(s.Scene().Record, dating.Load(b), c.Now()), *asJSON)
	})
}

// readCode reads one code without a bench.
func (c *call) readCode(code string, from, to int, asJSON bool) error {
	sp := dating.Spans{First: from, OneFirst: from, OneLast: to, Last: to}
	if to == 0 {
		sp.Last = c.Now().Year()
	}
	k, err := dating.PotCodeIn(code, sp)
	if err != nil {
		return err
	}
	if asJSON {
		return c.printJSON(struct {
			dating.Code
			Weeks []dating.Week `json:"weeks"`
			Words string        `json:"words"`
		}{k, k.Weeks(), k.Words()})
	}
	c.print("%s\n", k.Words())
	for _, r := range append([]string{k.Season()}, k.Remarks()...) {
		c.print("%s\n", r)
	}
	c.print("%s\n", dating.Hedge)
	return nil
}

func (c *call) changeEvidence(s *annotate.Session, o *evidenceFlags) error {
	word, want := c.args[1], 3
	if word == "add" {
		want = 2
	}
	if len(c.args) != want {
		return &usageError{"usage: wornwood dating " + c.verb.args}
	}
	switch word {
	case "add":
		var e record.Evidence
		o.fill(c.flags, &e)
		if e.Kind == "" && e.Code != "" {
			e.Kind = record.CodeEvidence
		}
		id, err := s.AddEvidence(e)
		if err != nil {
			return err
		}
		c.print("%s\n", id)
		return nil
	case "set":
		return s.SetEvidence(c.args[2], "Evidence", func(e *record.Evidence) { o.fill(c.flags, e) })
	case "remove":
		return s.RemoveEvidence(c.args[2])
	}
	return &usageError{fmt.Sprintf("wornwood dating: %q is none of add, set, remove", word)}
}

// printDating prints the evidence and what it allows.
func (c *call) printDating(r *dating.Result, asJSON bool) error {
	contradicted := len(r.Contradictions) > 0
	for i := range r.Claims {
		contradicted = contradicted || r.Claims[i].Verdict == dating.Contradicted
	}
	if asJSON {
		if err := c.printJSON(struct {
			*dating.Result
			Sentences []string `json:"sentences"`
		}{r, r.Sentences()}); err != nil {
			return err
		}
	} else {
		chart := r.Chart()
		for i := range r.Pieces {
			p := &r.Pieces[i]
			c.print("%-2s %-12s %s\n", r.Sign(&chart.Rows[i]), p.ID, r.Told(i))
		}
		for _, s := range r.Sentences() {
			c.print("%s\n", s)
		}
	}
	if contradicted {
		return errAnswerNo
	}
	return nil
}
