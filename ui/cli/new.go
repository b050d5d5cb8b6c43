package cli

import (
	"context"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

var newVerb = &verb{name: "new", args: "BENCH [options]",
	short: "begin an examination, of a new instrument or of one the bench knows", run: runNew}

func runNew(_ context.Context, c *call) error {
	var in record.Instrument
	fs := c.flags
	of := fs.String("of", "", "`ID` of a known instrument; otherwise a new one is entered")
	purpose := fs.String("purpose", string(record.Intake), "`why`: intake, before listing, before dispatch, on receipt, periodic, after damage")
	fs.StringVar(&in.Class, "class", outline.Classes()[0], "`class` of the outline; 'wornwood classes' lists them")
	fs.StringVar(&in.Maker, "maker", "", "maker's `name`")
	fs.StringVar(&in.Model, "model", "", "`model`")
	fs.StringVar(&in.Year, "year", "", "claimed `year` or years")
	fs.StringVar(&in.Serial, "serial", "", "serial `number`")
	fs.Float64Var(&in.ScaleLength, "scale", 0, "scale length in `mm`")
	fs.IntVar(&in.Frets, "frets", 0, "`number` of frets")
	fs.IntVar(&in.Strings, "strings", 0, "`number` of strings")
	fs.BoolVar(&in.LeftHanded, "left", false, "left-handed")
	fs.Float64Var(&in.BassScale, "bass-scale", 0, "scale length of the bass string in `mm`, where frets are fanned")
	fs.IntVar(&in.StraightFret, "straight-fret", 0, "the `fret` that runs square to the strings then")
	fs.Float64Var(&in.BodyLength, "body-length", 0, "length of the body in `mm`")
	fs.Float64Var(&in.BodyWidth, "body-width", 0, "width of the body at its widest in `mm`")
	examiner := fs.String("examiner", "", "examiner's `name`, kept as the bench's setting")
	shop := fs.String("shop", "", "shop's `name`, kept as the bench's setting")
	asJSON := fs.Bool("json", false, "print IDs as JSON")
	if err := c.parse(1, 1); err != nil {
		return err
	}
	if !known(record.Purposes(), record.Purpose(*purpose)) {
		return &usageError{"there is no purpose " + *purpose + "; 'wornwood new --help' lists them"}
	}
	if _, err := grade.DrawingFor(in); err != nil {
		return err
	}
	b, err := c.open(c.args[0], true)
	if err != nil {
		return err
	}
	defer b.Close()
	if set := b.Settings(); *examiner != "" || *shop != "" {
		if *examiner != "" {
			set.Examiner = *examiner
		}
		if *shop != "" {
			set.Shop = *shop
		}
		if err := b.SetSettings(set); err != nil {
			return err
		}
	}
	ex, err := b.Begin(*of, record.Purpose(*purpose), in)
	if err != nil {
		return err
	}
	defer ex.Close()
	if *asJSON {
		e := ex.Record().Examination
		return c.printJSON(map[string]string{"exam": e.ID, "instrument": e.Instrument})
	}
	c.print("examination %s begun\n", ex.ID())
	return nil
}

func known[T ~string](list []T, v T) bool {
	for _, x := range list {
		if strings.EqualFold(string(x), string(v)) {
			return true
		}
	}
	return false
}
