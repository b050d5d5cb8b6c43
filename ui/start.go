package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/ui/look"
)

// ShowStart offers what a first start can begin with.
func (w *Window) ShowStart() {
	w.frame = nil
	offer := func(title, text, button string, kind look.ButtonKind, f func()) fyne.CanvasObject {
		return look.Fixed(300, 0, look.Spaced(8, look.NewText(title, look.Title, look.Ink).Bold(),
			look.Fixed(300, 44, paragraphs(text)), look.Columns(look.NewButton(button, "", kind, f), look.Space())))
	}
	w.setContent(look.Centred(look.Spaced(28,
		look.Columns(look.NewText("Wornwood", 28, look.Ink).Bold().Whole(), look.Space()),
		look.SpacedColumns(36,
			offer("Look around", "An invented guitar with photos, marks and parts, to try everything on.", "Open the demonstration", look.Main, w.openDemo),
			offer("Begin", "Choose the folder that will keep your photos, records and reports: your bench.", "Choose a bench…", look.Plain, w.askBench),
			offer("Check", "Somebody sent you a report. See whether it is unaltered and who signed it.", "Check a report…", look.Plain, w.askReport),
		))))
}
