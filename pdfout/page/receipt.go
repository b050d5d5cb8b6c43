package page

import (
	"context"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
)

// english says dates and numbers on the pages of a receipt.
var english *catalogue.Text

// Receipt is everything the pages of a receipt say. Record, Rubric and Drawing
// are those of the report that it is about; they give its words and outlines.
// The pages of a receipt are in English, whatever language the report is in.
type Receipt struct {
	Receipt *record.Receipt
	Hash    string // SHA-256 of the attached receipt, hex
	Record  *record.Record
	Rubric  *grade.Rubric
	Drawing *outline.Drawing
	// Photo is a photo of something new as an upright JPEG, by its SHA-256.
	Photo  func(id string) ([]byte, error)
	Paper  string // "A4" or "Letter"; "" is A4
	Signer Signer
}

// LayReceipt draws a receipt on an empty document of the paper's size: what
// differs and what is new first, then what was as described and what nobody
// checked, which report it is about and how to check both.
func LayReceipt(ctx context.Context, d *paint.Doc, r *Receipt) (*Laid, error) {
	if err := checkReceiptTexts(r); err != nil {
		return nil, err
	}
	rec := *printable(r.Record, nil)
	rec.Marks = receiptMarks(r)
	// The outline shows only what the receipt is about.
	l, err := newLayout(ctx, d, &Report{Record: &rec, Drawing: r.Drawing, Rubric: r.Rubric, Grade: &grade.Result{}, Paper: r.Paper, RecordHash: r.Hash, Signer: r.Signer}, func(int, int, string) {})
	if err != nil {
		return nil, err
	}
	p := &receiptPages{layout: l, q: r}
	d.AddPage()
	d.Group("Part", p.body)
	p.foot()
	if l.err != nil {
		return nil, l.err
	}
	if err := d.Err(); err != nil {
		return nil, err
	}
	return &Laid{Pages: d.Pages(), Fields: l.fields}, nil
}

// checkReceiptTexts finds the first text that cannot be printed, before
// anything is drawn: the receipt is what its signer said, so nothing of it is
// replaced.
func checkReceiptTexts(r *Receipt) error {
	c := *r.Receipt
	c.Photos = nil // their names came with the files; see foreign
	return checkValue("the receipt's", reflect.ValueOf(c))
}

// receiptMarks are the report's marks that differ and what is new, as marks
// that the outline can show.
func receiptMarks(r *Receipt) []record.Mark {
	var out []record.Mark
	for _, c := range r.Receipt.Checked {
		n, err := strconv.Atoi(c.ID)
		if c.What != record.OfMark || c.Answer != record.Differs || err != nil {
			continue
		}
		if m := r.Record.MarkByNumber(n); m != nil {
			out = append(out, *m)
		}
	}
	for _, n := range r.Receipt.New {
		m := record.Mark{Number: n.Number, Kind: n.Kind}
		if n.At != nil && r.Drawing.Side(outline.Side(n.Side)) != nil {
			m.On = []record.Place{{Side: n.Side, Shape: record.PointShape, Points: []record.Point{*n.At}}}
		}
		out = append(out, m)
	}
	return out
}

// receiptPages lays out a receipt.
type receiptPages struct {
	*layout
	q *Receipt
}

func (p *receiptPages) body() {
	steps := []func(){p.header, p.differences, p.news, p.lists, p.whereabouts, p.newPhotos, p.reference, p.signature}
	for _, s := range steps {
		if p.err != nil || p.d.Err() != nil {
			return
		}
		s()
	}
}

// header says what was received, by whom, and what came of it.
func (p *receiptPages) header() {
	const w = 108.0
	r := p.q.Receipt
	p.y = 14.5
	x := p.left
	p.d.Line(x, p.y, p.right, p.y, 2.6, paint.Black)
	p.tagLabel("P", x, p.y+5.6, "Receipt of an instrument")
	title, f := paint.Fit(orDash(r.Of.Title), titleFont, w, 13)
	p.d.Tag("H1", func() { p.d.Text(x-0.4, p.y+15.4, title, f, paint.Black) })
	sub := "Examined on receipt against report " + clean(r.Of.Number)
	p.d.Tag("P", func() {
		s, f := paint.Fit(sub, strongFont.Sized(9.4), w, 6.6)
		p.d.Text(x, p.y+21.6, s, f, paint.Black)
	})
	rows := []struct {
		label, value string
		font         paint.Font
	}{
		{"Serial", orDash(r.Of.Serial), monoFont.Sized(8)},
		{"Received", english.DateTime(r.At), textFont},
		{"By", orDash(r.By), textFont},
		{"Place", orDash(r.Place), textFont},
	}
	for k, row := range rows {
		y := p.y + 5.6 + float64(k)*5.3
		p.d.Tag("P", func() {
			lx := x + w + 5
			p.d.Text(lx, y, strings.ToUpper(row.label), labelFont, paint.Faint)
			s, f := paint.Fit(row.value, row.font, p.right-lx-17, 5.6)
			p.d.Text(lx+17, y, s, f, paint.Black)
		})
	}
	p.y += 26
	p.hair(x, p.y, measure)
	p.y += 3.6
	p.para(x, measure, ReceiptSummary(r.Tally()), leadFont, paint.Black)
	p.y += 1.2
	p.para(x, measure, examinedBy(r), textFont, paint.Dim)
	if n := clean(r.Note); n != "" {
		p.y += 1.2
		p.para(x, measure, upper(n), textFont, paint.Black)
	}
}

