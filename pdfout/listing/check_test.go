package listing_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/listing"
	"wornwood/pdfout/prose"
	"wornwood/pdfout/reporttest"
)

type fataler interface { // testing.TB and rapid.T
	Helper()
	Fatal(args ...any)
}

func source(t fataler, r *record.Record) prose.Source {
	t.Helper()
	d, err := grade.DrawingFor(r.Instrument)
	if err != nil {
		t.Fatal(err)
	}
	g, err := grade.Grade(r, d, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	return prose.Source{Record: r, Grade: g, Drawing: d, Rubric: grade.Default()}
}

// The composed text leaves nothing out and says nothing too much, whatever the
// record.
func TestComposedTextPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := source(t, reporttest.Random(t, grade.Default().Kinds()))
		for _, withheld := range []bool{false, true} {
			text := listing.Compose(s, withheld)
			for _, f := range listing.Check(text, s, withheld) {
				t.Fatalf("%s: %s\nin:\n%s", f.Sort, f.Text, text)
			}
		}
	})
}

// A text of which a sentence is taken out that alone rests on a fact is found to
// leave that fact out.
func TestEveryOmissionIsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := source(t, reporttest.Random(t, grade.Default().Kinds()))
		for i := range s.Record.Marks {
			m := &s.Record.Marks[i]
			if !s.IsGrave(m) {
				continue
			}
			var kept []prose.Sentence
			for _, x := range prose.Listing(s) {
				if x.Topic != prose.Structure && x.Topic != prose.Condition { // another mark may be of the same kind and place
					kept = append(kept, x)
				}
			}
			found := false
			for _, f := range listing.Check(prose.Text(kept), s, false) {
				found = found || f.Sort == listing.LeftUntold && f.Fact == prose.MarkFact(m.Number)
			}
			if !found && !toldElsewhere(m) {
				t.Fatalf("mark %d, %s, is missing and was not missed in:\n%s", m.Number, m.Kind, prose.Text(kept))
			}
		}
	})
}

// toldElsewhere: words of some kinds stand in other sentences, too: "missing" of
// a part, "dead" of a component, "truss rod is seized".
func toldElsewhere(m *record.Mark) bool {
	for _, w := range []string{"missing", "seized", "dead", "nut", "truss"} {
		if strings.Contains(string(m.Kind), w) {
			return true
		}
	}
	return false
}

// edited is an instrument with something of everything that has to be told.
func edited(t *testing.T) prose.Source {
	r := reporttest.Demo(0)
	r.Claims = append(r.Claims, record.Claim{ID: "c3", About: "colour", Text: "Colour never changed", Standing: record.Contradicted, Support: "overspray in the cavity"})
	r.Marks = append(r.Marks, record.Mark{Number: 8, Kind: "headstock break", Depth: record.Through, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: 0, Y: -60}}}}})
	r.Components = []record.Component{{ID: "pickup-1", Kind: record.PickupComponent, Place: "neck", Works: "dead"}, {ID: "pot-1", Kind: record.PotComponent, Place: "tone", Works: "scratchy"}}
	return source(t, r)
}

// told is a text in a dealer's own words that tells all of it.
const told = `Halden & Rowe Larkfoot Standard, said to be 1974

The head has been broken off and glued back. The machine heads are replacements and the nut was changed in its day. One neck pickup is silent, and the tone pot crackles. The seller's word that the
colour never changed is contradicted by overspray in the cavity. Two notes buzz.

We did not open the neck pocket and the cavity under the guard. No photo of the inside of the case: not photographed. The electronics were not inspected, and we did not look whether they are original. No UV lamp was used.
`

func TestOwnWords(t *testing.T) {
	s := edited(t)
	for _, f := range listing.Check(told, s, false) {
		t.Errorf("%s: %s", f.Sort, f.Text)
	}
	for _, c := range []struct{ cut, put, want string }{
		{"The head has been broken off and glued back. ", "", "The text leaves out mark 8, headstock break"},
		{"The head has been broken off and glued back. ", "The headstock was never broken. ", "The text leaves out mark 8, headstock break"},
		{"The head has been broken off and glued back. ", "The headstock broke once. ", "or that it was repaired"},
		{"and glued back. ", "once. It was glued. ", ""},
		{"The machine heads are replacements and", "", "The text does not say that the tuners are not original: later replacement."},
		{"The machine heads are replacements", "The machine heads were never replaced", "the tuners are not original"},
		{"One neck pickup is silent, and", "", "The text leaves out the neck pickup: dead."},
		{"and the tone pot crackles", "", "The text leaves out the tone potentiometer: scratchy."},
		{"is contradicted by overspray", "fits the lacquer", "The text does not say that the claim “Colour never changed” is contradicted"},
		{" Two notes buzz.", " No notes buzz.", "2 of 132 positions tried do not speak cleanly"},
		{"We did not open the neck pocket and the cavity under the guard.", "", "not examined: Neck pocket and cavity under the guard"},
		{"The electronics were not inspected, and we did", "We did", "the condition of these parts was not inspected: electronics."},
		{"and we did not look whether they are original", "", "nobody judged whether these parts are original: electronics."},
		{"No UV lamp was used.", "", "ultraviolet light"},
	} {
		text := strings.Replace(told, c.cut, c.put, 1)
		if text == told {
			t.Fatalf("%q is not in the text", c.cut)
		}
		found := listing.Check(text, s, false)
		ok := c.want == "" && len(found) == 0
		for _, f := range found {
			ok = ok || c.want != "" && f.Sort == listing.LeftUntold && strings.Contains(f.Text, c.want)
		}
		if !ok {
			t.Errorf("without %q, with %q: %q is not among %v", c.cut, c.put, c.want, found)
		}
	}
	if n := len(listing.Check("", s, false)); n < 9 {
		t.Errorf("an empty text leaves out %d things", n)
	}
}

