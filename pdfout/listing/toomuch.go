package listing

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate/caution"
	"wornwood/capture/record"
	"wornwood/pdfout/prose"
)

// over is a rule about words that may claim more than the record holds: why is
// the reason, "" where the record allows them.
type over struct {
	phrases []string
	why     string
	but     bool // an exception named in the same sentence makes it right
	fact    prose.Fact
}

// reader looks for what says too much.
type reader struct {
	s     prose.Source
	found []Finding
}

func tooMuch(text string, ss []sentence, s prose.Source, noSerials bool) []Finding {
	r := &reader{s: s}
	rules := r.rules()
	for _, x := range ss {
		plain := withoutClaims(x, s.Record)
		for _, o := range rules {
			r.apply(o, plain)
		}
		r.year(x)
		r.materials(x)
		r.claims(x)
		r.figures(x)
	}
	if serial := s.Record.Instrument.Serial; noSerials && len(serialPlaces(text, serial)) > 0 {
		r.add("", serial, "the serial number is to be withheld")
	}
	return r.found
}

func (r *reader) add(f prose.Fact, quote, why string) {
	quote = strings.Join(strings.Fields(quote), " ")
	x := Finding{TooMuch, f, "“" + quote + "”: " + why + ".", quote}
	if !slices.Contains(r.found, x) {
		r.found = append(r.found, x)
	}
}

// withoutClaims takes the quoted words of claims out of a sentence: they are
// told as somebody's.
func withoutClaims(x sentence, rec *record.Record) sentence {
	text := x.text
	for _, c := range rec.Claims {
		if q := prose.Quoted(c.Text); len(q) > 6 {
			text = strings.ReplaceAll(text, q, "the claim")
		}
	}
	if text == x.text {
		return x
	}
	return sentence{text, tokenize(text), x.block}
}

func (r *reader) apply(o over, x sentence) {
	if o.why == "" {
		return
	}
	for _, p := range o.phrases {
		i := find(x.tokens, p, 0)
		if i < 0 || denied(x.tokens, i) {
			continue
		}
		if o.but && says(x.tokens[i:], []string{"except", "excepting", "but", "apart from", "other than", "aside from", "save for", "besides"}, false) {
			continue
		}
		n := len(strings.Fields(p))
		var quote []string
		for _, t := range x.tokens[i : i+n] {
			quote = append(quote, t.word)
		}
		r.add(o.fact, strings.Join(quote, " "), o.why)
		return
	}
}

// rules are those of this record.
func (r *reader) rules() []over {
	return slices.Concat(r.originality(), r.structure(), r.works(), []over{
		{phrases: praise, why: "that praises, and nothing in the record says so"},
		{phrases: []string{"like new", "as new", "brand new", "new old stock", "holy grail", "must have", "best of", "near mint", "very good", "top condition", "museum quality", "plays like a dream"}, why: "that praises, and nothing in the record says so"},
		{phrases: []string{"authentic*", "genuine*", "guarantee*", "certified"}, why: "a condition report is no opinion on authenticity and guarantees nothing; that belongs to qualified experts"},
		{phrases: []string{"investment", "market value", "valued at", "appraised", "worth every"}, why: "a condition report is not a valuation"},
	})
}

func (r *reader) originality() []over {
	g := r.s.Grade
	why := ""
	var not []string
	for _, p := range g.NotOriginal {
		not = append(not, string(p.Part)+" ("+string(p.State)+")")
	}
	switch {
	case len(not) > 0:
		why = "the record has as not original: " + strings.Join(not, ", ")
	case g.Originality == nil:
		why = "originality was not judged"
	case len(g.UnknownState) > 0:
		why = "nobody judged whether these are original: " + joinParts(g.UnknownState)
	}
	out := []over{{but: true, why: why, fact: "grade originality", phrases: []string{"all original", "all parts original", "all parts are original", "fully original", "completely original", "entirely original", "totally original",
		"wholly original", "100 original", "100 percent original", "original throughout", "everything original", "everything is original", "bone stock", "all stock", "completely stock", "untouched", "unmodified",
		"no modifications", "never modified", "no replaced parts", "no replacements", "nothing replaced", "nothing has been replaced", "nothing was replaced", "nothing changed"}}}
	finish := ""
	for _, p := range g.NotOriginal {
		o := over{why: "the record has the " + string(p.Part) + " as " + string(p.State), fact: prose.PartFact(p.Part)}
		for _, w := range wordsOfPart(p.Part) {
			o.phrases = append(o.phrases, "original "+w, w+" is original", w+" are original", w+" all original", "unchanged "+w)
		}
		out = append(out, o)
		if p.State == record.Refinished {
			finish = o.why
		}
	}
	for _, p := range g.UnknownState {
		if finish == "" && strings.Contains(string(p), "finish") {
			finish = "nobody judged whether the " + string(p) + " is original"
		}
	}
	return append(out, over{phrases: []string{"never refinished", "not refinished", "no refinish", "unrefinished", "no overspray", "original finish", "original lacquer", "original varnish"}, why: finish, fact: "grade originality"})
}

