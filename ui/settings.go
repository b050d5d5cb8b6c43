package ui

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"wornwood/pdfout/catalogue"
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
	again := look.NewField("Examine again after, where an examination names no date", "months", nil)
	if set.ExamineEvery > 0 {
		again.Set(strconv.Itoa(set.ExamineEvery))
	}
	papers := []string{"A4", "Letter"}
	paper := look.NewSegments(papers, nil)
	paper.Set(max(0, indexOf(papers, set.Paper)))
	languages := catalogue.Languages()
	language := look.NewSegments(catalogue.Names(), nil)
	language.Set(max(0, indexOf(languages, set.Language)))
	stamp := field("Time-stamp authority asked when a report is issued (RFC 3161); empty for none", set.Timestamp)
	stamp.SetHint("https://")
	words := []string{"not embedded", "embedded"}
	longTerm := look.NewSegments(words, nil)
	longTerm.Set(0)
	if set.LongTerm {
		longTerm.Set(1)
	}
	var s *sheet
	keep := look.NewButton("Keep", "", look.Main, func() {
		set.Shop, set.Examiner, set.Place, set.Paper = shop.Text(), examiner.Text(), place.Text(), papers[max(0, paper.Chosen())]
		months, err := monthsOf(again.Text())
		if err != nil {
			w.Fail(err)
			return
		}
		set.Language = languages[max(0, language.Chosen())]
		set.ExamineEvery, set.Timestamp, set.LongTerm = months, strings.TrimSpace(stamp.Text()), longTerm.Chosen() == 1
		if err := w.bench.SetSettings(set); err != nil {
			w.Fail(err) // the sheet stays, so nothing typed is lost
			return
		}
		s.hide()
		if w.exam == nil {
			w.ShowBench()
		}
	})
	for _, f := range []*look.Field{shop, examiner, place, again, stamp} {
		f.OnCancel = func() { s.hide() }
	}
	s = w.showSheet("Settings of this bench", 420, look.Spaced(12, shop, examiner, place, look.Captioned("Paper of reports", paper), look.Captioned("Language of reports", language), again, stamp,
		look.Captioned("The certificate authority's word on revoked ones, in every report", longTerm)), "Cancel", keep)
	shop.Focus(w.win.Canvas())
}

// monthsOf reads a number of months; nothing is none.
func monthsOf(s string) (int, error) {
	if s = strings.TrimSpace(s); s == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		return 0, fmt.Errorf("examine again: %q is no number of months; write 12, or nothing for no rule", s)
	}
	return n, nil
}
