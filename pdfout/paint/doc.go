// Package paint draws the pages of a report. It is the only package that knows
// the drawing library (gofpdf); everything above it speaks of millimetres,
// faces and inks.
//
// Start with New and Doc.Text; Doc.Tag and Doc.Group say what a piece of the
// page is (heading, paragraph, table cell, figure), so that the file can be
// read aloud. Coordinates are millimetres from the top left corner of the
// page; type sizes and line widths are points.
//
// It promises that no picture leaves it with metadata, that every character is
// either printed or refused by name, and that the same calls give the same
// pages. It does not make an archival file: package pdf rewrites its output.
package paint

import (
	"bytes"
	"fmt"
	"time"

	"github.com/jung-kurt/gofpdf"
)

// pt is one point in millimetres.
const pt = 25.4 / 72

// Ink is an opaque colour of sRGB. Reports are legible in black and white, so
// everything but photographs is grey.
type Ink struct{ R, G, B uint8 }

// The inks of a report, dark to light. Dim keeps 4.5:1 against white paper
// (7.0 and 5.3 by the contrast formula of WCAG 2.1).
var (
	Black = Ink{0x16, 0x17, 0x1b}
	Dim   = Ink{0x5a, 0x5c, 0x62}
	Faint = Ink{0x6b, 0x6d, 0x73}
	Hair  = Ink{0xb4, 0xb5, 0xb9}
	Mist  = Ink{0xdc, 0xdd, 0xdf}
	Paper = Ink{0xff, 0xff, 0xff}
)

// Options describe the file.
type Options struct {
	Width, Height float64 // of every page, mm
	Title, Author string
	Subject       string
	Created       time.Time
	Sheets        bool // keep the pages for a screen as well
}

// Doc is one document being drawn. The first error stays and every later call
// does nothing; Err and Bytes return it.
type Doc struct {
	f    *gofpdf.Fpdf
	opt  Options
	err  error
	page int // current page, from 1

	face  Face // what the drawing library was last told, per page
	size  float64
	track float64

	added map[Face]bool // typefaces that the drawing library has

	tags     tree
	pictures map[string]Picture
	later    map[string]piece // files that Finish puts in place, by the digest in their stand-ins

	sheets []*Sheet
	clips  []*item // open, the innermost last
}

// New starts a document without pages.
func New(o Options) (*Doc, error) {
	if o.Width <= 0 || o.Height <= 0 {
		return nil, fmt.Errorf("start document: a page of %g by %g mm", o.Width, o.Height)
	}
	f := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: gofpdf.SizeType{Wd: o.Width, Ht: o.Height}})
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetCompression(true)
	f.SetCatalogSort(true)
	f.SetCreationDate(o.Created)
	f.SetModificationDate(o.Created)
	f.SetTitle(o.Title, true)
	f.SetAuthor(o.Author, true)
	f.SetSubject(o.Subject, true)
	d := &Doc{f: f, opt: o, pictures: map[string]Picture{}, later: map[string]piece{}, added: map[Face]bool{}}
	d.tags.init()
	return d, nil
}

// Width and Height are the size of a page in mm.
func (d *Doc) Width() float64  { return d.opt.Width }
func (d *Doc) Height() float64 { return d.opt.Height }

// AddPage starts a page behind the last and returns its number, from 1.
func (d *Doc) AddPage() int {
	d.f.AddPage()
	d.page = d.f.PageCount()
	d.forget()
	if d.opt.Sheets {
		d.sheets = append(d.sheets, &Sheet{Width: d.opt.Width, Height: d.opt.Height})
	}
	return d.page
}

// Pages is the number of pages so far.
func (d *Doc) Pages() int { return d.f.PageCount() }

// Page is the number of the page being drawn on.
func (d *Doc) Page() int { return d.page }

// GoTo makes page n the one that is drawn on, on top of what is there.
func (d *Doc) GoTo(n int) {
	if n < 1 || n > d.f.PageCount() {
		d.fail(fmt.Errorf("draw page %d: the document has %d", n, d.f.PageCount()))
		return
	}
	d.f.SetPage(n)
	d.page = n
	d.forget()
	d.raw("0 Tc") // the letter spacing that the page was left with
}

// Bookmark adds an entry to the reader's list of contents for the height y on
// the current page.
func (d *Doc) Bookmark(text string, level int, y float64) {
	if d.err != nil {
		return
	}
	d.use(Font{Face: Sans, Size: 8})
	d.f.Bookmark(text, level, y)
}

// Err is the first error, nil while there is none.
func (d *Doc) Err() error {
	if d.err == nil && d.f.Err() {
		d.err = fmt.Errorf("draw report: %w", d.f.Error())
	}
	return d.err
}

func (d *Doc) fail(err error) {
	if d.err == nil {
		d.err = err
	}
}

// Bytes is the drawn document with stand-ins for its pictures, which Finish
// puts in place. Nothing can be drawn afterwards.
func (d *Doc) Bytes() ([]byte, error) {
	if err := d.Err(); err != nil {
		return nil, err
	}
	if err := d.tags.open(); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := d.f.Output(&b); err != nil {
		return nil, fmt.Errorf("draw report: %w", err)
	}
	d.f = nil // its pages and typefaces are no longer needed
	return b.Bytes(), nil
}

// forget makes the next text say its font again: every page's stream starts,
// and is taken up again, without one.
func (d *Doc) forget() { d.face, d.size, d.track = "", 0, 0 }

func (d *Doc) raw(format string, args ...any) {
	if d.err == nil {
		d.f.RawWriteStr(fmt.Sprintf(format, args...))
	}
}

func (o Ink) fill() string   { return o.op("rg") }
func (o Ink) stroke() string { return o.op("RG") }
func (o Ink) op(op string) string {
	return fmt.Sprintf("%.3f %.3f %.3f %s", float64(o.R)/255, float64(o.G)/255, float64(o.B)/255, op)
}
