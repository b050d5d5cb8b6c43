package pdfout

import (
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/caution"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/signs"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
)

// words are the program's lists of words by their groups in the catalogue.
func words() map[string][]string {
	out := map[string][]string{
		"method": record.Methods(), "attachment": record.AttachmentKinds(), "extra": record.ExtraKinds(), "works": record.WorksWords(), "tuner": record.TunerAnswers(),
		"trussRod": record.TrussRodAnswers(), "capo": record.CapoAnswers(), "neckAngle": record.NeckAngleAnswers(), "nut": record.NutAnswers(), "class": outline.Classes(),
		"subject": record.ClaimSubjects(), "material": caution.Names(),
	}
	add := func(group, s string) { out[group] = append(out[group], s) }
	for _, r := range grade.Known() {
		for _, k := range r.Kinds() {
			add("kind", string(k.Kind))
			for _, d := range k.DepthWords {
				add("depth", d)
			}
		}
		for _, c := range r.Scale() {
			add("scale", c.Word)
		}
		for _, class := range outline.Classes() {
			shares, err := r.Shares(class)
			if err != nil {
				continue // an older rubric without that class
			}
			for _, s := range shares {
				add("part", string(s.Part))
			}
		}
	}
	for _, s := range record.States() {
		add("state", string(s))
	}
	for _, s := range record.Purposes() {
		add("purpose", string(s))
	}
	for _, s := range record.Standings() {
		add("standing", string(s))
	}
	for _, s := range record.Sounds() {
		add("soundWord", string(s))
	}
	for _, s := range record.ComponentKinds() {
		add("componentKind", string(s))
	}
	for _, s := range record.PickupTypes() {
		add("componentType", string(s))
	}
	for _, s := range record.Tapers() {
		add("componentType", s)
	}
	for _, s := range record.Bounds() {
		add("bound", string(s))
	}
	for _, class := range outline.Classes() {
		for _, v := range annotate.PhotoViews(class) {
			add("photoView", v.ID)
		}
		for _, p := range out["part"] {
			for _, s := range signs.For(class, record.PartID(p)) {
				add("sign", s.Ask)
			}
		}
	}
	return out
}

// A word that is added to one of the program's lists has to be added to the
// catalogue too.
func TestListsAreInTheCatalogue(t *testing.T) {
	for _, lang := range catalogue.Languages()[1:] {
		plain, err := catalogue.For(lang)
		if err != nil {
			t.Fatal(err)
		}
		told := map[string]bool{}
		text := plain.Watched(func(group, english string) { told[group+": "+english] = true })
		for group, list := range words() {
			if len(list) == 0 {
				t.Errorf("the list of %s is empty", group)
			}
			for _, s := range list {
				text.Phrase(group, s)
			}
		}
		for s := range told {
			t.Errorf("%s has no word for %s", lang, s)
		}
	}
}

// Every place on every outline has words.
func TestPlacesAreInTheCatalogue(t *testing.T) {
	for _, lang := range catalogue.Languages()[1:] {
		plain, err := catalogue.For(lang)
		if err != nil {
			t.Fatal(err)
		}
		told := map[string]bool{}
		text := plain.Watched(func(group, english string) { told[english] = true })
		for _, class := range outline.Classes() {
			for _, left := range []bool{false, true} {
				d, err := outline.New(outline.Params{Class: class, LeftHanded: left})
				if err != nil {
					t.Fatal(err)
				}
				for _, v := range d.Views() {
					text.Word("view", v.Name)
				}
				for _, s := range placesOf(d) {
					text.Phrase("place", s)
				}
			}
		}
		for s := range told {
			t.Errorf("%s has no words for %q", lang, s)
		}
	}
}

// placesOf are the words for a raster of points on every side, and the names of
// the regions.
func placesOf(d *outline.Drawing) []string {
	var out []string
	for _, side := range outline.AllSides() {
		sd := d.Side(side)
		if sd == nil {
			continue
		}
		for _, r := range sd.Regions {
			out = append(out, r.Name)
		}
		b := sd.Bounds
		for i := range 40 {
			for k := range 120 {
				p := record.Point{X: b.Min.X + b.Dx()*(float64(i)+0.5)/40, Y: b.Min.Y + b.Dy()*(float64(k)+0.5)/120}
				if s := d.Place(side, p); s != "" {
					out = append(out, s)
				}
			}
		}
	}
	return out
}
