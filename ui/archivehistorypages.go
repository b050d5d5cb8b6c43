package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// historyLooks is the page of the examinations: their figures as a table, and
// beside it what the selected one says otherwise than the one before.
type historyLooks struct {
	s     *archiveHistory
	table *look.Table
	says  *fyne.Container
	root  fyne.CanvasObject
}

func newHistoryLooks(s *archiveHistory) *historyLooks {
	p := &historyLooks{s: s, says: container.NewStack()}
	p.table = look.NewTable([]look.Column{{Title: "Examined", Width: 88}, {Title: "By"}, {Title: "Index", Width: 124, Right: true}, {Title: "Originality, %", Width: 124, Right: true},
		{Title: "Signer", Width: 110, Dim: true}}, p.count, p.cell)
	p.table.OnSelect = func(i int) { s.pick(i) }
	p.root = look.Columns(look.Flex(1.25, p.table.Object), look.Fixed(16, 0, look.Space()), look.NewRule(), look.Flex(1, container.NewVScroll(look.Inset(16, 4, 12, 8, p.says))))
	return p
}

func (p *historyLooks) count() int {
	if p.s.m == nil {
		return 0
	}
	return p.s.m.Count()
}

func (p *historyLooks) cell(row, col int) string {
	l := p.s.m.Look(row)
	return []string{l.Date, l.By, l.Index, l.Original, l.State}[col]
}

func (p *historyLooks) show(m *view.ArchiveHistory) fyne.CanvasObject {
	p.table.Refresh()
	p.table.Select(m.Selected())
	l := m.Look(m.Selected())
	rows := []fyne.CanvasObject{look.NewText("What "+l.By+" says anew on "+l.Date, look.Body, look.Ink).Bold(), paragraphs(m.Changes()...)}
	here, others := m.Contradictions()
	for _, part := range []struct {
		title string
		list  []string
	}{{"What does not fit together", here}, {"What does not fit elsewhere", others}} {
		if len(part.list) > 0 {
			rows = append(rows, look.Fixed(0, 4, look.Space()), look.NewText(part.title, look.Body, look.Bad).Bold(), paragraphs(part.list...))
		}
	}
	p.says.Objects = []fyne.CanvasObject{look.Spaced(6, rows...)}
	p.says.Refresh()
	return p.root
}

// Widths of the columns of marks and parts over time.
const (
	historyName  float32 = 190
	historyWhere float32 = 210
	historyCell  float32 = 150
)

// wide lets a table of many columns be moved sideways.
func wide(width float32, o fyne.CanvasObject) fyne.CanvasObject {
	return container.NewHScroll(look.Fixed(width, 0, o))
}

// historyMarks is the table of the marks over time.
func historyMarks(m *view.ArchiveHistory) fyne.CanvasObject {
	rows := m.Marks()
	if len(rows) == 0 {
		return look.Centred(look.NewText("No examination lists a mark.", look.Body, look.Dim))
	}
	cols := []look.Column{{Title: "Mark", Width: historyName}, {Title: "Where", Dim: true, Width: historyWhere}}
	for i := range m.Count() {
		cols = append(cols, look.Column{Title: m.Look(i).Date, Width: historyCell})
	}
	t := look.NewTable(cols, func() int { return len(rows) }, func(r, c int) string {
		switch {
		case c == 0:
			return rows[r].Title
		case c == 1:
			return rows[r].Where
		}
		return rows[r].Cells[c-2].Text
	})
	t.Ink = func(r, c int) fyne.ThemeColorName {
		if c < 2 {
			return ""
		}
		switch rows[r].Cells[c-2].Tone {
		case view.CellNews:
			return look.Accent
		case view.CellGone:
			return look.Dim
		}
		return ""
	}
	return wide(historyName+historyWhere+historyCell*float32(m.Count()), t.Object)
}

// historyPeople is the page of parts that are called something else over time,
// and of who held the instrument as far as the reports say.
func historyPeople(m *view.ArchiveHistory) fyne.CanvasObject {
	parts := m.Parts(false)
	title := "Parts that are called something else over time"
	if len(parts) == 0 {
		parts, title = m.Parts(true), "All examinations agree on the parts"
	}
	cols := []look.Column{{Title: "Part", Width: 150}}
	for i := range m.Count() {
		cols = append(cols, look.Column{Title: m.Look(i).Date, Width: 124})
	}
	t := look.NewTable(cols, func() int { return len(parts) }, func(r, c int) string {
		if c == 0 {
			return parts[r].Part
		}
		return parts[r].States[c-1]
	})
	t.Ink = func(r, c int) fyne.ThemeColorName {
		if c > 1 && parts[r].States[c-1] != parts[r].States[c-2] && parts[r].States[c-2] != "" {
			return look.Accent
		}
		return ""
	}
	held := look.Spaced(8)
	for _, x := range m.Held() {
		text := x.How
		if x.Who != "" {
			text = x.Who + ": " + text
		}
		held.Add(look.SpacedColumns(8, look.Fixed(84, 0, look.Rows(look.NewText(x.Date, look.Small, look.Dim), look.Space())), look.Flex(1, paragraphs(text))))
	}
	left := look.Rows(look.NewText(title, look.Body, look.Ink).Bold(), look.Fixed(0, 4, look.Space()), look.Flex(1, wide(150+124*float32(m.Count()), t.Object)))
	right := look.Rows(look.NewText("Who held it when, as far as the reports say", look.Body, look.Ink).Bold(), look.Fixed(0, 8, look.Space()), look.Flex(1, container.NewVScroll(look.Inset(0, 0, 12, 8, held))))
	return look.Columns(look.Flex(1.2, left), look.Fixed(16, 0, look.Space()), look.NewRule(), look.Fixed(16, 0, look.Space()), look.Flex(1, right))
}
