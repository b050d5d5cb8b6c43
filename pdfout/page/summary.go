package page

import (
	"slices"
	"strings"

	"wornwood/pdfout/paint"
	"wornwood/pdfout/prose"
)

// told is what the sentences are composed from.
func (l *layout) told() prose.Source {
	return prose.Source{Record: l.r.Record, Grade: l.r.Grade, Drawing: l.r.Drawing, Rubric: l.r.Rubric, Tables: l.r.Tables}
}

// classWords says what kind of thing it is, from the class's name.
func (l *layout) classWords() string { return l.phrase("classWords", prose.ClassWords(l.told())) }

// said are composed sentences in the report's language.
func (l *layout) said(list []prose.Sentence) []prose.Sentence {
	list = slices.Clone(list)
	for i := range list {
		list[i].Text = l.phrase("prose", list[i].Text)
	}
	return list
}

// summary sets the composed sentences, and the examiner's own before them. Of
// the composed ones as many stand there as three lines hold; the section in
// words has all.
func (l *layout) summary() {
	own := clean(l.r.Record.Examination.Summary)
	if own != "" {
		own = upper(own)
		if !strings.ContainsAny(own[len(own)-1:], ".!?") {
			own += "."
		}
		own += " "
	}
	fits := func(text string) bool { return len(paint.Wrap(own+text, leadFont, measure)) <= 3 }
	text := own + prose.Text(prose.Fit(l.said(prose.Lead(l.told())), fits))
	lines := paint.Clamp(paint.Wrap(text, leadFont, measure), 3, leadFont, measure)
	l.y += l.setLines("P", l.left, l.y-0.8, lines, leadFont, paint.Black) + 1.4
}

// inWords tells everything once in sentences, a paragraph a topic.
func (l *layout) inWords() {
	l.section("words", l.say("section.words"), 24)
	for _, p := range prose.Paragraphs(prose.Full(l.told())) {
		l.para(l.left, measure, prose.Text(l.said(p)), textFont, paint.Black)
		l.y += 1.8
	}
}
