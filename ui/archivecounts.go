package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// archiveCounts shows how many of the reports found have each value of a field. A
// click asks for a value, another takes it out of the line.
type archiveCounts struct {
	object fyne.CanvasObject
	list   *fyne.Container
	heads  []*look.Text
	more   []*look.Text
	rows   [][]*countRow
	shape  string // which rows are there, to lay out again only when that changes
	pick   func(field, value string)
}

func newArchiveCounts(pick func(field, value string)) *archiveCounts {
	c := &archiveCounts{pick: pick, list: look.Rows()}
	c.object = container.NewVScroll(look.Inset(0, 6, 6, 10, c.list))
	return c
}

// set shows counts. Rows stay; only what changed is painted.
func (c *archiveCounts) set(facets []view.ArchiveFacet) {
	shape := ""
	for _, f := range facets {
		shape += f.Title
		for range f.Values {
			shape += "."
		}
		if f.More > 0 {
			shape += "+"
		}
	}
	if shape != c.shape {
		c.shape = shape
		c.build(facets)
	}
	for i, f := range facets {
		c.heads[i].SetText(f.Title)
		for k, v := range f.Values {
			c.rows[i][k].set(v)
		}
		if f.More > 0 {
			c.more[i].SetText(view.Grouped(f.More) + " more")
		}
	}
}

func (c *archiveCounts) build(facets []view.ArchiveFacet) {
	c.heads, c.more, c.rows, c.list.Objects = nil, nil, nil, nil
	for _, f := range facets {
		head, more := look.NewText(f.Title, look.Caption, look.Dim), look.NewText("", look.Caption, look.Dim)
		c.heads, c.more = append(c.heads, head), append(c.more, more)
		c.list.Add(look.Inset(16, 8, 0, 2, head))
		var rows []*countRow
		for range f.Values {
			r := newCountRow(c.pick)
			rows = append(rows, r)
			c.list.Add(r)
		}
		if f.More > 0 {
			c.list.Add(look.Inset(16, 1, 0, 0, more))
		}
		c.rows = append(c.rows, rows)
	}
	c.list.Refresh()
}

// countRow is one value with its number.
type countRow struct {
	widget.BaseWidget
	v       view.ArchiveValue
	text, n *look.Text
	ground  *look.Ground
	pick    func(field, value string)
}

var (
	_ fyne.Tappable     = (*countRow)(nil)
	_ desktop.Hoverable = (*countRow)(nil)
)

func newCountRow(pick func(field, value string)) *countRow {
	r := &countRow{pick: pick, text: look.NewText("", look.Small, look.Ink), n: look.NewText("", look.Small, look.Dim).Right().Whole()}
	r.ground = look.On(look.Panel, look.Fixed(0, 21, look.Inset(16, 0, 6, 0, look.SpacedColumns(6, look.Flex(1, r.text), r.n))))
	r.ExtendBaseWidget(r)
	return r
}

func (r *countRow) set(v view.ArchiveValue) {
	if r.v == v {
		return
	}
	r.v = v
	r.text.SetText(v.Text)
	wide := r.n.MinSize()
	r.n.SetText(v.N)
	if r.n.MinSize() != wide {
		r.ground.Refresh()
	}
	r.shade(false)
}

func (r *countRow) shade(over bool) {
	switch {
	case r.v.On:
		r.ground.SetGround(look.Here)
	case over:
		r.ground.SetGround(look.Over)
	default:
		r.ground.SetGround(look.Panel)
	}
}

// Tapped is called by the toolkit.
func (r *countRow) Tapped(*fyne.PointEvent) { r.pick(r.v.Field, r.v.Value) }

// MouseIn is called by the toolkit.
func (r *countRow) MouseIn(*desktop.MouseEvent) { r.shade(true) }

// MouseMoved is called by the toolkit.
func (r *countRow) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is called by the toolkit.
func (r *countRow) MouseOut() { r.shade(false) }

// CreateRenderer is called by the toolkit.
func (r *countRow) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(r.ground) }
