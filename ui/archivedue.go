package ui

import (
	"fmt"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout/archive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveDue shows what is insured and what is due for it. It is a pane that
// stands in any screen: object is put there once, show fills it.
type archiveDue struct {
	w *Window
	m *view.ArchiveDue // nil before the first show

	// onOpen is called with the SHA-256 of a report that was chosen; nil does
	// nothing.
	onOpen func(hash string)
	// change carries out what a person decided on an archive that can be written
	// to; nil does it on the one that is shown.
	change func(do func(*archive.Archive) error) error
	// onChanged is called after a decision was written; nil does nothing.
	onChanged func()

	root          fyne.CanvasObject
	title, second *look.Text
	pages         *look.Segments
	horizon       *look.Segments
	ahead         fyne.CanvasObject // the horizon with its caption
	fresh         *look.Button
	lists         [4]*look.Table
	page          int
	chosen        [4]int
	body          *fyne.Container
	details       *fyne.Container
	buttons       *fyne.Container

	work sync.WaitGroup
	turn int // of the last reading that was begun
}

const (
	duePage = iota
	insuredPage
	policiesPage
	collectionsPage
)

var duePages = []string{"Due", "Insured", "Policies", "Collections"}

func newArchiveDue(w *Window) *archiveDue {
	s := &archiveDue{w: w, title: look.NewText("Insured and due", look.Title, look.Ink).Bold(), second: look.NewText("", look.Small, look.Dim),
		body: container.NewStack(), details: container.NewStack(), buttons: look.SpacedColumns(8)}
	s.pages = look.NewSegments(duePages, func(i int) { s.page = i; s.refresh() })
	s.horizon = look.NewSegments(view.Horizons, func(i int) { s.m.SetHorizon(i); s.chosen[duePage] = -1; s.refresh() })
	s.ahead = look.SpacedColumns(8, look.Centred(look.NewText("Up to", look.Small, look.Dim).Whole()), look.Fixed(380, 0, s.horizon))
	s.fresh = look.NewButton("New policy…", "", look.Plain, s.askNew)
	s.lists = [4]*look.Table{s.dueTable(), s.insuredTable(), s.policyTable(), s.collectionTable()}
	for i, t := range s.lists {
		s.chosen[i] = -1
		t.OnSelect = func(row int) { s.chosen[i] = row; s.showDetails() }
	}
	head := look.SpacedColumns(12, look.Flex(1, look.Rows(look.Space(), s.title, s.second, look.Space())), look.Centred(s.fresh))
	choice := look.Columns(look.Fixed(420, 0, s.pages), look.Space(), s.ahead)
	side := look.Rows(look.Flex(1, container.NewVScroll(look.Inset(16, 4, 12, 8, s.details))), look.Inset(16, 8, 12, 0, s.buttons))
	s.root = look.Inset(24, 8, 16, 8, look.Rows(look.Fixed(0, 44, head), look.Inset(0, 8, 0, 8, choice),
		look.Flex(1, look.Columns(look.Flex(2.2, s.body), look.Fixed(16, 0, look.Space()), look.NewRule(), look.Flex(1, side)))))
	return s
}

func (s *archiveDue) object() fyne.CanvasObject { return s.root }

func (s *archiveDue) dueTable() *look.Table {
	t := look.NewTable([]look.Column{{Title: "On", Width: 86}, {Title: "", Width: 62}, {Title: "What", Width: 132}, {Title: "Instrument"}, {Title: "Policy", Width: 110, Dim: true}},
		func() int { return s.count(duePage) }, func(row, col int) string {
			l := s.m.Line(row)
			return []string{l.When, l.Late, l.What, l.Title, l.Policy}[col]
		})
	t.Ink = func(row, col int) fyne.ThemeColorName {
		if col == 1 {
			return look.Bad
		}
		return ""
	}
	return t
}

func (s *archiveDue) insuredTable() *look.Table {
	t := look.NewTable([]look.Column{{Title: "Policy", Width: 110}, {Title: "Instrument"}, {Title: "Examined", Width: 86}, {Title: "From", Width: 86, Dim: true}, {Title: "To", Width: 86, Dim: true}, {Title: "Also under", Width: 96, Dim: true}},
		func() int { return s.count(insuredPage) }, func(row, col int) string {
			l := s.m.InsuredLine(row)
			return []string{l.Policy, l.Title, l.Latest, l.Since, l.Until, l.Also}[col]
		})
	t.Ink = func(row, col int) fyne.ThemeColorName {
		if col == 2 && s.m.InsuredLine(row).Hash == "" {
			return look.Bad
		}
		return ""
	}
	return t
}

func (s *archiveDue) policyTable() *look.Table {
	return look.NewTable([]look.Column{{Title: "Policy", Width: 110}, {Title: "Holder"}, {Title: "State", Width: 76}, {Title: "From", Width: 86, Dim: true}, {Title: "Last day", Width: 86}, {Title: "Sum", Width: 130, Right: true}},
		func() int { return s.count(policiesPage) }, func(row, col int) string {
			p := s.m.PolicyRow(row)
			return []string{p.Number, p.Holder, p.State, p.From, p.Last, p.Sum}[col]
		})
}

func (s *archiveDue) collectionTable() *look.Table {
	return look.NewTable([]look.Column{{Title: "Collection"}, {Title: "Instruments", Width: 96, Right: true}, {Title: "Policies", Width: 220, Dim: true}},
		func() int { return s.count(collectionsPage) }, func(row, col int) string {
			c := s.m.CollectionRow(row)
			return []string{c.Name, c.Instruments, c.Policies}[col]
		})
}

func (s *archiveDue) count(page int) int {
	switch {
	case s.m == nil:
		return 0
	case page == duePage:
		return s.m.Count()
	case page == insuredPage:
		return s.m.InsuredCount()
	case page == collectionsPage:
		return s.m.CollectionCount()
	}
	return s.m.PolicyCount()
}

// show reads what is insured and due in an archive today, beside the window.
func (s *archiveDue) show(a *archive.Archive) {
	s.turn++
	turn, at := s.turn, s.w.now()
	if s.m == nil {
		s.second.SetText("Reading…")
	}
	s.work.Add(1)
	go func() {
		m, err := view.ReadArchiveDue(s.w.ctx, a, at)
		fyne.Do(func() {
			defer s.work.Done()
			switch {
			case turn != s.turn: // asked again since
			case err != nil:
				s.second.SetText(view.Words(err))
			default:
				if s.m != nil {
					m.SetHorizon(s.m.Horizon())
				}
				s.m = m
				s.refresh()
			}
		})
	}()
}

// refresh shows the page with what is known now.
func (s *archiveDue) refresh() {
	s.pages.Set(s.page)
	if s.m == nil {
		return
	}
	s.horizon.Set(s.m.Horizon())
	s.second.SetText(s.m.Second())
	if s.ahead.Hide(); s.page == duePage {
		s.ahead.Show()
	}
	if s.fresh.SetText("New policy…"); s.page == collectionsPage {
		s.fresh.SetText("New collection…")
	}
	n := s.count(s.page)
	if s.chosen[s.page] >= n || s.chosen[s.page] < 0 {
		s.chosen[s.page] = min(0, n-1)
	}
	var o fyne.CanvasObject = s.lists[s.page].Object
	if n == 0 {
		o = look.Centred(look.NewText(s.nothing(), look.Body, look.Dim).Whole())
	}
	s.body.Objects = []fyne.CanvasObject{o}
	s.body.Refresh()
	s.lists[s.page].Refresh()
	s.lists[s.page].Select(s.chosen[s.page])
	s.showDetails()
}

func (s *archiveDue) nothing() string {
	switch {
	case s.page == collectionsPage:
		return "A collection is what one owner has, or one policy covers."
	case s.page == policiesPage || s.m.PolicyCount() == 0:
		return "Enter a policy to see what it insures and what is due for it."
	case s.page == insuredPage:
		return "Nothing is insured today."
	case s.m.Horizon() == 0:
		return "Nothing is overdue."
	}
	return fmt.Sprintf("Nothing is due up to %q.", view.Horizons[s.m.Horizon()])
}

// askNew asks for a new policy, or collection where those are shown.
func (s *archiveDue) askNew() {
	switch {
	case s.m == nil: // not read yet
	case s.page == collectionsPage:
		s.collect(s.m.Archive(), "")
	default:
		s.askPolicy(-1)
	}
}

// showDetails tells of the chosen row, and what can be done about it.
func (s *archiveDue) showDetails() {
	var title, hash string
	var says []string
	var do []fyne.CanvasObject
	button := func(text string, f func()) { do = append(do, look.NewButton(text, "", look.Plain, f)) }
	if row := s.chosen[s.page]; row >= 0 && row < s.count(s.page) {
		switch s.page {
		case duePage:
			l := s.m.Line(row)
			title, says, hash = l.Title, l.Details, l.Hash
		case insuredPage:
			l := s.m.InsuredLine(row)
			title, says, hash = l.Title, l.Details, l.Hash
		case collectionsPage:
			c := s.m.CollectionRow(row)
			title, says = c.Name, s.m.CollectionDetails(row)
			button("Put one without a report into it…", func() { s.collect(s.m.Archive(), c.Name) })
			button("End it…", func() { s.askEndCollection(row) })
		default:
			p := s.m.PolicyRow(row)
			title, says = "Policy "+p.Number+" of "+p.Holder, p.Details
			button("Change it…", func() { s.askPolicy(row) })
			if p.Open {
				button("End it…", func() { s.askEnd(row) })
			}
		}
	}
	if hash != "" && s.onOpen != nil {
		button("Open the latest report", func() { s.onOpen(hash) })
	}
	if s.page == duePage && s.m.Count() > 0 {
		button("Export calendar…", s.askCalendar)
	}
	if len(do) > 0 {
		do = append(do, look.Space())
	}
	s.details.Objects = nil
	if title != "" {
		s.details.Objects = []fyne.CanvasObject{look.Spaced(8, look.NewText(title, look.Body, look.Ink).Bold(), paragraphs(says...))}
	}
	s.buttons.Objects = do
	s.details.Refresh()
	s.buttons.Refresh()
	s.root.Refresh()
}
