package ui

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/signs"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// partPanel is what is said of the selected part: its state, how that was
// judged, the checklist of signs, photos, a note, and what the signs say.
type partPanel struct {
	s          *partsScreen
	root       fyne.CanvasObject
	laid       arranged // what scrolls
	above      arranged // what does not
	part       record.PartID
	title      *look.Text
	beside     *look.Text
	state      *look.Select
	inspected  *look.Segments
	reversible *look.Segments
	undoing    fyne.CanvasObject // reversible with its caption
	methods    map[string]*look.Button
	note       *look.Field
	answered   *look.Text
	short      *look.Text
	warn       fyne.CanvasObject
	signs      *signList
	scroll     *container.Scroll
	cautions   *fyne.Container
	caution    map[string]fyne.CanvasObject // paragraphs made so far: laying one out anew is slow
	photos     *tieGrid
	marks      []view.MarkRow
	onIt       *keyList
	says       *fyne.Container
	said       []signs.Sentence
}

func newPartPanel(s *partsScreen) *partPanel {
	p := &partPanel{s: s, methods: map[string]*look.Button{}, title: look.NewText("", look.Title, look.Ink).Bold().Whole(), beside: look.NewText("", look.Small, look.Dim).Right(),
		answered: look.NewText("", look.Small, look.Dim).Right(), short: look.NewText("", look.Caption, look.Ink), cautions: look.Spaced(4), caution: map[string]fyne.CanvasObject{},
		says: look.Spaced(4)}
	m, try := s.m, func(err error) { s.w.try(func() error { return err }) }
	p.state = look.NewSelect(stateWords(), "not seen", func(t string) { try(m.SetState(p.part, record.State(t))) })
	p.inspected = look.NewSegments([]string{"not looked at", "inspected"}, func(i int) { try(m.SetInspected(p.part, i == 1)) })
	p.reversible = look.NewSegments(view.Reversibles(), func(i int) { try(m.SetReversible(p.part, view.ReversibleAnswer(i))) })
	p.undoing = look.Captioned("Could it be undone", look.Fixed(156, 0, p.reversible))
	p.note = look.NewField("Note", "", func(t string) { try(m.SetNote(p.part, t)) })
	p.signs = newSignList(func(id, answer string) { try(s.w.exam.s.SetSign(p.part, id, answer)) })
	p.photos = newTieGrid("Photos that show it", s.thumbs, func(id string) { try(m.TogglePhoto(p.part, id)) })
	p.onIt = newKeyList(27, listColumn{title: "Mark", width: 34, right: true}, listColumn{title: "on it; Enter or a click goes there"}, listColumn{title: "Where", width: 170}, listColumn{title: "points", width: 46, right: true})
	p.onIt.onMove = func(i int) { p.onIt.set(p.onIt.rows, i) }
	p.onIt.onCell = func(row, _ int) { p.goTo(row) }
	p.onIt.onKey = func(k fyne.KeyName) {
		if k == fyne.KeyReturn || k == fyne.KeyEnter {
			p.goTo(p.onIt.at)
		}
	}
	p.compose()
	return p
}

func stateWords() []string {
	var out []string
	for _, st := range record.States() {
		out = append(out, string(st))
	}
	return out
}

// compose lays out what stays in sight above, the checklist in between, and
// what the signs say below.
func (p *partPanel) compose() {
	var how []fyne.CanvasObject
	for _, m := range record.Methods() {
		b := look.NewButton(methodShort(m), "", look.Quiet, func() { p.s.w.try(func() error { return p.s.m.ToggleMethod(p.part, m) }) }).Tight()
		p.methods[m] = b
		how = append(how, b)
	}
	p.warn = look.SpacedColumns(6, look.NewIcon("warning", look.Missing, 16), look.Flex(1, p.short))
	top := look.Spaced(8,
		look.SpacedColumns(12, p.title, look.Flex(1, p.beside)),
		look.SpacedColumns(12, look.Flex(1, look.Captioned("State", p.state)), look.Captioned("Condition", look.Fixed(178, 0, p.inspected)), p.undoing),
		look.Captioned("Judged by", look.Columns(append(how, look.Space())...)),
		p.note)
	body := look.Spaced(12, p.signs, p.cautions, p.onIt, p.photos.root)
	p.scroll = container.NewVScroll(look.Inset(20, 0, 20, 12, body))
	p.photos.within(p.scroll)
	p.signs.onSight = p.bring
	head := look.SpacedColumns(12, look.NewText("Signs", look.Body, look.Ink).Bold().Whole(), look.Flex(1, p.warn), look.Fixed(104, 0, p.answered))
	foot := look.On(look.Panel, look.Rows(look.NewRule(), look.Inset(20, 6, 20, 6, look.Spaced(2, look.NewText("What the signs say", look.Caption, look.Dim), look.Fixed(0, 66, container.NewVScroll(p.says))))))
	p.root = look.On(look.Panel, look.Rows(look.Inset(20, 12, 20, 10, top), look.NewRule(), look.Inset(20, 8, 20, 6, head), look.Flex(1, p.scroll), foot))
	p.laid.root, p.above.root = p.scroll.Content, top
}

