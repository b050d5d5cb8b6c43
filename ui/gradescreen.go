package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// gradeScreen explains the three answers: the ledger and the calculation.
type gradeScreen struct {
	w      *Window
	m      *view.Grade
	root   fyne.CanvasObject
	ledger []view.LedgerRow
	table  *look.Table
	total  *look.Text
	words  *fyne.Container
}

func newGradeScreen(w *Window) *gradeScreen {
	s := &gradeScreen{w: w, m: view.NewGrade(w.exam.s), total: look.NewText("", look.Title, look.Ink).Bold().Right(), words: container.NewStack()}
	s.table = look.NewTable([]look.Column{{Title: "", Width: 34}, {Title: "Mark"}, {Title: "On", Width: 170, Dim: true}, {Title: "points", Width: 64, Right: true}},
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
	s.table.OnSelect = func(row int) {
		if n := s.ledger[row].Mark; n > 0 {
			w.exam.marks.Select(n)
			w.ShowScreen(view.MarksScreen)
		}
	}
	left := look.Rows(look.Inset(0, 0, 0, 8, look.NewText("Ledger", look.Title, look.Ink).Bold()),
		look.Flex(1, s.table.Object), look.NewRule(),
		look.Inset(0, 8, 4, 8, look.Columns(look.NewText("100 less the points above", look.Small, look.Dim).Whole(), look.Flex(1, s.total))))
	right := look.Rows(look.Inset(0, 0, 0, 6, look.NewText("How it was computed", look.Title, look.Ink).Bold()),
		look.Flex(1, container.NewVScroll(s.words)))
	s.root = look.Columns(look.Flex(5, look.Inset(24, 16, 20, 12, left)), look.NewRule(), look.Flex(6, look.Inset(24, 16, 24, 12, right)))
	return s
}

func (s *gradeScreen) object() fyne.CanvasObject { return s.root }

func (s *gradeScreen) refresh() {
	s.ledger = s.m.Ledger()
	s.table.Refresh()
	s.total.SetText(s.m.Total())
	s.words.Objects = []fyne.CanvasObject{paragraphs(s.m.Explain()...)}
	s.words.Refresh()
}

// minus is a number of points lost; what rounds to nothing has no sign.
func minus(points float64) string {
	if points < 0.05 {
		return "0.0"
	}
	return fmt.Sprintf("−%.1f", points)
}
