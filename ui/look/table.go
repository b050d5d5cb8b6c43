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
	Share float32 // of what is left, where Width is 0; 0 counts as 1
	Right bool    // figures stand at the right
	Dim   bool    // secondary
}

// Table is rows of text with hairlines under a head, as many as there are.
// Only the rows in sight exist as objects.
type Table struct {
	Object   *fyne.Container // what goes on the screen
	OnSelect func(row int)   // a row was chosen by pointer or key
	OnHead   func(col int)   // the title of a column was clicked; nil where it does nothing

	// Ink gives a cell a colour of its own, "" for the usual one.
	Ink func(row, col int) fyne.ThemeColorName

	cols  []Column
	count func() int
	cell  func(row, col int) string
	list  *widget.List
	head  *row
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
	t.head = newRow(cols, true)
	for i, c := range cols {
		t.head.set(i, c.Title, Dim)
	}
	clicks := newHeadClicks(t.head, func(col int) {
		if t.OnHead != nil {
			t.OnHead(col)
		}
	})
	t.Object = Rows(container.NewStack(t.head, clicks), Flex(1, container.NewThemeOverride(t.list, over{sizes: tableSizes, names: map[fyne.ThemeColorName]fyne.ThemeColorName{theme.ColorNameSelection: Here}})))
	return t
}

func (t *Table) fill(i int, r *row) {
	if i >= t.count() {
		return
	}
	changed := false
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
		changed = r.set(k, t.cell(i, k), n) || changed
	}
	if changed { // a row that says the same is not laid out again
		r.Refresh()
	}
}

// SetTitle changes the title of a column, as that of the one that is sorted by.
func (t *Table) SetTitle(col int, title string, ink fyne.ThemeColorName) {
	if t.head.set(col, title, ink) {
		t.head.Refresh()
	}
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

// ToTop brings the first row into sight.
func (t *Table) ToTop() { t.list.ScrollToTop() }

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

// set says whether anything changed.
func (r *row) set(i int, s string, n fyne.ThemeColorName) bool {
	if r.texts[i] == s && r.inks[i] == n {
		return false
	}
	r.texts[i], r.inks[i] = s, n
	return true
}

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
	x := float32(0)
	for i, w := range widths(r.cols, s.Width) {
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

// widths divides a width among columns.
func widths(cols []Column, width float32) []float32 {
	out, left, shares := make([]float32, len(cols)), width, float32(0)
	for i, c := range cols {
		if out[i] = c.Width; c.Width == 0 {
			if out[i] = -c.Share; c.Share <= 0 {
				out[i] = -1
			}
			shares -= out[i]
		}
		left -= c.Width
	}
	for i, w := range out {
		if w < 0 {
			out[i] = max(0, left*-w/shares)
		}
	}
	return out
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

// headClicks lies over the head of a table and tells which title was clicked.
type headClicks struct {
	widget.BaseWidget
	of      *row
	clicked func(col int)
}

func newHeadClicks(of *row, clicked func(col int)) *headClicks {
	h := &headClicks{of: of, clicked: clicked}
	h.ExtendBaseWidget(h)
	return h
}

// Tapped is called by the toolkit.
func (h *headClicks) Tapped(e *fyne.PointEvent) {
	x := float32(0)
	for i, w := range widths(h.of.cols, h.Size().Width) {
		if x += w; e.Position.X < x {
			h.clicked(i)
			return
		}
	}
}

// CreateRenderer is called by the toolkit.
func (h *headClicks) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(canvas.NewRectangle(color.Transparent))
}
