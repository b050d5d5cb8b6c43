package paint

import (
	"fmt"

	"wornwood/pdfout/pdf"
)

// tree is the logical structure of the document as it is being drawn.
type tree struct {
	stack   []*node // open groups; the first is the root
	content bool    // inside marked content or an artifact
	tag     bool    // inside marked content that is read aloud
	spoken  bool    // the marked content holds text already, and more would run into it
	next    map[int]int
	links   map[int]int
}

type node struct {
	e    pdf.Element
	kids []*node
}

func (t *tree) init() {
	t.stack = []*node{{}}
	t.next, t.links = map[int]int{}, map[int]int{}
}

func (t *tree) inContent() bool { return t.content }

func (t *tree) open() error {
	if len(t.stack) != 1 || t.content {
		return fmt.Errorf("draw report: a group of the structure is still open")
	}
	return nil
}

func (t *tree) add(e pdf.Element) *node {
	n := &node{e: e}
	top := t.stack[len(t.stack)-1]
	top.kids = append(top.kids, n)
	return n
}

// Group makes everything fn draws part of one element (Sect, Table, TR, L ...).
func (d *Doc) Group(typ string, fn func()) { d.group(pdf.Element{Type: typ}, fn) }

func (d *Doc) group(e pdf.Element, fn func()) {
	if d.tags.content {
		fn()
		return
	}
	d.tags.stack = append(d.tags.stack, d.tags.add(e))
	fn()
	d.tags.stack = d.tags.stack[:len(d.tags.stack)-1]
}

// Tag makes what fn draws one element of the given standard type. Inside
// another tag it adds nothing. All of it stands on one page.
func (d *Doc) Tag(typ string, fn func()) { d.tagged(pdf.Element{Type: typ}, fn) }

// Head is a table's head cell for its column or, with row set, for its row.
func (d *Doc) Head(row bool, fn func()) {
	scope := "Column"
	if row {
		scope = "Row"
	}
	d.tagged(pdf.Element{Type: "TH", Scope: scope}, fn)
}

// Figure is a picture or drawing within a rectangle of the page, with the
// words that stand for it when it cannot be seen.
func (d *Doc) Figure(alt string, x, y, w, h float64, fn func()) {
	d.tagged(pdf.Element{Type: "Figure", Alt: alt, BBox: d.Rect(x, y, w, h)}, fn)
}

// Lead draws fn as a link: the rectangle leads to a height of another page.
func (d *Doc) Lead(x, y, w, h float64, page int, at float64, fn func()) {
	if d.err != nil || d.tags.content {
		fn()
		return
	}
	e := pdf.Element{Type: "Link", Links: []pdf.LinkRef{{Page: d.page, Index: d.tags.links[d.page]}}}
	d.tags.links[d.page]++
	l := d.f.AddLink()
	d.f.SetLink(l, at, page)
	d.f.Link(x, y, w, h, l)
	d.tagged(e, fn)
}

func (d *Doc) tagged(e pdf.Element, fn func()) {
	if d.tags.content || d.err != nil {
		fn()
		return
	}
	id := d.tags.next[d.page]
	d.tags.next[d.page]++
	e.Content = []pdf.Mark{{Page: d.page, MCID: id}}
	d.tags.add(e)
	d.raw("/%s <</MCID %d>> BDC", e.Type, id)
	d.tags.content, d.tags.tag, d.tags.spoken = true, true, false
	fn()
	d.tags.content, d.tags.tag, d.tags.spoken = false, false, false
	d.raw("EMC")
}

// Artifact makes what fn draws decoration: rules, footers, backgrounds.
func (d *Doc) Artifact(fn func()) {
	if d.tags.content || d.err != nil {
		fn()
		return
	}
	d.raw("/Artifact BMC")
	d.tags.content = true
	fn()
	d.tags.content = false
	d.raw("EMC")
}

// First makes the elements that fn draws come before all others in reading
// order, wherever in time they are drawn: a first page can be drawn last, when
// the page numbers that it names are known.
func (d *Doc) First(fn func()) {
	root := d.tags.stack[0]
	late := root.kids
	root.kids = nil
	fn()
	root.kids = append(root.kids, late...)
}

// Rect is a rectangle of the page, given in mm from the top left corner, in
// the points from the lower left corner that the file uses.
func (d *Doc) Rect(x, y, w, h float64) pdf.Rect {
	round := func(v float64) float64 { return float64(int(v/pt*100+0.5)) / 100 }
	return pdf.Rect{round(x), round(d.opt.Height - y - h), round(x + w), round(d.opt.Height - y)}
}

// Structure is the logical structure of what was drawn, in reading order.
func (d *Doc) Structure() []pdf.Element { return elements(d.tags.stack[0].kids) }

func elements(list []*node) []pdf.Element {
	var out []pdf.Element
	for _, n := range list {
		e := n.e
		e.Children = elements(n.kids)
		if len(e.Content) == 0 && len(e.Children) == 0 {
			continue // a group in which nothing was drawn
		}
		out = append(out, e)
	}
	return out
}
