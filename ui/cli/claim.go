package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var claimVerb = &verb{name: "claim", args: "BENCH [add | set ID | remove ID] [options]",
	short: "list what is claimed of the instrument with who says so, what supports it and how it stands, or change it", run: runClaim}

// claimFlags are the options that describe a claim.
type claimFlags struct {
	about, text, by, support, standing *string
	files, untie                       []string
}

func (c *call) claimFlags() *claimFlags {
	fs := c.flags
	o := &claimFlags{
		about:    fs.String("about", "", "`subject`, such as "+strings.Join(record.ClaimSubjects(), ", ")),
		text:     fs.String("text", "", "`words` of the claim"),
		by:       fs.String("by", "", "`who` says so"),
		support:  fs.String("support", "", "`what` supports it, or contradicts it"),
		standing: fs.String("standing", "", "`word`: "+joined(record.Standings())),
	}
	fs.Func("file", "`photo or attachment` that shows it, by name or the beginning of its SHA-256; may be given again", func(t string) error {
		o.files = append(o.files, t)
		return nil
	})
	fs.Func("untie", "`photo or attachment` to take off it; may be given again", func(t string) error {
		o.untie = append(o.untie, t)
		return nil
	})
	return o
}

func joined[T ~string](list []T) string {
	var out []string
	for _, w := range list {
		out = append(out, string(w))
	}
	return strings.Join(out, ", ")
}

func runClaim(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print the claims as JSON")
	o := c.claimFlags()
	if err := c.parse(1, 3); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		what, id, err := c.edit("claim")
		switch {
		case err != nil:
			return err
		case what == "":
			return c.listClaims(s, *asJSON)
		case what == "remove":
			return s.RemoveClaim(id)
		case what == "add":
			var cl record.Claim
			if err := o.fill(c, s, &cl); err != nil {
				return err
			}
			if cl.Text == "" {
				return &usageError{"'claim BENCH add' takes --text, the words of the claim"}
			}
			if id, err = s.AddClaim(cl); err != nil {
				return err
			}
			c.print("%s\n", id)
			return c.tellGap(s, id)
		}
		cl := s.Claim(id)
		if cl == nil {
			return fmt.Errorf("set claim: no claim %q is listed; 'wornwood claim BENCH' lists them", id)
		}
		if err := o.fill(c, s, cl); err != nil {
			return err
		}
		if err := s.EditClaim(id, "Words", func(to *record.Claim) { *to = *cl }); err != nil {
			return err
		}
		return c.tellGap(s, id)
	})
}

// said are the options that stand on the command line.
func (c *call) said() map[string]bool {
	out := map[string]bool{}
	c.flags.Visit(func(f *flag.Flag) { out[f.Name] = true })
	return out
}

// edit reads add, set ID or remove ID behind the bench; what is "" where none
// stands there.
func (c *call) edit(noun string) (what, id string, err error) {
	if len(c.args) == 1 {
		return "", "", nil
	}
	what = c.args[1]
	switch {
	case !slices.Contains([]string{"add", "set", "remove"}, what):
		return "", "", &usageError{fmt.Sprintf("there is no %q of a %s; it is add, set or remove", what, noun)}
	case (what == "add") != (len(c.args) == 2):
		return "", "", &usageError{fmt.Sprintf("'%s BENCH add' takes no more words, set and remove take the ID of a %s", c.verb.name, noun)}
	case what != "add":
		id = c.args[2]
	}
	return what, id, nil
}

// fill gives a claim what was said on the command line and leaves the rest.
func (o *claimFlags) fill(c *call, s *annotate.Session, cl *record.Claim) error {
	given := c.said()
	for name, p := range map[string]struct{ from, to *string }{"about": {o.about, &cl.About}, "text": {o.text, &cl.Text}, "by": {o.by, &cl.By}, "support": {o.support, &cl.Support}} {
		if given[name] {
			*p.to = *p.from
		}
	}
	if given["standing"] {
		cl.Standing = record.Standing(strings.ToLower(*o.standing))
	}
	var err error
	cl.Files, err = tiedTo(s, cl.Files, o.files, o.untie)
	return err
}

// tiedTo is a list of files with some more and some less, each by its name or the
// beginning of its ID.
func tiedTo(s *annotate.Session, list, more, less []string) ([]string, error) {
	out := slices.Clone(list)
	for _, name := range more {
		id, err := findFile(s, name)
		if err != nil {
			return nil, err
		}
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	for _, name := range less {
		id, err := findFile(s, name)
		if err != nil {
			return nil, err
		}
		out = slices.DeleteFunc(out, func(f string) bool { return f == id })
	}
	return out, nil
}

// tellGap says on the error output what a claim lacks for its standing; that
// stops nothing.
func (c *call) tellGap(s *annotate.Session, id string) error {
	cl := s.Claim(id)
	if cl == nil {
		return errors.New("the claim is not listed any more")
	}
	if gap := annotate.ClaimGap(s.Scene().Record, cl); gap != "" {
		c.say("note: %s", gap)
	}
	return nil
}

// listedClaim is what --json prints of a claim.
type listedClaim struct {
	record.Claim
	Lacks string `json:"lacks,omitempty"`
}

func (c *call) listClaims(s *annotate.Session, asJSON bool) error {
	rec := s.Scene().Record
	list := []listedClaim{}
	for i := range rec.Claims {
		list = append(list, listedClaim{rec.Claims[i], annotate.ClaimGap(rec, &rec.Claims[i])})
	}
	if asJSON {
		return c.printJSON(list)
	}
	for _, l := range list {
		line := fmt.Sprintf("%-8s %-12s %s: %s", l.ID, l.Standing, firstWord(l.About, "-"), l.Text)
		if l.By != "" {
			line += "; says " + l.By
		}
		if l.Support != "" {
			line += "; supported by " + l.Support
			if l.Standing == record.Contradicted {
				line = strings.Replace(line, "; supported by ", "; against it ", 1)
			}
		}
		for _, f := range c.fileNames(s, l.Files) {
			line += "; " + f
		}
		if l.Lacks != "" {
			line += " (" + l.Lacks + ")"
		}
		c.print("%s\n", onOneLine(line))
	}
	return nil
}

// fileNames names the photos and attachments that the examination has.
func (c *call) fileNames(s *annotate.Session, ids []string) []string {
	rec := s.Scene().Record
	var out []string
	for _, id := range ids {
		if a := annotate.Attachment(rec, id); a != nil {
			out = append(out, a.Kind+" "+a.Name)
		} else if p := rec.PhotoByID(id); p != nil {
			out = append(out, "photo "+view.PhotoName(*p))
		}
	}
	return out
}
