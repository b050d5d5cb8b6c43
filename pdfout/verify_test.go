package pdfout

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// forgery is a report put together from pieces that need not fit, and signed
// with a good key: what a dishonest issuer could send.
type forgery struct {
	drawn         *record.Record // what the pages say
	drawnGrade    *grade.Result  // nil: the true grade of drawn
	record, grade []byte         // what is attached; nil leaves it out
}

func mustJSON(t testing.TB, v any) []byte {
	t.Helper()
	b, err := Canonical(v)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func gradeOf(t testing.TB, r *record.Record) *grade.Result {
	t.Helper()
	in := Input{Record: r}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	return in.Grade
}

func (f forgery) make(t testing.TB) []byte { return f.makeBy(t, nil, nil) }

// makeBy draws by a rubric, nil for the usual, and attaches a table.
func (f forgery) makeBy(t testing.TB, r *grade.Rubric, table []byte) []byte {
	t.Helper()
	id := examiner(t)
	in := Input{Record: f.drawn, Rubric: r, Grade: f.drawnGrade, Photos: &reporttest.Photos{Small: true}, Created: issuedAt, Signer: SignerOf(id)}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	doc, drawn, laid, err := in.draw(context.Background(), hexSum(mustJSON(t, f.drawn)), nil)
	if err != nil {
		t.Fatal(err)
	}
	opt := pdf.Options{Title: in.title(), Created: issuedAt, Lang: "en-GB", Structure: doc.Structure(), Fields: laid.Fields}
	for name, data := range map[string][]byte{RecordName: f.record, GradeName: f.grade, RubricName: table} {
		if data != nil {
			opt.Attachments = append(opt.Attachments, pdf.Attachment{Name: name, MediaType: "application/json", Data: data})
		}
	}
	var small, plain, signed bytes.Buffer
	if err := pdf.Rewrite(&small, drawn, opt); err != nil {
		t.Fatal(err)
	}
	if err := doc.Finish(&plain, small.Bytes()); err != nil {
		t.Fatal(err)
	}
	err = sign.Sign(context.Background(), bytes.NewReader(plain.Bytes()), int64(plain.Len()), &signed, id, sign.SignOptions{Field: sign.FieldExaminer, Now: issuedAt})
	if err != nil {
		t.Fatal(err)
	}
	return signed.Bytes()
}

func verify(t testing.TB, b []byte, known KnownKeys) *Verdict {
	t.Helper()
	v, err := VerifyReader(context.Background(), bytes.NewReader(b), int64(len(b)), VerifyOptions{Known: known})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(v); err != nil {
		t.Fatal(err)
	}
	return v
}

// what Verify must say of a report whose signature is good but whose pieces do
// not belong together.
func TestVerifyPieces(t *testing.T) {
	honest := reporttest.Demo(1)
	other := reporttest.Demo(1)
	other.Marks = other.Marks[:2]
	rec, grd := mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))
	raised := gradeOf(t, honest)
	better := *raised.Index + 5
	raised.Index = &better
	unknown := gradeOf(t, honest)
	unknown.RubricHash = strings.Repeat("0", 64)
	twice := bytes.Replace(rec, []byte(`{"claims":`), []byte(`{"claims":[],"claims":`), 1)
	cheap := gradeOf(t, honest)
	cheap.Ledger = cheap.Ledger[:1]
	cases := map[string]struct {
		f    forgery
		ok   bool
		code sign.Code
	}{
		"honest":                        {forgery{honest, nil, rec, grd}, true, GradeFollows},
		"no record":                     {forgery{honest, nil, nil, grd}, false, RecordMissing},
		"no grade":                      {forgery{honest, nil, rec, nil}, false, GradeMissing},
		"record swapped":                {forgery{honest, nil, mustJSON(t, other), mustJSON(t, gradeOf(t, other))}, false, RecordOther},
		"record swapped, grade not":     {forgery{honest, nil, mustJSON(t, other), grd}, false, GradeNotFollowing},
		"grade raised":                  {forgery{honest, nil, rec, mustJSON(t, raised)}, false, GradeNotFollowing},
		"grade raised, printed as well": {forgery{honest, cheap, rec, mustJSON(t, cheap)}, false, GradeNotFollowing},
		"other figures printed":         {forgery{honest, cheap, rec, grd}, false, FiguresOther},
		"unknown rubric":                {forgery{honest, nil, rec, mustJSON(t, unknown)}, false, RubricUnknown},
		"record says a thing twice":     {forgery{honest, nil, twice, grd}, false, RecordMissing},
		"record is not one":             {forgery{honest, nil, []byte(`{"schema":"other/1"}`), grd}, false, RecordMissing},
		"grade is not one":              {forgery{honest, nil, rec, []byte(`[]`)}, false, GradeMissing},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			v := verify(t, c.f.make(t), nil)
			if v.OK != c.ok || !v.Has(c.code) {
				t.Errorf("ok %v, want %v and %s; it says:", v.OK, c.ok, c.code)
				for _, l := range v.Lines {
					t.Logf("%s %s: %s", l.Standing, l.Code, l.Text)
				}
			}
			if !v.Has(sign.Unaltered) {
				t.Error("the signature itself is good and should be called so")
			}
		})
	}
}

