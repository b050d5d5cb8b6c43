package ui

import (
	"context"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"wornwood/pdfout"
	"wornwood/ui/look"
)

// originalsChoice asks whether the original photos go into the report. Before
// it is answered with yes, the originals are looked through, and what they give
// away is said.
type originalsChoice struct {
	w    *Window
	box  *widget.Check
	says *fyne.Container
	root fyne.CanvasObject
}

func newOriginalsChoice(w *Window) *originalsChoice {
	o := &originalsChoice{w: w, says: container.NewStack()}
	o.box = widget.NewCheck("Put the original photos inside", o.chosen)
	o.root = look.Spaced(4, look.Columns(o.box, look.Space()), o.says)
	return o
}

func (o *originalsChoice) on() bool { return o.box.Checked }

// chosen looks the originals through when they are to go inside. Until that is
// done, and when it fails or is cancelled, they are not.
func (o *originalsChoice) chosen(on bool) {
	o.says.Objects = nil
	o.says.Refresh()
	if !on || o.w.exam == nil {
		return
	}
	o.set(false)
	rec := o.w.exam.s.Scene().Record
	var list []pdfout.Telling
	o.w.work("Looking through the originals", func(ctx context.Context, _ func(int, int, string)) (err error) {
		list, err = pdfout.OriginalsTell(ctx, o.w.bench, rec)
		return err
	}, func() {
		o.set(true)
		o.says.Objects = []fyne.CanvasObject{paragraphs(pdfout.TellingWords(len(rec.Photos), list)...)}
		o.says.Refresh()
	})
}

// set ticks the box without asking again.
func (o *originalsChoice) set(on bool) {
	o.box.Checked = on
	o.box.Refresh()
}
