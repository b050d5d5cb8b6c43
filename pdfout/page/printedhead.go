package page

import (
	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
)

// Head is what the head of page 1 prints of a record, in the order in which it
// is drawn. A value that is too long for its place is cut there and ends in an
// ellipsis.
type Head struct {
	Title       string // model and edition, or what the instrument is called
	Maker, Year string // "" for none
	Line        string // both with words between them, behind the title; "" for neither
	Number      string // each of these four behind its label
	Serial      string
	Day         string // what stands behind the label begins with it; "" for none
	Examiner    string
}

// HeadOf is the head of a record's page 1 in a language.
func HeadOf(r *record.Record, t *catalogue.Text) Head {
	l := &layout{r: &Report{Record: r}, t: t}
	return Head{
		Title: l.title(), Maker: clean(r.Instrument.Maker), Year: clean(r.Instrument.Year), Line: l.makerLine(), Number: orDash(r.Examination.Number),
		Serial: orDash(r.Instrument.Serial), Day: l.date(r.Examination.Date), Examiner: orDash(r.Examination.Examiner),
	}
}

// MarksListed are the sentences of which page 1 holds one when the report lists
// so many marks: with each of its pages as the one where the list stands.
func MarksListed(marks, pages int, t *catalogue.Text) []string {
	if marks == 0 {
		return []string{t.Say("front.noMarks")}
	}
	l := &layout{t: t}
	var out []string
	for p := 1; p <= pages; p++ {
		out = append(out, l.say("front.lists", p, l.number(marks)))
	}
	return out
}

// Points is what a mark costs as the list of marks prints it in a language.
func Points(g *grade.Result, mark int, t *catalogue.Text) string {
	return (&layout{r: &Report{Grade: g}, t: t}).points(mark)
}
