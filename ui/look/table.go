package look

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Column is one column of a Table.
type Column struct {
	Title string
	Width float32 // in units; 0 shares what is left
	Right bool    // figures stand at the right
	Dim   bool    // secondary
}

// Table is rows of text with hairlines under a head, as many as there are.
// Only the rows in sight exist as objects.
type Table struct {
	Object   *fyne.Container // what goes on the screen
	OnSelect func(row int)   // a row was chosen by pointer or key

	// Ink gives a cell a colour of its own, "" for the usual one.
	Ink func(row, col int) fyne.ThemeColorName

	cols  []Column
	count func() int
	cell  func(row, col int) string
	list  *widget.List
	quiet bool // a selection that is being shown, not made
}

// NewTable makes a table of count rows, cell giving their texts.
func NewTable(cols []Column, count func() int, cell func(row, col int) string) *Table {
	t := &Table{cols: cols, count: count, cell: cell}
	t.list = widget.NewList(count,
		func() fyne.CanvasObject { return newRow(cols, false) },
		func(i widget.ListItemID, o fyne.CanvasObject) { t.fill(i, o.(*row)) })
	t.list.HideSeparators = true
	t.list.OnSelected = func(i widget.ListItemID) {
		if !t.quiet && t.OnSelect != nil {
			t.OnSelect(i)
		}
	}
	head := newRow(cols, true)
	for i, c := range cols {
		head.set(i, c.Title, Dim)
	}
	t.Object = Rows(head, Flex(1, container.NewThemeOverride(t.list, over{sizes: tableSizes, names: map[fyne.ThemeColorName]fyne.ThemeColorName{theme.ColorNameSelection: Here}})))
	return t
}

func (t *Table) fill(i int, r *row) {
	if i >= t.count() {
		return
	}
	for k, c := range t.cols {
		n := Ink
		if c.Dim {
			n = Dim
		}
		if t.Ink != nil {
			if own := t.Ink(i, k); own != "" {
				n = own
			}
		}
		r.set(k, t.cell(i, k), n)
	}
	r.Refresh()
}

// Select shows a row as chosen without reporting it; -1 none.
func (t *Table) Select(i int) {
	t.quiet = true
	defer func() { t.quiet = false }()
	if i < 0 || i >= t.count() {
		t.list.UnselectAll()
		return
	}
	t.list.Select(i)
}

// Refresh shows changed rows.
func (t *Table) Refresh() { t.list.Refresh() }

// Height is what the head and n rows take.
func (t *Table) Height(n int) float32 { return rowHeight * float32(n+1) }

// tableSizes let rows touch.
var tableSizes = map[fyne.ThemeSizeName]float32{
	theme.SizeNamePadding: 0, theme.SizeNameInnerPadding: 0, theme.SizeNameSelectionRadius: 0,
}

// row is one line of a table.
type row struct {
	widget.BaseWidget
	cols  []Column
	head  bool
	texts []string
	inks  []fyne.ThemeColorName

	cells []*canvas.Text
	rule  *canvas.Rectangle
}

func newRow(cols []Column, head bool) *row {
	r := &row{cols: cols, head: head, texts: make([]string, len(cols)), inks: make([]fyne.ThemeColorName, len(cols))}
	r.ExtendBaseWidget(r)
	return r
}

func (r *row) set(i int, s string, n fyne.ThemeColorName) { r.texts[i], r.inks[i] = s, n }

func (r *row) CreateRenderer() fyne.WidgetRenderer {
	r.rule = canvas.NewRectangle(color.Transparent)
	objects := []fyne.CanvasObject{r.rule}
	size := Small
	if r.head {
		size = Caption
	}
	for _, c := range r.cols {
		t := newText("", size, false)
		if c.Right {
			t.Alignment = fyne.TextAlignTrailing
		}
		r.cells = append(r.cells, t)
		objects = append(objects, t)
	}
	w := newRenderer(r, objects)
	w.layout, w.paint = r.layout, r.paint
	w.min = func() fyne.Size { return fyne.NewSize(120, rowHeight) }
	r.paint()
	return w
}

const cellPad float32 = 6

func (r *row) layout(s fyne.Size) {
	left, flexible := s.Width, 0
	for _, c := range r.cols {
		if c.Width == 0 {
			flexible++
		}
		left -= c.Width
	}
	x := float32(0)
	for i, c := range r.cols {
		w := c.Width
		if w == 0 {
			w = max(0, left/float32(flexible))
		}
		t := r.cells[i]
		t.Text = shorten(r.texts[i], t, w-2*cellPad)
		h := t.MinSize().Height
		t.Move(fyne.NewPos(x+cellPad, middle(s.Height, h)))
		t.Resize(fyne.NewSize(w-2*cellPad, h))
		x += w
	}
	r.rule.Move(fyne.NewPos(0, s.Height-1))
	r.rule.Resize(fyne.NewSize(s.Width, 1))
}

func (r *row) paint() {
	r.rule.FillColor = ink(r, Hairline)
	if r.head {
		r.rule.FillColor = ink(r, Border)
	}
	for i, t := range r.cells {
		n := r.inks[i]
		if n == "" {
			n = Ink
		}
		t.Color = ink(r, n)
	}
}
