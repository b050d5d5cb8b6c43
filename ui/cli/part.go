package cli

import (
	"context"
	"flag"
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/signs"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var partVerb = &verb{name: "part", args: "BENCH [PART] [--state S] [--inspected] [--judged HOW,HOW] [--reversible yes|no] [--note T] [--sign ID=ANSWER] [--photo NAME] [--untie NAME] [--rest-original] [--exam ID]",
	short: "list the parts, show one with its signs, or say what it is", run: runPart}

// partFlags are the flags that say something of a part.
type partFlags struct {
	state, judged, reversible, note *string
	inspected                       *bool
	signs, tie, untie               words
}

// words is a flag that can be given several times.
type words []string

func (w *words) String() string     { return strings.Join(*w, ", ") }
func (w *words) Set(s string) error { *w = append(*w, s); return nil }

func runPart(_ context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	var f partFlags
	f.state = fs.String("state", "", "what it is, a `state` such as \"later replacement\"")
	f.inspected = fs.Bool("inspected", false, "its condition was inspected; --inspected=false takes that back")
	f.judged = fs.String("judged", "", "`ways` in which it was judged, with commas: "+strings.Join(record.Methods(), ", "))
	f.reversible = fs.String("reversible", "", "`yes or no`: could what was done be undone")
	f.note = fs.String("note", "", "`text` beside it")
	fs.Var(&f.signs, "sign", "`ID=answer` to a sign: seen, not seen, not opened; ID= takes the answer back")
	fs.Var(&f.tie, "photo", "`name` of a photo that shows it")
	fs.Var(&f.untie, "untie", "`name` of a photo that does not")
	rest := fs.Bool("rest-original", false, "every part of which nothing was said is original and was inspected")
	asJSON := fs.Bool("json", false, "print as JSON")
	if err := c.parse(1, 2); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		v := view.NewParts(s)
		if len(c.args) == 1 {
			return c.allParts(s, v, f, *rest, *asJSON)
		}
		if *rest {
			return &usageError{"--rest-original is for all parts: 'wornwood part BENCH --rest-original'"}
		}
		id, err := findPart(v, c.args[1])
		if err != nil {
			return err
		}
		edit, changes, err := f.edit(c.flags, s)
		if err != nil {
			return err
		}
		if changes {
			if err := s.EditPart(id, edit); err != nil {
				return err
			}
		}
		return c.onePart(s, v, id, *asJSON)
	})
}

func (c *call) allParts(s *annotate.Session, v *view.Parts, f partFlags, rest, asJSON bool) error {
	if _, changes, _ := f.edit(c.flags, s); changes {
		return &usageError{"name the part of which that is said: 'wornwood part BENCH PART ...'"}
	}
	if rest {
		if err := v.RestOriginal(); err != nil {
			return err
		}
	}
	rows := v.Rows()
	if asJSON {
		out := make([]partOut, len(rows))
		for i, r := range rows {
			out[i] = describe(s, r)
		}
		return c.printJSON(out)
	}
	for _, r := range rows {
		c.print("%s\n", partLine(r))
		for _, t := range says(s, r.Part) {
			if t.Against {
				c.print("    ! %s\n", t.Text)
			}
		}
	}
	c.print("%s\n", v.Summary())
	return nil
}

func (c *call) onePart(s *annotate.Session, v *view.Parts, id record.PartID, asJSON bool) error {
	v.Select(id)
	rows := v.Rows()
	r := rows[slices.IndexFunc(rows, func(r view.PartRow) bool { return r.Part == id })]
	out := describe(s, r)
	if asJSON {
		return c.printJSON(out)
	}
	c.print("%s\n", partLine(r))
	for _, l := range [][2]string{{"judged by", strings.Join(out.Judged, ", ")}, {"reversible", out.Reversible}, {"photos", strings.Join(out.Photos, ", ")}, {"note", out.Note}} {
		if l[1] != "" {
			c.print("  %s: %s\n", l[0], l[1])
		}
	}
	for _, x := range out.Signs {
		c.print("  %-10s %-20s %s (%s; %s)\n", orDash(x.Answer), x.ID, x.Ask, x.Speaks, x.Look)
	}
	for _, t := range says(s, id) {
		mark := " "
		if t.Against {
			mark = "!"
		}
		c.print("%s %s\n", mark, view.Capital(t.Text))
	}
	for _, w := range out.Cautions {
		c.print("caution: %s\n", w)
	}
	return nil
}

// partLine is a part in one line.
func partLine(r view.PartRow) string {
	looked := "not inspected"
	if r.Inspected {
		looked = "inspected"
	}
	line := fmt.Sprintf("%-22s %3.0f %%  %-18s  %-13s  %5.1f", r.Part, r.Share, r.State, looked, r.Points)
	if r.Answered > 0 {
		line += fmt.Sprintf("  %d of %d signs answered, %d seen", r.Answered, r.Asked, r.Seen)
	}
	return line
}