func joinParts(parts []record.PartID) string {
	out := make([]string, len(parts))
	for i, p := range parts {
		out[i] = string(p)
	}
	return strings.Join(out, ", ")
}

// marked is why a text may not say that there is nothing of the kind: the first
// mark that is.
func (r *reader) marked(is func(m *record.Mark) bool) (why string, f prose.Fact) {
	for i := range r.s.Record.Marks {
		if m := &r.s.Record.Marks[i]; is(m) {
			return fmt.Sprintf("mark %d of the record is %s", m.Number, m.Kind), prose.MarkFact(m.Number)
		}
	}
	return "", ""
}

func kindHas(words ...string) func(m *record.Mark) bool {
	return func(m *record.Mark) bool {
		return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(string(m.Kind), w) })
	}
}

func (r *reader) structure() []over {
	var out []over
	rule := func(unseen bool, is func(m *record.Mark) bool, phrases ...string) {
		why, f := r.marked(is)
		if why == "" && unseen && len(r.s.Grade.NotInspected) > 0 {
			why = "these parts were not inspected: " + joinParts(r.s.Grade.NotInspected)
		}
		out = append(out, over{phrases: phrases, why: why, fact: f, but: true})
	}
	any := func(*record.Mark) bool { return true }
	repaired := func(m *record.Mark) bool { return prose.IsRepair(m) || m.Kind == "touch-up" || m.Kind == "overspray" }
	rule(true, kindHas("crack"), "no cracks", "no crack", "crack free", "free of cracks", "free from cracks", "without cracks", "never cracked", "uncracked", "not cracked")
	rule(true, kindHas("break", "broken"), "no breaks", "no break", "never broken", "unbroken", "not broken", "no headstock break", "no cracks or breaks", "no breaks or repairs")
	rule(true, repaired, "no repairs", "no repair", "never repaired", "unrepaired", "without repairs", "free of repairs", "no restoration", "no touch ups", "no cracks or repairs", "no breaks or repairs")
	rule(true, r.s.IsGrave, "structurally sound", "structurally perfect", "structurally solid", "no structural issues", "no structural problems", "no structural damage", "no issues", "no problems", "no damage", "no faults",
		"needs nothing", "no work needed", "rock solid")
	rule(true, kindHas("warp", "twist"), "straight neck", "neck is straight", "neck is dead straight", "no warp", "no twist")
	rule(true, kindHas("worm"), "no worm", "no woodworm", "free of worm")
	rule(true, kindHas("fret wear", "flat spot"), "no fret wear", "frets like new", "no wear to the frets", "plenty of fret life", "full frets")
	rule(true, kindHas("seam"), "seams tight", "no open seams", "all seams closed", "all seams tight")
	rule(false, any, "no marks", "no flaws", "no blemishes", "no wear", "unmarked", "no signs of wear", "no signs of use", "no scratches or dings", "without a mark")
	for _, k := range []string{"ding", "dent", "scratch", "chip", "fade", "fading", "check"} {
		stem := strings.TrimSuffix(k, "ing")
		if k == "ding" {
			stem = "ding"
		}
		rule(true, kindHas(stem), "no "+k, "no "+k+"s", "no "+k+"es", "no finish "+k+"s", "no "+k+"ing")
	}
	return out
}

