package ui

import (
	"context"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveFind is the page on which reports are found: the query line above, the
// counts at the left, the list, and the chosen report at the right.
type archiveFind struct {
	s      *archiveScreen
	m      *view.ArchiveFind
	root   fyne.CanvasObject
	line   *queryLine
	box    *suggestBox
	table  *look.Table
	wrong  *lineTrouble
	side   *archiveCounts
	detail *archiveDetail
	hits   *look.Text
	none   *look.Text

	stopAsk context.CancelFunc
	asked   time.Time // when the line was asked last
	quiet   bool      // a row is being shown as chosen, not chosen
	onShown func()    // told when rows of a new answer are on the screen; for measuring
}

// queryPause is how long a line that changes quickly rests before it is asked. One
// that rested before is asked at once.
const queryPause = 60 * time.Millisecond

// The sides of the page.
const (
	countsWide float32 = 200
	detailWide float32 = 344
	lineHigh   float32 = 46
)

func newArchiveFind(s *archiveScreen) *archiveFind {
	p := &archiveFind{s: s, m: view.NewArchiveFind(s.a), hits: look.NewText("", look.Small, look.Dim).Right(), none: look.NewText("", look.Body, look.Dim)}
	p.box, p.wrong = newSuggestBox(p.accept), newLineTrouble()
	p.line = newQueryLine("Words, or maker: serial: year: index: kind: …", func(string) { p.ask() })
	p.line.key, p.line.suggests = p.key, p.box.Open
	p.detail = newArchiveDetail(s)
	p.side = newArchiveCounts(func(field, value string) { p.set(p.m.Toggle(field, value)) })
	cols := []look.Column{{Share: 0.72}, {Width: 84}, {Width: 74, Right: true}, {Width: 82, Dim: true}, {Share: 0.28, Dim: true}, {Width: 82, Dim: true}}
	for i, c := range view.ArchiveColumns() {
		cols[i].Title = c.Title
	}
	p.table = look.NewTable(cols, p.m.Count, p.cell)
	p.table.OnSelect = func(i int) { p.choose(p.m.Choose(i)) }
	p.table.OnHead = func(col int) { p.set(p.m.SortBy(col)) }
	p.root = p.compose()
	return p
}

func (p *archiveFind) compose() fyne.CanvasObject {
	bar := look.SpacedColumns(8, look.Flex(1, p.line.object), look.NewButton("", "info", look.Quiet, p.s.w.showQueryHelp),
		look.Fixed(140, 0, look.Rows(look.Space(), p.hits, look.Space())),
		look.NewButton("Saved searches…", "", look.Plain, p.askSaved), look.NewButton("Export…", "", look.Plain, p.askExport))
	list := container.NewStack(p.table.Object, look.Centred(look.Fixed(420, 0, look.Inset(0, 0, 0, 0, p.none))))
	main := look.Rows(look.Fixed(0, lineHigh, look.Inset(16, 8, 16, 8, bar)), look.NewRule(),
		look.Flex(1, look.Columns(look.Fixed(countsWide, 0, look.On(look.Panel, p.side.object)), look.NewRule(),
			look.Flex(1, list), look.NewRule(), look.Fixed(detailWide, 0, look.On(look.Panel, p.detail.root)))))
	return container.New(&underLine{}, main, p.wrong.object, p.box)
}

// underLine lays the suggestions over the page, below the query line.
type underLine struct{}

func (underLine) MinSize(o []fyne.CanvasObject) fyne.Size { return o[0].MinSize() }

func (underLine) Layout(o []fyne.CanvasObject, s fyne.Size) {
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(s)
	for _, under := range o[1:] {
		under.Move(fyne.NewPos(16, lineHigh-7))
		wide := min(560, s.Width-32)
		under.Resize(fyne.NewSize(wide, under.Size().Height)) // what wraps knows its height only then
		under.Resize(fyne.NewSize(wide, under.MinSize().Height))
	}
}

func (p *archiveFind) object() fyne.CanvasObject { return p.root }

// shown asks again where the archive changed meanwhile, and takes the keyboard.
func (p *archiveFind) shown() {
	p.ask()
	p.s.w.win.Canvas().Focus(p.line)
}

// changed looks again: something may have been filed.
func (p *archiveFind) changed() {
	if p.s.page == pageFind && p.s.task == nil {
		p.ask()
	}
}

func (p *archiveFind) cell(row, col int) string {
	r, ok := p.m.Row(row)
	if !ok {
		p.want(row)
		if col == 0 {
			return "…"
		}
		return ""
	}
	return r.Cell(col)
}

// set puts a line into the field and asks it.
func (p *archiveFind) set(line string) {
	p.line.put(line, len([]rune(line)))
	p.box.Set(nil)
	p.ask()
}

// ask asks what stands in the line, beside the window; what was asked before is
// forgotten. First come the rows, then suggestions and counts.
func (p *archiveFind) ask() {
	if p.stopAsk != nil {
		p.stopAsk()
	}
	ctx, stop := context.WithCancel(p.s.ctx)
	p.stopAsk = stop
	now, pause := time.Now(), time.Duration(0)
	if now.Sub(p.asked) < queryPause {
		pause = queryPause
	}
	p.asked = now
	k, ok := p.m.Ask(p.line.Text)
	typed, typing := view.Typing(p.line.Text, p.line.CursorColumn)
	fields := []view.ArchiveSuggestion(nil)
	if typing = typing && p.line.typed; typing {
		fields = typed.Fields()
	}
	p.box.Set(fields)
	p.showState()
	back := func(f func()) {
		if ctx.Err() == nil {
			fyne.Do(func() {
				if ctx.Err() == nil && p.s.here() {
					f()
				}
			})
		}
	}
	p.s.work.Go(func() {
		select {
		case <-time.After(pause):
		case <-ctx.Done():
			return
		}
		if ok {
			answer := k.Answer()
			back(func() { p.take(answer) })
		}
		if typing && ctx.Err() == nil {
			values := typed.Values(p.s.a)
			back(func() { p.box.Set(view.Suggested(fields, values)) })
		}
		if !ok {
			return
		}
		for _, f := range view.CountFields() {
			if ctx.Err() != nil {
				return
			}
			c := k.Counted(f)
			back(func() { p.takeCounted(c) })
		}
	})
}

// want asks for the page of a row that came into sight.
func (p *archiveFind) want(row int) {
	k, ok := p.m.Want(row)
	if !ok {
		return
	}
	var answer view.ArchiveAnswer
	p.s.beside(func() { answer = k.Answer() }, func() {
		if p.m.Take(answer) {
			p.table.Refresh()
			p.showState()
		}
	})
}

func (p *archiveFind) take(n view.ArchiveAnswer) {
	if !p.m.Take(n) {
		return
	}
	p.table.Refresh()
	p.table.ToTop()
	p.showChosen()
	p.showState()
	if p.onShown != nil {
		p.onShown()
	}
}

func (p *archiveFind) takeCounted(c view.ArchiveCounted) {
	if p.m.TakeCounted(c) {
		p.side.set(p.m.Facets())
		p.showState()
	}
}

// showState shows the number of hits, what is wrong, and the order.
func (p *archiveFind) showState() {
	if p.box.Open() { // what is being typed may become something yet
		p.wrong.set("")
	} else {
		p.wrong.set(p.m.Trouble())
	}
	p.hits.SetText(p.m.Hits())
	p.none.SetText(p.m.Empty())
	sorted, down := p.m.Sorted()
	for i, c := range view.ArchiveColumns() {
		title, ink := c.Title, look.Dim
		if i == sorted {
			ink = look.Ink
			if title += " ↑"; down {
				title = c.Title + " ↓"
			}
		}
		p.table.SetTitle(i, title, ink)
	}
}

func (p *archiveFind) showChosen() {
	_, place := p.m.Chosen()
	p.quiet = true
	p.table.Select(place)
	p.quiet = false
}

func (p *archiveFind) choose(hash string) {
	if hash != "" && !p.quiet {
		p.detail.show(hash)
	}
}

// key handles the keys of the query line; true for one that it took.
func (p *archiveFind) key(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyF1:
		p.s.w.showQueryHelp()
	case fyne.KeyEscape:
		if !p.box.Open() {
			return false
		}
		p.box.Set(nil)
	case fyne.KeyDown, fyne.KeyUp:
		by := 1
		if k == fyne.KeyUp {
			by = -1
		}
		if p.box.Step(by) {
			return true
		}
		p.choose(p.m.Step(by))
		p.showChosen()
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeyTab:
		if s, ok := p.box.Chosen(k == fyne.KeyTab); ok {
			p.accept(s)
			return true
		}
		if k == fyne.KeyTab {
			return false
		}
		p.box.Set(nil)
		if hash, _ := p.m.Chosen(); hash == "" {
			p.choose(p.m.Step(0))
			p.showChosen()
		}
	default:
		return false
	}
	return true
}

// accept puts a suggestion into the line.
func (p *archiveFind) accept(s view.ArchiveSuggestion) {
	p.line.put(s.Line, s.At)
	p.s.w.win.Canvas().Focus(p.line)
	p.box.Set(nil)
	p.ask()
}
