package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// gradeScreen explains the three answers: the index on its scale, the ledger
// line by line, and beside it what would be if, originality, the calculation
// and the rubric.
type gradeScreen struct {
	w        *Window
	m        *view.Grade
	root     fyne.CanvasObject
	bar      *look.ScaleBar
	headline *look.Text
	notes    *sentences
	ledger   []view.LedgerRow
	table    *look.Table
	total    *look.Text
	detail   *ledgerDetail
	panes    []gradePane
	pages    *look.Segments
	body     *fyne.Container
}

// gradePane is one of the pages at the right.
type gradePane interface {
	object() fyne.CanvasObject
	refresh()
}

func newGradeScreen(w *Window) *gradeScreen {
	s := &gradeScreen{w: w, m: view.NewGrade(w.exam.s), bar: look.NewScaleBar(), headline: look.NewText("", look.Body, look.Ink).Bold(), notes: newSentences(false),
		total: look.NewText("", look.Title, look.Ink).Bold().Right()}
	s.table = s.newLedger()
	s.detail = newLedgerDetail(w, s.m)
	s.panes = []gradePane{newWhatIfPane(s.m), newOriginalityPane(s.m), newWordsPane(s.m), newRubricPane(w, s.m)}
	s.body = container.NewStack()
	s.pages = look.NewSegments([]string{"What if", "Originality", "Calculation", "Rubric"}, func(i int) {
		w.exam.gradePage = i
		s.turn()
	})
	left := look.Rows(look.Inset(0, 0, 0, 6, look.NewText("Ledger", look.Title, look.Ink).Bold()),
		look.Flex(4, s.table.Object), look.NewRule(),
		look.Inset(0, 6, 4, 6, look.Columns(look.NewText("100 less the points above", look.Small, look.Dim).Whole(), look.Flex(1, s.total))),
		look.NewRule(), look.Flex(4, s.detail.object()))
	right := look.Rows(look.Columns(s.pages, look.Space()), look.Flex(1, look.Inset(0, 12, 0, 0, s.body)))
	head := look.Inset(24, 12, 24, 10, look.Spaced(4, s.bar, s.headline, s.notes.box))
	s.root = look.Rows(head, look.NewRule(),
		look.Flex(1, look.Columns(look.Flex(6, look.Inset(24, 12, 20, 8, left)), look.NewRule(), look.Flex(5, look.Inset(24, 12, 24, 8, right)))))
	s.m.Choose(dearest(s.m.Ledger()))
	s.pages.Set(w.exam.gradePage)
	s.turn()
	return s
}

// newLedger is the table of the ledger. A line that is chosen is explained
// below it.
func (s *gradeScreen) newLedger() *look.Table {
	t := look.NewTable([]look.Column{{Title: "", Width: 34}, {Title: "Mark"}, {Title: "On", Width: 150, Dim: true}, {Title: "points", Width: 60, Right: true}},
		func() int { return len(s.ledger) }, func(row, col int) string {
			l := s.ledger[row]
			switch col {
			case 0:
				if l.Mark == 0 {
					return ""
				}
				return fmt.Sprint(l.Mark)
			case 1:
				return l.Text
			case 2:
				return l.Parts
			}
			return minus(l.Points)
		})
	t.OnSelect = func(row int) {
		s.m.Choose(row)
		s.detail.refresh()
	}
	return t
}

// dearest is the line that costs the most, -1 for an empty ledger.
func dearest(rows []view.LedgerRow) int {
	best := -1
	for i, r := range rows {
		if best < 0 || r.Points > rows[best].Points {
			best = i
		}
	}
	return best
}

// turn shows the chosen page.
func (s *gradeScreen) turn() {
	p := s.panes[s.w.exam.gradePage]
	p.refresh()
	s.body.Objects = []fyne.CanvasObject{p.object()}
	s.body.Refresh()
}

func (s *gradeScreen) object() fyne.CanvasObject { return s.root }

func (s *gradeScreen) refresh() {
	s.headline.SetText(s.m.Headline())
	s.notes.set(s.m.Notes())
	s.bar.Set(scaled(s.m.Bar()))
	s.ledger = s.m.Ledger()
	s.table.Refresh()
	s.table.Select(s.m.Chosen())
	s.total.SetText(s.m.Total())
	s.detail.refresh()
	s.panes[s.w.exam.gradePage].refresh()
}

func scaled(b view.Bar) look.Scaled {
	out := look.Scaled{Low: b.Low, High: b.High, Range: b.Range}
	if b.Index != nil {
		out.Value, out.Has = *b.Index, true
	}
	for _, c := range b.Classes {
		out.Stretches = append(out.Stretches, look.Stretch{Word: c.Word, From: c.From, To: c.To})
	}
	return out
}

// minus is a number of points lost; what rounds to nothing has no sign.
func minus(points float64) string {
	if points < 0.05 {
		return "0.0"
	}
	return fmt.Sprintf("−%.1f", points)
}
