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
	if c := joined(i.Colour, ""); c != "" {
		s += ", " + c
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
	marks := l.r.Record.Marks
	found := "no marks were made"
	if n := len(marks); n > 0 {
		worst, _, _ := l.worst(1)
		found = count(n, "mark", "marks")
		if n > 1 {
			found += ", the costliest"
		}
		found += fmt.Sprintf(" %s on the %s", lower(l.kindWords(worst[0])), lower(l.shortWhere(worst[0])))
		if n == 1 {
			found = strings.Replace(found, "one mark", "one mark,", 1)
		}
	}
	if g.Index == nil {
		return "Nothing was inspected closely enough to grade its condition; " + found + "."
	}
	s := upper(strings.TrimSpace(g.Word))
	if g.Provisional {
		s += ", as far as it was inspected"
	}
	return s + ": " + found + "."
}

// shortWhere is the first place of a mark without its detail.
func (l *layout) shortWhere(m *record.Mark) string {
	s := l.where(m)
	s, _, _ = strings.Cut(s, ";")
	return s
}

func (l *layout) originalitySentence() string {
	g := l.r.Grade
	if g.Originality == nil {
		return "Originality was not judged."
	}
	hedge := ""
	if len(g.UnknownState) > 0 {
		hedge = " as far as parts were judged"
	}
	if len(g.NotOriginal) == 0 {
		return "No part was found to be other than original" + hedge + "."
	}
	if len(g.NotOriginal) > 4 {
		return upper(number(len(g.NotOriginal))) + " parts are not original" + hedge + "."
	}
	var names []string
	for _, p := range g.NotOriginal {
		names = append(names, clean(string(p.Part)))
	}
	verb := " is"
	if len(names) > 1 || strings.HasSuffix(names[0], "s") {
		verb = " are"
	}
	return "Not original" + hedge + verb + " the " + list(names) + "; all else that was judged appears original."
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