func (r *reader) works() []over {
	play := ""
	switch g := r.s.Grade.Playing; {
	case r.s.Drawing.Fretless && g.Tried == 0:
		play = "nothing in the record says how it plays"
	case g.Tried == 0:
		play = "it was not played"
	case g.Clean < g.Tried:
		play = fmt.Sprintf("%d of %d positions tried do not speak cleanly", g.Tried-g.Clean, g.Tried)
	case g.Tried < g.Total:
		play = fmt.Sprintf("only %d of %d positions were tried", g.Tried, g.Total)
	}
	for _, x := range r.s.Grade.Playing.Readings {
		if play == "" && x.Outside {
			play = "a reading is outside the usual range: " + x.Reading
		}
	}
	works := ""
	untried := 0
	for _, c := range r.s.Record.Components {
		if c.Works == "" || c.Works == "not tried" {
			untried++
		}
	}
	switch f := prose.Faulty(r.s.Record); {
	case len(f) > 0:
		works = "the record has the " + prose.ComponentName(f[0]) + " as " + strings.TrimSpace(f[0].Works+verbIf(f[0].State == record.Missing, " missing"))
	case untried > 0:
		works = fmt.Sprintf("%d of %d components were not tried", untried, len(r.s.Record.Components))
	case len(r.s.Record.Components) == 0:
		works = "no component of the electronics was recorded as working"
	}
	if why, _ := r.marked(kindHas("dead", "scratchy", "weak", "loose jack", "loose wire", "battery")); why != "" && works == "" {
		works = why
	}
	return []over{
		{why: play, fact: "grade playing", phrases: []string{"plays perfectly", "plays flawlessly", "plays great", "plays beautifully", "plays well", "plays superbly", "plays easily", "plays clean everywhere", "plays cleanly everywhere",
			"plays clean all over", "plays in tune", "no buzz", "no buzzing", "no fret buzz", "no dead spots", "no dead notes", "buzz free", "without buzz", "no choking", "perfect action", "plays as it should", "ready to play"}},
		{why: works, phrases: []string{"everything works", "everything is working", "all works", "all electronics work", "electronics work", "electronics are working", "all pickups work", "all controls work", "fully working",
			"fully functional", "full working order", "perfect working order", "good working order", "working order", "works perfectly", "works as it should", "no electrical issues", "electronics perfect"}},
	}
}

func verbIf(ok bool, s string) string {
	if ok {
		return s
	}
	return ""
}

var yearFigures = regexp.MustCompile(`\b1[0-9]{3}\b|\b20[0-9]{2}\b`)

// year: a claimed year stands without a hedge only where a paper shows it.
func (r *reader) year(x sentence) {
	rec := r.s.Record
	claimed := yearFigures.FindAllString(rec.Instrument.Year, -1)
	for _, c := range rec.Claims {
		if c.About != "year" {
			continue
		}
		years := yearFigures.FindAllString(c.Text, -1)
		if c.Standing == record.Documented {
			claimed = slices.DeleteFunc(claimed, func(y string) bool { return slices.Contains(years, y) })
		} else {
			claimed = append(claimed, years...)
		}
	}
	for _, y := range claimed {
		if find(x.tokens, y, 0) < 0 || says(x.tokens, hedges, false) {
			continue
		}
		why := "the year is claimed, and no document shows it; say that it is said to be so"
		if slices.ContainsFunc(prose.YearsContradicted(r.s), func(c string) bool { return strings.Contains(c, y) }) {
			why = "the dated evidence does not allow the claimed year"
		}
		r.add(prose.YearFact, y, why)
	}
}

// materials: a look does not tell a species.
func (r *reader) materials(x sentence) {
	if says(x.tokens, hedges, false) || says(x.tokens, []string{"document*", "not"}, false) {
		return
	}
	for _, m := range caution.Find(x.text) {
		if !slices.ContainsFunc(r.s.Record.Materials, func(k record.Material) bool { return k.Name == m.Name && caution.HasDocument(r.s.Record, k) }) {
			r.add("", m.Name, "a look does not tell what a material is; say that it appears to be so")
		}
	}
}

// claims: what somebody says is told as theirs, what was refuted as refuted.
func (r *reader) claims(x sentence) {
	for _, c := range r.s.Record.Claims {
		words := plainWords(c.Text)
		if c.Standing == record.Documented || c.Standing == record.Seen || c.About == "year" || len(words) < 2 || find(x.tokens, strings.Join(words, " "), 0) < 0 {
			continue
		}
		switch {
		case c.Standing == record.Contradicted && !says(x.tokens, refuted, false):
			r.add(prose.ClaimFact(c.ID), c.Text, "what was found contradicts that claim")
		case !says(x.tokens, hedges, false):
			r.add(prose.ClaimFact(c.ID), c.Text, "that is claimed, and nothing shows it; say who says so")
		}
	}
}

var outOf = regexp.MustCompile(`(?i)\b([0-9]+(?:\.[0-9]+)?)\s*(?:of|out of|/)\s*(100|10)\b`)

// figures: one out of a hundred must be the index or the originality.
func (r *reader) figures(x sentence) {
	g := r.s.Grade
	for _, m := range outOf.FindAllStringSubmatch(x.text, -1) {
		v, err := strconv.ParseFloat(m[1], 64)
		if err != nil || m[2] == "100" && g.Playing.Total == 100 {
			continue
		}
		ok := false
		for _, p := range []*float64{g.Index, g.Originality} {
			ok = ok || p != nil && m[2] == "100" && (fmt.Sprintf("%.1f", *p) == fmt.Sprintf("%.1f", v) || fmt.Sprintf("%.0f", *p) == m[1])
		}
		if !ok {
			r.add("grade condition", m[0], "the report gives another figure")
		}
	}
}
