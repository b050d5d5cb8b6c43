package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/ui/look"
)

// offerWide is the width of one of the offers of the start.
const offerWide float32 = 264

// ShowStart offers what a first start can begin with.
func (w *Window) ShowStart() {
	w.frame = nil
	offer := func(title, text, button string, kind look.ButtonKind, f func()) fyne.CanvasObject {
		return look.Fixed(offerWide, 0, look.Spaced(8, look.NewText(title, look.Title, look.Ink).Bold(),
			look.Fixed(offerWide, 64, paragraphs(text)), look.Columns(look.NewButton(button, "", kind, f), look.Space())))
	}
	rows := []fyne.CanvasObject{
		look.Columns(look.NewText("Wornwood", 28, look.Ink).Bold().Whole(), look.Space()),
		look.SpacedColumns(32,
			offer("Look around", "An invented guitar with photos, marks and parts, to try everything on.", "Open the demonstration", look.Main, w.openDemo),
			offer("Begin", "Choose the folder that will keep your photos, records and reports: your bench.", "Choose a bench…", look.Plain, w.askBench),
			offer("Check", "Somebody sent you a report. See whether it is unaltered and who signed it.", "Check a report…", look.Plain, w.askReport),
			look.Rows(offer("Keep", "An archive files reports of many dealers, finds any of them, and proves them unaltered years later.", "Open archive…", look.Plain, w.askArchive),
				look.Columns(look.NewButton("New archive…", "", look.Quiet, w.askNewArchive), look.Space())),
		),
	}
	if recent := recentArchives(); len(recent) > 0 {
		row := []fyne.CanvasObject{look.NewText("Archives opened lately", look.Small, look.Dim).Whole()}
		for _, dir := range recent[:min(len(recent), 4)] {
			row = append(row, look.NewButton(shortPath(dir), "archive", look.Quiet, func() { w.OpenArchive(dir, false) }))
		}
		rows = append(rows, look.SpacedColumns(10, append(row, look.Space())...))
	}
	w.setContent(look.Centred(look.Spaced(28, rows...)))
}
