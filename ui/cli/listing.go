package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/shape"
	"wornwood/capture/bench"
	"wornwood/pdfout/listing"
	"wornwood/ui/view"
)

var listingVerb = &verb{name: "listing", args: "BENCH [--out FOLDER|FILE.zip] [options]",
	short: "make photos and text for offering an instrument, and check the text against the report", run: runListing}

// several collects an option that may be given more than once.
type several []string

func (s *several) String() string     { return strings.Join(*s, " ") }
func (s *several) Set(v string) error { *s = append(*s, v); return nil }

// listingFlags are the options of the verb.
type listingFlags struct {
	out, sizes, quality, text, print  *string
	pins, noPins, noSerials, serials  *bool
	check, compose, asJSON            *bool
	covers, uncover, leaveOut, takeIn several
}

func runListing(ctx context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	f := &listingFlags{
		out:     c.flags.String("out", "", "write the set to a new `folder or .zip` file"),
		sizes:   c.flags.String("size", "", "longer side of the photos in `pixels`; several as 1600,800"),
		quality: c.flags.String("quality", "", "JPEG quality, `1 to 100`"),
		text:    c.flags.String("text", "", "take the text from a `file` (- for standard input) and keep it as the listing's"),
		print:   c.flags.String("print", "", "print the text: `plain, markdown or html`"),
		pins:    c.flags.Bool("pins", false, "burn the numbers of marks into the photos"), noPins: c.flags.Bool("no-pins", false, "do not"),
		noSerials: c.flags.Bool("no-serials", false, "withhold serial numbers: in the text, and photos of it that have no cover"), serials: c.flags.Bool("serials", false, "do not"),
		check:   c.flags.Bool("check", false, "say what the text leaves out and where it says too much; the answer is no when it finds something"),
		compose: c.flags.Bool("compose", false, "drop the edited text and compose it from the record"),
		asJSON:  c.flags.Bool("json", false, "print findings and files as JSON"),
	}
	c.flags.Var(&f.covers, "cover", "burn a cover over a photo: `PHOTO:X0,Y0,X1,Y1` in pixels of the upright photo; may be given several times")
	c.flags.Var(&f.uncover, "uncover", "take the covers off a `PHOTO`")
	c.flags.Var(&f.leaveOut, "leave-out", "leave a `PHOTO` out")
	c.flags.Var(&f.takeIn, "take-in", "take a `PHOTO` in again")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		v, err := view.NewListing(s, b)
		if err != nil {
			return err
		}
		if err := f.decide(c, s, v); err != nil {
			return err
		}
		return f.answer(ctx, c, v)
	})
}

// decide changes the draft as the options say.
func (f *listingFlags) decide(c *call, s *annotate.Session, v *view.Listing) error {
	steps := []func() error{}
	add := func(on bool, do func() error) {
		if on {
			steps = append(steps, do)
		}
	}
	add(*f.sizes != "", func() error { return v.SetSizes(*f.sizes) })
	add(*f.quality != "", func() error { return v.SetQuality(*f.quality) })
	add(*f.pins, func() error { return v.SetPins(true) })
	add(*f.noPins, func() error { return v.SetPins(false) })
	add(*f.noSerials, func() error { return v.SetNoSerials(true) })
	add(*f.serials, func() error { return v.SetNoSerials(false) })
	add(*f.compose, v.Compose)
	add(*f.text != "", func() error { return c.readText(*f.text, v) })
	for _, w := range []struct {
		list []string
		do   func(id string) error
	}{
		{f.uncover, func(id string) error { return v.RemoveCover(id, -1) }},
		{f.leaveOut, func(id string) error { return v.SetOut(id, true) }},
		{f.takeIn, func(id string) error { return v.SetOut(id, false) }},
	} {
		for _, word := range w.list {
			steps = append(steps, func() error {
				p, err := findPhoto(s, word)
				if err != nil {
					return err
				}
				return w.do(p.ID)
			})
		}
	}
	for _, word := range f.covers {
		steps = append(steps, func() error { return coverPhoto(s, v, word) })
	}
	for _, do := range steps {
		if err := do(); err != nil {
			return err
		}
	}
	return nil
}

func coverPhoto(s *annotate.Session, v *view.Listing, word string) error {
	i := strings.LastIndex(word, ":")
	if i < 0 {
		return &usageError{fmt.Sprintf("%q is no cover; write a photo's name, a colon and two corners in pixels: front.jpg:1200,840,1300,900", word)}
	}
	ring, err := rectangle(word[i+1:])
	if err != nil {
		return err
	}
	p, err := findPhoto(s, word[:i])
	if err != nil {
		return err
	}
	return v.AddCover(p.ID, shape.Rect{Min: ring[0], Max: ring[2]})
}

func (c *call) readText(file string, v *view.Listing) error {
	in := c.Stdin
	if file != "-" {
		r, err := os.Open(file)
		if err != nil {
			return fmt.Errorf("read text: %w", err)
		}
		defer r.Close()
		in = r
	}
	b, err := io.ReadAll(io.LimitReader(in, listing.MaxText+1))
	if err != nil {
		return fmt.Errorf("read text from %s: %w", file, err)
	}
	return v.SetText(string(b))
}

// answer prints and writes what was asked for.
func (f *listingFlags) answer(ctx context.Context, c *call, v *view.Listing) error {
	all := map[string]any{}
	if *f.print != "" {
		form := map[string]int{"plain": 0, "markdown": 1, "html": 2}
		n, ok := form[strings.ToLower(*f.print)]
		if !ok {
			return &usageError{fmt.Sprintf("--print %q: the forms are plain, markdown and html", *f.print)}
		}
		c.print("%s", v.Copy(n))
	}
	var found []listing.Finding
	if *f.check {
		found = v.Findings()
		all["findings"] = found
		if !*f.asJSON {
			c.print("%s\n", view.CheckTitle(found))
			for _, x := range found {
				c.print("%s: %s\n", x.Sort, x.Text)
			}
		}
	}
	if *f.out != "" {
		job, err := v.Job(*f.out)
		if err != nil {
			return err
		}
		if err := job.Run(ctx, c.progress("listing")); err != nil {
			return err
		}
		all["files"] = job.Written.Files
		if !*f.asJSON {
			for _, s := range job.Said() {
				c.print("%s\n", s)
			}
		}
	}
	var err error
	if *f.asJSON {
		err = c.printJSON(all)
	}
	if len(found) > 0 {
		err = errors.Join(err, errAnswerNo)
	}
	return err
}
