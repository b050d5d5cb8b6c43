package archive

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"wornwood/annotate/compare"
	"wornwood/capture/record"
)

// weighing collects what speaks for and against two reports being of one
// instrument.
type weighing struct {
	a, b *Look // b's report is the candidate
	out  Proposal
	own  bool
	sums map[string]float64
}

// Weigh compares two examinations by the rules of INSTRUMENTS.md. Both looks must
// have been read.
func Weigh(a, b *Look) Proposal {
	w := &weighing{a: a, b: b, out: Proposal{Report: b.Report, For: []Evidence{}, Against: []Evidence{}}, sums: map[string]float64{}}
	w.serial()
	w.named()
	w.maker()
	w.figures()
	w.years()
	w.colour()
	w.photos()
	w.codes()
	w.marks()
	w.out.Points = math.Round(w.out.Points*100) / 100
	w.out.Strength = strengthOf(w.out.Points, w.own)
	for _, list := range [][]Evidence{w.out.For, w.out.Against} {
		slices.SortStableFunc(list, func(x, y Evidence) int { return -cmp.Compare(math.Abs(x.Points), math.Abs(y.Points)) })
	}
	return w.out
}

// add counts a rule once, scaled, up to what it may count together.
func (w *weighing) add(id string, share float64, format string, args ...any) {
	r := ruleOf(id)
	points := r.Points * share
	if r.Most != 0 {
		left := r.Most - w.sums[id]
		if points > 0 {
			points = max(0, min(points, left))
		} else {
			points = min(0, max(points, left))
		}
	}
	w.sums[id] += points
	points = math.Round(points*100) / 100
	w.out.Points += points
	e := Evidence{id, capital(fmt.Sprintf(format, args...)), points}
	if r.Points < 0 {
		w.out.Against = append(w.out.Against, e)
		return
	}
	w.own = w.own || (r.Own && points > 0)
	w.out.For = append(w.out.For, e)
}

func (w *weighing) serial() {
	a, b := w.a.Report.Serial, w.b.Report.Serial
	ka, kb := SerialKey(a), SerialKey(b)
	if ka == "" || kb == "" {
		return
	}
	both := fmt.Sprintf("“%s” and “%s”", clean(a, 40), clean(b, 40))
	switch Nearness(ka, kb) {
	case SerialSame:
		if len(ka) >= 4 && sameName(w.a.Report.Maker, w.b.Report.Maker) {
			w.add("serial same", 1, "the serial number is the same, %s.", clean(b, 40))
			return
		}
		w.add("serial same, short", 1, "the serial number is the same, %s; short ones, and those of other makers, repeat.", clean(b, 40))
	case SerialSlip:
		w.add("serial slip", 1, "the serial numbers %s differ as a misread or mistyped one does.", both)
	case SerialOneOff:
		w.add("serial one off", 1, "the serial numbers %s differ in one character.", both)
	case SerialNeighbor:
		w.add("serial neighbours", 1, "the serial numbers %s are neighbours, as those of two instruments of one run.", both)
	default:
		w.add("serial other", 1, "the serial numbers %s are different.", both)
	}
}

func sameName(a, b string) bool { return fold(a) != "" && fold(a) == fold(b) }

func (w *weighing) named() {
	a, b := w.a.Report, w.b.Report
	_, ida := groupParts(groupOf(a.Key, a.Instrument))
	_, idb := groupParts(groupOf(b.Key, b.Instrument))
	if ida != "" && ida == idb {
		w.add("instrument id", 1, "both records carry the same number of the instrument on a bench; they are signed with different keys.")
	}
	for _, p := range [][2]*Look{{w.a, w.b}, {w.b, w.a}} {
		if n := p[1].Report.Number; distinctive(n) && slices.Contains(namedIn(p[0]), n) {
			w.add("named", 1, "the record of %s names report %s, which is the number of the other.", p[0].Report.Date, clean(n, 40))
			return
		}
	}
}

