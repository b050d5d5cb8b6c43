package ui

import (
	"errors"

	"wornwood/ui/look"
)

// askSettings shows what the bench fills into new examinations and the paper of
// its reports.
func (w *Window) askSettings() {
	if w.bench == nil {
		w.Fail(errors.New("open a bench first; its settings are kept with it"))
		return
	}
	set := w.bench.Settings()
	field := func(caption, value string) *look.Field {
		f := look.NewField(caption, "", nil)
		f.Set(value)
		return f
	}
	shop, examiner, place := field("Shop", set.Shop), field("Examiner", set.Examiner), field("Place", set.Place)
	papers := []string{"A4", "Letter"}
	paper := look.NewSegments(papers, nil)
	paper.Set(max(0, indexOf(papers, set.Paper)))
	var s *sheet
	keep := look.NewButton("Keep", "", look.Main, func() {
		set.Shop, set.Examiner, set.Place, set.Paper = shop.Text(), examiner.Text(), place.Text(), papers[max(0, paper.Chosen())]
		if err := w.bench.SetSettings(set); err != nil {
			w.Fail(err) // the sheet stays, so nothing typed is lost
			return
		}
		s.hide()
		if w.exam == nil {
			w.ShowBench()
		}
	})
	for _, f := range []*look.Field{shop, examiner, place} {
		f.OnCancel = func() { s.hide() }
	}
	s = w.showSheet("Settings of this bench", 420, look.Spaced(12, shop, examiner, place, look.Captioned("Paper of reports", paper)), "Cancel", keep)
	shop.Focus(w.win.Canvas())
}
