package ui

import (
	"slices"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// claimsPanel is the page of claims: the list, and the form of the one shown.
type claimsPanel struct {
	s        *identityScreen
	m        *view.Claims
	root     fyne.CanvasObject
	laid     arranged
	summary  *look.Text
	rows     []view.ClaimRow
	table    *look.Table
	empty    fyne.CanvasObject
	form     *textForm
	standing *look.Segments
	means    *look.Paragraph
	gap      *look.Paragraph
	warn     fyne.CanvasObject
	dated    *look.Paragraph
	dates    fyne.CanvasObject
	files    *tiedFiles
	content  fyne.CanvasObject
	none     fyne.CanvasObject
	add      *look.Button
	remove   *look.Button
}

func newClaimsPanel(s *identityScreen) *claimsPanel {
	p := &claimsPanel{s: s, m: s.claims, summary: look.NewText("", look.Small, look.Dim), means: look.NewParagraph("", true), gap: look.NewParagraph("", false)}
	p.add = look.NewButton("Add claim", "plus", look.Plain, p.addClaim)
	p.remove = look.NewButton("Remove", "delete", look.Quiet, func() { s.changed(p.m.Remove) })
	p.table = look.NewTable([]look.Column{{Title: "About", Width: 108}, {Title: "Claim"}, {Title: "Who says so", Width: 116, Dim: true}, {Title: "What supports it"},
		{Title: "Files", Width: 44, Right: true}, {Title: "Standing", Width: 98}, {Title: "Lacks", Width: 64}},
		func() int { return len(p.rows) }, p.cell)
	p.table.Ink = func(row, col int) fyne.ThemeColorName {
		if col >= 5 && p.rows[row].Standing == record.Contradicted || col == 6 {
			return look.Bad
		}
		return ""
	}
	p.table.OnSelect = func(i int) { p.choose(p.rows[i].ID) }
	p.form = newTextForm(s.w, p.m.Fields())
	p.standing = look.NewSegments(standings(), func(i int) { s.w.try(func() error { return p.m.SetStanding(i) }) })
	p.form.after = p.standing
	p.warn = look.SpacedColumns(6, look.Rows(look.NewIcon("warning", look.Missing, 16), look.Space()), look.Flex(1, p.gap.Object))
	p.dated = look.NewParagraph("", false)
	p.dates = look.SpacedColumns(6, look.Rows(look.NewIcon("dating", look.Dim, 16), look.Space()), look.Flex(1, p.dated.Object))
	p.files = newTiedFiles(s.w, "Papers and photos that show it", "Tie a paper or a photo…", p.m.Tied, p.m.Tieable, p.m.Tie, p.m.Untie)
	attach := look.NewButton("Attach a paper…", "", look.Plain, p.attach)
	for _, b := range []interface{ Disable() }{p.add, p.remove, p.standing, attach} {
		if s.w.exam.shell.Frozen() {
			b.Disable()
		}
	}
	rows := append([]fyne.CanvasObject{}, p.form.rows...)
	rows = append(rows, look.Captioned("Standing", p.standing), p.means.Object, p.warn, p.dates, p.files.box, look.Columns(attach, look.Space()))
	p.content = look.Spaced(10, rows...)
	p.none = paragraphsDim("Add claim puts the keyboard into its first field. Enter goes on to the next; Tab walks all of them.")
	inner := look.Inset(20, 14, 20, 16, look.Spaced(10, p.content, p.none))
	p.laid.root = inner
	p.empty = look.Inset(6, 14, 6, 6, paragraphs("Write down what is said about the instrument, one claim at a time: its year, the size of its edition, its colour, its owners.",
		"Each claim has who says so, what supports it, and how it stands. The report prints them as they are here."))
	list := look.Rows(pageHead("Claims", p.summary, p.remove, p.add), look.Flex(1, look.Inset(18, 0, 18, 8, container.NewStack(p.table.Object, p.empty))))
	p.root = beside(list, inner)
	return p
}

func standings() []string {
	var out []string
	for _, st := range record.Standings() {
		out = append(out, string(st))
	}
	return out
}

func (p *claimsPanel) cell(row, col int) string {
	r := p.rows[row]
	files := ""
	if r.Files > 0 {
		files = strconv.Itoa(r.Files)
	}
	return []string{r.About, r.Text, r.By, r.Support, files, view.Capital(string(r.Standing)), r.Lacks}[col]
}

// addClaim enters a claim and puts the keyboard into its first field.
func (p *claimsPanel) addClaim() {
	p.s.changed(p.m.Add)
	p.form.focus()
}

func (p *claimsPanel) choose(id string) {
	p.s.w.takeTyped()
	p.m.Select(id)
	p.refresh()
}

// attach stores a file and ties it to the claim shown.
func (p *claimsPanel) attach() {
	p.s.w.askAttach(func(ids []string) {
		for _, id := range ids {
			p.s.w.try(func() error { return p.m.Tie(id) })
		}
	})
}

func (p *claimsPanel) object() fyne.CanvasObject { return p.root }

func (p *claimsPanel) refresh() {
	p.summary.SetText(p.m.Summary())
	p.rows = p.m.Rows()
	at := slices.IndexFunc(p.rows, func(r view.ClaimRow) bool { return r.Selected })
	showListed(p.table, len(p.rows), at, p.empty, p.remove, p.content, p.none)
	if at < 0 {
		p.laid.follow("none")
		return
	}
	p.form.refresh()
	p.standing.Set(p.m.Standing())
	p.means.SetText(view.StandingWords[p.rows[at].Standing])
	p.gap.SetText(view.Capital(p.m.Gap()) + ".")
	show(p.warn, p.m.Gap() != "")
	p.files.refresh()
	dated, _ := p.m.Dated()
	p.dated.SetText(dated)
	show(p.dates, dated != "")
	p.laid.follow(p.m.Gap(), p.rows[at].Standing, p.files.now, dated)
}
