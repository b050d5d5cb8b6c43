package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// partsScreen lists the parts, says what is original and what was looked at,
// and, on its second page, what comes with the instrument.
type partsScreen struct {
	w       *Window
	m       *view.Parts
	root    *fyne.Container
	pages   [2]fyne.CanvasObject
	tab     *look.Segments
	summary *look.Text
	rows    []view.PartRow
	list    *keyList
	panel   *partPanel
	extras  *extrasPage
	thumbs  *thumbs
}

// Columns of the list of parts.
const (
	partColumn = iota
	shareColumn
	stateColumn
	conditionColumn
	pointsColumn
	signsColumn
)

// listWidth is the width of the lists at the left.
const listWidth float32 = 598

func newPartsScreen(w *Window) *partsScreen {
	s := &partsScreen{w: w, m: view.NewParts(w.exam.s), summary: look.NewText("", look.Small, look.Dim), thumbs: newThumbs(w.bench)}
	s.list = newKeyList(33, listColumn{title: "Part", width: 0}, listColumn{title: "Share", width: 34, right: true}, listColumn{title: "State", width: 146, box: true, arrow: true},
		listColumn{title: "Condition", width: 76, box: true}, listColumn{title: "Points", width: 38, right: true}, listColumn{title: "Signs", width: 56})
	s.list.onMove = s.choose
	s.list.onCell = s.cellTapped
	s.list.onRune = s.letter
	s.list.onKey = func(k fyne.KeyName) {
		if k == fyne.KeyReturn || k == fyne.KeyEnter || k == fyne.KeyRight {
			w.win.Canvas().Focus(s.panel.signs)
		}
	}
	s.tab = look.NewSegments([]string{"Parts", "Comes with it"}, s.show)
	s.panel = newPartPanel(s)
	s.extras = newExtrasPage(s)
	s.compose()
	return s
}

func (s *partsScreen) compose() {
	rest := look.NewButton("The rest is original and was inspected", "check", look.Plain, func() { s.w.try(s.m.RestOriginal) })
	if s.w.exam.shell.Frozen() {
		rest.Disable()
	}
	keys := look.NewText("Letters give the state (o p l r a m n, x not fitted),", look.Caption, look.Dim)
	more := look.NewText("i inspected, Enter goes to the signs", look.Caption, look.Dim)
	foot := look.SpacedColumns(12, look.Flex(1, look.Rows(look.Space(), keys, more, look.Space())), look.Centred(rest))
	parts := look.Rows(look.Flex(1, container.NewVScroll(look.Inset(14, 0, 10, 0, s.list))), look.NewRule(), look.Inset(24, 6, 16, 6, foot))
	s.pages = [2]fyne.CanvasObject{
		look.Columns(look.Fixed(listWidth, 0, s.under(s.summary, parts)), look.NewRule(), look.Flex(1, s.panel.root)),
		s.extras.root,
	}
	s.root = container.NewStack(s.pages[0])
	s.tab.Set(0)
}

// under puts a page's list below the head that both pages share.
func (s *partsScreen) under(summary, list fyne.CanvasObject) fyne.CanvasObject {
	head := look.Rows(look.SpacedColumns(16, look.Flex(1, look.NewText("Parts and originality", look.Title, look.Ink).Bold()), look.Fixed(250, 0, s.tab)), summary)
	return look.Rows(look.Inset(24, 12, 16, 6, head), look.Flex(1, list))
}

// show turns to a page.
func (s *partsScreen) show(page int) {
	s.w.takeTyped()
	s.tab.Set(page)
	s.root.Objects = []fyne.CanvasObject{s.pages[page]}
	s.root.Refresh()
	s.refresh()
}

func (s *partsScreen) object() fyne.CanvasObject { return s.root }

func (s *partsScreen) choose(row int) {
	s.w.takeTyped()
	s.m.Select(s.rows[row].Part)
	s.refresh()
}

// cellTapped opens the list of states, or says whether the part was inspected.
func (s *partsScreen) cellTapped(row, col int) {
	if s.w.exam.shell.Frozen() {
		return
	}
	r := s.rows[row]
	switch col {
	case stateColumn:
		s.offerStates(row, r)
	case conditionColumn:
		s.w.try(func() error { return s.m.SetInspected(r.Part, !r.Inspected) })
	}
}

// offerStates opens the list of states under the row's cell.
func (s *partsScreen) offerStates(row int, r view.PartRow) {
	var items []*fyne.MenuItem
	for _, st := range record.States() {
		item := fyne.NewMenuItem(string(st), func() { s.w.try(func() error { return s.m.SetState(r.Part, st) }) })
		item.Checked = st == r.State
		items = append(items, item)
	}
	at, size := s.list.box(row, stateColumn)
	pop := widget.NewPopUpMenu(fyne.NewMenu("", items...), s.w.win.Canvas())
	pop.ShowAtPosition(fyne.CurrentApp().Driver().AbsolutePositionForObject(s.list).Add(at).AddXY(0, size.Height+2))
	pop.Resize(fyne.NewSize(max(size.Width, pop.MinSize().Width), pop.MinSize().Height))
}

// letter gives the selected part a state, or says that it was inspected.
func (s *partsScreen) letter(r rune) {
	if s.w.exam.shell.Frozen() {
		s.w.frame.say("This examination is issued and does not change any more")
		return
	}
	id := s.m.Selected()
	if st, ok := view.StateForKey(r); ok {
		s.w.try(func() error { return s.m.SetState(id, st) })
	}
	if r == 'i' && s.list.at >= 0 {
		s.w.try(func() error { return s.m.SetInspected(id, !s.rows[s.list.at].Inspected) })
	}
}

func (s *partsScreen) refresh() {
	s.tab.SetOptions([]string{"Parts", s.extras.m.Tab()})
	if s.root.Objects[0] == s.pages[1] {
		s.tab.Set(1)
		s.extras.refresh()
		return
	}
	s.tab.Set(0)
	s.summary.SetText(s.m.Summary())
	s.rows = s.m.Rows()
	at, cells := -1, make([][]listCell, len(s.rows))
	for i, r := range s.rows {
		cells[i] = partCells(r)
		if r.Selected {
			at = i
		}
	}
	s.list.set(cells, at)
	s.panel.refresh()
}

// partCells are the words of a part's row.
func partCells(r view.PartRow) []listCell {
	state := listCell{text: string(r.State)}
	if r.State == record.NotSeen {
		state.ink, state.flat = look.Dim, true
	}
	condition := listCell{text: "inspected"}
	if !r.Inspected {
		condition = listCell{text: "not yet", ink: look.Dim, flat: true}
	}
	if r.State == record.NotFitted {
		condition.text = "–"
	}
	points := listCell{text: "–", ink: look.Dim}
	if r.Marks > 0 {
		points = listCell{text: minus(r.Points)}
	}
	sign := listCell{text: r.SignWords(), ink: look.Dim}
	if r.Against {
		sign = listCell{text: "! " + r.SignWords(), ink: look.Missing}
	}
	return []listCell{{text: view.Capital(string(r.Part))}, {text: fmt.Sprintf("%.0f %%", r.Share), ink: look.Dim}, state, condition, points, sign}
}
