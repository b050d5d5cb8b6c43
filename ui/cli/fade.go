package cli

import (
	"context"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/colour"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var fadeVerb = &verb{name: "fade", args: "BENCH MARK --reference PHOTO:X0,Y0,X1,Y1 --faded PHOTO:... [--grey PHOTO:...] [--exam ID]",
	short: "read a mark's colour difference from two patches of the originals", run: runFade}

func runFade(ctx context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	reference := fs.String("reference", "", "`patch` where the colour is as it was: PHOTO:X0,Y0,X1,Y1")
	faded := fs.String("faded", "", "`patch` where it has changed")
	grey := fs.String("grey", "", "`patch` of a neutral grey card")
	reflects := fs.Float64("reflects", 18, "`per cent` of the light that the grey card reflects")
	clear := fs.Bool("clear", false, "take the reading off the mark")
	asJSON := fs.Bool("json", false, "print what was read as JSON")
	if err := c.parse(2, 2); err != nil {
		return err
	}
	n, err := markNumber(c.args[1])
	if err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		if *clear {
			return s.SetFade(n, nil, nil)
		}
		var patches [3]*record.Patch
		for i, word := range []string{*reference, *faded, *grey} {
			if word == "" && i < 2 {
				return &usageError{"give --reference and --faded"}
			}
			if word == "" {
				continue
			}
			if patches[i], err = readPatch(s, word); err != nil {
				return err
			}
		}
		job := view.NewFadeJob(b, s.Scene().Record, n, patches, colour.Options{GreyReflectance: *reflects / 100})
		if err := job.Run(ctx); err != nil {
			return err
		}
		f, r := job.Result().Record()
		if err := s.SetFade(n, &f, r); err != nil {
			return err
		}
		if *asJSON {
			return c.printJSON(f)
		}
		c.print("%s\n", colour.Words(&f))
		for _, d := range colour.Details(&f) {
			c.print("%s\n", d)
		}
		return nil
	})
}

// readPatch reads "front.jpg:100,100,160,150".
func readPatch(s *annotate.Session, word string) (*record.Patch, error) {
	i := strings.LastIndex(word, ":")
	if i < 0 {
		return nil, &usageError{"a patch is written PHOTO:X0,Y0,X1,Y1"}
	}
	p, err := findPhoto(s, word[:i])
	if err != nil {
		return nil, err
	}
	ring, err := rectangle(word[i+1:])
	if err != nil {
		return nil, err
	}
	return &record.Patch{Photo: p.ID, Ring: ring}, nil
}
