package page

import (
	"strings"

	"wornwood/pdfout/paint"
	"wornwood/pdfout/prose"
)

// told is what the sentences are composed from.
func (l *layout) told() prose.Source {
	return prose.Source{Record: l.r.Record, Grade: l.r.Grade, Drawing: l.r.Drawing, Rubric: l.r.Rubric, Tables: l.r.Tables}
}

// classWords says what kind of thing it is, from the class's name.
func (l *layout) classWords() string { return prose.ClassWords(l.told()) }

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
	text := own + prose.Text(prose.Fit(prose.Lead(l.told()), fits))
	lines := paint.Clamp(paint.Wrap(text, leadFont, measure), 3, leadFont, measure)
	l.y += l.setLines("P", l.left, l.y-0.8, lines, leadFont, paint.Black) + 1.4
}

// inWords tells everything once in sentences, a paragraph a topic.
func (l *layout) inWords() {
	l.section("words", "In words", 24)
	for _, p := range prose.Paragraphs(prose.Full(l.told())) {
		l.para(l.left, measure, prose.Text(p), textFont, paint.Black)
		l.y += 1.8
	}
}
