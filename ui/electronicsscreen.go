package ui

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// electronicsScreen lists the components of the electronics, with the chosen
// one's form at the right and findings, wiring or response below.
type electronicsScreen struct {
	w       *Window
	m       *view.Electronics
	root    fyne.CanvasObject
	summary *look.Text
	rows    []view.ComponentRow
	table   *look.Table
	empty   fyne.CanvasObject
	detail  *componentPanel
	tabs    *look.Segments
	lower   *fyne.Container
	pages   []screen // findings, wiring, response
	add     *look.Button
	usual   *look.Button
	remove  *look.Button
}

// detailWidth is the width of the form at the right.
const detailWidth float32 = 344

func newElectronicsScreen(w *Window) *electronicsScreen {
	s := &electronicsScreen{w: w, m: view.NewElectronics(w.exam.s), summary: look.NewText("", look.Small, look.Dim)}
	s.add = look.NewButton("Add…", "plus", look.Plain, s.askKind)
	s.usual = look.NewButton("Add the usual set", "", look.Plain, func() { s.changed(s.m.AddUsual, true) })
	s.remove = look.NewButton("Remove", "delete", look.Quiet, func() { s.changed(s.m.Remove, false) })
	s.table = look.NewTable([]look.Column{{Title: "Kind", Width: 94, Dim: true}, {Title: "Place"}, {Title: "Type or nominal", Width: 124}, {Title: "Measured", Width: 106, Right: true},
		{Title: "at 20 °C", Width: 96, Right: true}, {Title: "Code", Width: 76}, {Title: "Works", Width: 64}, {Title: "State", Width: 80}, {Title: "Look", Width: 72}},
		func() int { return len(s.rows) }, s.cell)
	s.table.Ink = s.ink
	s.table.OnSelect = func(i int) { s.choose(s.rows[i].ID) }
	s.detail = newComponentPanel(s)
	s.pages = []screen{newFindingsPage(s), newWiringPage(s), newResponsePage(s)}
	s.tabs = look.NewSegments([]string{"Findings", "Wiring", "Response"}, func(int) { s.showPage() })
	s.lower = container.NewStack()
	s.empty = look.Inset(6, 14, 6, 6, paragraphs("List what there is, one by one with Add…, or take the usual set of this class and fill it in: "+s.m.UsualSet()+".",
		"Enter goes from figure to figure and on to the next component. Tab walks all fields."))
	head := look.SpacedColumns(10, look.Flex(1, look.Rows(look.Space(), look.NewText("Electronics", look.Title, look.Ink).Bold(), s.summary, look.Space())),
		look.Centred(s.remove), look.Centred(s.usual), look.Centred(s.add))
	left := look.Rows(look.Inset(24, 12, 24, 8, look.Fixed(0, 44, head)),
		look.Flex(6, look.Inset(18, 0, 18, 4, container.NewStack(s.table.Object, s.empty))), look.NewRule(),
		look.Inset(24, 8, 24, 4, look.Columns(look.Fixed(300, 0, s.tabs), look.Space())),
		look.Flex(5, look.Inset(24, 2, 24, 8, s.lower)))
	s.root = look.Columns(look.Flex(1, left), look.NewRule(), look.Fixed(detailWidth, 0, look.On(look.Panel, s.detail.root)))
	s.tabs.Set(0)
	s.showPage()
	if w.exam.shell.Frozen() {
		for _, b := range []*look.Button{s.add, s.usual, s.remove} {
			b.Disable()
		}
	}
	return s
}

func (s *electronicsScreen) object() fyne.CanvasObject { return s.root }

func (s *electronicsScreen) cell(row, col int) string {
	r := s.rows[row]
	l := r.Line
	place := l.Place
	if place == "" {
		place = r.Name
	}
	return []string{r.Group, view.Capital(place), l.What, l.Measured, l.At20, l.Code, l.Works, shortState(l.State), r.Mark}[col]
}

// shortState is the word in the narrow column.
func shortState(s string) string { return strings.Replace(s, "replacement", "repl.", 1) }

// ink colours the word of a finding; the word itself says the same.
func (s *electronicsScreen) ink(row, col int) fyne.ThemeColorName {
	if col == 8 && s.rows[row].Severity == electronics.Wrong {
		return look.Bad
	}
	if col == 8 && s.rows[row].Severity == electronics.Note {
		return look.Dim
	}
	return ""
}

// choose shows a component and puts the keyboard into its first figure.
func (s *electronicsScreen) choose(id string) {
	s.w.takeTyped()
	s.m.Selected = id
	s.refresh()
	s.detail.focusFirst(false)
}

// changed runs a command that adds or removes components, then shows what is
// chosen now. fast puts the keyboard into the first figure.
func (s *electronicsScreen) changed(f func() error, fast bool) {
	s.w.takeTyped()
	s.w.try(f)
	s.refresh()
	if fast {
		s.detail.focusFirst(false)
	}
}

// askKind offers the kinds of component under the button.
func (s *electronicsScreen) askKind() {
	var items []*fyne.MenuItem
	for _, k := range record.ComponentKinds() {
		items = append(items, fyne.NewMenuItem(view.Capital(string(k)), func() { s.addKind(k) }))
	}
	pop := widget.NewPopUpMenu(fyne.NewMenu("", items...), s.w.win.Canvas())
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(s.add)
	pop.ShowAtPosition(at.AddXY(s.add.Size().Width-pop.MinSize().Width, s.add.Size().Height+2))
}

// addKind lists an empty component and asks for its place.
func (s *electronicsScreen) addKind(k record.ComponentKind) {
	s.changed(func() error { return s.m.Add(k) }, false)
	s.detail.focusFirst(true)
}

// showPage shows what the tab below the list asks for.
func (s *electronicsScreen) showPage() {
	p := s.pages[max(0, s.tabs.Chosen())]
	s.lower.Objects = []fyne.CanvasObject{p.object()}
	p.refresh()
	s.lower.Refresh()
}

func (s *electronicsScreen) refresh() {
	s.m.Chosen() // one that went away is chosen no longer
	s.summary.SetText(s.m.Summary())
	s.rows = s.m.Rows()
	chosen := -1
	for i, r := range s.rows {
		if r.Selected {
			chosen = i
		}
	}
	show(s.empty, len(s.rows) == 0)
	show(s.table.Object, len(s.rows) > 0)
	show(s.remove, chosen >= 0)
	s.table.Refresh()
	s.table.Select(chosen)
	s.detail.refresh()
	s.pages[max(0, s.tabs.Chosen())].refresh()
}
