package ui

import (
	"sync"

	"fyne.io/fyne/v2"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// answeredRows are what came back from a buyer for a report, with what differs.
func (w *Window) answeredRows(number string) []fyne.CanvasObject {
	list, err := view.Answered(w.bench, number)
	if err != nil {
		return []fyne.CanvasObject{look.NewRule(), paragraphs(view.Words(err))}
	}
	if len(list) == 0 {
		return []fyne.CanvasObject{look.NewRule(), paragraphs("Nothing came back from a buyer yet. Drop a countersigned copy or a receipt on this window: it is checked, and you can keep it beside the report.")}
	}
	rows := []fyne.CanvasObject{look.Inset(0, 12, 0, 4, look.NewText("What the buyer says", look.Title, look.Ink).Bold())}
	for _, a := range list {
		rows = append(rows, look.NewRule(), look.Inset(0, 6, 0, 2, paragraphs(a.Line)))
		for _, d := range a.Details {
			rows = append(rows, look.Inset(14, 0, 0, 2, look.NewParagraph(d, true).Object))
		}
		path := w.bench.ReportPath(a.File)
		rows = append(rows, look.Columns(look.NewButton("Check it", "verify", look.Quiet, func() { w.CheckReport(path) }), look.Space()))
	}
	return rows
}

// rowsAnswered finds what came back for the rows of the list of instruments,
// beside the window: reading a receipt takes some milliseconds, and only few
// reports have one.
type rowsAnswered struct {
	work  sync.WaitGroup
	mu    sync.Mutex
	found map[string]string // by number of the report
}

// find begins, and calls done on the toolkit's goroutine when it has all.
func (a *rowsAnswered) find(w *Window, done func()) {
	b := w.bench
	numbers, err := b.Received()
	if err != nil || len(numbers) == 0 {
		return // the bench's check says what is wrong with its folder
	}
	a.work.Go(func() {
		found := map[string]string{}
		for _, n := range numbers {
			found[n] = view.AnsweredShort(b, n)
		}
		a.mu.Lock()
		a.found = found
		a.mu.Unlock()
		fyne.Do(done)
	})
}

// of is what came back for a report, "" for nothing or while it is not known.
func (a *rowsAnswered) of(number string) string {
	a.mu.Lock()
	defer a.mu.Unlock()
	return a.found[number]
}
