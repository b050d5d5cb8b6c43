package cli

import (
	"context"
	"fmt"
	"image"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var scaleVerb = &verb{name: "scale", args: "BENCH PHOTO [--by KIND X,Y ...] [--clear] [--exam ID]",
	short: "scale a photo by frets, a card, a ruler, two points or the outline, or show its scale", run: runScale}

func runScale(_ context.Context, c *call) error {
	fs := c.flags
	exam := fs.String("exam", "", "`ID` of the examination; the only open one otherwise")
	by := fs.String("by", "", "`kind`: frets (near bass, near treble, far treble, far bass), card (four corners in turn), ruler, two points, landmarks")
	near := fs.Int("near", 0, "near `fret` of a scale by frets, 0 for the nut")
	far := fs.Int("far", 12, "far `fret`")
	known := fs.Float64("known", 0, "known `mm`: between two points, or from graduation to graduation")
	lies := fs.String("lies", "on the front", "`where` a card, ruler or two points lie: on the front, on the board, beside it")
	side := fs.String("side", "front", "`side` of the outline whose landmarks are given")
	names := fs.String("names", "", "`names` of the landmarks, separated by commas, in the order of the points")
	exact := fs.Bool("exact", false, "take the points as they are, without looking for edges")
	clear := fs.Bool("clear", false, "take the scale off the photo")
	asJSON := fs.Bool("json", false, "print the scale as JSON")
	if err := c.parse(2, -1); err != nil {
		return err
	}
	pts, err := points(c.args[2:])
	if err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(b *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		p, err := findPhoto(s, c.args[1])
		if err != nil {
			return err
		}
		v := view.NewScalingOf(s, p.ID, outline.Side(*side))
		switch {
		case *clear:
			return v.Clear()
		case *by == "" && len(pts) > 0:
			return &usageError{"say what the points are with --by"}
		case *by != "":
			if !*exact {
				v.Pixels = func() image.Image { img, _ := b.Picture(*p); return img }
			}
			if err := v.Set(record.ScaleKind(*by), *near, *far, *known, *lies, splitNames(*names), pts); err != nil {
				return err
			}
		}
		return printScale(c, v, s, p.ID, *asJSON)
	})
}

func splitNames(s string) []string {
	var out []string
	for _, n := range strings.Split(s, ",") {
		if n = strings.TrimSpace(n); n != "" {
			out = append(out, n)
		}
	}
	return out
}

func printScale(c *call, v *view.Scaling, s *annotate.Session, photo string, asJSON bool) error {
	p := s.Scene().Record.PhotoByID(photo)
	if p == nil || p.Scale == nil {
		c.print("%s has no scale\n", p.Name)
		return errAnswerNo
	}
	if asJSON {
		return c.printJSON(p.Scale)
	}
	c.print("%s\n", v.Summary())
	for _, r := range v.Rows() {
		off := fmt.Sprintf("%.2f px off", r.Residual)
		if r.Wild {
			off += ", left out"
		}
		c.print("  %-28s %8.1f,%-8.1f %s\n", r.Name, r.At.X, r.At.Y, off)
	}
	for _, w := range v.Warnings() {
		c.print("%s\n", w)
	}
	return nil
}

var measureVerb = &verb{name: "measure", args: "BENCH PHOTO X,Y X,Y ... [--area|--angle|--mark N] [--exam ID]",
	short: "measure a length, an area or an angle on a scaled photo, with its uncertainty", run: runMeasure}

func runMeasure(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	area := c.flags.Bool("area", false, "the area of the ring of points, mm²")
	angle := c.flags.Bool("angle", false, "the angle at the second of three points, degrees")
	mark := c.flags.Int("mark", 0, "give the mark with this `number` the sizes that its own place on the photo has")
	asJSON := c.flags.Bool("json", false, "print value, standard uncertainty and method as JSON")
	if err := c.parse(2, -1); err != nil {
		return err
	}
	pts, err := points(c.args[2:])
	if err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		p, err := findPhoto(s, c.args[1])
		if err != nil {
			return err
		}
		if *mark > 0 {
			if len(pts) > 0 {
				return &usageError{"a mark is measured by its own place; give no points with --mark"}
			}
			if err := s.MeasureMark(*mark, p.ID); err != nil {
				return err
			}
			c.print("mark %d: %s\n", *mark, s.Scene().Record.MarkByNumber(*mark).Size())
			return nil
		}
		what := annotate.LengthReading
		switch {
		case *area && *angle:
			return &usageError{"give --area or --angle, not both"}
		case *area:
			what = annotate.AreaReading
		case *angle:
			what = annotate.AngleReading
		}
		return printReading(c, s, p.ID, what, pts, *asJSON)
	})
}

func printReading(c *call, s *annotate.Session, photo string, what annotate.Reading, pts []record.Point, asJSON bool) error {
	if len(pts) < 2 {
		return &usageError{"give the points in pixels as 1200,840 1420,860"}
	}
	q, err := s.Measure(photo, what, pts)
	if err != nil {
		return err
	}
	if asJSON {
		return c.printJSON(q)
	}
	text := q.String() + " mm"
	switch what {
	case annotate.AreaReading:
		text = q.Surface()
	case annotate.AngleReading:
		text = q.String() + "°"
	}
	c.print("%s (± one standard uncertainty; %s)\n", text, q.How)
	return nil
}
