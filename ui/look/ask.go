package look

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Dialog is a panel over a window that waits for an answer.
type Dialog struct {
	pop  *widget.PopUp
	prev func(*fyne.KeyEvent)
	cv   fyne.Canvas
	open bool
}

// Ask asks a question with two answers and calls yes when it is agreed to.
// Enter and Escape answer as well.
func Ask(w fyne.Window, title, text, agree, decline string, yes func()) *Dialog {
	return show(w, title, NewParagraph(text, false).Object, agree, decline, func() {
		if yes != nil {
			yes()
		}
	})
}

// Tell says something that has to be read: what happened, to what, what to do.
func Tell(w fyne.Window, title, text string) *Dialog {
	return show(w, title, NewParagraph(text, false).Object, "Close", "", nil)
}

// Form shows any content with two answers; it stays open when agreed is nil or
// says false, so that nothing typed is lost over a mistake.
func Form(w fyne.Window, title string, content fyne.CanvasObject, agree, decline string, agreed func() bool) *Dialog {
	var d *Dialog
	d = build(w, title, content, agree, decline, func() {
		if agreed == nil || agreed() {
			d.Hide()
		}
	})
	d.present()
	return d
}

func show(w fyne.Window, title string, content fyne.CanvasObject, agree, decline string, yes func()) *Dialog {
	var d *Dialog
	d = build(w, title, content, agree, decline, func() {
		d.Hide()
		if yes != nil {
			yes()
		}
	})
	d.present()
	return d
}

const dialogWidth float32 = 420

func build(w fyne.Window, title string, content fyne.CanvasObject, agree, decline string, yes func()) *Dialog {
	d := &Dialog{cv: w.Canvas()}
	answers := []fyne.CanvasObject{Space()}
	if decline != "" {
		answers = append(answers, NewButton(decline, "", Plain, d.Hide))
	}
	main := NewButton(agree, "", Main, yes)
	answers = append(answers, main)
	body := On(Panel, Inset(22, 18, 22, 18, Spaced(14,
		NewText(title, Title, Ink).Bold(), content, SpacedColumns(8, answers...))))
	d.pop = widget.NewModalPopUp(Fixed(dialogWidth, 0, body), w.Canvas())
	d.prev = d.cv.OnTypedKey()
	d.cv.SetOnTypedKey(func(e *fyne.KeyEvent) {
		switch e.Name {
		case fyne.KeyEscape:
			d.Hide()
		case fyne.KeyReturn, fyne.KeyEnter:
			yes()
		}
	})
	return d
}

// present shows the panel. A text that wraps knows its height only once it has
// a width, so the panel is measured twice.
func (d *Dialog) present() {
	d.open = true
	d.pop.Show()
	d.pop.Resize(d.pop.MinSize())
	d.pop.Resize(d.pop.MinSize())
}

// Hide takes the panel away unanswered.
func (d *Dialog) Hide() {
	if !d.open {
		return
	}
	d.open = false
	d.cv.SetOnTypedKey(d.prev)
	d.pop.Hide()
}
