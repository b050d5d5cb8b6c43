package ui

import (
	"slices"

	"fyne.io/fyne/v2"

	"wornwood/annotate/electronics"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// findingList shows findings, each with its weight in a word, the sentence and
// the reason. It is made anew only when they change.
type findingList struct {
	s    *electronicsScreen
	box  *fyne.Container
	now  []electronics.Finding
	wide bool // the word stands beside the sentence, with a way to the component
	made map[electronics.Finding]fyne.CanvasObject
}

func newFindingList(s *electronicsScreen, wide bool) *findingList {
	return &findingList{s: s, box: look.Spaced(10), wide: wide}
}

func (l *findingList) set(found []electronics.Finding) {
	if slices.Equal(found, l.now) {
		return
	}
	// A typed value changes one finding or two; the rows of the others are kept,
	// because wrapping text is slow.
	rows, objects := map[electronics.Finding]fyne.CanvasObject{}, []fyne.CanvasObject{}
	for _, f := range found {
		row := l.made[f]
		if row == nil {
			row = l.row(f)
		}
		rows[f] = row
		objects = append(objects, row)
	}
	l.now, l.made, l.box.Objects = slices.Clone(found), rows, objects
	l.box.Refresh()
}

func (l *findingList) row(f electronics.Finding) fyne.CanvasObject {
	icon, ink := "info", look.Dim
	switch f.Severity {
	case electronics.Wrong:
		icon, ink = "warning", look.Bad
	case electronics.Look:
		icon, ink = "eye", look.Ink
	}
	word := look.NewText(view.Capital(view.SeverityWord(f.Severity)), look.Small, ink).Bold()
	text := look.Spaced(1, look.NewParagraph(view.Capital(f.Text)+".", false).Object, look.NewParagraph(f.Why+".", true).Object)
	if !l.wide {
		return look.Spaced(2, look.SpacedColumns(6, look.NewIcon(icon, ink, 16), look.Flex(1, word)), text)
	}
	row := []fyne.CanvasObject{look.Rows(look.Fixed(96, 20, look.SpacedColumns(6, look.NewIcon(icon, ink, 16), look.Flex(1, word))), look.Space()), look.Flex(1, text)}
	if f.Component != "" {
		row = append(row, look.Rows(look.NewButton("Show", "", look.Quiet, func() { l.s.choose(f.Component) }).Tight(), look.Space()))
	}
	return look.SpacedColumns(8, row...)
}

// fileList shows photos and drawings tied to something, with a way to take one
// off and a choice of those that could be tied.
type fileList struct {
	s          *electronicsScreen
	box        *fyne.Container
	rows       *fyne.Container
	add        *look.Select
	now        string // what is shown, to make it anew only when it changes
	tied, more func() []view.FileChoice
	untie      func(id string) error
	thumbs     *thumbs
}

func newFileList(s *electronicsScreen, caption, hint string, tied, more func() []view.FileChoice, tie, untie func(id string) error) *fileList {
	l := &fileList{s: s, rows: look.Spaced(6), tied: tied, more: more, untie: untie, thumbs: newThumbs(s.w.bench)}
	l.add = look.NewSelect(nil, hint, func(name string) {
		l.add.Set("")
		for _, f := range l.more() {
			if f.Name == name {
				s.w.try(func() error { return tie(f.ID) })
				return
			}
		}
	})
	if s.w.exam.shell.Frozen() {
		l.add.Disable()
	}
	l.box = look.Captioned(caption, look.Spaced(6, l.add, l.rows))
	return l
}

func (l *fileList) refresh() {
	var names []string
	for _, f := range l.more() {
		names = append(names, f.Name)
	}
	l.add.SetOptions(names)
	now := ""
	for _, f := range l.tied() {
		now += f.ID + f.Name + "\n"
	}
	if now == l.now {
		return
	}
	l.now = now
	var rows []fyne.CanvasObject
	for _, f := range l.tied() {
		pic := look.NewThumb(60, 44, nil)
		pic.SetImage(l.thumbs.get(f.ID))
		off := look.NewButton("", "close", look.Quiet, func() { l.s.w.try(func() error { return l.untie(f.ID) }) })
		if l.s.w.exam.shell.Frozen() {
			off.Disable()
		}
		rows = append(rows, look.SpacedColumns(8, look.Fixed(60, 44, pic), look.Flex(1, look.NewText(f.Name, look.Small, look.Ink)), look.Centred(off)))
	}
	l.rows.Objects = rows
	l.rows.Refresh()
}