// What Verify must say of a file that was changed, or is none of ours.
func TestVerifyAltered(t *testing.T) {
	honest := reporttest.Demo(1)
	report := forgery{honest, nil, mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))}.make(t)
	change := func(f func(b []byte) []byte) []byte { return f(bytes.Clone(report)) }
	jpeg := bytes.Index(report, []byte{0xFF, 0xD8, 0xFF, 0xDB})
	if jpeg < 0 {
		t.Fatal("no picture in the report")
	}
	cases := map[string]struct {
		data []byte
		code sign.Code
	}{
		"byte of a photo":   {change(func(b []byte) []byte { b[jpeg+700] ^= 1; return b }), sign.AlteredBytes},
		"bytes behind":      {change(func(b []byte) []byte { return append(b, "and more"...) }), sign.AfterEnd},
		"cut short":         {report[:len(report)/2], sign.Unreadable},
		"empty":             {nil, sign.Unreadable},
		"a text":            {[]byte("Condition: excellent, trust me."), sign.Unreadable},
		"only the head":     {report[:20], sign.Unreadable},
		"a picture instead": {encodePhoto(t), sign.Unreadable},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			v := verify(t, c.data, nil)
			if v.OK || !v.Has(c.code) || v.Has(sign.Unaltered) {
				t.Errorf("ok %v, want %s, got %+v", v.OK, c.code, v.Lines)
			}
		})
	}
}

// A byte changed anywhere in a report, at regular steps through the file, is
// never called good.
func TestVerifyAnyByte(t *testing.T) {
	report := readFixture(t)
	for at := 0; at < len(report); at += 4999 {
		b := bytes.Clone(report)
		b[at] ^= 0x20
		if v := verify(t, b, nil); v.OK {
			t.Errorf("byte %d (%q) changed, and the report passes", at, report[at])
		}
	}
}

