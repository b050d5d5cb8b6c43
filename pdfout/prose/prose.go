// Package prose says in sentences what an examination found: composed by rules
// from the record, its grade and its dating, and hedged just as far as the
// evidence goes. Page 1 of a report, its section in words and a listing's text
// are the same sentences, more or fewer of them.
//
// Start with Full, Lead and Listing. A sentence is made by one function and
// names the facts it rests on. None praises: there is no word in here that the
// record does not carry. What a person wrote into the record (claims, notes)
// stands in quotation marks or is told as theirs. The package draws nothing and
// does not check texts that somebody edited; pdfout/listing does.
package prose

import (
	"fmt"
	"strings"

	"wornwood/annotate/dating"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Source is what is told of. All but Tables must be set; Grade is that of
// Record on Drawing by Rubric.
type Source struct {
	Record  *record.Record
	Grade   *grade.Result
	Drawing *outline.Drawing
	Rubric  *grade.Rubric
	Tables  []dating.Table // the shop's own, to date the serial number by
}

// Topic is what a sentence is about; a paragraph holds sentences of one.
type Topic string

// The topics in the order in which they are told.
const (
	Identity    Topic = "identity"
	Condition   Topic = "condition"
	Structure   Topic = "structure"
	Originality Topic = "originality"
	Electronics Topic = "electronics"
	Playing     Topic = "playing"
	Dating      Topic = "dating"
	Claims      Topic = "claims"
	Extras      Topic = "extras"
	NotExamined Topic = "not examined"
	Report      Topic = "report"
)

// Fact names what a sentence rests on, by its kind and its name within the
// record: "mark 3", "part nut", "claim c1", "reading relief", "grade condition".
type Fact string

// The kinds of fact.
const (
	OfMark      = "mark"
	OfPart      = "part"
	OfClaim     = "claim"
	OfReading   = "reading"
	OfComponent = "component"
	OfEntry     = "entry" // of the instrument's identity, setup or wiring
	OfGrade     = "grade" // condition, originality, playing
	OfDating    = "dating"
	OfExtra     = "extra"
	OfMaterial  = "material"
	OfGap       = "not examined" // numbered from 1 in the order of Gaps
	OfExam      = "examination"
)

func fact(kind string, name any) Fact { return Fact(fmt.Sprintf("%s %v", kind, name)) }

// Facts that others ask for.
const (
	SerialFact      Fact = OfEntry + " serial"
	YearFact        Fact = OfEntry + " year"
	OpeningFact     Fact = OfGap + " opening" // signs for which something would have had to be opened
	UltravioletFact Fact = OfGap + " ultraviolet"
)

// MarkFact is the fact that mark n was found.
func MarkFact(n int) Fact { return fact(OfMark, n) }

// PartFact is what was said of a part.
func PartFact(p record.PartID) Fact { return fact(OfPart, p) }

// ClaimFact is a claim with its standing.
func ClaimFact(id string) Fact { return fact(OfClaim, id) }

// GapFact is the n-th thing that was not examined.
func GapFact(n int) Fact { return fact(OfGap, n) }

// Sentence is one whole sentence.
type Sentence struct {
	Topic Topic
	Text  string
	Rests []Fact // never empty
	rank  int    // what may be left out first where there is no room: the highest
}

// String is the sentence's text.
func (s Sentence) String() string { return s.Text }

// Text joins sentences to one paragraph.
func Text(list []Sentence) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = s.Text
	}
	return strings.Join(out, " ")
}

// Paragraphs parts sentences wherever the topic changes.
func Paragraphs(list []Sentence) [][]Sentence {
	var out [][]Sentence
	for i, s := range list {
		if i == 0 || s.Topic != list[i-1].Topic {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], s)
	}
	return out
}

// Fit leaves out what weighs least until the rest fits; the order stays. The
// last sentence is never left out.
func Fit(list []Sentence, fits func(text string) bool) []Sentence {
	list = append([]Sentence(nil), list...)
	for len(list) > 1 && !fits(Text(list)) {
		out := 0
		for i, s := range list {
			if s.rank >= list[out].rank {
				out = i
			}
		}
		list = append(list[:out], list[out+1:]...)
	}
	return list
}

// teller collects sentences. A text of "" is nothing to say.
type teller struct {
	Source
	list []Sentence
}

func (t *teller) say(topic Topic, rank int, text string, rests ...Fact) {
	if text = clean(text); text != "" {
		t.list = append(t.list, Sentence{topic, upper(text), rests, rank})
	}
}

// Lead is the summary of page 1: what a buyer must know in a few sentences.
func Lead(s Source) []Sentence {
	t := &teller{Source: s}
	t.condition(true)
	t.grave(2, 1)
	t.originality(true)
	t.plays(true)
	t.contradicted()
	return t.list
}

// Full is everything that there is to say, but what was not examined, which
// Gaps lists.
func Full(s Source) []Sentence {
	t := &teller{Source: s}
	t.identity()
	t.condition(false)
	t.allMarks()
	t.grave(0, 0)
	t.originality(false)
	t.electronics()
	t.plays(false)
	t.setup()
	t.dating(true)
	t.claims()
	t.extras()
	return t.list
}

// Listing is the text under which an instrument is offered: the same sentences,
// fewer of them, with what was not examined and where to read more.
func Listing(s Source) []Sentence {
	t := &teller{Source: s}
	t.identity()
	t.condition(false)
	t.grave(0, 0)
	t.originality(false)
	t.electronics()
	t.plays(false)
	t.outside()
	t.dating(false)
	t.claims()
	t.extras()
	t.list = append(t.list, Gaps(s)...)
	t.report()
	return t.list
}
