package page

import (
	"slices"
	"strings"

	"wornwood/annotate/colour"
	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/prose"
)

// marksTable lists every mark: number, where, what was found, size, points.
func (l *layout) marksTable() {
	marks := l.r.Record.Marks
	l.section("marks", l.say("section.marks"), 24)
	if len(marks) == 0 {
		l.para(l.left, measure, l.say("marks.none", l.inspectedWords()), textFont, paint.Black)
		return
	}
	t := table{l: l, x: l.left, cols: []column{
		{head: l.say("col.no"), width: 9, font: strongFont},
		{head: l.say("marks.where"), width: 45, font: textFont},
		{head: l.say("marks.found"), width: 77, font: textFont},
		{head: l.say("marks.size"), width: 31, font: textFont},
		{head: l.say("col.points"), width: 16, right: true, font: textFont},
	}}
	var rows [][]cell
	for i := range marks {
		m := &marks[i]
		rows = append(rows, []cell{
			l.pinCell(m), words(l.where(m)), words(l.found(m)), words(l.size(m)), words(l.points(m.Number)),
		})
	}
	t.note = l.say("marks.note")
	if slices.ContainsFunc(marks, uncertain) {
		t.note += " " + l.say("marks.uncertain")
	}
	if c := l.r.Grade.Cap; c != nil && c.Points > 0 {
		t.note += " " + l.say("marks.cap", c.Mark)
	}
	t.draw(rows)
}

// pinCell is a mark's number as its pin.
func (l *layout) pinCell(m *record.Mark) cell {
	return cell{height: 4.6, alt: l.say("marks.alt", m.Number, l.say(levelWord(level(m)))), draw: func(x, y, w float64) {
		l.pin(m.Number, level(m), x+2.3, y+2.3)
	}}
}

// uncertain says that a mark's sizes or colours are printed with a ±.
func uncertain(m record.Mark) bool {
	for _, q := range []*record.Quantity{m.Length, m.Width, m.Area} {
		if q != nil && q.Uncertainty > 0 {
			return true
		}
	}
	return m.Fade != nil || m.Reading != nil && m.Reading.Uncertainty > 0
}

// levelWord is the ID of the word for a depth.
func levelWord(n int) string { return [3]string{"level.0", "level.1", "level.2"}[n] }

// where says in words where a mark is, each place once.
func (l *layout) where(m *record.Mark) string {
	if s := prose.Where(l.r.Drawing, m); s != "" {
		return upper(l.wheres(s))
	}
	return l.say("marks.notDrawn")
}

// wheres are the words for places, parted by semicolons.
func (l *layout) wheres(s string) string {
	var out []string
	for _, p := range strings.Split(s, "; ") {
		out = append(out, l.phrase("place", p))
	}
	return strings.Join(out, "; ")
}

// numbers writes a list of pieces with runs joined: 1–3, 7.
func numbers(ns []int) string { return prose.Runs(ns) }

// kindWords is the mark's kind with its depth or its reading.
func (l *layout) kindWords(m *record.Mark) string {
	s := upper(l.word("kind", string(m.Kind)))
	if m.Fade != nil && colour.Unreliable(m.Fade) == "" {
		return l.say("marks.kind", s, l.phrase("colour", colour.Words(m.Fade)))
	}
	if m.Reading != nil {
		if w := grade.ReadingWords(*m); w != "" {
			return l.say("marks.kind", s, l.phrase("markReading", w))
		}
	}
	if m.Depth == "" {
		return s
	}
	if k, ok := l.r.Rubric.Kind(m.Kind); ok {
		return l.say("marks.kind", s, l.word("depth", k.DepthWord(m.Depth)))
	}
	return l.say("marks.kind", s, l.word("depth", string(m.Depth)))
}

// found is everything said of a mark, its note behind its kind.
func (l *layout) found(m *record.Mark) string {
	s := l.kindWords(m)
	if m.Since != "" {
		s = l.say("marks.since", s, l.word("since", m.Since))
	}
	if m.Fade != nil && colour.Unreliable(m.Fade) != "" {
		s = l.say("marks.byEye", s, l.phrase("colour", colour.Words(m.Fade)))
	}
	if n := clean(m.Note); n != "" {
		s += ". " + upper(n)
	}
	return s
}

// size is the stated size, or the length and area drawn on the outline.
func (l *layout) size(m *record.Mark) string {
	if s := m.Size(); s != "" {
		return l.figures(s)
	}
	for _, p := range m.On {
		if s := l.drawnSize(p); s != "" {
			return s
		}
	}
	return "–"
}

// points is what a mark costs, as the ledger prints it.
func (l *layout) points(number int) string {
	if g := l.r.Grade.Line(number); g != nil {
		return l.plain(-g.Shown, 1)
	}
	return "–"
}
