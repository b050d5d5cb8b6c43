package ui

import (
	"context"
	"errors"
	"fmt"

	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// askCalendar asks where to write what is due as a calendar.
func (w *Window) askCalendar() {
	if w.bench == nil || w.listed == nil {
		w.Fail(errors.New("open a bench first; its list of what is due becomes the calendar"))
		return
	}
	model := w.listed.model
	w.askPath("Export calendar", "A file that ends with .ics; an older calendar of that name is replaced", "Export", false, func(path string) {
		w.try(func() error {
			if err := model.SaveCalendar(path); err != nil {
				return err
			}
			n, _ := model.DueCount()
			w.Tell("Exported", fmt.Sprintf("%s holds %d all-day events with a reminder each. Export it again under the same name after changes: events keep their identity, so a calendar that reads the file moves them.", shortPath(path), n))
			return nil
		})
	})
}

// keepReturned is the button that offers to keep a countersigned copy of one of
// the bench's own reports; nil where there is nothing to offer.
func (w *Window) keepReturned(path string, v *pdfout.Verdict, hide func()) *look.Button {
	if w.bench == nil || !pdfout.CanReturn(w.bench, v) {
		return nil
	}
	return look.NewButton("Keep this countersigned copy", "", look.Main, func() {
		hide()
		w.takeBack(path)
	})
}

// takeBack keeps what came back from a buyer beside the report.
func (w *Window) takeBack(path string) {
	var r *receive.Done
	w.work("Keeping "+shortPath(path), func(ctx context.Context, _ func(int, int, string)) error {
		opt, err := w.trusting()
		if err != nil {
			return err
		}
		r, err = receive.TakeBack(ctx, w.bench, path, opt)
		return err
	}, func() {
		if w.exam == nil {
			w.ShowBench()
		} else {
			w.refresh()
		}
		w.Tell("Kept", view.Kept(r)...)
	})
}
