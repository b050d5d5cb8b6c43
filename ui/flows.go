package ui

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/receive"
	"wornwood/ui/demo"
	"wornwood/ui/task"
	"wornwood/ui/view"
)

// NewExam begins an examination of a new instrument and opens it.
func (w *Window) NewExam() error {
	if w.bench == nil {
		return errors.New("open a bench first; it is the folder that keeps photos and reports")
	}
	return w.begin("", record.Instrument{Class: outline.Classes()[0]})
}

// Again begins a new examination of a known instrument.
func (w *Window) Again(instrument string) error { return w.begin(instrument, record.Instrument{}) }

func (w *Window) begin(instrument string, in record.Instrument) error {
	ex, err := w.bench.Begin(instrument, record.Intake, in)
	if err != nil {
		return err
	}
	return w.showExam(ex)
}

// dropped takes what was dropped anywhere on the window: photos and folders are
// imported, a PDF is checked as a report, sounds, films and texts are attached
// to the open examination. Where photos came with them, the photos go first.
func (w *Window) dropped(_ fyne.Position, uris []fyne.URI) {
	if w.receiving != nil && len(w.sheets) == 0 {
		w.receiving.dropped(uris)
		return
	}
	if w.archive != nil && len(w.sheets) == 0 {
		w.archive.dropped(uris)
		return
	}
	var photos, others []string
	for _, u := range uris {
		switch p := u.Path(); view.Goes(p) {
		case "report":
			w.CheckReport(p)
		case "attachment":
			others = append(others, p)
		default:
			photos = append(photos, p)
		}
	}
	switch {
	case len(photos) > 0 && len(others) > 0:
		w.importThen(photos, func() { w.Attach(others, nil) })
	case len(photos) > 0:
		w.Import(photos)
	case len(others) > 0:
		w.Attach(others, nil)
	}
}

// Import brings photos into the open examination, or into a new one when only
// a bench is open.
func (w *Window) Import(paths []string) { w.importThen(paths, nil) }

// importThen imports photos, and then does something else where that is not nil.
func (w *Window) importThen(paths []string, then func()) {
	if w.exam == nil {
		if err := w.NewExam(); err != nil {
			w.Fail(err)
			return
		}
	}
	x := w.exam
	if x.s.Scene().Issued != nil {
		w.Fail(fmt.Errorf("this examination was issued as %s and takes no more photos; begin a new one", x.s.Scene().Issued.Number))
		return
	}
	var res *bench.ImportResult
	w.work("Importing photos", func(ctx context.Context, report func(int, int, string)) (err error) {
		res, err = w.bench.Import(ctx, x.ex, paths, report)
		return err
	}, func() {
		x.s.Refresh()
		w.nameViews(x.s, res.Added)
		w.ShowScreen(view.PhotosScreen)
		w.frame.say(fmt.Sprintf("%d added, %d known already, %d refused", len(res.Added), len(res.Known), len(res.Refused)))
		if len(res.Refused) > 0 {
			var lines []string
			for _, r := range res.Refused {
				line, name := r.Why, filepath.Base(r.File)
				if !strings.Contains(line, name) {
					line = name + ": " + line
				}
				lines = append(lines, line)
			}
			w.Tell("Not imported", lines...)
		}
		if then != nil {
			then()
		}
	})
}

// nameViews proposes views from file names such as head-front.jpg, for photos
// and views that have none yet.
func (w *Window) nameViews(s *annotate.Session, added []record.Photo) {
	for _, p := range added {
		v := view.GuessView(s.Scene().Record.Instrument.Class, p.Name)
		if v == "" || (v != annotate.CloseUp && filled(s.Scene().Record, v)) {
			continue
		}
		if err := s.SetPhotoView(p.ID, v); err != nil {
			w.Fail(err)
			return
		}
	}
}

func filled(r *record.Record, v string) bool {
	for _, p := range r.Photos {
		if p.View == v {
			return true
		}
	}
	return false
}

// maxReceipt is the largest file that is looked at as a receipt, in bytes: it is
// read as a whole, and what somebody sends may be of any size.
const maxReceipt = 32 << 20

// CheckReport verifies a report and shows the verdict. It needs no bench.
func (w *Window) CheckReport(path string) { w.checkReport(path, false) }

func (w *Window) checkReport(path string, strict bool) {
	var v *pdfout.Verdict
	var receipt *receive.Verdict
	w.work("Checking "+filepath.Base(path), func(ctx context.Context, _ func(int, int, string)) error {
		opt, err := w.trusting()
		if err != nil {
			return err
		}
		opt.Strict = strict
		if v, err = pdfout.Verify(ctx, path, opt); err != nil || v.Record != nil || v.Size > maxReceipt || !receive.Is(ctx, path) {
			return err
		}
		receipt, err = receive.Check(ctx, path, opt)
		return err
	}, func() {
		if receipt != nil {
			w.showReceipt(path, receipt)
			return
		}
		w.showVerdict(path, v)
	})
}

// trusting is what the user knows and trusts: keys and authorities.
func (w *Window) trusting() (pdfout.VerifyOptions, error) {
	return pdfout.Trusting("", "", w.now())
}

// openDemo fills a new folder beside the user's own files with the
// demonstration and opens it.
func (w *Window) openDemo() {
	home, err := os.UserHomeDir()
	if err != nil {
		w.Fail(err)
		return
	}
	dir := filepath.Join(home, "Wornwood demonstration")
	if es, err := os.ReadDir(dir); err == nil && len(es) > 0 {
		w.try(func() error { return w.OpenBench(dir, false) })
		return
	}
	w.work("Making the demonstration", func(ctx context.Context, report func(int, int, string)) error {
		_, err := demo.Run(ctx, dir, demo.Options{Now: w.now, Progress: report, Draft: true})
		return err
	}, func() { w.try(func() error { return w.OpenBench(dir, false) }) })
}

// work runs long work with a count and a way to cancel. One runs at a time.
func (w *Window) work(title string, f task.Work, done func()) {
	if w.busy != nil {
		w.Fail(errors.New("something else is still running; wait for it or cancel it"))
		return
	}
	show := w.showProgress(title, func() {
		if w.busy != nil {
			w.busy.Cancel()
		}
	})
	w.busy = task.New(w.ctx, f, func(f func()) { fyne.Do(f) }, show.set, func(err error) {
		w.busy = nil
		show.hide()
		if err != nil {
			w.Fail(err)
			return
		}
		done()
	})
	w.busy.Start()
}
