package listing

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/prose"
)

// Sort says what kind of thing a check found.
type Sort string

// The sorts of finding.
const (
	LeftUntold Sort = "left out" // the report says it, the text does not
	TooMuch    Sort = "too much" // the text says more than the record
)

// Finding is one thing that a check of a text found.
type Finding struct {
	Sort  Sort       `json:"sort"`
	Fact  prose.Fact `json:"fact,omitempty"`  // that is left out or spoken against; "" where it is about the words alone
	Text  string     `json:"text"`            // a whole sentence for a person
	Quote string     `json:"quote,omitempty"` // the words of the text that say too much
}

// demand is a fact that a text has to tell. It is told by a sentence that has a
// word of every group; a group that is near may be in the sentence beside.
type demand struct {
	fact   prose.Fact
	text   string // what to say when it is left out
	groups []group
	half   []string // words of which half must be there
}

type group struct {
	words   []string
	plainly bool // denied words do not count
	near    bool
}

// Check compares a text with the record: first what the report says and the
// text leaves out, then where the text says more than the record holds. It goes
// by words and so can err either way; it decides nothing.
func Check(text string, s prose.Source, noSerials bool) []Finding {
	ss := sentences(text)
	var out []Finding
	for _, d := range demands(s) {
		if !d.told(ss) {
			out = append(out, Finding{Sort: LeftUntold, Fact: d.fact, Text: d.text})
		}
	}
	return append(merged(out), tooMuch(text, ss, s, noSerials)...)
}

func (d demand) told(ss []sentence) bool {
	for i := range ss {
		if d.toldIn(ss, i) {
			return true
		}
	}
	return false
}

func (d demand) toldIn(ss []sentence, i int) bool {
	if len(d.half) > 0 && !shares(ss[i].tokens, d.half) {
		return false
	}
	for _, g := range d.groups {
		ok := says(ss[i].tokens, g.words, g.plainly)
		if g.near && !ok {
			ok = i > 0 && ss[i-1].block == ss[i].block && says(ss[i-1].tokens, g.words, g.plainly) ||
				i+1 < len(ss) && ss[i+1].block == ss[i].block && says(ss[i+1].tokens, g.words, g.plainly)
		}
		if !ok {
			return false
		}
	}
	return true
}

// partsMark stands in a demand's text before the name of a part; demands that
// say the same of several parts become one finding.
const partsMark = "\x00"

// merged joins findings that differ only in the part that they name.
func merged(list []Finding) []Finding {
	var out []Finding
	at := map[string]int{}
	names := map[string][]string{}
	for _, f := range list {
		head, part, ok := strings.Cut(f.Text, partsMark)
		if !ok {
			out = append(out, f)
			continue
		}
		if _, seen := at[head]; !seen {
			at[head] = len(out)
			out = append(out, f)
		}
		names[head] = append(names[head], part)
		out[at[head]].Text = head + strings.Join(names[head], ", ") + "."
	}
	return out
}

// demands are the facts that a text has to tell, the gravest first.
func demands(s prose.Source) []demand {
	var out []demand
	for i := range s.Record.Marks {
		if m := &s.Record.Marks[i]; s.IsGrave(m) {
			out = append(out, markDemand(s, m))
		}
	}
	for _, p := range s.Grade.NotOriginal {
		out = append(out, demand{fact: prose.PartFact(p.Part), text: fmt.Sprintf("The text does not say that the %s: %s.", verbOf(p.Part), p.State),
			groups: []group{{words: wordsOfPart(p.Part)}, {words: changedWords[p.State], plainly: p.State != record.Missing}}})
	}
	for i := range s.Record.Claims {
		if c := &s.Record.Claims[i]; c.Standing == record.Contradicted && strings.TrimSpace(c.Text) != "" {
			out = append(out, claimDemand(c))
		}
	}
	out = append(out, faultDemands(s)...)
	return append(out, gapDemands(s)...)
}

func verbOf(p record.PartID) string {
	if strings.HasSuffix(string(p), "s") || strings.Contains(string(p), " and ") {
		return string(p) + " are not original"
	}
	return string(p) + " is not original"
}

func markDemand(s prose.Source, m *record.Mark) demand {
	d := demand{fact: prose.MarkFact(m.Number), text: fmt.Sprintf("The text leaves out mark %d, %s", m.Number, m.Kind)}
	if w := prose.Where(s.Drawing, m); w != "" {
		d.text += " (" + strings.ToLower(w[:1]) + w[1:] + ")"
	}
	d.text += "."
	for _, g := range wordsOfKind(m.Kind) {
		d.groups = append(d.groups, group{words: g, plainly: true})
	}
	if l := s.Grade.Line(m.Number); l != nil && len(l.Parts) > 0 {
		where := []string{fmt.Sprintf("mark %d", m.Number)}
		for _, p := range l.Parts {
			where = append(where, wordsOfPart(p)...)
		}
		d.groups = append(d.groups, group{words: where})
	}
	if prose.IsRepair(m) {
		d.groups = append(d.groups, group{words: repairWords, plainly: true, near: true})
		d.text = strings.TrimSuffix(d.text, ".") + ", or that it was repaired."
	}
	return d
}

