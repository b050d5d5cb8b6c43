package ui

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// ledgerDetail explains the chosen line of the ledger: how it was scored, and
// what would be without it or at another depth.
type ledgerDetail struct {
	w     *Window
	m     *view.Grade
	title *look.Text
	show  *look.Button
	ifs   *ifList
	how   *sentences
	root  fyne.CanvasObject
}

func newLedgerDetail(w *Window, m *view.Grade) *ledgerDetail {
	d := &ledgerDetail{w: w, m: m, title: look.NewText("", look.Body, look.Ink).Bold(), ifs: newIfList(), how: newSentences(true)}
	d.show = look.NewButton("Show mark", "", look.Plain, func() {
		if l, ok := m.Detail(); ok && l.Mark > 0 {
			w.exam.marks.Select(l.Mark)
			w.ShowScreen(view.MarksScreen)
		}
	}).Tight()
	d.root = look.Rows(look.Inset(0, 8, 0, 4, look.Fixed(0, 28, look.SpacedColumns(12, look.Flex(1, d.title), look.Centred(d.show)))),
		look.Flex(1, container.NewVScroll(look.Inset(0, 0, 12, 0, look.Spaced(8, d.ifs.box, d.how.box)))))
	return d
}

func (d *ledgerDetail) object() fyne.CanvasObject { return d.root }

func (d *ledgerDetail) refresh() {
	l, ok := d.m.Detail()
	if l.Mark > 0 {
		d.show.SetText(fmt.Sprintf("Show mark %d", l.Mark))
		d.show.Show()
	} else {
		d.show.Hide()
	}
	if !ok {
		d.title.SetText("")
		d.ifs.set(nil)
		d.how.set([]string{"Choose a line of the ledger to see how it was scored, and what the index would be without it."})
		return
	}
	d.title.SetText(l.Title)
	d.ifs.set(l.If)
	d.how.set(l.How)
}

// ifList is a short list of suppositions with what would come of them, laid out
// again only when their number changes.
type ifList struct {
	box  *fyne.Container
	now  []view.WhatIf
	rows [][2]*look.Text
}

func newIfList() *ifList { return &ifList{box: look.Rows()} }

func (l *ifList) set(list []view.WhatIf) {
	if slices.Equal(list, l.now) {
		return
	}
	l.now = slices.Clone(list)
	if len(list) != len(l.rows) {
		l.rows, l.box.Objects = nil, nil
		for range list {
			row := [2]*look.Text{look.NewText("", look.Small, look.Ink), look.NewText("", look.Small, look.Ink).Bold()}
			l.rows = append(l.rows, row)
			l.box.Add(look.Fixed(0, 22, look.SpacedColumns(12, look.Flex(1, row[0]), look.Flex(1, row[1]))))
		}
		l.box.Refresh()
	}
	for i, f := range list {
		l.rows[i][0].SetText(f.Words)
		l.rows[i][1].SetText(f.Figures)
	}
}