func encodePhoto(t testing.TB) []byte {
	b, err := paint.Encode(reporttest.Wood(40, 30, "x"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A key is known only when somebody named it here; the words of an unknown
// signer are called such, and time without an authority is nobody's proof.
func TestVerifyKnown(t *testing.T) {
	honest := reporttest.Demo(0)
	report := forgery{honest, nil, mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))}.make(t)
	v := verify(t, report, nil)
	if !v.OK || !v.Has(sign.SignerUnknown) || v.Has(sign.SignerKnown) || !v.Has(NotCountersigned) || v.Has(sign.TrustedTime) {
		t.Errorf("%+v", v.Lines)
	}
	id := examiner(t)
	path := filepath.Join(t.TempDir(), "known.json")
	known, err := LoadKnown(path)
	if err != nil {
		t.Fatal(err)
	}
	if known, err = known.Add(id.Fingerprint(), "  Fen Street,\nby telephone "); err != nil {
		t.Fatal(err)
	}
	if err := known.Save(path); err != nil {
		t.Fatal(err)
	}
	if known, err = LoadKnown(path); err != nil {
		t.Fatal(err)
	}
	v = verify(t, report, known)
	if !v.OK || !v.Has(sign.SignerKnown) || v.Signatures[0].KnownAs != "Fen Street, by telephone" {
		t.Errorf("%+v", v)
	}
	for _, s := range []string{`{"schema":"wornwood.known/1","keys":{"12":"short"}}`, `{}`, `nonsense`} {
		if err := os.WriteFile(path, []byte(s), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := LoadKnown(path); err == nil || !strings.Contains(err.Error(), "known") {
			t.Errorf("%s is taken for a list: %v", s, err)
		}
	}
	if _, err := known.Add("12", "x"); err == nil {
		t.Error("a short fingerprint was added")
	}
	if _, err := known.Add(id.Fingerprint(), " "); err == nil {
		t.Error("a key without a name was added")
	}
}

// A buyer countersigns; the first signature stays intact, and a report that
// does not pass is not countersigned.
func TestCountersign(t *testing.T) {
	honest := reporttest.Demo(0)
	rec := mustJSON(t, honest)
	report := forgery{honest, nil, rec, mustJSON(t, gradeOf(t, honest))}.make(t)
	buyer, err := sign.NewKey(sign.Subject{Name: "A. Buyer"}, issuedAt, rnd{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := Countersign(context.Background(), bytes.NewReader(report), int64(len(report)), &out, buyer, issuedAt.AddDate(0, 0, 9)); err != nil {
		t.Fatal(err)
	}
	v := verify(t, out.Bytes(), nil)
	if !v.OK || !v.Countersigned || !v.Has(sign.Countersigned) || v.Has(NotCountersigned) || len(v.Signatures) != 2 {
		t.Errorf("%+v", v.Lines)
	}
	bad := forgery{honest, nil, rec, nil}.make(t)
	if err := Countersign(context.Background(), bytes.NewReader(bad), int64(len(bad)), io.Discard, buyer, issuedAt); err == nil {
		t.Error("a report without its grade was countersigned")
	}
}

// rnd is randomness enough for a certificate's serial number.
type rnd struct{}

func (rnd) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(i*37 + 11)
	}
	return len(p), nil
}

func TestVerifyMissingFile(t *testing.T) {
	for _, path := range []string{filepath.Join(t.TempDir(), "none.pdf"), t.TempDir()} {
		if _, err := Verify(context.Background(), path, VerifyOptions{}); err == nil {
			t.Errorf("%s: no error", path)
		}
	}
}

// The texts read back from the pages are those that were drawn.
func TestPageTexts(t *testing.T) {
	rec := reporttest.Demo(0)
	rec.Instrument.Colour = `burst (two-tone) \ amber, Østergård`
	b, err := os.ReadFile(build(t, rec, nil))
	if err != nil {
		t.Fatal(err)
	}
	texts, err := pageTexts(bytes.NewReader(b), int64(len(b)), pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	hash, err := RecordHash(rec)
	if err != nil {
		t.Fatal(err)
	}
	first := strings.Join(texts[0], "\n")
	if !strings.Contains(first, `Burst (two-tone) \ amber,`) || !strings.Contains(first, "\n Østergård, nitrocellulose\n") || !strings.Contains(first, page.Footer(hash, nil)) {
		t.Errorf("page 1 reads:\n%s", first)
	}
}

// fixture is a report issued once and kept: what was signed then must be called
// unaltered by every later version. WORNWOOD_WRITE_FIXTURE=1 makes it anew,
// which is needed only when it is to hold more.
const fixture = "testdata/issued.pdf"

func readFixture(t testing.TB) []byte {
	t.Helper()
	b, err := os.ReadFile(fixture)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestFixture(t *testing.T) {
	if os.Getenv("WORNWOOD_WRITE_FIXTURE") != "" {
		honest := reporttest.Demo(0)
		honest.Marks = honest.Marks[:3]
		b := forgery{honest, nil, mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))}.make(t)
		if err := os.WriteFile(fixture, b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	v := verify(t, readFixture(t), nil)
	// It was graded by rubric 2, which later versions keep.
	if v.Grade == nil || v.Grade.RubricHash != grade.FirstNamed || !v.Has(GradeFollows) || !v.OK {
		t.Errorf("its grade is not computed again: %+v", v.Lines)
	}
	if !v.Has(sign.Unaltered) || !v.Has(RecordFits) || v.Record.Instrument.Serial != "41873" {
		t.Errorf("%+v", v.Lines)
	}
}

// FuzzShownStrings reads drawing commands that nobody drew.
func FuzzShownStrings(f *testing.F) {
	f.Add([]byte("BT 1 2 Td (\\000A\\000\\)) Tj ET"))
	f.Add([]byte("((()) Tj (\\"))
	f.Add([]byte("(\x00A\x00B) Tj"))
	f.Fuzz(func(t *testing.T, b []byte) {
		total := 0
		for _, s := range shownStrings(b) {
			total += len(s)
		}
		if total > 3*len(b) {
			t.Fatalf("%d bytes of text out of %d", total, len(b))
		}
	})
}

// FuzzVerify changes the kept report and whatever else comes: Verify never
// panics and never passes anything that differs from what was signed.
func FuzzVerify(f *testing.F) {
	report := readFixture(f)
	f.Add(report)
	f.Add(report[:len(report)/3])
	f.Add([]byte("%PDF-1.7\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		v, err := VerifyReader(context.Background(), bytes.NewReader(b), int64(len(b)), VerifyOptions{Limits: pdf.Limits{Size: 4 << 20, Decoded: 4 << 20}})
		if err != nil {
			t.Fatal(err)
		}
		if v.OK && !bytes.Equal(b, report) {
			t.Fatal("a changed report passes")
		}
	})
}
