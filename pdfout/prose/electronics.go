package prose

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

func (t *teller) electronics() {
	list := electronics.Sorted(t.Record.Components)
	var rests, faulty []Fact
	for _, c := range list {
		rests = append(rests, fact(OfComponent, c.ID))
	}
	t.say(Electronics, 2, worksSentence(list), rests...)
	var found []electronics.Finding
	for _, f := range electronics.Check(t.Record, time.Time{}) {
		if f.Severity != electronics.Note {
			found = append(found, f)
			faulty = append(faulty, fact(OfComponent, f.Component))
		}
	}
	t.say(Electronics, 1, faultsSentence(found, Faulty(t.Record)), faulty...)
	t.say(Electronics, 2, scratchySentence(list), rests...)
	t.say(Electronics, 2, wiringSentence(t.Record.Wiring), fact(OfEntry, "wiring"))
}

// worksSentence counts what works and what was not tried.
func worksSentence(all []record.Component) string {
	works, untried := 0, 0
	for _, c := range all {
		switch c.Works {
		case "works":
			works++
		case "", "not tried":
			untried++
		}
	}
	if len(all) == 0 {
		return ""
	}
	n := count(len(all), "component", "components")
	if untried == len(all) {
		return n + " of the electronics" + verb(len(all) > 1, " is", " are") + " listed; none was tried."
	}
	s := "Of " + n + " of the electronics "
	if works == 0 {
		s += "none was found to work"
	} else {
		s += number(works) + verb(works > 1, " works", " work")
	}
	if untried > 0 {
		s += "; " + number(untried) + verb(untried > 1, " was", " were") + " not tried"
	}
	return s + "."
}

// mostFindings is how many findings are told beside those of a component that
// does not do what it should, which are always told; a report lists all.
const mostFindings = 6

func faultsSentence(found []electronics.Finding, faulty []record.Component) string {
	var out []string
	more := 0
	for _, f := range found {
		of := func(c record.Component) bool { return c.ID == f.Component }
		if len(out) >= mostFindings && !slices.ContainsFunc(faulty, of) {
			more++
			continue
		}
		out = append(out, lower(bare(f.Text)))
	}
	if len(out) == 0 {
		return ""
	}
	if more > 0 {
		out = append(out, fmt.Sprintf("and %s more", number(more)))
	}
	return "What deserves attention in the electronics: " + strings.Join(out, "; ") + "."
}

func scratchySentence(all []record.Component) string {
	var out []string
	for _, c := range all {
		if c.Works == "scratchy" {
			out = append(out, ComponentName(c))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Scratchy: " + list(out) + "."
}

func wiringSentence(w *record.Wiring) string {
	if w == nil {
		return ""
	}
	switch {
	case w.Seen == "not opened":
		return "The wiring was not opened."
	case w.Seen != "seen" || w.State == "" || w.State == record.NotSeen:
		return ""
	case w.State == record.Original:
		return "The wiring was seen and appears to be original."
	}
	return "The wiring was seen: " + string(w.State) + "."
}

// hasFault tells whether a component does not do what it should.
func hasFault(c record.Component) bool {
	return slices.Contains([]string{"scratchy", "at times", "dead"}, c.Works) || c.State == record.Missing
}

// Faulty are the components that do not do what they should.
func Faulty(rec *record.Record) []record.Component {
	var out []record.Component
	for _, c := range electronics.Sorted(rec.Components) {
		if hasFault(c) {
			out = append(out, c)
		}
	}
	return out
}

// ComponentName is what a component is called within a sentence.
func ComponentName(c record.Component) string { return lower(clean(electronics.Name(c))) }