// examinedBy says in full who says so, where and when: the list beside the
// title may shorten it.
func examinedBy(r *record.Receipt) string {
	s := "Examined by " + clean(r.By)
	if w := clean(r.Place); w != "" {
		s += ", " + w
	}
	return s + ", " + english.DateTime(r.At) + "."
}

// ReceiptSummary is the sentence that a receipt begins with.
func ReceiptSummary(t record.Tally) string {
	of := english.Number(t.All) + " entries of the report"
	if t.All == 1 {
		of = "one entry of the report"
	}
	switch {
	case t.Clean():
		return "All " + of + " were compared with the instrument and are as described; nothing new was found."
	case t.NotChecked == t.All:
		return "Received: " + t.Words() + ". None of the " + of + " was compared."
	}
	return fmt.Sprintf("Received: %s. Of the %s %d are as described.", t.Words(), of, t.AsDescribed)
}

// entry names what an answer is about.
func entry(c record.Checked) string {
	switch c.What {
	case record.OfMark:
		return "Mark " + clean(c.ID)
	case record.OfPart:
		return upper(clean(c.ID))
	}
	return "Comes with it"
}

func (p *receiptPages) differences() {
	p.section("differences", "What differs from the report", 24)
	t := table{l: p.layout, x: p.left, cols: []column{
		{head: "Entry", width: 28, font: strongFont},
		{head: "The report says", width: 66, font: textFont, ink: paint.Dim},
		{head: "Found on receipt", width: 84, font: textFont},
	}}
	var rows [][]cell
	for _, c := range p.q.Receipt.Checked {
		if c.Answer == record.Differs {
			rows = append(rows, []cell{words(entry(c)), words(orDash(c.Says)), words(upper(clean(c.Note)))})
		}
	}
	if len(rows) == 0 {
		p.para(p.left, measure, "Nothing of what was checked differs from the report.", textFont, paint.Black)
		return
	}
	t.draw(rows)
}

func (p *receiptPages) news() {
	p.section("new", "What is new", 24)
	list := p.q.Receipt.New
	if len(list) == 0 {
		p.para(p.left, measure, "Nothing was found that the report does not have.", textFont, paint.Black)
		return
	}
	t := table{l: p.layout, x: p.left, cols: []column{
		{head: "No.", width: 12, font: strongFont},
		{head: "Kind", width: 36, font: textFont},
		{head: "Where", width: 50, font: textFont},
		{head: "Note", width: 66, font: textFont},
		{head: "Photos", width: 14, right: true, font: textFont},
	}}
	var rows [][]cell
	for _, n := range list {
		rows = append(rows, []cell{words(strconv.Itoa(n.Number)), words(upper(clean(string(n.Kind)))), words(upper(p.newPlace(n))), words(upper(clean(n.Note))), words(strconv.Itoa(len(n.Photos)))})
	}
	t.note = "Numbers go on where those of the report end."
	t.draw(rows)
}

func (p *receiptPages) newPlace(n record.NewMark) string {
	s := clean(n.Place)
	if n.At != nil {
		if w := p.r.Drawing.Span(outline.Side(n.Side), []record.Point{*n.At}); w != "" && s == "" {
			s = w
		}
	}
	return orDash(s)
}

// lists name what is as described and what nobody checked.
func (p *receiptPages) lists() {
	for _, a := range []struct {
		id, title string
		is        record.Answer
	}{{"described", "As described", record.AsDescribed}, {"unchecked", "Not checked", record.NotChecked}} {
		var out []string
		for _, c := range p.q.Receipt.Checked {
			if c.Answer != a.is {
				continue
			}
			s := entry(c) + ": " + orDash(c.Says)
			if c.What == record.OfPart {
				s = orDash(c.Says)
			}
			if n := clean(c.Note); n != "" {
				s += " On receipt: " + n
			}
			out = append(out, s)
		}
		if len(out) > 0 {
			p.section(a.id, a.title, 16)
			p.bullets(out, "")
		}
	}
}

