package receive

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	_ "embed"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/sign"
)

// A receipt passes its own check, says what differs and what is new, and names
// the report.
func TestReceipt(t *testing.T) {
	_, path := issued(t, 2)
	v := received(t, path)
	to := receipt(t, v)
	if dir := os.Getenv("WORNWOOD_REPORTS"); dir != "" {
		b, err := os.ReadFile(to)
		must(t, err)
		must(t, os.WriteFile(filepath.Join(dir, "receipt.pdf"), b, 0o644))
	}
	c, err := Check(context.Background(), to, pdfout.VerifyOptions{Known: pdfout.KnownKeys{buyer(t).Fingerprint(): "Mrs Atherley"}})
	must(t, err)
	if !c.OK || c.Receipt == nil || c.Receipt.Tally().Words() != "2 differences, 1 new, 1 not checked" || !strings.Contains(c.Headline(), "Mrs Atherley") {
		t.Fatalf("%v %+v", c.Worst(), c.Lines)
	}
	for _, l := range c.Lines {
		if strings.Contains(l.Text, "examiner") {
			t.Errorf("%q", l.Text)
		}
	}
	if !Is(context.Background(), to) || Is(context.Background(), path) {
		t.Error("a receipt is told from a report")
	}
	if ok, err := c.About(context.Background(), path, none); err != nil || !ok || !c.Has(ReportIsIt) {
		t.Errorf("about its report: %v %v", ok, err)
	}
	if st, err := os.Stat(to); err != nil || st.Size() > 3<<20 {
		t.Errorf("%d bytes, %v", st.Size(), err)
	}
}

// Outside judges: poppler sees one signature over the whole file and the
// attachment, qpdf a sound file, PDFBox a probe variant that
// is PDF/A-1b.
func TestReceiptAgainstOutside(t *testing.T) {
	_, path := issued(t, 0)
	v := received(t, path)
	to := receipt(t, v)
	pdfxtest.Check(t, to) // qpdf --check
	if s := pdfxtest.Signatures(t, to); !strings.Contains(s, "Signature is Valid") || !strings.Contains(s, "Total document signed") {
		t.Errorf("pdfsig: %s", s)
	}
	out := filepath.Join(t.TempDir(), "receipt.json")
	pdfxtest.Output(t, "pdfdetach", "-savefile", Name, "-o", out, to)
	data, err := os.ReadFile(out)
	must(t, err)
	c, err := Check(context.Background(), to, none)
	must(t, err)
	if s := pdfxtest.Output(t, "sha256sum", out); !strings.HasPrefix(s, c.Hash) {
		t.Errorf("sha256sum says %s, the pages %s", s, c.Hash)
	}
	if _, err := Parse(data); err != nil {
		t.Error(err)
	}
	text := pdfxtest.Output(t, "pdftotext", "-layout", to, "-")
	for _, want := range []string{"Received: 2 differences, 1 new, 1 not checked.", "larger than drawn: 14 mm", "One button is cracked", "12 mm long", "The case arrived wet.", c.Hash, v.Of.SHA256} {
		if !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
			t.Errorf("%q is not on the pages", want)
		}
	}
	if s := pdfxtest.Output(t, "sha256sum", path); !strings.HasPrefix(s, v.Of.SHA256) {
		t.Errorf("the report's sha256sum is %s, the receipt names %s", s, v.Of.SHA256)
	}
	r, err := v.Finish(receivedAt)
	must(t, err)
	probe, _, err := v.build(context.Background(), r, "A4", pdfout.SignerOf(buyer(t)), receivedAt, true)
	must(t, err)
	pdfxtest.Preflight(t, pdfxtest.Write(t, "probe.pdf", probe))
	again, _, err := v.build(context.Background(), r, "A4", pdfout.SignerOf(buyer(t)), receivedAt, true)
	must(t, err)
	if !bytes.Equal(probe, again) {
		t.Error("the same receipt gives other bytes")
	}
}

