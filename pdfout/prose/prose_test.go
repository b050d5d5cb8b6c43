package prose_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/prose"
	"wornwood/pdfout/reporttest"
)

type fataler interface {
	Helper()
	Fatal(args ...any)
}

// source grades a record and makes it a source of sentences.
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

// praise are words that no composed sentence uses. From reading what sellers
// write: common practice, no published source.
var praise = regexp.MustCompile(`(?i)\b(mint|excellent|stunning|rare|rarely|gorgeous|beautiful|amazing|fantastic|superb|pristine|immaculate|perfect|perfectly|flawless|holy grail|killer|` +
	`monster|incredible|wonderful|great|greatest|lovely|collectible|collector|investment|legendary|iconic|vintage|museum|must|best|finest|unique|exceptional|outstanding|near mint|very good|good|fine|as new|like new|` +
	`authentic|genuine|guaranteed|desirable|sought|player's|bargain|magnificent|sublime|magical|!)\b|!`)

// ill are marks of a sentence put together badly.
var ill = regexp.MustCompile(`  |\.\.| \.| ,|,,|;;|\(\)|“”|%!|: ?\.|\n|^\s|\s$`)

// madeIn gives an instrument a year or says that a claim is so.
var madeIn = regexp.MustCompile(`(?i)\b(made|built|manufactured|dates) (in|from)\b`)

// Whatever a record holds, its sentences do not praise, are well set, rest on
// facts, and never give the instrument a year.
func TestRandomRecords(t *testing.T) {
	if !praise.MatchString("A stunning guitar.") || !praise.MatchString("Plays well!") || !ill.MatchString("a  b") || !madeIn.MatchString("made in 1974") {
		t.Fatal("the patterns find nothing")
	}
	rapid.Check(t, func(t *rapid.T) {
		s := source(t, reporttest.Random(t, grade.Default().Kinds()))
		full := append(prose.Full(s), prose.Gaps(s)...)
		for _, list := range [][]prose.Sentence{full, prose.Lead(s), prose.Listing(s)} {
			for _, x := range list {
				if m := praise.FindString(x.Text); m != "" {
					t.Fatalf("praises with %q: %s", m, x.Text)
				}
				if m := ill.FindString(x.Text); m != "" {
					t.Fatalf("ill set at %q: %q", m, x.Text)
				}
				if madeIn.MatchString(x.Text) {
					t.Fatalf("gives a year: %s", x.Text)
				}
				if !strings.HasSuffix(x.Text, ".") || x.Text[:1] != strings.ToUpper(x.Text[:1]) || len(x.Rests) == 0 {
					t.Fatalf("no whole sentence, or without facts: %q %v", x.Text, x.Rests)
				}
			}
		}
		carriesWhatMatters(t, s)
	})
}

// carriesWhatMatters: the full text and the listing tell every grave mark, every
// part that is not original and every claim; the full text and gaps everything
// that was not examined. A fact that no sentence rests on was left out.
func carriesWhatMatters(t *rapid.T, s prose.Source) {
	facts := func(list []prose.Sentence) map[prose.Fact]bool {
		out := map[prose.Fact]bool{}
		for _, x := range list {
			for _, f := range x.Rests {
				out[f] = true
			}
		}
		return out
	}
	for name, have := range map[string]map[prose.Fact]bool{"full": facts(prose.Full(s)), "listing": facts(prose.Listing(s))} {
		for i := range s.Record.Marks {
			if m := &s.Record.Marks[i]; s.IsGrave(m) && !have[prose.MarkFact(m.Number)] {
				t.Fatalf("%s leaves out mark %d, %s", name, m.Number, m.Kind)
			}
		}
		for _, p := range s.Grade.NotOriginal {
			if !have[prose.PartFact(p.Part)] {
				t.Fatalf("%s leaves out %s", name, p.Part)
			}
		}
		for _, c := range s.Record.Claims {
			if strings.TrimSpace(c.Text) != "" && !have[prose.ClaimFact(c.ID)] {
				t.Fatalf("%s leaves out the claim %q", name, c.Text)
			}
		}
	}
	listed := facts(prose.Listing(s))
	for _, p := range slices.Concat(s.Grade.NotInspected, s.Grade.UnknownState) {
		if !listed[prose.PartFact(p)] {
			t.Fatalf("the listing does not say that %s was not looked at", p)
		}
	}
}

// A claim is told just as far as it stands.
func TestClaimsAreHedged(t *testing.T) {
	c := record.Claim{ID: "c1", About: "year", Text: "1974", By: "the seller", Support: "receipt of 2 May 1974"}
	for standing, want := range map[record.Standing]string{
		record.Documented:   "A receipt shows what is claimed of the year, “1974”: receipt of 2 May 1974.",
		record.Seen:         "The examiner saw what supports the claim on the year, “1974”: receipt of 2 May 1974.",
		record.Stated:       "the year is said to be “1974” by the seller; no document was seen.",
		record.Unsupported:  "Nothing seen supports the claim on the year, “1974”.",
		record.Contradicted: "The claim on the year, “1974”, is contradicted by what was found: receipt of 2 May 1974.",
	} {
		c.Standing = standing
		if got := prose.ClaimSentence(&c); got != want {
			t.Errorf("%s: %q, want %q", standing, got, want)
		}
	}
	c = record.Claim{About: "owners", Text: "two \"in all\"", Standing: record.Documented, Support: "no document seen"}
	if got, want := prose.ClaimSentence(&c), "A document shows what is claimed of the owners, “two 'in all'”: no document seen."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for standing, want := range map[record.Standing]string{record.Documented: "the document is not named", record.Seen: "what was seen is not noted"} {
		if got := prose.ClaimSentence(&record.Claim{Text: "1974", Standing: standing}); !strings.HasSuffix(got, want+".") {
			t.Errorf("%s without anything behind it: %s", standing, got)
		}
	}
	if got := prose.ClaimSentence(&record.Claim{Standing: record.Seen, Text: " "}); got != "" {
		t.Errorf("a claim without words: %q", got)
	}
}

