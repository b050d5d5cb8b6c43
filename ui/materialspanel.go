package ui

import (
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/caution"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// materialsPanel is the page of materials of legal weight: what the entries
// name, what is listed, and the caution on the one shown.
type materialsPanel struct {
	s         *identityScreen
	m         *view.Materials
	root      fyne.CanvasObject
	laid      arranged
	left      arranged
	told      arranged
	below     fyne.CanvasObject // the caution
	summary   *look.Text
	proposals *fyne.Container
	proposed  string
	rows      []view.MaterialRow
	table     *look.Table
	empty     fyne.CanvasObject
	form      *textForm
	gap       *look.Paragraph
	warn      fyne.CanvasObject
	files     *tiedFiles
	cautions  *sentences
	sources   *sentences
	content   fyne.CanvasObject
	none      fyne.CanvasObject
	add       *look.Button
	remove    *look.Button
}

func newMaterialsPanel(s *identityScreen) *materialsPanel {
	p := &materialsPanel{s: s, m: s.materials, summary: look.NewText("", look.Small, look.Dim), gap: look.NewParagraph("", false), proposals: look.Spaced(4),
		cautions: newSentences(false), sources: newSentences(true)}
	p.add = look.NewButton("Add…", "plus", look.Plain, p.askMaterial)
	p.remove = look.NewButton("Remove", "delete", look.Quiet, func() { s.changed(p.m.Remove) })
	p.table = look.NewTable([]look.Column{{Title: "Material"}, {Title: "On"}, {Title: "Judged by", Width: 84, Dim: true}, {Title: "Papers", Width: 56, Right: true}, {Title: "Note"}, {Title: "Lacks", Width: 64}},
		func() int { return len(p.rows) }, p.cell)
	p.table.Ink = func(row, col int) fyne.ThemeColorName {
		if col == 5 {
			return look.Bad
		}
		return ""
	}
	p.table.OnSelect = func(i int) {
		s.w.takeTyped()
		p.m.Select(p.rows[i].ID)
		p.refresh()
	}
	p.form = newTextForm(s.w, p.m.Fields(), "How it was judged")
	p.warn = look.SpacedColumns(6, look.Rows(look.NewIcon("warning", look.Missing, 16), look.Space()), look.Flex(1, p.gap.Object))
	p.files = newTiedFiles(s.w, "Documents that name it", "Tie a document…", p.m.Tied, p.m.Tieable, p.m.Tie, p.m.Untie)
	if s.w.exam.shell.Frozen() {
		p.add.Disable()
		p.remove.Disable()
	}
	p.content = look.Spaced(10, append(append([]fyne.CanvasObject{}, p.form.rows...), p.warn, p.files.box)...)
	p.none = paragraphsDim("Choose a material in the list to see its caution.")
	inner := look.Inset(20, 14, 20, 16, look.Spaced(10, p.content, p.none))
	p.laid.root = inner
	words := look.Inset(24, 8, 24, 12, look.Spaced(6, look.NewText("The caution that the report prints", look.Caption, look.Dim), p.cautions.box, p.sources.box))
	p.told.root = words
	p.below = look.Rows(look.NewRule(), look.Fixed(0, 208, container.NewVScroll(words)))
	p.empty = look.Inset(6, 14, 6, 6, paragraphs("List materials whose trade the law may regulate: rosewoods, pernambuco, ivory, sea-turtle shell, abalone, ebony.",
		"Each brings its caution into the report. Without a document that names it, a material only appears to be what it is called."))
	list := look.Rows(pageHead("Materials of legal weight", p.summary, p.remove, p.add),
		look.Inset(24, 0, 24, 0, p.proposals), look.Flex(1, look.Inset(18, 0, 18, 8, container.NewStack(p.table.Object, p.empty))), p.below)
	p.left.root = list
	p.root = beside(list, inner)
	return p
}

func (p *materialsPanel) cell(row, col int) string {
	r := p.rows[row]
	papers := ""
	if r.Documents > 0 {
		papers = strconv.Itoa(r.Documents)
	}
	return []string{r.Name, view.Capital(r.On), r.How, papers, r.Note, r.Lacks}[col]
}

// askMaterial offers the materials of the table under the button; another one is
// typed over its name.
func (p *materialsPanel) askMaterial() {
	var items []*fyne.MenuItem
	for _, n := range caution.Names() {
		items = append(items, fyne.NewMenuItem(n, func() {
			p.s.changed(func() error { return p.m.Add(n) })
			p.focusPlace()
		}))
	}
	pop := widget.NewPopUpMenu(fyne.NewMenu("", items...), p.s.w.win.Canvas())
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(p.add)
	pop.ShowAtPosition(at.AddXY(p.add.Size().Width-pop.MinSize().Width, p.add.Size().Height+2))
}

// focusPlace puts the keyboard where the part is named.
func (p *materialsPanel) focusPlace() {
	if len(p.form.fields) > 1 {
		p.form.next(0)
	}
}

// shownProposals bounds how many proposals stand above the list; the others come
// up as these are taken.
const shownProposals = 3

// propose shows what the entries name and the list does not.
func (p *materialsPanel) propose() {
	list := p.m.Proposals()
	now := ""
	for _, x := range list {
		now += x.Sentence() + "\n"
	}
	if now == p.proposed {
		return
	}
	p.proposed, p.proposals.Objects = now, nil
	for i, x := range list {
		if i == shownProposals {
			p.proposals.Add(look.NewText(strconv.Itoa(len(list)-i)+" more are named in the entries", look.Small, look.Dim))
			break
		}
		b := look.NewButton("List it", "check", look.Plain, func() { p.s.changed(func() error { return p.m.Accept(x) }) })
		if p.s.w.exam.shell.Frozen() {
			b.Disable()
		}
		p.proposals.Add(look.SpacedColumns(10, look.Centred(look.NewIcon("info", look.Dim, 18)), look.Flex(1, look.NewText(x.Sentence(), look.Body, look.Ink)), b))
	}
	if len(list) > 0 {
		p.proposals.Add(look.Inset(0, 4, 0, 6, look.NewRule()))
	}
	p.proposals.Refresh()
}

func (p *materialsPanel) object() fyne.CanvasObject { return p.root }

func (p *materialsPanel) refresh() {
	p.summary.SetText(p.m.Summary())
	p.propose()
	p.rows = p.m.Rows()
	at := slices.IndexFunc(p.rows, func(r view.MaterialRow) bool { return r.Selected })
	showListed(p.table, len(p.rows), at, p.empty, p.remove, p.content, p.none)
	p.cautions.set(p.m.Cautions())
	p.sources.set([]string{p.m.Sources()})
	show(p.below, len(p.cautions.now) > 0)
	p.told.follow(p.cautions.now, p.sources.now)
	p.left.follow(p.proposed, p.below.Visible())
	if at < 0 {
		p.laid.follow("none")
		return
	}
	p.form.refresh()
	p.gap.SetText(view.Capital(p.m.Gap()) + ".")
	show(p.warn, p.m.Gap() != "")
	p.files.refresh()
	p.laid.follow(p.m.Gap(), p.files.now)
}
