package page

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// classWords says what kind of thing it is, from the class's name.
func (l *layout) classWords() string {
	i := l.r.Record.Instrument
	s := clean(i.Class)
	if s == "" {
		s = l.r.Drawing.Class
	}
	if strings.HasPrefix(s, "solid-body") {
		s = strings.Replace(s, "solid-body", "solid-body electric", 1)
	}
	if c := clean(i.Colour); c != "" {
		s += ", " + lower(c)
	}
	return s
}

// summary sets the composed sentences, and the examiner's own before them.
func (l *layout) summary() {
	text := l.Sentences()
	if own := clean(l.r.Record.Examination.Summary); own != "" {
		text = upper(own)
		if !strings.ContainsAny(text[len(text)-1:], ".!?") {
			text += "."
		}
		text += " " + l.Sentences()
	}
	lines := paint.Clamp(paint.Wrap(text, leadFont, measure), 3, leadFont, measure)
	l.y += l.setLines("P", l.left, l.y-0.8, lines, leadFont, paint.Black) + 1.4
}

// Sentences say in two or three sentences what the record and the grade allow
// to say, and no more: what was not looked at is hedged, what somebody says is
// called said.
func (l *layout) Sentences() string {
	return strings.Join([]string{l.conditionSentence(), l.originalitySentence(), l.playingSentence()}, " ")
}

func (l *layout) conditionSentence() string {
	g := l.r.Grade
	found := l.foundSentence()
	if g.Index == nil {
		return "No part was inspected closely enough to grade its condition. " + found
	}
	s := upper(strings.TrimSpace(g.Word))
	if g.Provisional {
		s += " as far as it was inspected"
	}
	return s + ". " + found
}

// foundSentence says how many marks there are and which costs the most.
func (l *layout) foundSentence() string {
	worst, rest, _ := l.worst(1)
	if len(worst) == 0 {
		return "No marks were made."
	}
	m := worst[0]
	what := clean(string(m.Kind)) + " (" + lower(l.shortWhere(m)) + ")"
	if rest == 0 {
		return "One mark was made: " + what + "."
	}
	return upper(count(rest+1, "mark", "marks")) + " were made; the " + what + " costs the most."
}

// shortWhere is the first place of a mark.
func (l *layout) shortWhere(m *record.Mark) string {
	s, _, _ := strings.Cut(l.where(m), ";")
	return s
}

func (l *layout) originalitySentence() string {
	g := l.r.Grade
	if g.Originality == nil {
		return "Originality was not judged."
	}
	hedge := ""
	if len(g.UnknownState) > 0 {
		hedge = "As far as parts were judged, "
	}
	switch n := len(g.NotOriginal); {
	case n == 0:
		return upper(hedge + "no part was found that is not original.")
	case n > 4:
		return upper(hedge + number(n) + " parts are not original.")
	}
	var names []string
	for _, p := range g.NotOriginal {
		names = append(names, clean(string(p.Part)))
	}
	verb := " is"
	if len(names) > 1 || strings.HasSuffix(names[0], "s") {
		verb = " are"
	}
	return upper(hedge + "the " + list(names) + verb + " not original; the rest appears to be.")
}

func (l *layout) playingSentence() string {
	g := l.r.Grade.Playing
	switch {
	case g.Tried == 0:
		return "It was not played."
	case g.Clean == g.Total:
		return fmt.Sprintf("It plays clean at all %d positions.", g.Total)
	case g.Clean == g.Tried:
		return fmt.Sprintf("It plays clean at all %d positions tried, of %d.", g.Tried, g.Total)
	}
	return fmt.Sprintf("It plays clean at %d of %d positions tried.", g.Clean, g.Tried)
}
