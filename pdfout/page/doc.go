// Package page lays out the report of one examination: what stands where, in
// which words, on A4 or Letter.
//
// Start with Report and Lay. The order is fixed: page 1 answers a buyer in ten
// seconds, the pages behind it carry everything the record holds, the last
// ones say how to check the report and what its words mean.
//
// The layout takes 0 to some hundred marks and photos and any length of name:
// rows are not split, headings stand with what they head, long words are
// broken. It promises nothing about files; it draws on a paint.Doc and says
// where the two signature fields are.
package page

import (
	"context"
	"fmt"
	"time"

	"wornwood/annotate/dating"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
)

// Source gives the photos of an examination by their SHA-256.
type Source interface {
	// OriginalBytes is the file as it was imported.
	OriginalBytes(id string) ([]byte, error)
	// Preview is an upright JPEG whose longer side is at most size pixels;
	// sizes are 2048 and 320.
	Preview(id string, size int) ([]byte, error)
}

// Signer is who is about to sign the report. Without a key the report says
// that it is not signed.
type Signer struct {
	Name string
	Key  string // fingerprint: SHA-256 of the public key, hex
}

// Report is everything the pages say.
type Report struct {
	Record     *record.Record
	Grade      *grade.Result
	Drawing    *outline.Drawing
	Rubric     *grade.Rubric
	Photos     Source
	Tables     []dating.Table  // the shop's own, for its serial number
	Paper      string          // "A4" or "Letter"; "" is A4
	Text       *catalogue.Text // the language; nil is English
	Inches     bool            // print lengths of the setup in inches too, beside mm
	Created    time.Time
	RecordHash string // SHA-256 of the attached record, hex
	Signer     Signer
	Draft      bool // for a screen: no close-ups are cut from the originals
}

// Laid says what came of it.
type Laid struct {
	Pages  int
	Fields []pdf.Field // where the two signatures go
}

// Progress is told how far the work is; what names the step in plain words.
type Progress func(done, total int, what string)

// Size is the size of a paper in mm. Another name than A4 or Letter is an
// error.
func Size(paper string) (w, h float64, err error) {
	switch paper {
	case "", "A4":
		return 210, 297, nil // ISO 216
	case "Letter":
		return 215.9, 279.4, nil // ANSI/ASME Y14.1 size A
	}
	return 0, 0, fmt.Errorf("lay out report: paper %q is neither A4 nor Letter", paper)
}

// Lay draws the report on an empty document of the paper's size.
func Lay(ctx context.Context, d *paint.Doc, r *Report, progress Progress) (*Laid, error) {
	if progress == nil {
		progress = func(int, int, string) {}
	}
	shown := *r
	shown.Record = printable(r.Record, r.Text)
	r = &shown
	if err := checkTexts(r.Record); err != nil {
		return nil, err
	}
	l, err := newLayout(ctx, d, r, progress)
	if err != nil {
		return nil, err
	}
	// Page 1 is drawn last, because it names the pages behind it.
	d.AddPage()
	d.Group("Part", l.body)
	if l.err == nil {
		d.First(func() { d.Group("Part", l.front) })
	}
	l.footers()
	if l.err != nil {
		return nil, l.err
	}
	if err := d.Err(); err != nil {
		return nil, err
	}
	return &Laid{Pages: d.Pages(), Fields: l.fields}, nil
}