// Long and many: every text is printed in full on both papers.
func TestReceiptOfMany(t *testing.T) {
	_, path := issued(t, 0)
	v := open(t, path, t.TempDir())
	long := strings.TrimSpace(strings.Repeat("Wider than it was drawn and deeper than it says. ", 20))
	must(t, v.About("Maximiliane-Alexandra von Østergård-Łuczak-Merriweather and her brother Bartholomew", "Hollin Bank", long))
	for _, c := range v.Draft().Checked {
		must(t, v.Answer(c.What, c.ID, record.Differs, long))
	}
	for i := range 60 {
		_, err := v.AddNew(record.NewMark{Kind: "dent", Place: "back, row " + strconv.Itoa(i), Note: long})
		must(t, err)
	}
	for _, paper := range []string{"A4", "Letter"} {
		to := filepath.Join(t.TempDir(), paper+".pdf")
		if _, err := v.Issue(context.Background(), to, paper, buyer(t), receivedAt); err != nil {
			t.Errorf("%s: %v", paper, err)
		}
	}
	must(t, v.About("B. 武", "", ""))
	if _, err := v.Issue(context.Background(), filepath.Join(t.TempDir(), "x.pdf"), "", buyer(t), receivedAt); err == nil || !strings.Contains(err.Error(), "U+6B66") {
		t.Errorf("a character that cannot be printed: %v", err)
	}
}

//go:embed receipt.schema.json
var schemaText []byte

// The published schema (JSON Schema 2020-12) takes what the program writes, and
// refuses what Check refuses.
func TestReceiptSchema(t *testing.T) {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schemaText))
	must(t, err)
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	must(t, c.AddResource("receipt.json", doc))
	s, err := c.Compile("receipt.json")
	must(t, err)
	_, path := issued(t, 0)
	r, err := received(t, path).Finish(receivedAt)
	must(t, err)
	good, err := Bytes(r)
	must(t, err)
	valid := func(b []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		must(t, err)
		return s.Validate(v)
	}
	if err := valid(good); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range spoiled() {
		if name == "a mark twice" || name == "a photo that is not listed" || name == "a new number twice" || name == "a photo twice" || strings.HasPrefix(name, "blank") {
			continue // a schema cannot say it
		}
		bad := *r
		spoil(clone(t, &bad))
		b := mustJSON(t, spoil, r)
		if err := valid(b); err == nil {
			t.Errorf("%s passes the schema", name)
		}
	}
}

func clone(t testing.TB, r *record.Receipt) *record.Receipt {
	t.Helper()
	b, err := json.Marshal(r)
	must(t, err)
	var out record.Receipt
	must(t, json.Unmarshal(b, &out))
	return &out
}

func mustJSON(t testing.TB, spoil func(*record.Receipt), r *record.Receipt) []byte {
	t.Helper()
	c := clone(t, r)
	spoil(c)
	b, err := pdfout.Canonical(c)
	must(t, err)
	return b
}

// A receipt signed by somebody who edits it first: the signature is good, the
// pieces do not belong together. With named the foot of the pages names what is
// attached.
func forge(t testing.TB, v *Receiving, printed, attached *record.Receipt, named bool) []byte {
	t.Helper()
	text, err := pdfout.Canonical(printed)
	must(t, err)
	inside, err := pdfout.Canonical(attached)
	must(t, err)
	hash := sum(text)
	if named {
		hash = sum(inside)
	}
	d, laid, err := v.draw(context.Background(), printed, hash, "", pdfout.SignerOf(buyer(t)), receivedAt)
	must(t, err)
	plain, err := assemble(d, laid, printed, inside, receivedAt, false)
	must(t, err)
	return resign(t, plain)
}

func resign(t testing.TB, plain []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	must(t, sign.Sign(context.Background(), bytes.NewReader(plain), int64(len(plain)), &out, buyer(t), sign.SignOptions{Field: sign.FieldExaminer, Now: receivedAt}))
	return out.Bytes()
}
