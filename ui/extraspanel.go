package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// extrasPage lists what comes with the instrument: case, papers, tools, parts
// that were taken off; and edits the one that is chosen.
type extrasPage struct {
	s      *partsScreen
	m      *view.Extras
	root   fyne.CanvasObject
	list   *keyList
	rows   []view.ExtraRow
	kind   *look.Select
	what   *look.Field
	state  *look.Select
	number *look.Field
	note   *look.Field
	photos *tieGrid
	form   fyne.CanvasObject
	none   fyne.CanvasObject
	laid   arranged
	add    *look.Button
	remove *look.Button
}

func newExtrasPage(s *partsScreen) *extrasPage {
	p := &extrasPage{s: s, m: view.NewExtras(s.w.exam.s)}
	p.list = newKeyList(33, listColumn{title: "Kind", width: 92}, listColumn{title: "What"}, listColumn{title: "State", width: 118}, listColumn{title: "Number", width: 46, right: true}, listColumn{title: "Photos", width: 44, right: true})
	p.list.onMove = func(row int) {
		s.w.takeTyped()
		p.m.Select(p.rows[row].ID)
		p.refresh()
	}
	p.list.onRune = func(r rune) {
		if r == '+' {
			p.new()
		}
	}
	p.list.onKey = p.key
	try := func(err error) { s.w.try(func() error { return err }) }
	p.kind = look.NewSelect(record.ExtraKinds(), "", func(t string) { try(p.m.SetKind(t)) })
	p.what = look.NewField("What it is", "", func(t string) { try(p.m.SetWhat(t)) })
	p.state = look.NewSelect(view.ExtraStates(), view.StateNotJudged, func(t string) { try(p.m.SetState(t)) })
	p.number = look.NewField("Number", "", func(t string) { try(p.m.SetNumber(t)) })
	p.note = look.NewNote("Note", 3, func(t string) { try(p.m.SetNote(t)) })
	p.photos = newTieGrid("Photos that show it", s.thumbs, func(id string) { try(p.m.ToggleFile(id)) })
	p.add = look.NewButton("Add", "plus", look.Plain, p.new)
	p.remove = look.NewButton("Remove", "delete", look.Quiet, p.take)
	p.compose()
	return p
}

func (p *extrasPage) compose() {
	keys := look.NewText("+ adds, Delete removes, Enter goes to the form", look.Caption, look.Dim)
	foot := look.SpacedColumns(12, look.Flex(1, keys), look.Centred(p.remove), look.Centred(p.add))
	list := look.Rows(look.Flex(1, container.NewVScroll(look.Inset(14, 0, 10, 0, p.list))), look.NewRule(), look.Inset(24, 6, 16, 6, foot))
	p.form = look.Spaced(12,
		look.SpacedColumns(12, look.Fixed(170, 0, look.Captioned("Kind", p.kind)), look.Flex(1, p.what)),
		look.SpacedColumns(12, look.Fixed(170, 0, look.Captioned("State", p.state)), look.Fixed(90, 0, p.number), look.Space()),
		p.note, p.photos.root)
	p.none = look.NewParagraph("Nothing is listed yet: case, keys, papers, tools, strap, tags, and parts that were taken off and kept. A removed original part belongs here, with its state.", true).Object
	inner := look.Spaced(12, look.NewText("What comes with it", look.Title, look.Ink).Bold(), container.NewStack(p.form, p.none))
	right := container.NewVScroll(look.Inset(20, 12, 20, 12, inner))
	p.photos.within(right)
	p.laid.root = inner
	summary := look.NewText("Case, papers, tools, and parts that were taken off and kept", look.Small, look.Dim)
	p.root = look.Columns(look.Fixed(listWidth, 0, p.s.under(summary, list)), look.NewRule(), look.Flex(1, look.On(look.Panel, right)))
}

func (p *extrasPage) new() {
	if p.s.w.exam.shell.Frozen() {
		return
	}
	p.s.w.takeTyped()
	p.s.w.try(p.m.Add)
	p.refresh()
	p.what.Focus(p.s.w.win.Canvas())
}

func (p *extrasPage) take() {
	if p.s.w.exam.shell.Frozen() {
		return
	}
	p.s.w.takeTyped()
	p.s.w.try(p.m.Remove)
}

func (p *extrasPage) key(k fyne.KeyName) {
	switch k {
	case fyne.KeyInsert:
		p.new()
	case fyne.KeyDelete, fyne.KeyBackspace:
		p.take()
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeyRight:
		if len(p.rows) > 0 {
			p.what.Focus(p.s.w.win.Canvas())
		}
	}
}

func (p *extrasPage) refresh() {
	p.rows = p.m.Rows()
	at, cells := -1, make([][]listCell, len(p.rows))
	for i, r := range p.rows {
		cells[i] = extraCells(r)
		if r.Selected {
			at = i
		}
	}
	p.list.set(cells, at)
	d := p.m.Detail()
	show(p.form, d != nil)
	show(p.none, d == nil)
	if d != nil {
		p.kind.Set(d.Kind)
		p.what.Set(d.What)
		p.number.Set(d.Number)
		p.note.Set(d.Note)
		p.state.Set(d.State)
		p.photos.set(p.m.Photos(), p.s.w.exam.shell.Frozen())
	}
	if p.s.w.exam.shell.Frozen() {
		for _, o := range []interface{ Disable() }{p.kind, p.what, p.state, p.number, p.note, p.add, p.remove} {
			o.Disable()
		}
	}
	p.laid.follow(d != nil)
}

// extraCells are the words of one row.
func extraCells(r view.ExtraRow) []listCell {
	what := listCell{text: r.What}
	if r.What == "" {
		what = listCell{text: "say what it is", ink: look.Dim}
	}
	state := listCell{text: r.State}
	if r.State == "" {
		state = listCell{text: view.StateNotJudged, ink: look.Dim}
	}
	photos := listCell{text: "–", ink: look.Dim}
	if r.Files > 0 {
		photos = listCell{text: itoa(r.Files)}
	}
	return []listCell{{text: view.Capital(r.Kind)}, what, state, {text: r.Number}, photos}
}
