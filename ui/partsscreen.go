package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// partsScreen lists the parts and says what is original and what was looked at.
type partsScreen struct {
	w       *Window
	m       *view.Parts
	root    fyne.CanvasObject
	summary *look.Text
	rows    []*partRow
}

type partRow struct {
	part      record.PartID
	state     *look.Select
	inspected *look.Segments
	marks     *look.Text
	points    *look.Text
	note      *look.Field
	methods   map[string]*look.Button
}

// Widths of the columns; together they leave the note some room at 1280.
const (
	partWidth, shareWidth, stateWidth, lookedWidth, judgedWidth, marksWidth float32 = 130, 40, 156, 172, 446, 54

	partGap float32 = 12
)

func newPartsScreen(w *Window) *partsScreen {
	s := &partsScreen{w: w, m: view.NewParts(w.exam.s), summary: look.NewText("", look.Small, look.Dim)}
	rest := look.NewButton("The rest is original and was inspected", "check", look.Plain, func() { w.try(s.m.RestOriginal) })
	if w.exam.shell.Frozen() {
		rest.Disable()
	}
	head := look.SpacedColumns(16, look.Flex(1, look.Rows(look.Space(), look.NewText("Parts and originality", look.Title, look.Ink).Bold(), s.summary, look.Space())), look.Centred(rest))
	caption := func(t string, width float32) fyne.CanvasObject {
		return look.Fixed(width, 0, look.NewText(t, look.Caption, look.Dim))
	}
	rows := []fyne.CanvasObject{look.SpacedColumns(partGap, caption("Part", partWidth), caption("Share", shareWidth), caption("State", stateWidth), caption("Condition", lookedWidth),
		caption("Judged by", judgedWidth), caption("Marks", marksWidth), look.Flex(1, look.NewText("Note", look.Caption, look.Dim)))}
	for _, r := range s.m.Rows() {
		row := s.row(r)
		rows = append(rows, look.NewRule(), row)
	}
	s.root = look.Rows(look.Inset(24, 12, 24, 8, look.Fixed(0, 44, head)), look.Flex(1, container.NewScroll(look.Inset(24, 4, 24, 16, look.Rows(rows...)))))
	return s
}

func (s *partsScreen) row(r view.PartRow) fyne.CanvasObject {
	row := &partRow{part: r.Part, methods: map[string]*look.Button{}, marks: look.NewText("", look.Small, look.Dim), points: look.NewText("", look.Small, look.Ink)}
	s.rows = append(s.rows, row)
	var states []string
	for _, st := range record.States() {
		states = append(states, string(st))
	}
	try := func(err error) { s.w.try(func() error { return err }) }
	row.state = look.NewSelect(states, "not seen", func(t string) { try(s.m.SetState(r.Part, record.State(t))) })
	row.inspected = look.NewSegments([]string{"not looked at", "inspected"}, func(i int) { try(s.m.SetInspected(r.Part, i == 1)) })
	row.note = look.NewField("", "", func(t string) { try(s.m.SetNote(r.Part, t)) })
	var how []fyne.CanvasObject
	for _, m := range record.Methods() {
		b := look.NewButton(methodShort(m), "", look.Quiet, func() { try(s.m.ToggleMethod(r.Part, m)) }).Tight()
		row.methods[m] = b
		how = append(how, b)
	}
	if s.w.exam.shell.Frozen() {
		row.state.Disable()
		row.inspected.Disable()
		row.note.Disable()
		for _, b := range row.methods {
			b.Disable()
		}
	}
	return look.Fixed(0, 44, look.SpacedColumns(partGap,
		look.Fixed(partWidth, 0, look.NewText(view.Capital(string(r.Part)), look.Body, look.Ink)),
		look.Fixed(shareWidth, 0, look.NewText(fmt.Sprintf("%.0f %%", r.Share), look.Small, look.Dim)),
		look.Centred(look.Fixed(stateWidth, 0, row.state)), look.Centred(look.Fixed(lookedWidth, 0, row.inspected)),
		look.Centred(look.Fixed(judgedWidth, 0, look.Columns(append(how, look.Space())...))),
		look.Fixed(marksWidth, 0, look.Rows(look.Space(), row.points, row.marks, look.Space())), look.Flex(1, look.Inset(0, -11, 0, 7, row.note))))
}

// methodShort is the word on a narrow button.
func methodShort(m string) string {
	if m == "ultraviolet light" {
		return "ultraviolet"
	}
	return m
}

func (s *partsScreen) object() fyne.CanvasObject { return s.root }

func (s *partsScreen) refresh() {
	s.summary.SetText(s.m.Summary())
	for i, r := range s.m.Rows() {
		if i >= len(s.rows) || s.rows[i].part != r.Part {
			s.w.ShowScreen(view.PartsScreen) // another class has other parts
			return
		}
		row := s.rows[i]
		row.state.Set(string(r.State))
		row.inspected.Set(map[bool]int{true: 1}[r.Inspected])
		row.note.Set(r.Note)
		row.marks.SetText("")
		row.points.SetText("–")
		if r.Marks > 0 {
			row.marks.SetText(fmt.Sprintf("%d on it", r.Marks))
			row.points.SetText(minus(r.Points))
		}
		for m, b := range row.methods {
			chosen := false
			for _, j := range r.Judged {
				chosen = chosen || j == m
			}
			b.SetChosen(chosen)
		}
	}
}