func says(s *annotate.Session, id record.PartID) []signs.Sentence {
	p := s.Scene().Record.PartByID(id)
	if p == nil {
		return nil
	}
	return signs.Weigh(*p, s.PartSigns(id))
}

// partOut is a part as JSON.
type partOut struct {
	Part       record.PartID `json:"part"`
	Share      float64       `json:"share"` // per cent
	State      record.State  `json:"state"`
	Inspected  bool          `json:"inspected"`
	Points     float64       `json:"points"` // lost on it
	Marks      int           `json:"marks"`
	Judged     []string      `json:"judged"`
	Reversible string        `json:"reversible,omitempty"`
	Note       string        `json:"note,omitempty"`
	Photos     []string      `json:"photos"` // names
	Signs      []signOut     `json:"signs"`
	Says       []string      `json:"says"`
	Against    []string      `json:"against"` // of those, what does not go with the state
	Cautions   []string      `json:"cautions"`
}

type signOut struct {
	signs.Sign
	Answer string `json:"answer"`
}

func describe(s *annotate.Session, r view.PartRow) partOut {
	out := partOut{Part: r.Part, Share: r.Share, State: r.State, Inspected: r.Inspected, Points: r.Points, Marks: r.Marks, Judged: append([]string{}, r.Judged...),
		Reversible: r.Reversible, Note: r.Note, Photos: []string{}, Signs: []signOut{}, Says: []string{}, Against: []string{}, Cautions: []string{}}
	rec := s.Scene().Record
	p := record.Part{}
	if q := rec.PartByID(r.Part); q != nil {
		p = *q
	}
	for _, id := range p.Photos {
		if ph := rec.PhotoByID(id); ph != nil {
			out.Photos = append(out.Photos, ph.Name)
		}
	}
	list := s.PartSigns(r.Part)
	for _, x := range list {
		out.Signs = append(out.Signs, signOut{x, signs.Answer(p, x.ID)})
	}
	for _, t := range says(s, r.Part) {
		out.Says = append(out.Says, t.Text)
		if t.Against {
			out.Against = append(out.Against, t.Text)
		}
	}
	for _, w := range signs.Warnings(list) {
		out.Cautions = append(out.Cautions, w.Text)
	}
	return out
}

// findPart finds a part of the class by its name or by how the name begins.
func findPart(v *view.Parts, word string) (record.PartID, error) {
	var all, found []string
	for _, r := range v.Rows() {
		name := string(r.Part)
		all = append(all, name)
		if name == strings.ToLower(word) {
			return r.Part, nil
		}
		if strings.HasPrefix(name, strings.ToLower(word)) {
			found = append(found, name)
		}
	}
	switch len(found) {
	case 1:
		return record.PartID(found[0]), nil
	case 0:
		return "", fmt.Errorf("find part: the class has no part %q; its parts are %s", word, strings.Join(all, ", "))
	}
	return "", fmt.Errorf("find part: %q can be %s", word, strings.Join(found, " or "))
}

// edit is what the flags that were given say, and whether any was.
func (f *partFlags) edit(fs *flag.FlagSet, s *annotate.Session) (e annotate.PartEdit, any bool, err error) {
	fs.Visit(func(g *flag.Flag) {
		any = any || slices.Contains([]string{"state", "inspected", "judged", "reversible", "note", "sign", "photo", "untie"}, g.Name)
		switch g.Name {
		case "state":
			st := record.State(*f.state)
			e.State = &st
		case "inspected":
			e.Inspected = f.inspected
		case "judged":
			list := commaList(*f.judged)
			e.Judged = &list
		case "reversible":
			e.Reversible = f.reversible
		case "note":
			e.Note = f.note
		}
	})
	for _, w := range f.signs {
		id, answer, ok := strings.Cut(w, "=")
		if !ok || id == "" {
			return e, any, &usageError{"a sign is answered as --sign ID=ANSWER, such as --sign nut-slot=seen"}
		}
		e.Signs = append(e.Signs, record.Sign{ID: id, Answer: answer})
	}
	if e.Tie, err = photoIDs(s, f.tie); err != nil {
		return e, any, err
	}
	e.Untie, err = photoIDs(s, f.untie)
	return e, any, err
}

func photoIDs(s *annotate.Session, names []string) ([]string, error) {
	var out []string
	for _, n := range names {
		p, err := findPhoto(s, n)
		if err != nil {
			return nil, err
		}
		out = append(out, p.ID)
	}
	return out, nil
}

// commaList cuts a list at its commas; nothing is an empty list.
func commaList(text string) []string {
	var out []string
	for w := range strings.SplitSeq(text, ",") {
		if w = strings.TrimSpace(w); w != "" {
			out = append(out, w)
		}
	}
	return out
}
