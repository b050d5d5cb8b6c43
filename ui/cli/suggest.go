package cli

import (
	"context"
	"fmt"

	"wornwood/annotate"
	"wornwood/annotate/suggest"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var suggestVerb = &verb{name: "suggest", args: "BENCH PHOTO [X,Y X,Y X,Y ...] [--accept N|--dismiss N] [--exam ID]",
	short: "point at likely finish checks and dings in an area of a photo; add nothing unless told to", run: runSuggest}

func runSuggest(ctx context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	sens := fs.Float64("sensitivity", 0.5, "from 0, few and sure, to 1, many and doubtful: `how` readily")
	accept := fs.Int("accept", 0, "make the suggestion with this `number` a mark")
	dismiss := fs.Int("dismiss", 0, "turn the suggestion with this `number` down for good")
	forget := fs.Bool("forget", false, "show dismissed suggestions again")
	asJSON := fs.Bool("json", false, "print the suggestions as JSON")
	if err := c.parse(2, -1); err != nil {
		return err
	}
	ring, err := points(c.args[2:])
	if err != nil {
		return err
	}
	if !(*sens >= 0 && *sens <= 1) {
		return &usageError{"--sensitivity is from 0 to 1"}
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		p, err := findPhoto(s, c.args[1])
		if err != nil {
			return err
		}
		if *forget {
			if err := s.ForgetDismissed(p.ID); err != nil {
				return err
			}
		}
		if len(ring) == 0 { // the whole photo
			w, h := float64(p.Width), float64(p.Height)
			ring = []record.Point{{}, {X: w}, {X: w, Y: h}, {Y: h}}
		}
		job := view.NewSuggestJob(b, *p, ring, *sens)
		if err := job.Run(ctx); err != nil {
			return err
		}
		open := job.Open(s.Scene().Record)
		if *accept > 0 || *dismiss > 0 {
			return answer(c, s, p.ID, open, *accept, *dismiss)
		}
		return printGhosts(c, job, open, *asJSON)
	})
}

// answer takes the number that the same command without it printed.
func answer(c *call, s *annotate.Session, photo string, open []suggest.Ghost, accept, dismiss int) error {
	n := max(accept, dismiss)
	if accept > 0 && dismiss > 0 {
		return &usageError{"give --accept or --dismiss, not both"}
	}
	if n > len(open) {
		return fmt.Errorf("answer suggestion: there are %d, and none is number %d", len(open), n)
	}
	g := open[n-1]
	if dismiss > 0 {
		return s.Dismiss(photo, g.Shape, g.Points)
	}
	mark, err := s.AddSuggested(photo, g.Kind, g.Shape, g.Points)
	if err != nil {
		return err
	}
	c.print("mark %d, %s\n", mark, g.Kind)
	return nil
}

func printGhosts(c *call, job *view.SuggestJob, open []suggest.Ghost, asJSON bool) error {
	if asJSON {
		type ghost struct {
			Number   int            `json:"number"`
			Kind     record.Kind    `json:"kind"`
			Shape    record.Shape   `json:"shape"`
			Points   []record.Point `json:"points"`
			Score    float64        `json:"score"`
			Contrast float64        `json:"contrast"`
		}
		out := struct {
			Note        string  `json:"note,omitempty"`
			Suggestions []ghost `json:"suggestions"`
		}{job.Note(), []ghost{}}
		for i, g := range open {
			out.Suggestions = append(out.Suggestions, ghost{i + 1, g.Kind, g.Shape, g.Points, g.Score, g.Contrast})
		}
		return c.printJSON(out)
	}
	for i, g := range open {
		c.print("%3d  %-12s at %.0f,%.0f  contrast %.2f\n", i+1, g.Kind, g.Points[0].X, g.Points[0].Y, g.Contrast)
	}
	c.print("%s\n", view.Tally(open))
	if n := job.Note(); n != "" {
		c.print("%s\n", n)
	}
	return nil
}
