package ui

import (
	"fmt"

	"fyne.io/fyne/v2"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// tunerPanel holds what was found of each tuner: how far its button turns
// before the post follows, and how it feels.
type tunerPanel struct {
	w      *Window
	m      *view.Setup
	root   fyne.CanvasObject
	names  []*look.Text
	fields []*look.Field
	feels  []*look.Select
	rest   *look.Button
}

func newTunerPanel(w *Window, m *view.Setup) *tunerPanel {
	p := &tunerPanel{w: w, m: m}
	p.rest = look.NewButton("The rest is smooth", "check", look.Plain, func() { w.try(m.RestSmooth) }).Tight()
	rows := []fyne.CanvasObject{look.SpacedColumns(10, look.Flex(1, heading("Tuners")), p.rest), look.SpacedColumns(10, look.Fixed(56, 0, look.NewText("String", look.Caption, look.Dim)),
		look.Fixed(84, 0, look.NewText("Backlash", look.Caption, look.Dim)), look.Flex(1, look.NewText("Feel", look.Caption, look.Dim)))}
	frozen := w.exam.shell.Frozen()
	if frozen {
		p.rest.Disable()
	}
	for _, r := range m.Tuners() {
		name := look.NewText("", look.Small, look.Ink)
		f := look.NewField("", "°", func(t string) { w.try(func() error { return m.SetBacklash(r.String, t) }) })
		feel := look.NewSelect(m.Feels(), "", func(t string) { w.try(func() error { return m.SetFeel(r.String, t) }) })
		if frozen {
			f.Disable()
			feel.Disable()
		}
		p.names, p.fields, p.feels = append(p.names, name), append(p.fields, f), append(p.feels, feel)
		rows = append(rows, look.Fixed(0, 30, look.SpacedColumns(10, look.Fixed(56, 0, name), look.Fixed(84, 0, bare(f)), look.Flex(1, feel))))
	}
	chainFields(w, p.fields)
	p.root = look.Spaced(6, rows...)
	return p
}

func (p *tunerPanel) stale() bool { return len(p.m.Tuners()) != len(p.fields) }

func (p *tunerPanel) refresh() {
	for i, r := range p.m.Tuners() {
		p.names[i].SetText(fmt.Sprintf("%d  %s", r.String, r.Note))
		p.fields[i].Set(r.Backlash)
		feel := r.Feel
		if feel == "" {
			feel = p.m.Feels()[0]
		}
		p.feels[i].Set(feel)
	}
}
