package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// componentPanel is the form of the chosen component: the fields of its kind,
// what follows from them, findings, photos.
type componentPanel struct {
	s        *electronicsScreen
	root     fyne.CanvasObject
	laid     arranged
	title    *look.Text
	id       *look.Text
	forms    map[record.ComponentKind]*componentForm
	form     *fyne.Container
	now      *componentForm
	reckoned *sentences
	proposal *sentences
	take     *look.Button
	offer    fyne.CanvasObject
	ambient  *look.Button
	found    *findingList
	photos   *fileList
	content  fyne.CanvasObject
	none     fyne.CanvasObject
}

// componentForm is the fields of one kind, made once.
type componentForm struct {
	object fyne.CanvasObject
	fields []*formField
}

// formField is one field with its widget.
type formField struct {
	f     view.ComponentField
	entry *look.Field
	list  *look.Select
}

func newComponentPanel(s *electronicsScreen) *componentPanel {
	p := &componentPanel{s: s, forms: map[record.ComponentKind]*componentForm{}, form: container.NewStack(),
		title: look.NewText("", look.Title, look.Ink).Bold(), id: look.NewText("", look.Caption, look.Dim).Right(),
		reckoned: newSentences(false), proposal: newSentences(false)}
	p.take = look.NewButton("Take as nominal", "", look.Plain, func() { s.w.try(s.m.TakeProposal) })
	p.offer = look.Spaced(6, p.proposal.box, look.Columns(p.take, look.Space()))
	p.ambient = look.NewButton("This temperature for the other pickups too", "", look.Plain, func() { s.w.try(s.m.TakeAmbient) })
	p.found = newFindingList(s, false)
	p.photos = newFileList(s, "Photos", "Tie a photo…", s.m.Tied, s.m.Tieable, s.m.Tie, s.m.Untie)
	if s.w.exam.shell.Frozen() {
		p.take.Disable()
		p.ambient.Disable()
	}
	p.content = look.Spaced(10, look.Columns(look.Flex(1, p.title), look.Fixed(80, 0, p.id)), p.form, p.offer, p.reckoned.box, p.ambient, p.found.box, p.photos.box)
	p.none = paragraphs("Choose a component in the list to fill in what was read and measured on it.")
	inner := look.Inset(20, 14, 20, 14, look.Spaced(16, p.content, p.none, paragraphsDim(s.m.Cautions())))
	p.root = container.NewVScroll(inner)
	p.laid.root = inner
	return p
}

// paragraphsDim is a remark that wraps.
func paragraphsDim(text string) fyne.CanvasObject { return look.NewParagraph(text, true).Object }

// formOf makes the form of a kind: figures two beside each other, texts across.
func (p *componentPanel) formOf(kind record.ComponentKind) *componentForm {
	if f := p.forms[kind]; f != nil {
		return f
	}
	out := &componentForm{}
	var rows, pair []fyne.CanvasObject
	flush := func() {
		if len(pair) == 1 {
			pair = append(pair, look.Space())
		}
		if len(pair) > 0 {
			rows = append(rows, look.SpacedColumns(12, pair...))
		}
		pair = nil
	}
	for _, f := range view.ComponentFields(kind) {
		ff, o := p.field(f)
		out.fields = append(out.fields, ff)
		if f.Lines > 1 {
			flush()
			rows = append(rows, o)
			continue
		}
		if pair = append(pair, look.Flex(1, o)); len(pair) == 2 {
			flush()
		}
	}
	flush()
	out.object = look.Spaced(8, rows...)
	p.forms[kind] = out
	return out
}

// field makes the widget of a field. Enter in a fast one goes on.
func (p *componentPanel) field(f view.ComponentField) (*formField, fyne.CanvasObject) {
	ff := &formField{f: f}
	put := func(t string) { p.s.w.try(func() error { return p.s.m.Put(f, t) }) }
	frozen := p.s.w.exam.shell.Frozen()
	if f.Choices != nil {
		ff.list = look.NewSelect(f.Choices, "not said", put)
		if frozen {
			ff.list.Disable()
		}
		return ff, look.Captioned(f.Label, ff.list)
	}
	if f.Lines > 1 {
		ff.entry = look.NewNote(f.Label, f.Lines, put)
	} else {
		ff.entry = look.NewField(f.Label, f.Unit, put)
		enter := ff.entry.Entry().OnSubmitted
		ff.entry.Entry().OnSubmitted = func(t string) { enter(t); p.next(ff) }
	}
	ff.entry.SetHint(f.Hint)
	if frozen {
		ff.entry.Disable()
	}
	return ff, ff.entry
}

// next puts the keyboard into the figure after this one, or into the first of
// the next component that has figures.
func (p *componentPanel) next(from *formField) {
	past := false
	for _, ff := range p.now.fields {
		if past && ff.f.Fast {
			p.enter(ff)
			return
		}
		past = past || ff == from
	}
	for p.s.m.Step(1) {
		p.s.refresh()
		if p.focusFirst(false) {
			return
		}
	}
	p.s.w.win.Canvas().Unfocus()
}

// enter puts the keyboard into a field with what stands there selected, so that
// a figure typed now replaces it.
func (p *componentPanel) enter(ff *formField) {
	ff.entry.Focus(p.s.w.win.Canvas())
	ff.entry.Entry().TypedShortcut(&fyne.ShortcutSelectAll{})
}

// focusFirst puts the keyboard into the form's first figure, with any into its
// first entry; ok is false where it has none.
func (p *componentPanel) focusFirst(any bool) (ok bool) {
	if p.now == nil || p.s.w.exam.shell.Frozen() {
		return false
	}
	for _, ff := range p.now.fields {
		if ff.entry != nil && (any || ff.f.Fast) {
			p.enter(ff)
			return true
		}
	}
	return false
}

func (p *componentPanel) refresh() {
	c := p.s.m.Chosen()
	show(p.content, c != nil)
	show(p.none, c == nil)
	if c == nil {
		p.now = nil
		p.laid.follow("none")
		return
	}
	p.title.SetText(view.Capital(p.s.m.ChosenName()))
	p.id.SetText(c.ID)
	if f := p.formOf(c.Kind); f != p.now {
		p.now = f
		p.form.Objects = []fyne.CanvasObject{f.object}
		p.form.Refresh()
	}
	for _, ff := range p.now.fields {
		t := ff.f.Get(*c)
		if ff.list != nil {
			ff.list.Set(t)
		} else {
			ff.entry.Set(t)
		}
	}
	p.proposal.set(some(p.s.m.Proposal()))
	show(p.offer, len(p.proposal.now) > 0)
	p.reckoned.set(some(p.s.m.Reckoned()))
	show(p.reckoned.box, len(p.reckoned.now) > 0)
	show(p.ambient, len(p.s.m.AmbientElsewhere()) > 0)
	p.found.set(p.s.m.About())
	p.photos.refresh()
	p.laid.follow(c.Kind, p.proposal.now, p.reckoned.now, p.ambient.Visible(), len(p.found.now), p.photos.now)
}

// some is a text as a list, none for "".
func some(text string) []string {
	if text == "" {
		return nil
	}
	return []string{text}
}
