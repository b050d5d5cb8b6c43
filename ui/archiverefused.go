package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveRefused is the page with the pile of what was not filed.
type archiveRefused struct {
	s      *archiveScreen
	root   fyne.CanvasObject
	rows   []view.ArchivePileRow
	all    int
	stale  bool
	count  *look.Text
	table  *look.Table
	detail *fyne.Container
	chosen string
	said   *look.Text
}

// pileMost bounds how many are listed, the latest first.
const pileMost = 10_000

func newArchiveRefused(s *archiveScreen) *archiveRefused {
	p := &archiveRefused{s: s, stale: true, count: look.NewText("", look.Body, look.Ink).Bold(), detail: container.NewStack(), said: look.NewText("", look.Small, look.Dim)}
	p.table = look.NewTable([]look.Column{{Title: "Refused", Width: 124, Dim: true}, {Title: "File", Width: 220}, {Title: "Why"}, {Title: "Size", Width: 76, Right: true, Dim: true}},
		func() int { return len(p.rows) }, func(i, k int) string {
			r := p.rows[i]
			return [...]string{r.Date, r.Source, r.Why, r.Size}[k]
		})
	p.table.OnSelect = p.choose
	p.clear()
	p.root = look.Columns(look.Flex(1, look.Rows(look.Fixed(0, 46, look.Inset(24, 4, 24, 4, look.Rows(look.Space(), p.count, look.Space()))), look.NewRule(), look.Flex(1, look.Inset(18, 0, 12, 0, p.table.Object)))),
		look.NewRule(), look.Fixed(detailWide, 0, look.On(look.Panel, p.detail)))
	return p
}

func (p *archiveRefused) clear() {
	p.detail.Objects = []fyne.CanvasObject{look.Centred(look.NewText("Choose a file to see why it was refused.", look.Body, look.Dim).Whole())}
	p.detail.Refresh()
}

func (p *archiveRefused) object() fyne.CanvasObject { return p.root }

func (p *archiveRefused) changed() {
	p.stale = true
	if p.s.page == pageRefused && p.s.task == nil {
		p.shown()
	}
}

// shown reads the pile, where something may have been added.
func (p *archiveRefused) shown() {
	if !p.stale {
		return
	}
	var list []archive.RefusedFile
	var all int
	var err error
	p.s.beside(func() { list, all, err = p.s.a.Pile(p.s.ctx, pileMost) }, func() {
		if err != nil {
			p.s.w.Fail(err)
			return
		}
		p.rows, p.all, p.stale = view.PileRows(list), all, p.s.task != nil
		p.count.SetText(view.PileSummary(len(p.rows), all))
		p.table.Refresh()
	})
}

func (p *archiveRefused) choose(i int) {
	if i >= len(p.rows) {
		return
	}
	r := p.rows[i]
	p.chosen = r.Hash
	var text string
	var err error
	p.s.beside(func() { text, err = p.s.a.Reason(r.Hash) }, func() {
		if p.chosen != r.Hash {
			return
		}
		if err != nil {
			text = view.Words(err)
		}
		ref := archive.Ref{Area: archive.Refused, Hash: r.Hash}
		p.said.SetText("")
		actions := look.Spaced(6, look.SpacedColumns(6, look.NewButton("Open it", "report", look.Plain, func() { p.s.openFile(ref, r.Hash[:16]+".pdf") }),
			look.NewButton("Save a copy…", "", look.Plain, func() { p.s.askCopyOf(ref, r.Hash[:16]+".pdf", p.said.SetText) }), look.Space()), p.said)
		p.detail.Objects = []fyne.CanvasObject{look.Rows(look.Flex(1, container.NewVScroll(look.Inset(16, 12, 14, 12, look.Spaced(8, look.NewParagraph(r.Source, false).Object, look.NewRule(),
			look.NewParagraph(text, false).Object, look.NewRule(), look.NewParagraph("It stays on the pile as it came. When it passes later, because a key is known by then or it came in whole, file it again.", true).Object)))),
			look.NewRule(), look.Inset(16, 8, 10, 6, actions))}
		p.detail.Refresh()
	})
}
