package ui

import (
	"context"
	"sync"

	"fyne.io/fyne/v2"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveFile is the page on which reports are filed: what was given, what became
// of each file, and going on after a break.
type archiveFile struct {
	s       *archiveScreen
	m       *view.ArchiveFiling // of the last filing, nil before the first
	root    fyne.CanvasObject
	summary *look.Text
	trouble *look.Paragraph
	again   *look.Button
	choose  [2]*look.Button
	table   *look.Table
	none    fyne.CanvasObject
}

func newArchiveFile(s *archiveScreen) *archiveFile {
	p := &archiveFile{s: s, summary: look.NewText("", look.Body, look.Ink).Bold(), trouble: look.NewParagraph("", true)}
	p.choose[0] = look.NewButton("Choose a folder…", "folder", look.Main, func() { p.ask(true) })
	p.choose[1] = look.NewButton("Choose a file…", "report", look.Plain, func() { p.ask(false) })
	p.again = look.NewButton("Go on", "", look.Plain, func() { p.take(p.m.Paths) })
	p.table = look.NewTable([]look.Column{{Title: "What became of it", Width: 130}, {Title: "File"}, {Title: "Why"}},
		func() int {
			if p.m == nil {
				return 0
			}
			return p.m.Count()
		}, func(i, k int) string {
			l := p.m.Line(i)
			return [...]string{l.Result, l.Source, l.Text}[k]
		})
	p.table.Ink = func(i, k int) fyne.ThemeColorName {
		if k == 0 && p.m.Line(i).Bad {
			return look.Bad
		}
		return ""
	}
	p.table.OnSelect = func(i int) {
		p.table.Select(-1)
		if l := p.m.Line(i); l.Hash != "" && !l.Bad {
			s.open(l.Hash)
		}
	}
	text := paragraphs("Drop reports on the window: PDFs, folders with everything below them, mail (.eml, .mbox) with PDFs attached. Each is checked, and filed once under its hash with the verdict of now. What does not pass goes on the refused pile with the reason; nothing is deleted or moved where it came from.",
		"The keys and authorities that you trust when a report is filed are those of the verdict that is kept; compare them before (Keys, Ctrl+K).")
	p.none = look.Centred(look.NewText("Nothing was given yet.", look.Body, look.Dim))
	p.root = look.Rows(look.Inset(24, 16, 24, 12, look.Spaced(12, look.NewText("File reports", look.Title, look.Ink).Bold(), look.Columns(look.Fixed(820, 0, text), look.Space()),
		look.SpacedColumns(8, p.choose[0], p.choose[1], look.Space()))),
		look.NewRule(), look.Inset(24, 10, 24, 8, look.SpacedColumns(12, look.Flex(1, look.Rows(p.summary, p.trouble.Object)), look.Centred(p.again))),
		look.Flex(1, look.Inset(18, 0, 18, 0, p.table.Object)))
	p.changed()
	return p
}

func (p *archiveFile) object() fyne.CanvasObject { return p.root }
func (p *archiveFile) shown()                    { p.changed() }

// changed follows the filing and whether anything can be filed now.
func (p *archiveFile) changed() {
	for _, b := range p.choose {
		if p.s.lookOnly || p.s.task != nil {
			b.Disable()
		} else {
			b.Enable()
		}
	}
	p.again.Hidden = p.m == nil || !p.m.Broken() || p.s.task != nil
	switch {
	case p.s.lookOnly:
		p.summary.SetText("This archive is opened to look only; nothing can be filed now.")
	case p.m == nil:
		p.summary.SetText("Nothing was given yet.")
	default:
		p.summary.SetText(p.m.Summary())
		p.trouble.SetText(p.m.Trouble())
	}
	p.table.Refresh()
}

func (p *archiveFile) ask(folder bool) {
	if !p.s.canChange() {
		return
	}
	caption := "A PDF or a mailbox"
	if folder {
		caption = "A folder; everything below it is looked through"
	}
	p.s.w.askPath("File reports", caption, "File", folder, func(path string) { p.take([]string{path}) })
}

// take files what was given.
func (p *archiveFile) take(paths []string) {
	if len(paths) == 0 || !p.s.canChange() {
		return
	}
	m := &view.ArchiveFiling{Paths: paths}
	p.m = m
	var tally archive.Tally
	var mu sync.Mutex
	var news []archive.Outcome
	told := func() { // what came in since, which the window is not told of one by one
		mu.Lock()
		list := news
		news = nil
		mu.Unlock()
		for _, o := range list {
			m.Take(o)
		}
		p.follow()
	}
	p.s.run("Filing", func(ctx context.Context, report func(int, int, string)) error {
		opt, err := p.s.w.trusting()
		if err != nil {
			return err
		}
		n := 0
		tally, err = p.s.a.File(ctx, paths, archive.FileOptions{Verify: opt, Done: func(o archive.Outcome) {
			n++
			mu.Lock()
			news = append(news, o)
			mu.Unlock()
			report(0, 0, view.Grouped(n)+" gone through, last "+o.Source)
		}})
		return err
	}, told, func(err error) {
		told()
		m.End(tally, err)
	})
}

// follow shows outcomes that came in.
func (p *archiveFile) follow() {
	if p.s.page == pageFile {
		p.summary.SetText(p.m.Summary())
		p.table.Refresh()
	}
}
