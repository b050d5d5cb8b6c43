package pdfout

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
)

// Source gives the photos of an examination; capture/bench is one.
type Source = page.Source

// Progress is told how far the work is; what names the step in plain words.
type Progress = page.Progress

// Input is what a report is made from. Grade and Drawing are computed from the
// record when they are nil. Rubric nil is the one that the record names among
// those of the program, the newest when it names none.
type Input struct {
	Record  *record.Record
	Rubric  *grade.Rubric
	Grade   *grade.Result
	Drawing *outline.Drawing
	Photos  Source
	Tables  []dating.Table // the shop's own, to date the serial number by
	Paper   string         // "A4" or "Letter"; "" is A4
	// Language is that of the pages, one of catalogue.Languages; "" is English.
	Language string
	Inches   bool      // print lengths of the setup in inches too, beside mm
	Created  time.Time // printed as the time of issue; required
	Signer   Signer    // printed as who signs; empty for an unsigned draft
	// Originals opens the original photos, which are then attached; nil attaches
	// none. What it opens is read through, checked, and never held in memory.
	Originals Originals
	Probe     bool // a variant for validators of PDF/A-1b, never to be issued

	text *catalogue.Text // of Language
}

// Signer is who is about to sign: a name and the fingerprint of the key.
type Signer = page.Signer

// Built says what came of a build.
type Built struct {
	Pages      int
	RecordHash string // SHA-256 of the attached record, hex
}

// Build writes the unsigned report in archival form: the pages, the record and
// its grade attached, two empty signature fields. The same input gives the
// same bytes on any machine. An error leaves w with a part of a file, so write
// to something that can be thrown away.
func Build(ctx context.Context, in Input, w io.Writer, progress Progress) (*Built, error) {
	if in.Record == nil || in.Created.IsZero() {
		return nil, fmt.Errorf("build report: a record and a time of issue are needed")
	}
	if err := in.judge(); err != nil {
		return nil, fmt.Errorf("build report: %w", err)
	}
	rec, grd, err := attached(in.Record, in.Grade)
	if err != nil {
		return nil, fmt.Errorf("build report: %w", err)
	}
	hash := hexSum(rec)
	doc, drawn, laid, err := in.draw(ctx, hash, progress)
	if err != nil {
		return nil, fmt.Errorf("build report: %w", err)
	}
	opt := pdf.Options{
		Title: in.title(), Author: in.author(), Subject: in.subject(), Producer: "Wornwood", Created: in.Created, Lang: in.text.Lang(), Probe: in.Probe,
	}
	if !in.Probe {
		opt.Structure, opt.Fields = doc.Structure(), laid.Fields
		if opt.Attachments, err = in.attachments(ctx, doc, rec, grd, progress); err != nil {
			return nil, fmt.Errorf("build report: %w", err)
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var plain bytes.Buffer // small: its pictures are stand-ins
	if err := pdf.Rewrite(&plain, drawn, opt); err != nil {
		return nil, fmt.Errorf("build report: %w", err)
	}
	if err := doc.Finish(w, plain.Bytes()); err != nil {
		return nil, fmt.Errorf("build report: %w", err)
	}
	return &Built{Pages: laid.Pages, RecordHash: hash}, nil
}

// attachments are the files inside the report.
func (in *Input) attachments(ctx context.Context, doc *paint.Doc, rec, grd []byte, progress Progress) ([]pdf.Attachment, error) {
	if progress == nil {
		progress = func(int, int, string) {}
	}
	file := func(name, relationship, what string, data []byte) pdf.Attachment {
		return pdf.Attachment{Name: name, MediaType: "application/json", Relationship: relationship, Modified: in.Created, Data: data, Description: what}
	}
	out := []pdf.Attachment{
		file(RecordName, "Source", describeRecord(), rec),
		file(GradeName, "Data", "The grade of that record, schema "+grade.ResultSchemaName, grd),
	}
	var table []byte
	if !in.Rubric.Shipped() {
		table = in.Rubric.Table()
		out = append(out, file(RubricName, "Data", "The rubric of that grade, "+in.Rubric.Origin(), table))
	}
	originals, err := in.attachOriginals(ctx, doc, progress)
	if err != nil {
		return nil, err
	}
	about, err := Canonical(aboutFiles(rec, grd, table, in.aboutOriginals()))
	if err != nil {
		return nil, err
	}
	out = append(out, originals...)
	return append(out, file(AboutName, "Data", "The list of the files inside, schema "+AboutSchema, about)), nil
}

// judge fills in the texts, rubric, drawing and grade.
func (in *Input) judge() (err error) {
	if in.text, err = catalogue.For(in.Language); err != nil {
		return err
	}
	if in.Rubric == nil {
		if in.Rubric, err = annotate.RubricOf(nil, in.Record.Examination.Rubric); err != nil {
			return err
		}
	}
	if in.Drawing == nil {
		if in.Drawing, err = grade.DrawingFor(in.Record.Instrument); err != nil {
			return err
		}
	}
	if in.Grade == nil {
		in.Grade, err = grade.Grade(in.Record, in.Drawing, in.Rubric)
	}
	if err == nil && in.Grade.RubricHash != in.Rubric.Hash() {
		err = fmt.Errorf("the grade was made by the rubric %s, not by %s", grade.ShortHash(in.Grade.RubricHash), grade.ShortHash(in.Rubric.Hash()))
	}
	return err
}

// draw lays out the pages and gives the drawn file, its pictures still to come.
func (in *Input) draw(ctx context.Context, hash string, progress Progress) (*paint.Doc, []byte, *page.Laid, error) {
	wide, tall, err := page.Size(in.Paper)
	if err != nil {
		return nil, nil, nil, err
	}
	d, err := paint.New(paint.Options{Width: wide, Height: tall, Title: in.title(), Created: in.Created.UTC()})
	if err != nil {
		return nil, nil, nil, err
	}
	laid, err := page.Lay(ctx, d, &page.Report{
		Record: in.Record, Grade: in.Grade, Drawing: in.Drawing, Rubric: in.Rubric, Photos: in.Photos, Tables: in.Tables, Paper: in.Paper, Text: in.text, Inches: in.Inches,
		Created: in.Created, RecordHash: hash, Signer: in.Signer,
	}, progress)
	if err != nil {
		return nil, nil, nil, err
	}
	drawn, err := d.Bytes()
	return d, drawn, laid, err
}

func (in *Input) title() string {
	name := oneLine(in.Record.Instrument.Title())
	if n := in.Record.Examination.Number; n != "" {
		return in.text.Say("file.title", n, name)
	}
	return in.text.Say("file.titleDraft", name)
}

func (in *Input) author() string {
	var out []string
	for _, s := range []string{in.Record.Examination.Examiner, in.Record.Examination.Shop} {
		if s = oneLine(s); s != "" {
			out = append(out, s)
		}
	}
	return strings.Join(out, ", ")
}

func (in *Input) subject() string {
	if d := in.Record.Examination.Date; !d.IsZero() {
		return in.text.Say("file.subject", in.text.Date(d))
	}
	return in.text.Say("title")
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