// The demo's sentences, read by a person.
func TestDemo(t *testing.T) {
	r := reporttest.Demo(0)
	r.Claims = append(r.Claims, record.Claim{ID: "c3", About: "colour", Text: "Colour original", Standing: record.Contradicted, Support: "overspray in the cavity"})
	r.Marks = append(r.Marks, record.Mark{Number: 8, Kind: "headstock break", Depth: record.Through, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: 0, Y: -60}}}}})
	s := source(t, r)
	full, lead := prose.Text(prose.Full(s)), prose.Text(prose.Lead(s))
	for _, w := range []string{
		"Halden & Rowe Larkfoot Standard: solid-body electric double-cutaway, sunburst, nitrocellulose.",
		"The serial number reads 41873.",
		"The body appears to be alder, the neck to be maple and the fingerboard to be rosewood.",
		"Structural: headstock break, glued and sound, headstock",
		"Not original: nut (period replacement) and tuners (later replacement); the rest, as far as it was judged, appears to be original.",
		"It plays clean at 130 of 132 positions tried. Of the others two buzz.",
		"Outside the usual range: string height, treble, fret 12: 2.20 ± 0.05 mm (usual 1.2 to 2 mm).",
		"The claim on the colour, “Colour original”, is contradicted by what was found: overspray in the cavity.",
		"With it: original case, one key.",
	} {
		if !strings.Contains(full, w) {
			t.Errorf("%q is not in:\n%s", w, full)
		}
	}
	if strings.Contains(full, "The year is said to be 1974.") {
		t.Error("the year is told twice")
	}
	for _, w := range []string{"Eight marks were made", "Structural: headstock break", "is contradicted by what was found"} {
		if !strings.Contains(lead, w) {
			t.Errorf("%q is not in the lead: %s", w, lead)
		}
	}
	r.Marks[7].Kind = "touch-up"
	if m := &r.Marks[7]; s.IsGrave(m) || !s.IsGrave(&record.Mark{Kind: "dead pickup"}) || s.IsGrave(&record.Mark{Kind: "ding"}) {
		t.Error("what is grave is told wrongly")
	}
}

// Where there is no room, what weighs least goes first, and something always
// stays.
func TestFit(t *testing.T) {
	s := source(t, reporttest.Demo(0))
	s.Record.Claims[0].Standing = record.Contradicted
	all := prose.Lead(s)
	some := prose.Fit(all, func(text string) bool { return len(text) < len(prose.Text(all)) })
	if len(some) != len(all)-1 || some[0].Text != all[0].Text {
		t.Errorf("%d of %d sentences are left: %s", len(some), len(all), prose.Text(some))
	}
	if one := prose.Fit(all, func(string) bool { return false }); len(one) != 1 || len(all) < 3 {
		t.Error(fmt.Sprint(one))
	}
	for _, p := range prose.Paragraphs(prose.Full(s)) {
		for _, x := range p {
			if x.Topic != p[0].Topic {
				t.Errorf("a paragraph of %s and %s", p[0].Topic, x.Topic)
			}
		}
	}
}

// A sound instrument of which all was looked at: nothing is hedged that need not
// be, nothing is praised.
func TestSound(t *testing.T) {
	r := reporttest.Demo(0)
	r.Marks, r.Claims, r.NotExamined, r.Playing = nil, nil, nil, record.Playing{Others: record.Clean}
	for i := range r.Parts {
		if r.Parts[i].State != record.NotFitted {
			r.Parts[i] = record.Part{ID: r.Parts[i].ID, State: record.Original, Inspected: true, Judged: []string{"ultraviolet light"}}
		}
	}
	s := source(t, r)
	if g := prose.Gaps(s); len(g) > 0 {
		t.Error(prose.Text(g))
	}
	if got := prose.Text(prose.Lead(s)); got != "Clean. No marks were made. No part was found that is not original. It plays clean at all 132 positions." {
		t.Error(got)
	}
	if !strings.HasPrefix(prose.Text(prose.Full(s)[5:]), "Condition 100.0 of 100, class 1 of 6: clean.") {
		t.Error(prose.Text(prose.Full(s)))
	}
}

// Findings are cut short after six, but never one of a component that does not
// do what it should.
func TestEveryFaultIsTold(t *testing.T) {
	r := reporttest.Demo(0)
	for i := range 9 {
		r.Components = append(r.Components, record.Component{ID: fmt.Sprintf("extra-%d", i), Kind: "pickup", Works: "dead"})
	}
	text := prose.Text(prose.Listing(source(t, r)))
	if n := strings.Count(text, ": dead"); n < 9 {
		t.Fatalf("%d of 9 dead pickups are told:\n%s", n, text)
	}
}
