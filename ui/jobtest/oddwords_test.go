package jobtest

import (
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout"
)

// hostile are texts that are legal in every field and break careless programs:
// markup of PDF, HTML and shells, line ends, other scripts, and length.
func hostile() []string {
	return []string{
		`) Tj ET endstream endobj /Type /Catalog << >> \( \) \\ %%EOF`,
		`<script>alert("1")</script> &amp; $(reboot) ; DROP TABLE photos; -- %s %d %n`,
		"one line\nanother\r\nand\ta tab",
		"Ωμέγα, Жук, Łódź, ﬁnish, e\u0301, № 5, ½, ±0.05 mm, “quoted”",
		strings.Repeat("A long remark that somebody pasted in from a letter. ", 200),
		strings.Repeat("Unbrokenword", 300),
	}
}

// TestOddWords documents with hostile texts in every field that takes one. The
// report is issued, verifies, and its record holds the texts unchanged.
func TestOddWords(t *testing.T) {
	j := begin(t)
	content(photoNo(t, 1))(t, filepath.Join(j.b.Dir(), "..", hostileName))
	j.take(filepath.Join(j.b.Dir(), "..", hostileName))
	do := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	j.record()
	for i, s := range hostile() {
		do(j.s.EditMark(1+i%3, "Note", func(m *record.Mark) { m.Note = s }))
		n, err := j.s.AddMark(annotate.Surface{Side: outline.Back}, record.PointShape, []record.Point{{X: float64(20 * i), Y: 620}})
		do(err)
		do(j.s.EditMark(n, "Note", func(m *record.Mark) { m.Note = s }))
		do(j.s.SetClaim(record.Claim{ID: string(rune('a' + i)), About: s, Text: s, By: s, Support: s, Standing: record.Stated}))
		do(j.s.SetReading(record.Reading{ID: s, Value: record.Quantity{Value: 1, How: s}, Unit: "mm"}))
	}
	do(j.s.SetNotExamined(hostile()))
	do(j.s.SetInstrument("words", func(in *record.Instrument) {
		in.Maker, in.Model, in.Edition, in.Year, in.Serial, in.Colour = hostile()[0], hostile()[1], hostile()[2], hostile()[3], hostile()[4], hostile()[5]
	}))
	do(j.s.SetExamination("words", func(e *record.Examination) { e.Summary, e.Note, e.Shop = hostile()[4], hostile()[1], hostile()[0] }))
	do(j.s.SetCaption(j.ex.Record().Photos[0].ID, hostile()[5]))
	is := j.issue()
	v, err := pdfout.Verify(context.Background(), is.Path, pdfout.VerifyOptions{})
	if err != nil || !v.OK {
		t.Fatalf("%v, %+v", err, v)
	}
	got := v.Record
	if got.Instrument.Maker != hostile()[0] || got.Instrument.Colour != hostile()[5] || got.Examination.Summary != hostile()[4] {
		t.Error("a text came out of the report changed")
	}
	for i, s := range hostile() {
		if got.NotExamined[i] != s || got.Claims[i].Text != s || got.Readings[i].ID != s || got.MarkByNumber(4+i).Note != s {
			t.Errorf("the text %.40q came out of the report changed", s)
		}
	}
	output(t, "qpdf", "qpdf", "--check", is.Path)
	text := string(output(t, "poppler-utils", "pdftotext", "-enc", "UTF-8", "-raw", is.Path, "-"))
	for _, want := range []string{"endstream endobj", "<script>", "Ωμέγα, Жук", j.ex.Record().Photos[0].ID} {
		if !strings.Contains(squeeze(text), want) {
			t.Errorf("the report's text lacks %q", want)
		}
	}
	j.checkOriginals()
	j.whole()
}

const hostileName = `) Tj ET %s <b> $(x).jpg`

// TestUnprintableWords: a text in a script that the report's typefaces lack
// stops the report, with one sentence that names entry and character, and
// leaves the examination open; written another way, the report is issued.
func TestUnprintableWords(t *testing.T) {
	j := begin(t)
	j.record()
	put := func(note string) {
		t.Helper()
		if err := j.s.EditMark(2, "Note", func(m *record.Mark) { m.Note = note }); err != nil {
			t.Fatal(err)
		}
	}
	put("桜の木")
	id, err := pdfout.OpenIdentity(j.b, j.ex.Record(), passphrase, now())
	if err != nil {
		t.Fatal(err)
	}
	_, err = pdfout.Issue(context.Background(), j.b, j.ex, id, pdfout.IssueOptions{Now: now()}, nil)
	if err == nil || !strings.Contains(err.Error(), "mark 2") || !strings.Contains(err.Error(), "桜") || strings.Contains(err.Error(), "\n") {
		t.Errorf("a note that cannot be printed: %v", err)
	}
	if _, ok := j.ex.Issued(); ok || errors.Is(err, pdfout.ErrIssued) {
		t.Error("the examination is frozen without a report")
	}
	put("cherry wood")
	if is := j.issue(); is.Number != "CR-2026-0001" {
		t.Errorf("the refused report used a number up: this one is %s", is.Number)
	}
	j.whole()
}

// TestPhotoNamesOfAnyScript: what a camera or a customer called a file is
// nobody's fault here and must not stop a report.
func TestPhotoNamesOfAnyScript(t *testing.T) {
	j := begin(t)
	dir := t.TempDir()
	for i, name := range []string{"楽器の写真.jpg", "🎸.jpg", "שלום.jpg", "صورة.jpg", "ภาพถ่าย.jpg", "e\u0301.jpg", "two\nlines.jpg"} {
		content(photoNo(t, i))(t, filepath.Join(dir, name))
	}
	if res := j.take(dir); len(res.Added) != 7 {
		t.Fatalf("%+v", res)
	}
	j.record()
	// The page says where it could not print a name; the record inside, which
	// checkReport compares, has each as it is.
	text := squeeze(j.checkReport(j.issue()))
	if n := strings.Count(text, "the record inside this report has them"); n != 5 {
		t.Errorf("the report says of %d photos that their texts could not be printed, want 5", n)
	}
	if !strings.Contains(text, "two lines.jpg") || !strings.Contains(text, "é.jpg") {
		t.Error("the report does not print names that it can print")
	}
	j.checkOriginals()
}
