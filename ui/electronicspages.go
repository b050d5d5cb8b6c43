package ui

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// findingsPage lists every finding about the electronics.
type findingsPage struct {
	s    *electronicsScreen
	root fyne.CanvasObject
	list *findingList
	none *look.Paragraph
}

func newFindingsPage(s *electronicsScreen) *findingsPage {
	p := &findingsPage{s: s, list: newFindingList(s, true)}
	p.none = look.NewParagraph("", true)
	p.root = container.NewVScroll(look.Inset(0, 4, 12, 8, look.Spaced(4, p.none.Object, p.list.box)))
	return p
}

func (p *findingsPage) object() fyne.CanvasObject { return p.root }

func (p *findingsPage) refresh() {
	p.list.set(p.s.m.Findings())
	p.none.SetText(p.s.m.Clear())
	show(p.none.Object, len(p.list.now) == 0)
}

// wiringPage says what was seen of the wiring, with its photos and drawings.
type wiringPage struct {
	s      *electronicsScreen
	root   fyne.CanvasObject
	update []func()
	files  *fileList
}

func newWiringPage(s *electronicsScreen) *wiringPage {
	p := &wiringPage{s: s}
	var cells []fyne.CanvasObject
	var note fyne.CanvasObject
	for _, f := range view.WiringFields() {
		o := p.field(f)
		if f.Lines > 1 {
			note = o
			continue
		}
		cells = append(cells, o)
	}
	p.files = newFileList(s, "Photos and drawings of the wiring", "Add a photo or a drawing…", s.m.WiringFiles, s.m.WiringTieable, s.m.TieWiring, s.m.UntieWiring)
	top := look.SpacedColumns(12, look.Flex(1, cells[0]), look.Flex(1, cells[1]), look.Flex(2, cells[2]))
	below := look.SpacedColumns(12, look.Flex(1, topped(cells[3])), look.Flex(1, topped(cells[4])), look.Flex(2, note))
	p.root = container.NewVScroll(look.Inset(0, 4, 12, 8, look.Spaced(8, top, below, p.files.box)))
	return p
}

// topped keeps a field from growing with its taller neighbour.
func topped(o fyne.CanvasObject) fyne.CanvasObject { return look.Rows(o, look.Space()) }

func (p *wiringPage) field(f view.WiringField) fyne.CanvasObject {
	put := func(t string) { p.s.w.try(func() error { return p.s.m.PutWiring(f, t) }) }
	frozen := p.s.w.exam.shell.Frozen()
	if f.Choices != nil {
		c := look.NewSelect(f.Choices, "not said", put)
		if frozen {
			c.Disable()
		}
		p.update = append(p.update, func() { c.Set(p.s.m.Wired(f)) })
		return look.Captioned(f.Label, c)
	}
	e := look.NewField(f.Label, f.Unit, put)
	if f.Lines > 1 {
		e = look.NewNote(f.Label, f.Lines, put)
	}
	e.SetHint(f.Hint)
	if frozen {
		e.Disable()
	}
	p.update = append(p.update, func() { e.Set(p.s.m.Wired(f)) })
	return e
}

func (p *wiringPage) object() fyne.CanvasObject { return p.root }

func (p *wiringPage) refresh() {
	for _, u := range p.update {
		u()
	}
	p.files.refresh()
}

// responsePage draws what the passive circuit lets through.
type responsePage struct {
	s            *electronicsScreen
	m            *view.Response
	root         fyne.CanvasObject
	chain        *look.Select
	volume, tone *look.Segments
	words        *look.Text
	curve        *look.Curve
	notes        *sentences
	controls     fyne.CanvasObject
}

func newResponsePage(s *electronicsScreen) *responsePage {
	p := &responsePage{s: s, m: view.NewResponse(s.w.exam.s), words: look.NewText("", look.Body, look.Ink).Bold(), curve: look.NewCurve(), notes: newSentences(true)}
	p.chain = look.NewSelect(nil, "", func(t string) {
		p.m.Chain = max(0, slices.Index(p.m.Names(), t))
		p.refresh()
	})
	var steps []string
	for _, v := range view.Settings {
		steps = append(steps, fmt.Sprintf("%.0f", v))
	}
	p.volume = look.NewSegments(steps, func(i int) { p.m.Volume = view.Settings[i]; p.refresh() })
	p.tone = look.NewSegments(steps, func(i int) { p.m.Tone = view.Settings[i]; p.refresh() })
	p.controls = look.Spaced(8, look.Captioned("Pickup", p.chain), look.Captioned("Volume", p.volume), look.Captioned("Tone", p.tone))
	side := container.NewVScroll(look.Inset(0, 0, 10, 4, look.Spaced(8, p.controls, p.notes.box)))
	p.root = look.Inset(0, 4, 0, 0, look.SpacedColumns(20, look.Fixed(246, 0, side), look.Flex(1, look.Rows(p.words, look.Flex(1, p.curve)))))
	return p
}

func (p *responsePage) object() fyne.CanvasObject { return p.root }

func (p *responsePage) refresh() {
	names := p.m.Names()
	p.chain.SetOptions(names)
	show(p.controls, len(names) > 0)
	show(p.curve, len(names) > 0)
	if len(names) > 0 {
		p.chain.Set(names[p.m.Chain])
	}
	p.volume.Set(slices.Index(view.Settings, p.m.Volume))
	p.tone.Set(slices.Index(view.Settings, p.m.Tone))
	p.words.SetText(p.m.Words())
	p.notes.set(capitals(p.m.Notes()))
	var series []look.Series
	for _, c := range p.m.Curves() {
		series = append(series, look.Series{Name: c.Name, Hz: c.Hz, DB: c.DB})
	}
	p.curve.Set(series...)
}

// capitals begins each sentence with a capital and ends it.
func capitals(list []string) []string {
	var out []string
	for _, s := range list {
		out = append(out, view.Capital(s)+".")
	}
	return out
}