func claimDemand(c *record.Claim) demand {
	words := content(c.Text)
	if len(words) == 0 {
		words = content(c.About)
	}
	d := demand{fact: prose.ClaimFact(c.ID), text: "The text does not say that the claim “" + c.Text + "” is contradicted by what was found.", groups: []group{{words: refuted}}}
	if len(words) > 0 {
		d.half = words
	}
	return d
}

// faultDemands are what does not work and what does not speak cleanly.
func faultDemands(s prose.Source) []demand {
	var out []demand
	for _, c := range prose.Faulty(s.Record) {
		how := c.Works
		words := [][]string{wordsOfComponent(c), {"scratch*", "crackl*", "nois*"}}
		switch {
		case c.State == record.Missing:
			how, words[1] = "missing", goneWords
		case c.Works == "dead":
			words[1] = deadWords
		case c.Works == "at times":
			how, words[1] = "works at times only", []string{"at times", "intermittent*", "cuts out", "sometimes", "comes and goes"}
		}
		out = append(out, demand{fact: prose.Fact(prose.OfComponent + " " + c.ID), text: fmt.Sprintf("The text leaves out the %s: %s.", prose.ComponentName(c), how),
			groups: []group{{words: words[0]}, {words: words[1], plainly: true}}})
	}
	if g := s.Grade.Playing; g.Tried > g.Clean {
		out = append(out, demand{fact: "grade playing", text: fmt.Sprintf("The text leaves out that %d of %d positions tried do not speak cleanly.", g.Tried-g.Clean, g.Tried),
			groups: []group{{words: []string{"buzz*", "chok*", "dead", "plays clean at", "do not speak", "does not speak", "fret out", "frets out"}, plainly: true}}})
	}
	return out
}

func wordsOfComponent(c record.Component) []string {
	out := []string{strings.Join(plainWords(prose.ComponentName(c)), " ")}
	switch c.Kind {
	case record.PotComponent:
		out = append(out, "pot", "pots", "potentiometer*", "control*", "volume", "tone")
	case record.PreampComponent:
		out = append(out, "preamp*")
	case record.OtherComponent:
		out = append(out, "component*")
	default:
		out = append(out, string(c.Kind)+"*")
	}
	return out
}

// gapDemands are what nobody looked at.
func gapDemands(s prose.Source) []demand {
	var out []demand
	for i, own := range s.Record.NotExamined {
		if words := content(own); len(words) > 0 {
			out = append(out, demand{fact: prose.GapFact(i + 1), text: "The text leaves out that this was not examined: " + strings.TrimRight(strings.TrimSpace(own), ".") + ".", half: words, groups: []group{{words: notLooked}}})
		}
	}
	for _, p := range s.Grade.NotInspected {
		out = append(out, demand{fact: prose.PartFact(p), text: "The text does not say that the condition of these parts was not inspected: " + partsMark + string(p),
			groups: []group{{words: wordsOfPart(p)}, {words: notLooked}}})
	}
	for _, p := range s.Grade.UnknownState {
		out = append(out, demand{fact: prose.PartFact(p), text: "The text does not say that nobody judged whether these parts are original: " + partsMark + string(p),
			groups: []group{{words: wordsOfPart(p)}, {words: notLooked}, {words: []string{"origin*", "replac*", "not seen", "not examined", "not opened", "unknown"}}}})
	}
	if g := s.Grade.Playing; g.Tried < g.Total {
		text := fmt.Sprintf("The text leaves out that %d of %d positions were not tried.", g.Total-g.Tried, g.Total)
		out = append(out, demand{fact: "grade playing", text: text, groups: []group{{words: []string{"not tried", "untried", "not played", "unplayed", "no position", "not tested", "positions tried"}}}})
	}
	for _, x := range prose.Gaps(s) {
		switch {
		case slices.Contains(x.Rests, prose.OpeningFact):
			out = append(out, demand{fact: prose.OpeningFact, text: "The text leaves out: " + x.Text, groups: []group{{words: []string{"open*", "unopened"}}, {words: notLooked}}})
		case slices.Contains(x.Rests, prose.UltravioletFact):
			out = append(out, demand{fact: prose.UltravioletFact, text: "The text leaves out that no part was judged under ultraviolet light.",
				groups: []group{{words: []string{"ultraviolet", "uv", "black light", "blacklight"}}, {words: append([]string{"no"}, notLooked...)}}})
		}
	}
	return out
}
