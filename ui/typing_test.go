//go:build ci

package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// firstField finds the first field below an object.
func firstField(o fyne.CanvasObject) *look.Field {
	switch o := o.(type) {
	case *look.Field:
		return o
	case *container.Scroll:
		return firstField(o.Content)
	case *fyne.Container:
		for _, c := range o.Objects {
			if f := firstField(c); f != nil {
				return f
			}
		}
	}
	return nil
}

// typeMaker types into the first field of the identity form, the maker,
// without ending with Enter.
func typeMaker(t *testing.T, w *Window, text string) {
	t.Helper()
	w.ShowScreen(view.IdentityScreen)
	f := firstField(w.frame.now.object())
	if f == nil {
		t.Fatal("the identity form has no field")
	}
	f.Focus(w.win.Canvas())
	f.Entry().SetText("")
	typeText(t, w, text)
}

// TestLeavingKeepsWhatIsTyped leaves a field without Enter in every way in
// which a screen can go.
func TestLeavingKeepsWhatIsTyped(t *testing.T) {
	for name, leave := range map[string]func(*Window){
		"another screen": func(w *Window) { w.ShowScreen(view.MarksScreen) },
		"the list":       func(w *Window) { w.toBench() },
		"another examination": func(w *Window) {
			if err := w.NewExam(); err != nil {
				t.Error(err)
			}
		},
		"the end": func(w *Window) {
			if err := w.closeExam(); err != nil {
				t.Error(err)
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := demoWindow(t, large, false)
			id := w.exam.ex.ID()
			typeMaker(t, w, "Merrow & Finch")
			leave(w)
			ex, err := w.bench.OpenExam(id)
			if err != nil {
				t.Fatal(err)
			}
			defer ex.Close()
			if got := ex.Record().Instrument.Maker; got != "Merrow & Finch" {
				t.Errorf("the maker is %q", got)
			}
		})
	}
}

// TestTypedNoteStaysWithItsMark types a note on one mark and presses on another
// one on the outline, and on empty ground, without leaving the field first.
func TestTypedNoteStaysWithItsMark(t *testing.T) {
	for name, press := range map[string]func(*marksScreen){
		"another mark": func(s *marksScreen) { s.outline.Control.OnSelect(3) },
		"a new mark": func(s *marksScreen) {
			s.outline.Control.OnPin(record.PointShape, []shape.Pt{{X: -40, Y: 700}})
		},
	} {
		t.Run(name, func(t *testing.T) {
			w := demoWindow(t, large, false)
			s := w.marksNow(t)
			s.selectMark(7)
			s.panel.note.Focus(w.win.Canvas())
			typeText(t, w, "Even across the board. ")
			press(s)
			r := w.exam.s.Scene().Record
			for _, m := range r.Marks {
				if has := strings.Contains(m.Note, "Even across the board."); has != (m.Number == 7) {
					t.Errorf("mark %d has the note %q", m.Number, m.Note)
				}
			}
		})
	}
}
