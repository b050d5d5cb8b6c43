package prose

import (
	"slices"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

func (t *teller) originality(short bool) {
	text := originalitySentence(t.Grade)
	if !short {
		text = statesSentence(t.Grade)
	}
	rests := []Fact{fact(OfGrade, "originality")}
	for _, p := range t.Grade.NotOriginal {
		rests = append(rests, PartFact(p.Part))
	}
	t.say(Originality, 0, text, rests...)
}

// originalitySentence names the parts that are not original, or counts them.
func originalitySentence(g *grade.Result) string {
	if g.Originality == nil {
		return "Originality was not judged."
	}
	hedge := judgedHedge(g)
	switch n := len(g.NotOriginal); {
	case n == 0:
		return hedge + "no part was found that is not original."
	case n > 4:
		return hedge + number(n) + " parts are not original."
	}
	var names []string
	for _, p := range g.NotOriginal {
		names = append(names, clean(string(p.Part)))
	}
	return hedge + "the " + list(names) + verb(many(names...), " is", " are") + " not original; the rest appears to be."
}

func judgedHedge(g *grade.Result) string {
	if len(g.UnknownState) > 0 {
		return "As far as parts were judged, "
	}
	return ""
}

// statesSentence says what each part is that is not original: "Not original:
// nut (period replacement) and tuners (later replacement); the rest appears to
// be original."
func statesSentence(g *grade.Result) string {
	if g.Originality == nil || len(g.NotOriginal) == 0 {
		return originalitySentence(g)
	}
	var out []string
	for _, state := range record.States() {
		for _, p := range g.NotOriginal {
			if p.State == state {
				out = append(out, clean(string(p.Part))+" ("+string(state)+")")
			}
		}
	}
	rest := "; the rest appears to be original"
	if len(g.UnknownState) > 0 {
		rest = "; the rest, as far as it was judged, appears to be original"
	}
	if slices.IndexFunc(g.Parts, func(p grade.PartResult) bool { return p.Fitted && p.State == record.Original }) < 0 {
		rest = "" // nothing was called original
	}
	return "Not original: " + list(out) + rest + "."
}
