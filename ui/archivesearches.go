package ui

import (
	"context"
	"fmt"
	"io"
	"os/user"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/people"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// userName is who is at the machine, as proposed where the log asks who decided.
func userName() string {
	u, err := user.Current()
	switch {
	case err != nil:
		return ""
	case u.Name != "":
		return u.Name
	}
	return u.Username
}

// askSaved lists the saved searches; one is taken up by a click, and the line of
// the moment can be kept.
func (p *archiveFind) askSaved() {
	list, err := p.s.a.SavedSearches()
	if err != nil {
		p.s.w.Fail(err)
		return
	}
	var s *sheet
	again := func(err error) {
		if err != nil {
			p.s.w.Fail(err) // the sheet stays, so nothing typed is lost
			return
		}
		s.hide()
		p.s.refreshFoot()
		p.askSaved()
	}
	name, by := look.NewField("Keep the line of now under a name", "", nil), look.NewField("Your name, for the log", "", nil)
	by.Set(p.s.by)
	who := func() string { p.s.by = strings.TrimSpace(by.Text()); return p.s.by }
	rows := []fyne.CanvasObject{}
	for _, k := range list {
		use := func() { s.hide(); p.set(k.Line) }
		rename := look.NewButton("Rename…", "", look.Quiet, func() { p.askRename(k.Name, who(), again) }).Tight()
		remove := look.NewButton("", "delete", look.Quiet, func() {
			if p.s.canChange() {
				again(p.s.a.RemoveSearch(who(), k.Name))
			}
		})
		rows = append(rows, look.SpacedColumns(8, look.Fixed(190, 0, look.Columns(look.NewButton(k.Name, "", look.Plain, use), look.Space())),
			look.Flex(1, look.Rows(look.Space(), look.NewText(k.Line, look.Small, look.Ink), look.NewText(view.SearchNote(k), look.Caption, look.Dim), look.Space())), rename, remove))
	}
	if len(rows) == 0 {
		rows = append(rows, paragraphs("No search is kept yet. The searches of an archive are lines of its log: everybody who opens it has them."))
	}
	line := strings.TrimSpace(p.line.Text)
	keep := func() {
		if strings.TrimSpace(name.Text()) != "" && p.s.canChange() {
			again(p.s.a.SaveSearch(who(), name.Text(), line))
		}
	}
	name.Entry().OnSubmitted = func(string) { keep() }
	for _, f := range []*look.Field{name, by} {
		f.OnCancel = func() { s.hide() }
	}
	body := []fyne.CanvasObject{tall(look.Spaced(6, rows...), len(rows), 8)}
	buttons := []*look.Button{}
	if line != "" && !p.s.lookOnly {
		body = append(body, look.NewRule(), look.NewText(line, look.Small, look.Dim), look.SpacedColumns(12, look.Flex(3, name), look.Flex(2, by)))
		buttons = append(buttons, look.NewButton("Keep", "", look.Main, keep))
	}
	s = p.s.w.showSheet("Saved searches", 640, look.Spaced(10, body...), "Close", buttons...)
	if len(buttons) > 0 {
		name.Focus(p.s.w.win.Canvas())
	}
}

func (p *archiveFind) askRename(from, by string, then func(error)) {
	if !p.s.canChange() {
		return
	}
	var s *sheet
	name := look.NewField("Another name", "", nil)
	name.Set(from)
	do := func() {
		s.hide()
		then(p.s.a.RenameSearch(by, from, name.Text()))
	}
	name.Entry().OnSubmitted = func(string) { do() }
	name.OnCancel = func() { s.hide() }
	s = p.s.w.showSheet("Rename the search", 420, name, "Cancel", look.NewButton("Rename", "", look.Main, do))
	name.Focus(p.s.w.win.Canvas())
}

// askExport writes what answers the line; the name of the file says in which form.
func (p *archiveFind) askExport() {
	q, err := archive.ParseQuery(p.line.Text)
	if err != nil {
		p.s.w.Fail(err)
		return
	}
	p.s.w.askPathFrom("Export what was found", "A new file: .csv for spreadsheets, .jsonl for JSON Lines, or .parquet", "Export", "found.csv", false, func(path string) {
		form := map[string]func(io.Writer) archive.Exporter{".csv": archive.NewCSV, ".jsonl": archive.NewLines, ".parquet": archive.NewParquet}[strings.ToLower(filepath.Ext(path))]
		if form == nil {
			p.s.w.Fail(fmt.Errorf("export: %s ends in none of .csv, .jsonl and .parquet", shortPath(path)))
			return
		}
		n := 0
		p.s.w.work("Exporting", func(ctx context.Context, _ func(int, int, string)) error {
			if err := people.ReadsAll(ctx, p.s.a, p.s.dir, q); err != nil {
				return err
			}
			return writeNew(path, func(w io.Writer) (err error) {
				n, err = p.s.a.Export(ctx, q, form(w))
				return err
			})
		}, func() { p.s.foot.SetText(fmt.Sprintf("%s reports written to %s", view.Grouped(n), shortPath(path))) })
	})
}

// showQueryHelp explains what can stand in the line.
func (w *Window) showQueryHelp() {
	var rows []fyne.CanvasObject
	for _, h := range view.ArchiveQueryHelp() {
		rows = append(rows, look.SpacedColumns(12, look.Fixed(276, 0, look.Rows(look.NewText(h[0], look.Small, look.Ink).Mono(), look.Space())), look.Flex(1, look.NewParagraph(h[1], false).Object)))
	}
	w.showSheet("What can stand in the line", 840, look.Spaced(10,
		paragraphs("A report must answer everything that stands in the line. Small and capital letters and accents are alike. Tab takes a suggestion, the arrow keys choose among them and then in the list."),
		tall(look.Spaced(5, rows...), len(rows), 0)), "Close")
}
