package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// readingPanel is the form on readings, answers, crowns and tuners.
type readingPanel struct {
	w      *Window
	m      *view.Setup
	root   fyne.CanvasObject
	rows   []*readingRow
	gauge  *look.Select
	update []func() // of the answers
	crowns *crownPanel
	tuners *tunerPanel
}

// readingRow is one reading: a field, its usual range, and whether it is
// outside.
type readingRow struct {
	id      string
	field   *look.Field
	usual   *look.Text
	outside *look.Text
	gauge   *look.Text // what it was taken with
	typed   *look.Text // what was read on it, in inches
	lines   arranged   // second lines come and go
}

// notSaid is the choice of no gauge.
const notSaid = "not said"

func newReadingPanel(w *Window, m *view.Setup) *readingPanel {
	p := &readingPanel{w: w, m: m}
	p.gauge = look.NewSelect(append([]string{notSaid}, view.Gauges()...), "", func(t string) {
		if m.Gauge = t; t == notSaid {
			m.Gauge = ""
		}
	})
	p.gauge.Set(notSaid)
	head := look.SpacedColumns(10, look.Centred(heading("Readings").Whole()), look.Space(), look.Centred(look.NewText("Taken with", look.Caption, look.Dim).Whole()), look.Fixed(210, 0, p.gauge))
	left := []fyne.CanvasObject{head, look.Inset(0, 8, 0, -18, readingColumns(look.Space(), look.Space(), caption("Usual"), caption("Taken with")))}
	group := ""
	for _, r := range m.Rows() {
		if r.Group != group {
			group = r.Group
			left = append(left, look.Inset(0, 10, 0, 2, look.NewText(group, look.Caption, look.Dim)), look.NewRule())
		}
		left = append(left, p.row(r))
	}
	p.chain()
	p.crowns, p.tuners = newCrownPanel(w, m), newTunerPanel(w, m)
	right := []fyne.CanvasObject{p.tuners.root}
	if p.crowns != nil {
		right = []fyne.CanvasObject{p.crowns.root, p.tuners.root}
	}
	middle := append([]fyne.CanvasObject{heading("Answers")}, p.answers()...)
	for _, c := range view.SetupCautions() {
		middle = append(middle, look.NewParagraph(c, true).Object)
	}
	column := func(o fyne.CanvasObject) fyne.CanvasObject { return container.NewVScroll(look.Inset(0, 12, 14, 16, o)) }
	p.root = look.Inset(28, 0, 14, 0, look.SpacedColumns(14, look.Flex(11, column(look.Rows(left...))), look.NewRule(),
		look.Flex(5, column(look.Spaced(10, middle...))), look.NewRule(), look.Flex(6, column(look.Spaced(22, right...)))))
	return p
}

func caption(s string) *look.Text { return look.NewText(s, look.Caption, look.Dim) }

// readingColumns sets the cells of a line of readings side by side.
func readingColumns(label, field, usual, how fyne.CanvasObject) fyne.CanvasObject {
	return look.SpacedColumns(10, look.Flex(7, label), look.Fixed(96, 0, field), look.Fixed(134, 0, usual), look.Flex(4, how))
}

func heading(s string) *look.Text { return look.NewText(s, look.Title, look.Ink).Bold() }

// bare is a field without its caption, for rows of a table.
func bare(f *look.Field) fyne.CanvasObject { return look.Inset(0, -18, 0, 0, f) }

func (p *readingPanel) row(r view.ReadingRow) fyne.CanvasObject {
	row := &readingRow{id: r.ID, usual: look.NewText("", look.Small, look.Dim), outside: look.NewText("", look.Small, look.Bad).Bold(), gauge: caption(""), typed: caption("")}
	row.field = look.NewField("", " ", func(t string) { p.w.try(func() error { return p.m.Set(r.ID, t) }) })
	if p.w.exam.shell.Frozen() || r.Group == "Others" {
		row.field.Disable()
	}
	p.rows = append(p.rows, row)
	row.outside.Hide()
	row.gauge.Hide()
	row.typed.Hide()
	line := look.Inset(0, 3, 0, 3, look.Fixed(0, 30, readingColumns(look.NewText(r.Label, look.Small, look.Ink), bare(row.field),
		look.Rows(look.Space(), row.usual, row.outside, look.Space()), look.Rows(look.Space(), row.gauge, row.typed, look.Space()))))
	row.lines.root = line
	return newHoverLine(line, func(in bool) {
		if in {
			p.w.frame.say(r.Label + ": " + r.Why)
		} else {
			p.w.frame.say("")
		}
	})
}

// chain has Enter go on to the next field, as Tab does.
func (p *readingPanel) chain() {
	var fields []*look.Field
	for _, r := range p.rows {
		fields = append(fields, r.field)
	}
	chainFields(p.w, fields)
}

// chainFields has Enter in a field take its value and go to the next one.
func chainFields(w *Window, fields []*look.Field) {
	for i, f := range fields[:max(0, len(fields)-1)] {
		e := f.Entry()
		take := e.OnSubmitted
		e.OnSubmitted = func(t string) {
			take(t)
			if len(w.sheets) == 0 { // nothing was refused
				fields[i+1].Focus(w.win.Canvas())
			}
		}
	}
}

func (p *readingPanel) answers() []fyne.CanvasObject {
	var out []fyne.CanvasObject
	frozen := p.w.exam.shell.Frozen()
	for _, f := range p.m.Answers() {
		set := func(t string) { p.w.try(func() error { return f.Set(t) }) }
		if f.Choices != nil {
			c := look.NewSelect(f.Choices, "", set)
			if frozen {
				c.Disable()
			}
			p.update = append(p.update, func() {
				t := f.Get()
				if t == "" {
					t = f.Choices[0]
				}
				c.Set(t)
			})
			out = append(out, look.Captioned(f.Label, c))
			continue
		}
		e := look.NewField(f.Label, f.Unit, set)
		if f.Lines > 1 {
			e = look.NewNote(f.Label, f.Lines, set)
		}
		e.SetHint(f.Hint)
		if frozen {
			e.Disable()
		}
		p.update = append(p.update, func() { e.Set(f.Get()) })
		out = append(out, e)
	}
	return out
}

func (p *readingPanel) object() fyne.CanvasObject { return p.root }

// stale tells that the record's readings are no longer those of the form.
func (p *readingPanel) stale() bool {
	return !slices.EqualFunc(p.m.Rows(), p.rows, func(a view.ReadingRow, b *readingRow) bool { return a.ID == b.id }) || p.tuners.stale() || p.crowns.stale()
}

func (p *readingPanel) refresh() {
	for i, r := range p.m.Rows() {
		row := p.rows[i]
		row.field.SetUnit(r.Unit)
		row.field.Set(r.Text)
		row.usual.SetText(r.Usual)
		row.outside.SetText(map[bool]string{true: "outside"}[r.Outside])
		row.gauge.SetText(r.Gauge)
		row.typed.SetText(r.Typed)
		row.outside.Hidden, row.gauge.Hidden, row.typed.Hidden = !r.Outside, r.Gauge == "", r.Typed == ""
		row.lines.follow(r.Outside, r.Gauge != "", r.Typed != "")
	}
	for _, u := range p.update {
		u()
	}
	p.crowns.refresh()
	p.tuners.refresh()
}
