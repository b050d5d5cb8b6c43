package look

import (
	"strconv"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
)

// shownCells are the texts of the rows in sight.
func shownCells(o fyne.CanvasObject) []*canvas.Text {
	var out []*canvas.Text
	switch o := o.(type) {
	case *row:
		test.WidgetRenderer(o)
		return o.cells
	case *fyne.Container:
		for _, c := range o.Objects {
			out = append(out, shownCells(c)...)
		}
	case fyne.Widget:
		for _, c := range test.WidgetRenderer(o).Objects() {
			out = append(out, shownCells(c)...)
		}
	}
	return out
}

// TestTableLaysOutWhatChanged: a refresh touches only rows that say something
// else, however many are in sight; and titles tell when they are clicked.
func TestTableLaysOutWhatChanged(t *testing.T) {
	app := test.NewTempApp(t)
	app.Settings().SetTheme(New(false))
	values := make([]int, 5000)
	tb := NewTable([]Column{{Title: "Number", Width: 80, Right: true}, {Title: "Word"}, {Title: "Day", Width: 90}}, func() int { return len(values) }, func(i, k int) string {
		return [...]string{strconv.Itoa(values[i]), "row " + strconv.Itoa(i), "2026-11-14"}[k]
	})
	w := test.NewTempWindow(t, tb.Object)
	w.Resize(fyne.NewSize(600, 400))
	cells := shownCells(tb.list)
	if len(cells) < 30 || len(cells) > 90 {
		t.Fatalf("%d cells exist", len(cells))
	}
	for _, c := range cells {
		c.Text = "untouched" // a layout would write the cell's own text
	}
	values[2] = 7
	tb.Refresh()
	touched := 0
	for _, c := range cells {
		if c.Text != "untouched" {
			touched++
		}
	}
	if touched != 3 {
		t.Errorf("%d cells were laid out, expected the three of one row", touched)
	}
	got := -1
	tb.OnHead = func(col int) { got = col }
	head := tb.Object.Objects[0].(*fyne.Container).Objects[1].(fyne.Tappable)
	for x, want := range map[float32]int{10: 0, 100: 1, float32(w.Canvas().Size().Width) - 20: 2} {
		head.Tapped(&fyne.PointEvent{Position: fyne.NewPos(x, 5)})
		if got != want {
			t.Errorf("a click at %v is on column %d, want %d", x, got, want)
		}
	}
	tb.SetTitle(1, "Word ↓", Ink)
	if tb.head.cells[1].Text != "Word ↓" {
		t.Errorf("the title is %q", tb.head.cells[1].Text)
	}
}