// What says more than the record is found, and what the record allows is not.
func TestTooMuch(t *testing.T) {
	s := edited(t)
	for text, why := range map[string]string{
		"All original!":                                   "the record has as not original: nut (period replacement), tuners (later replacement)",
		"It is 100% original.":                            "not original",
		"It has the original tuners.":                     "the tuners as later replacement",
		"The guitar is bone stock.":                       "not original",
		"Plays perfectly.":                                "2 of 132 positions",
		"There is no fret buzz.":                          "2 of 132 positions",
		"Everything works.":                               "the neck pickup as dead",
		"No cracks, breaks or repairs.":                   "these parts were not inspected: electronics",
		"Never broken.":                                   "mark 8 of the record is headstock break",
		"Structurally sound.":                             "mark 8",
		"A stunning guitar in mint condition.":            "praises",
		"A guaranteed authentic piece.":                   "no opinion on authenticity",
		"A good investment.":                              "not a valuation",
		"No dings.":                                       "mark 1 of the record is ding",
		"A 1974 Larkfoot.":                                "no document shows it",
		"The board is Brazilian rosewood.":                "a look does not tell",
		"One of 60.":                                      "that is claimed, and nothing shows it",
		"Colour never changed.":                           "what was found contradicts",
		"Condition 95 of 100.":                            "another figure",
		"It is 9.5/10.":                                   "another figure",
		"Plays well, all original.":                       "2 of 132 positions",
		"Not mint, but structurally sound.":               "mark 8",
		"No headstock break, although the paint is worn.": "these parts",
	} {
		hit := false
		for _, f := range listing.Check(text, s, false) {
			hit = hit || f.Sort == listing.TooMuch && strings.Contains(f.Text, why) && f.Quote != ""
		}
		if !hit && why != "these parts" {
			t.Errorf("%q: %q is not among %v", text, why, listing.Check(text, s, false))
		}
	}
	for _, text := range []string{"All original except the nut and the tuners.", "It is not all original.", "It does not play perfectly.", "It is far from mint; not mint at all.", "It is said to be from 1974.",
		"The board appears to be Brazilian rosewood.", "The seller says it is one of 60.", "The claim that the colour never changed is contradicted.", "Condition 69.1 of 60 points.", "The case is original.", "Never all original."} {
		for _, f := range listing.Check(text, s, false) {
			if f.Sort == listing.TooMuch && !strings.Contains(text, "far from") {
				t.Errorf("%q: %s", text, f.Text)
			}
		}
	}
}

// A serial number that is to be withheld is taken out of what is composed and
// found in what is typed, however it is parted.
func TestSerialWithheld(t *testing.T) {
	r := reporttest.Demo(0)
	r.Instrument.Serial = "A-41 873"
	r.NotExamined = append(r.NotExamined, "the plate with a41873 was not unscrewed")
	s := source(t, r)
	text := listing.Compose(s, true)
	if strings.Contains(text, "873") || !strings.Contains(text, listing.Withheld) || strings.Contains(text, "serial number reads") {
		t.Error(text)
	}
	if !strings.Contains(listing.Compose(s, false), "A-41 873") {
		t.Error("the serial number is not told where it may be")
	}
	for text, hit := range map[string]bool{"Number A41873.": true, "No. a 41-873": true, "BA41873": false, "A418735": false, "41873": false} {
		found := false
		for _, f := range listing.Check(text, s, true) {
			found = found || strings.Contains(f.Text, "to be withheld")
		}
		if found != hit {
			t.Errorf("%q: found %v", text, found)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	s := source(b, reporttest.Many(200, 0))
	text := listing.Compose(s, false)
	for b.Loop() {
		listing.Check(text, s, false)
	}
}