// whereabouts shows where what differs and what is new stands, when any of it has a
// place on the outline.
func (p *receiptPages) whereabouts() {
	for _, m := range p.r.Record.Marks {
		if len(m.On) > 0 {
			p.outlines()
			return
		}
	}
}

// newPhotos shows the photos of what is new.
func (p *receiptPages) newPhotos() {
	const w, tall, apart = 86.5, 62.0, 5.0
	col := 0
	begun := false
	for _, n := range p.q.Receipt.New {
		for _, id := range n.Photos {
			pic, err := p.d.Picture("new "+id, func() ([]byte, error) { return p.q.Photo(id) })
			if err != nil {
				p.err = err
				return
			}
			if !begun {
				p.section("newphotos", "Photos of what is new", tall+10)
				begun = true
			}
			if col == 2 {
				col, p.y = 0, p.y+tall+11
			}
			if col == 0 {
				p.need(tall + 10)
			}
			p.newPhoto(n, id, pic, p.left+float64(col)*(w+apart), w, tall)
			col++
		}
	}
	if begun {
		p.y += tall + 11
	}
}

func (p *receiptPages) newPhoto(n record.NewMark, id string, pic paint.Picture, x, w, tall float64) {
	px, py, pw, ph := fitted(pic, x, p.y, w, tall)
	p.d.Figure(fmt.Sprintf("Photo of the new mark %d: %s", n.Number, orDash(string(n.Kind))), px, py, pw, ph, func() { p.d.Place(pic, px, py, pw, ph) })
	name := ""
	for _, f := range p.q.Receipt.Photos {
		if f.ID == id {
			name = replaced(clean(f.Name))
		}
	}
	p.d.Tag("Caption", func() {
		s, f := paint.Fit(fmt.Sprintf("New mark %d, %s, %s", n.Number, clean(string(n.Kind)), name), smallFont, w, 6)
		p.d.Text(x, p.y+tall+3.4, s, f, paint.Black)
		p.d.Text(x, p.y+tall+6.4, id, hashFont.Sized(5.4), paint.Dim)
	})
}

// reference says which report the receipt is about and how to check both.
func (p *receiptPages) reference() {
	p.section("reference", "The report that this receipt is about", 70)
	of := p.q.Receipt.Of
	p.facts([][2]string{
		{"Report", clean(of.Number)},
		{"File, sha-256", of.SHA256},
		{"Record, sha-256", of.RecordHash},
		{"Its signer’s key", orDash(fingerprint(of.Key, 0))},
		{"This receipt", p.q.Hash},
		{"The buyer’s key", orDash(fingerprint(p.q.Signer.Key, 0))},
	})
	p.y += 2.5
	for _, s := range []string{
		fmt.Sprintf("The digest of the file is that of its first %s bytes, which are the report as it was issued; a countersignature or a time-stamp added since stands behind them. "+
			"“wornwood verify” with the name of this file and “--of” with the name of the report says whether this receipt is about that report.", thousands(of.Size)),
		"The answers are attached as receipt.json, and its digest stands at the foot of every page. The signature proves that the holder of one key signed these very bytes; " +
			"whose key it is, is for the reader to find out by comparing its fingerprint over another channel.",
		"This receipt says what was seen when the instrument arrived. It is not a valuation, not legal advice and no opinion on authenticity; it does not say how or when a difference came about.",
	} {
		p.para(p.left, measure, s, textFont, paint.Black)
		p.y += 1.6
	}
}

// thousands writes a whole number with thin groups of three.
func thousands(n int64) string {
	s := strconv.FormatInt(n, 10)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

// signature draws the one box for the buyer's signature. Its field is the
// examiner's: on receipt the buyer examined.
func (p *receiptPages) signature() {
	const h = 25.0
	p.section("signatures", "Signature", h+6)
	w := (measure - 6) / 2
	p.d.Box(p.left, p.y, w, h, 0.8, paint.Black)
	p.tagLabel("P", p.left+2.5, p.y+4.6, "Received and examined by")
	s, f := paint.Fit("Signed electronically", smallFont, w-5, 6)
	p.d.Text(p.left+2.5, p.y+h-2, s, f, paint.Dim)
	p.fields = append(p.fields, pdf.Field{Name: "Examiner", Page: p.d.Page(), Rect: p.d.Rect(p.left+2, p.y+6, w-4, h-11.5), Contents: "Signature of who received and examined the instrument"})
	p.y += h + 3
}
