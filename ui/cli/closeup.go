package cli

import (
	"context"

	"wornwood/annotate"
	"wornwood/capture/bench"
	"wornwood/ui/view"
)

var closeupVerb = &verb{name: "closeup", args: "BENCH MARK FILE [--photo PHOTO] [--exam ID]",
	short: "save a mark's close-up as a JPEG or PNG, with the mark drawn on it", run: runCloseup}

func runCloseup(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	photo := c.flags.String("photo", "", "`photo`, by name or the beginning of its ID; the one that shows the mark largest otherwise")
	if err := c.parse(3, 3); err != nil {
		return err
	}
	n, err := markNumber(c.args[1])
	if err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		id := ""
		if *photo != "" {
			p, err := findPhoto(s, *photo)
			if err != nil {
				return err
			}
			id = p.ID
		}
		img, err := view.CloseUp(b, s, n, id)
		if err != nil {
			return err
		}
		return view.SavePicture(c.args[2], img)
	})
}