// bring scrolls a part of the checklist into sight.
func (p *partPanel) bring(top, bottom float32) {
	if h := p.scroll.Size().Height; bottom > p.scroll.Offset.Y+h {
		p.scroll.Offset.Y = bottom - h
	}
	p.scroll.Offset.Y = max(0, min(p.scroll.Offset.Y, top))
	p.scroll.Refresh()
}

// goTo shows a mark that lies on the part on the Marks screen.
func (p *partPanel) goTo(row int) {
	if row >= 0 && row < len(p.marks) {
		p.s.w.exam.marks.Select(p.marks[row].Number)
		p.s.w.ShowScreen(view.MarksScreen)
	}
}

// methodShort is the word on a narrow button.
func methodShort(m string) string {
	if m == "ultraviolet light" {
		return "ultraviolet"
	}
	return m
}

func (p *partPanel) refresh() {
	d := p.s.m.Detail()
	again := d.Part != p.part
	p.part = d.Part
	p.title.SetText(d.Title)
	p.beside.SetText(d.Beside)
	p.state.Set(string(d.State))
	p.inspected.Set(map[bool]int{true: 1}[d.Inspected])
	p.reversible.Set(d.Reversible)
	for m, b := range p.methods {
		b.SetChosen(slices.Contains(d.Judged, m))
	}
	p.note.Set(d.Note)
	p.answered.SetText(d.Answered)
	p.short.SetText(d.ShortCautions())
	show(p.warn, d.ShortCautions() != "")
	p.signs.set(d.Signs, again)
	warnings := p.showCautions(d.Cautions)
	p.photos.set(p.s.m.Photos(), p.s.w.exam.shell.Frozen())
	p.showMarks(d.Marks)
	p.showSaid(d.Says)
	if show(p.undoing, d.AsksReversible); again {
		p.scroll.ScrollToTop()
	}
	if p.s.w.exam.shell.Frozen() {
		p.disable()
	}
	p.laid.follow(len(d.Signs), warnings, len(d.Marks))
	p.above.follow(d.AsksReversible)
	p.photos.load()
}

func (p *partPanel) showMarks(marks []view.MarkRow) {
	p.marks = marks
	cells := make([][]listCell, len(marks))
	for i, r := range marks {
		cells[i] = []listCell{{text: itoa(r.Number)}, {text: r.Text}, {text: r.Where, ink: look.Dim}, {text: r.Points}}
	}
	p.onIt.set(cells, min(max(0, p.onIt.at), len(marks)-1))
	show(p.onIt, len(marks) > 0)
}

// showCautions shows the part's cautions in full and returns their words.
func (p *partPanel) showCautions(list []signs.Caution) (words []string) {
	p.cautions.Objects = nil
	for _, c := range list {
		if p.caution[c.Text] == nil {
			p.caution[c.Text] = look.NewParagraph(c.Text, true).Object
		}
		p.cautions.Objects = append(p.cautions.Objects, p.caution[c.Text])
		words = append(words, c.Text)
	}
	return words
}

// showSaid shows what the signs say; what does not go together has an icon.
func (p *partPanel) showSaid(list []signs.Sentence) {
	if len(list) == 0 {
		list = []signs.Sentence{{Text: "Nothing yet. Keys 1 2 3 answer a sign and walk down, 0 takes an answer back. No sign decides by itself"}}
	}
	if slices.Equal(list, p.said) {
		return
	}
	p.said, p.says.Objects = slices.Clone(list), nil
	for _, s := range list {
		text := fyne.CanvasObject(look.NewParagraph(view.Capital(s.Text)+".", !s.Against).Object)
		if s.Against {
			text = look.SpacedColumns(8, look.NewIcon("warning", look.Missing, 16), look.Flex(1, text))
		}
		p.says.Add(text)
	}
	p.says.Refresh()
}

func (p *partPanel) disable() {
	for _, d := range []interface{ Disable() }{p.state, p.inspected, p.reversible, p.note, p.signs} {
		d.Disable()
	}
	for _, b := range p.methods {
		b.Disable()
	}
}
