package prose

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/caution"
	"wornwood/capture/record"
)

func (t *teller) identity() {
	t.say(Identity, 0, nameSentence(t.Source), fact(OfEntry, "maker"), fact(OfEntry, "model"), fact(OfEntry, "class"), fact(OfEntry, "colour"))
	if !yearClaimed(t.Record) {
		t.say(Identity, 0, yearSentence(t.Record), YearFact)
	}
	t.say(Identity, 1, serialSentence(t.Record), SerialFact)
	t.say(Identity, 3, sizeSentence(t.Record), fact(OfEntry, "scale length"))
	t.say(Identity, 2, woodsSentence(t.Record), fact(OfEntry, "body"), fact(OfEntry, "neck"), fact(OfEntry, "fingerboard"))
	for _, m := range t.Record.Materials {
		if !inEntries(t.Record, m) {
			t.say(Identity, 2, materialSentence(t.Record, m), fact(OfMaterial, m.ID))
		}
	}
}

// Title is the line over a listing. A year in it is said, never known.
func Title(rec *record.Record) string {
	i := rec.Instrument
	out := clean(i.Title())
	if y := clean(i.Year); y != "" {
		out += ", said to be " + y
	}
	return out
}

// ClassWords says what kind of thing it is, from the class's name.
func ClassWords(s Source) string {
	out := clean(s.Record.Instrument.Class)
	if out == "" {
		out = s.Drawing.Class
	}
	if strings.HasPrefix(out, "solid-body") {
		out = strings.Replace(out, "solid-body", "solid-body electric", 1)
	}
	if c := clean(s.Record.Instrument.Colour); c != "" {
		out += ", " + lower(c)
	}
	return out
}

// nameSentence: "Halden & Rowe Larkfoot Standard: solid-body electric
// double-cutaway, sunburst, nitrocellulose."
func nameSentence(s Source) string {
	out := clean(s.Record.Instrument.Title()) + ": " + ClassWords(s)
	if c := clean(s.Record.Instrument.Coating); c != "" {
		out += ", " + lower(c)
	}
	return out + "."
}

func yearSentence(rec *record.Record) string {
	y := bare(rec.Instrument.Year)
	if y == "" {
		return ""
	}
	return "The year is said to be " + y + "."
}

// yearClaimed tells whether a claim says the same as the entry, with its
// standing.
func yearClaimed(rec *record.Record) bool {
	return slices.ContainsFunc(rec.Claims, func(c record.Claim) bool {
		return c.About == "year" && clean(c.Text) != "" && clean(c.Text) == clean(rec.Instrument.Year)
	})
}

func serialSentence(rec *record.Record) string {
	s := bare(rec.Instrument.Serial)
	if s == "" {
		return ""
	}
	return "The serial number reads " + s + "."
}

// sizeSentence names scale length, frets, strings, handedness and mass, as far
// as they were entered.
func sizeSentence(rec *record.Record) string {
	i := rec.Instrument
	var out []string
	if i.ScaleLength > 0 {
		out = append(out, "scale length "+record.Quantity{Value: i.ScaleLength}.String()+" mm")
	}
	if i.Frets > 0 {
		out = append(out, count(i.Frets, "fret", "frets"))
	}
	if i.Strings > 0 {
		out = append(out, count(i.Strings, "string", "strings"))
	}
	if i.LeftHanded {
		out = append(out, "left-handed")
	}
	if i.Mass > 0 {
		out = append(out, record.Quantity{Value: i.Mass}.String()+" kg")
	}
	if len(out) == 0 {
		return ""
	}
	return strings.Join(out, ", ") + "."
}

// woods are the entries that name what a part is made of.
func woods(rec *record.Record) [][2]string {
	i := rec.Instrument
	return [][2]string{{"body", i.Body}, {"neck", i.Neck}, {"fingerboard", i.Fingerboard}, {"inlays", i.Inlays}}
}

// woodsSentence: "The body appears to be alder, the neck to be maple." A look
// does not tell a species; a document does, and then it is named as one.
func woodsSentence(rec *record.Record) string {
	var looks, papers []string
	for _, w := range woods(rec) {
		what := lower(bare(w[1]))
		what = strings.TrimPrefix(strings.TrimPrefix(what, "appears to be "), "appear to be ")
		switch {
		case what == "" || w[0] == "inlays" && len(caution.Find(what)) == 0: // inlays are told by their shape, too
		case documentNames(rec, w[0], what):
			papers = append(papers, "the "+w[0]+" as "+what)
		case len(looks) == 0:
			looks = append(looks, "the "+w[0]+verb(many(w[0]), " appears", " appear")+" to be "+what)
		default:
			looks = append(looks, "the "+w[0]+" to be "+what)
		}
	}
	out := ""
	if len(looks) > 0 {
		out = upper(list(looks)) + "."
	}
	if len(papers) > 0 {
		out += " A document names " + list(papers) + "."
	}
	return out
}

// documentNames tells whether a document is attached for every material of
// legal weight that an entry names; without any nothing but a look is known.
func documentNames(rec *record.Record, on, what string) bool {
	found := caution.Find(what)
	for _, m := range found {
		if !slices.ContainsFunc(rec.Materials, func(x record.Material) bool {
			return x.Name == m.Name && strings.EqualFold(x.On, on) && caution.HasDocument(rec, x)
		}) {
			return false
		}
	}
	return len(found) > 0
}

// inEntries tells whether woodsSentence names the material already.
func inEntries(rec *record.Record, m record.Material) bool {
	for _, w := range woods(rec) {
		if strings.EqualFold(w[0], m.On) && slices.ContainsFunc(caution.Find(w[1]), func(f caution.Material) bool { return f.Name == m.Name }) {
			return true
		}
	}
	return false
}

func materialSentence(rec *record.Record, m record.Material) string {
	name := bare(m.Name)
	if k := caution.ByName(m.Name); k != nil {
		name = k.Called()
	}
	on := strings.TrimPrefix(bare(m.On), "the ")
	if on == "" {
		on = "a piece of it"
	} else {
		on = "the " + on
	}
	if caution.HasDocument(rec, m) {
		return fmt.Sprintf("A document names %s as %s.", on, name)
	}
	return fmt.Sprintf("%s %s to be %s; no document that says so is attached.", on, verb(many(on), "appears", "appear"), name)
}

// extras are what comes with it, as the form says or the list.
func (t *teller) extras() {
	rests := []Fact{fact(OfEntry, "with it")}
	for _, e := range t.Record.Extras {
		rests = append(rests, fact(OfExtra, e.ID))
	}
	t.say(Extras, 4, extrasSentence(t.Record), rests...)
}

func extrasSentence(rec *record.Record) string {
	if w := bare(rec.Instrument.WithIt); w != "" {
		return "With it: " + lower(w) + "."
	}
	var out []string
	for _, e := range annotate.SortedExtras(rec.Extras) {
		s := bare(e.What)
		if s == "" {
			s = bare(e.Kind)
		}
		if e.Number > 1 {
			s += fmt.Sprintf(" (%d)", e.Number)
		}
		if s != "" {
			out = append(out, lower(s)+stateOfExtra(e.State))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "With it: " + list(out) + "."
}

// stateOfExtra stands behind a thing that is not original.
func stateOfExtra(s record.State) string {
	switch s {
	case "", record.Original, record.NotSeen, record.NotFitted:
		return ""
	}
	return ", " + string(s)
}
