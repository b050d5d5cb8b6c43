package ui

import (
	"errors"
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/grade"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// rubricPane names the rubric in use, shows its table, and lets a shop copy,
// change and use one of its own.
type rubricPane struct {
	w          *Window
	m          *view.Grade
	name, hash *look.Text
	words      *sentences
	root       fyne.CanvasObject
}

func newRubricPane(w *Window, m *view.Grade) *rubricPane {
	p := &rubricPane{w: w, m: m, name: look.NewText("", look.Title, look.Ink).Bold(), hash: look.NewText("", look.Small, look.Dim).Mono(), words: newSentences(false)}
	table := look.NewButton("See the table…", "", look.Plain, p.showTable)
	save := look.NewButton("Copy it to change it…", "", look.Plain, p.askCopy)
	use := look.NewButton("Use another rubric…", "", look.Plain, p.askUse)
	usual := look.NewButton("Use the newest of Wornwood’s", "", look.Plain, func() { w.try(m.UseUsual) })
	if w.exam.shell.Frozen() {
		use.Disable()
		usual.Disable()
	}
	p.root = container.NewVScroll(look.Inset(0, 0, 12, 0, look.Spaced(10, look.Spaced(2, p.name, p.hash), p.words.box,
		look.Columns(table, look.Space()), look.Columns(save, look.Space()), look.Columns(use, look.Space()), look.Columns(usual, look.Space()))))
	return p
}

func (p *rubricPane) object() fyne.CanvasObject { return p.root }

func (p *rubricPane) refresh() {
	r := p.m.Rubric()
	p.name.SetText(r.Name)
	p.hash.SetText("sha-256 " + grade.ShortHash(r.Hash) + " …")
	p.words.set(p.m.RubricWords())
}

// showTable shows the whole table, a part at a time.
func (p *rubricPane) showTable() {
	sc := p.w.exam.s.Scene()
	class := ""
	if sc.Drawing != nil {
		class = sc.Drawing.Class
	}
	parts := view.RubricTable(sc.Rubric, class)
	body := container.NewStack()
	var names []string
	for _, t := range parts {
		names = append(names, t.Name)
	}
	says := look.NewParagraph("", true)
	show := func(i int) {
		body.Objects = []fyne.CanvasObject{rubricTable(parts[i], says)}
		body.Refresh()
	}
	pages := look.NewSegments(names, show)
	pages.Set(0)
	show(0)
	p.w.showSheet(sc.Rubric.Title(), 900, look.Spaced(10, look.Columns(pages, look.Space()), look.Fixed(0, 360, body), look.Fixed(0, 40, says.Object)), "Close")
}

// rubricTable is one part of the table; a row that is chosen is shown in full
// below, as reasons are longer than their column.
func rubricTable(t view.RubricPart, says *look.Paragraph) fyne.CanvasObject {
	widths := []float32{170, 110, 280, 0}
	var cols []look.Column
	for i, h := range t.Head {
		cols = append(cols, look.Column{Title: h, Width: widths[i], Dim: i > 1})
	}
	says.SetText("")
	table := look.NewTable(cols, func() int { return len(t.Rows) }, func(row, col int) string { return t.Rows[row][col] })
	table.OnSelect = func(row int) {
		r := t.Rows[row]
		says.SetText(fmt.Sprintf("%s: %s. %s", view.Capital(r[0]), r[2], r[3]))
	}
	return table.Object
}

func (p *rubricPane) askCopy() {
	b, err := p.m.CopyOfRubric()
	if err != nil {
		p.w.Fail(err)
		return
	}
	p.w.askPath("Copy the rubric to change it", "A new file, .json; give it another name inside, change its numbers, and use it here", "Save", false, func(path string) {
		p.w.try(func() error {
			if err := view.SaveRubric(path, b); err != nil {
				return err
			}
			p.w.frame.say("Saved " + shortPath(path) + ". Change it with any editor of text, then use it here.")
			return nil
		})
	})
}

func (p *rubricPane) askUse() {
	if p.w.bench == nil {
		p.w.Fail(errors.New("open a bench first; rubrics are kept with it"))
		return
	}
	p.w.askPath("Use another rubric", "A rubric’s file, .json", "Read", false, func(path string) {
		b, err := view.ReadRubric(path)
		if err != nil {
			p.w.Fail(err)
			return
		}
		p.confirm(b)
	})
}

// confirm says what a rubric is before anything is graded by it.
func (p *rubricPane) confirm(b []byte) {
	r, err := grade.Load(b)
	if err != nil {
		p.w.Fail(err)
		return
	}
	var s *sheet
	use := func(forNew bool) func() {
		return func() {
			s.hide()
			p.w.try(func() error {
				_, err := p.m.UseRubric(p.w.bench, b, forNew)
				return err
			})
		}
	}
	about := r.Title()
	if r.Origin() != "" {
		about += ". Every report will say so on its first page and carry the table."
	}
	s = p.w.showSheet("Grade by this rubric?", 520, paragraphs(about, "The grade of this examination is computed anew. It can be undone. Issued reports stay as they are."), "Cancel",
		look.NewButton("For this examination", "", look.Plain, use(false)), look.NewButton("For this and new ones", "", look.Main, use(true)))
}
