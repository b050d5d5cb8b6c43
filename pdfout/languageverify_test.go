package pdfout

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// inLanguages is a signed report whose pages are in one language while its file
// names another; printed is the grade on the pages, nil for the honest one.
func inLanguages(t testing.TB, pages, file string, printed *grade.Result) []byte {
	t.Helper()
	id, rec := examiner(t), reporttest.Demo(1)
	in := Input{Record: rec, Grade: printed, Photos: &reporttest.Photos{Small: true}, Created: issuedAt, Signer: SignerOf(id), Language: pages}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	doc, drawn, laid, err := in.draw(context.Background(), hexSum(mustJSON(t, rec)), nil)
	if err != nil {
		t.Fatal(err)
	}
	opt := pdf.Options{Title: in.title(), Created: issuedAt, Lang: file, Structure: doc.Structure(), Fields: laid.Fields, Attachments: []pdf.Attachment{
		{Name: RecordName, MediaType: "application/json", Data: mustJSON(t, rec)}, {Name: GradeName, MediaType: "application/json", Data: mustJSON(t, gradeOf(t, rec))},
	}}
	var small, plain, signed bytes.Buffer
	if err := pdf.Rewrite(&small, drawn, opt); err != nil {
		t.Fatal(err)
	}
	if err := doc.Finish(&plain, small.Bytes()); err != nil {
		t.Fatal(err)
	}
	if err := sign.Sign(context.Background(), bytes.NewReader(plain.Bytes()), int64(plain.Len()), &signed, id, sign.SignOptions{Field: sign.FieldExaminer, Now: issuedAt}); err != nil {
		t.Fatal(err)
	}
	return signed.Bytes()
}

// The language that a file names only chooses the words that its pages are held
// to: a file that names another than its pages are in does not pass, nor one
// that names none that is known.
func TestVerifyByLanguage(t *testing.T) {
	cheap := gradeOf(t, reporttest.Demo(1))
	cheap.Ledger = cheap.Ledger[:1]
	for name, c := range map[string]struct {
		pages, file string
		printed     *grade.Result
		ok          bool
		code        sign.Code
	}{
		"German":                         {"de", "de", nil, true, GradeFollows},
		"English":                        {"", "en-GB", nil, true, GradeFollows},
		"German called English":          {"de", "en-GB", nil, false, RecordOther},
		"English called German":          {"", "de", nil, false, RecordOther},
		"English of another spelling":    {"", "en", nil, false, FiguresOther},
		"German of another spelling":     {"de", "de-DE", nil, false, FiguresOther},
		"a language that is not known":   {"de", "tlh", nil, false, FiguresOther},
		"no language's tag":              {"de", "none at all", nil, false, FiguresOther},
		"German with another grade":      {"de", "de", cheap, false, FiguresOther},
		"English called German, altered": {"", "de", cheap, false, RecordOther},
	} {
		t.Run(name, func(t *testing.T) {
			v := verify(t, inLanguages(t, c.pages, c.file, c.printed), nil)
			if v.OK != c.ok || !v.Has(c.code) {
				t.Errorf("ok is %v, want %v with %s: %+v", v.OK, c.ok, c.code, v.Lines)
			}
		})
	}
}

// A buyer signs a German report in German, and it still passes.
func TestGermanReportCountersigned(t *testing.T) {
	report := inLanguages(t, "de", "de", nil)
	var out bytes.Buffer
	if err := Countersign(context.Background(), bytes.NewReader(report), int64(len(report)), &out, buyer(t, "A. Buyer"), issuedAt); err != nil {
		t.Fatal(err)
	}
	if v := verify(t, out.Bytes(), nil); !v.OK || !v.Countersigned {
		t.Errorf("%+v", v.Lines)
	}
}

// A report is issued in the language asked for, else in the bench's; one that is
// not known issues nothing.
func TestIssueInALanguage(t *testing.T) {
	b, ex := desk(t, 1)
	id := examiner(t)
	ask := func(lang string) (*Issued, error) {
		return Issue(context.Background(), b, ex, id, IssueOptions{Now: issuedAt, Language: lang}, nil)
	}
	if _, err := ask("xx"); err == nil || !strings.Contains(err.Error(), "the languages are en, de") {
		t.Errorf("%v", err)
	}
	nothingIssued(t, b, ex)
	set := b.Settings()
	if set.Language = "de"; b.SetSettings(set) != nil {
		t.Fatal("the setting was not kept")
	}
	is, err := ask("")
	if err != nil {
		t.Fatal(err)
	}
	if kept, _ := ex.Issued(); !is.Verdict.OK || is.Language != "de" || kept.Language != "de" {
		t.Errorf("%+v, kept %q", is.Issued, kept.Language)
	}
	text := pdfxtest.Output(t, "pdftotext", is.Path, "-")
	if !strings.Contains(text, "So wird dieser Bericht geprüft") {
		t.Error("the report is not in German")
	}
}
