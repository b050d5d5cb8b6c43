package page

import (
	"fmt"
	"slices"

	"wornwood/annotate/colour"
	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/prose"
)

// marksTable lists every mark: number, where, what was found, size, points.
func (l *layout) marksTable() {
	marks := l.r.Record.Marks
	l.section("marks", "Marks", 24)
	if len(marks) == 0 {
		l.para(l.left, measure, "No marks were made. "+l.inspectedWords(), textFont, paint.Black)
		return
	}
	t := table{l: l, x: l.left, cols: []column{
		{head: "No.", width: 9, font: strongFont},
		{head: "Where", width: 45, font: textFont},
		{head: "What was found", width: 77, font: textFont},
		{head: "Size", width: 31, font: textFont},
		{head: "Points", width: 16, right: true, font: textFont},
	}}
	var rows [][]cell
	for i := range marks {
		m := &marks[i]
		rows = append(rows, []cell{
			l.pinCell(m), words(l.where(m)), words(l.found(m)), words(l.size(m)), words(l.points(m.Number)),
		})
	}
	t.note = "Points are what a mark takes off the condition index of 100, to a tenth; 0.0 is less than a twentieth."
	if slices.ContainsFunc(marks, uncertain) {
		t.note += " After ± stands one standard uncertainty: twice that to either side holds the truth 19 times in 20."
	}
	if c := l.r.Grade.Cap; c != nil && c.Points > 0 {
		t.note += fmt.Sprintf(" The ledger carries one more line, because mark %d holds the index down.", c.Mark)
	}
	t.draw(rows)
}

// pinCell is a mark's number as its pin.
func (l *layout) pinCell(m *record.Mark) cell {
	return cell{height: 4.6, alt: "Mark " + fmt.Sprint(m.Number) + ", " + levelWord(level(m)), draw: func(x, y, w float64) {
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

func levelWord(n int) string { return [3]string{"light", "middle", "deep"}[n] }

// where says in words where a mark is, each place once.
func (l *layout) where(m *record.Mark) string {
	if s := prose.Where(l.r.Drawing, m); s != "" {
		return upper(s)
	}
	return "not drawn on the outline"
}

// numbers writes a list of pieces with runs joined: 1–3, 7.
func numbers(ns []int) string { return prose.Runs(ns) }

// kindWords is the mark's kind with its depth or its reading.
func (l *layout) kindWords(m *record.Mark) string {
	s := upper(clean(string(m.Kind)))
	if m.Fade != nil && colour.Unreliable(m.Fade) == "" {
		return s + ", " + colour.Words(m.Fade)
	}
	if m.Reading != nil {
		if w := grade.ReadingWords(*m); w != "" {
			return s + ", " + w
		}
	}
	if m.Depth == "" {
		return s
	}
	if k, ok := l.r.Rubric.Kind(m.Kind); ok {
		return s + ", " + k.DepthWord(m.Depth)
	}
	return s + ", " + string(m.Depth)
}

// found is everything said of a mark, its note behind its kind.
func (l *layout) found(m *record.Mark) string {
	s := l.kindWords(m)
	if m.Since != "" {
		s += " (" + clean(m.Since) + " since the last examination)"
	}
	if m.Fade != nil && colour.Unreliable(m.Fade) != "" {
		s += "; measured " + clean(colour.Words(m.Fade)) + ", so judged by eye"
	}
	if n := clean(m.Note); n != "" {
		s += ". " + upper(n)
	}
	return s
}

// size is the stated size, or the length and area drawn on the outline.
func (l *layout) size(m *record.Mark) string {
	if s := m.Size(); s != "" {
		return s
	}
	for _, p := range m.On {
		if s := drawnSize(p); s != "" {
			return s
		}
	}
	return "–"
}

// points is what a mark costs, as the ledger prints it.
func (l *layout) points(number int) string {
	if g := l.r.Grade.Line(number); g != nil {
		return plain(-g.Shown, 1)
	}
	return "–"
}