func (w *weighing) maker() {
	a, b := w.a.Report, w.b.Report
	switch known := fold(a.Maker) != "" && fold(b.Maker) != ""; {
	case known && fold(a.Maker) != fold(b.Maker):
		w.add("maker other", 1, "the makers differ: %s, %s.", clean(a.Maker, 60), clean(b.Maker, 60))
	case known && sameName(a.Model, b.Model):
		w.add("model same", 1, "both are called %s; so are all of that model.", clean(b.Maker+" "+b.Model, 80))
	case known && fold(a.Model) != "" && fold(b.Model) != "":
		w.add("model other", 1, "the models differ: %s, %s.", clean(a.Model, 60), clean(b.Model, 60))
	case known:
		w.add("maker same", 1, "the maker is the same, %s.", clean(b.Maker, 60))
	}
	if a.Class != "" && b.Class != "" && a.Class != b.Class {
		w.add("class other", 1, "the classes differ: %s, %s.", clean(a.Class, 60), clean(b.Class, 60))
	}
}

// massNear is how close two weighings of one instrument usually are, kg.
const massNear = 0.04

func (w *weighing) figures() {
	a, b := &w.a.rec.Instrument, &w.b.rec.Instrument
	if a.LeftHanded != b.LeftHanded {
		w.add("hand other", 1, "one is left-handed.")
	}
	if a.Strings > 0 && b.Strings > 0 && a.Strings != b.Strings {
		w.add("strings other", 1, "%d and %d strings.", a.Strings, b.Strings)
	}
	if a.Frets > 0 && b.Frets > 0 && a.Frets != b.Frets {
		w.add("frets other", 1, "%d and %d frets.", a.Frets, b.Frets)
	}
	if a.ScaleLength > 0 && b.ScaleLength > 0 {
		if math.Abs(a.ScaleLength-b.ScaleLength) <= compare.ScaleWithin {
			w.add("scale same", 1, "the scale lengths agree: %.5g and %.5g mm.", a.ScaleLength, b.ScaleLength)
		} else {
			w.add("scale other", 1, "the scale lengths differ: %.5g and %.5g mm.", a.ScaleLength, b.ScaleLength)
		}
	}
	if a.Mass > 0 && b.Mass > 0 {
		switch d := math.Abs(a.Mass - b.Mass); {
		case d <= massNear+1e-9:
			w.add("weight same", 1, "the weights agree: %.4g and %.4g kg.", a.Mass, b.Mass)
		case d > compare.MassWithin:
			w.add("weight other", 1, "the weights differ: %.4g and %.4g kg.", a.Mass, b.Mass)
		}
	}
}

func (w *weighing) years() {
	a, b := w.a.Report, w.b.Report
	if a.YearTo == 0 || b.YearTo == 0 {
		return
	}
	if a.YearFrom <= b.YearTo && b.YearFrom <= a.YearTo {
		w.add("years touch", 1, "the claimed years touch: %s and %s.", clean(a.Year, 40), clean(b.Year, 40))
		return
	}
	w.add("years apart", 1, "the claimed years do not touch: %s and %s.", clean(a.Year, 40), clean(b.Year, 40))
}

func (w *weighing) colour() {
	a, b := w.a.rec.Instrument.Colour, w.b.rec.Instrument.Colour
	switch {
	case fold(a) == "" || fold(b) == "":
	case fold(a) == fold(b):
		w.add("colour same", 1, "the colour is the same, %s.", strings.ToLower(clean(b, 60)))
	case !refinished(w.a.rec) && !refinished(w.b.rec):
		w.add("colour other", 1, "the colours differ, %s and %s, and neither record lists a refinish.", strings.ToLower(clean(a, 60)), strings.ToLower(clean(b, 60)))
	}
}

func refinished(r *record.Record) bool {
	return slices.ContainsFunc(r.Parts, func(p record.Part) bool { return p.State == record.Refinished })
}

func (w *weighing) photos() {
	for _, p := range w.a.rec.Photos {
		if q := w.b.rec.PhotoByID(p.ID); q != nil {
			w.add("photo", 1, "both list the same photo file, %s.", clean(q.Name, 60))
			return
		}
	}
}

func (w *weighing) codes() {
	seen := map[string]bool{}
	for _, c := range w.a.rec.Components {
		if key := SerialKey(c.Code); len(key) >= 4 {
			seen[key] = true
		}
	}
	for _, c := range w.b.rec.Components {
		if key := SerialKey(c.Code); seen[key] {
			delete(seen, key)
			w.add("code", 1, "the %s carries the same code, %s.", clean(strings.TrimSpace(c.Place+" "+string(c.Kind)), 60), clean(c.Code, 40))
		}
	}
}
