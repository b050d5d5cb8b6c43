package pdfout

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// issuedWith issues a report of a bench with so many photos, with originals.
func issuedWith(t *testing.T, photos int) (*Issued, map[string]string) {
	t.Helper()
	b, ex := desk(t, photos)
	is, err := Issue(t.Context(), b, ex, examiner(t), IssueOptions{Now: issuedAt, WithOriginals: true}, nil)
	if err != nil {
		t.Fatal(err)
	}
	sums := map[string]string{}
	rec := ex.Record()
	for i := range rec.Photos {
		sums[OriginalName(i, &rec.Photos[i])] = rec.Photos[i].ID
	}
	return is, sums
}

// A report with its originals is sound to qpdf and pdfsig; pdfdetach lists and
// saves what is inside, and sha256sum finds the digests that the list names.
// extract writes the same files.
func TestOriginalsOutside(t *testing.T) {
	is, sums := issuedWith(t, 4)
	if o := is.Verdict.Originals; o == nil || o.Fit != 4 || !is.Verdict.Has(OriginalsFit) || !is.Verdict.Has(FilesFit) {
		t.Fatalf("%+v", is.Verdict.Lines)
	}
	pdfxtest.Check(t, is.Path)
	if out := pdfxtest.Signatures(t, is.Path); !strings.Contains(out, "Signature is Valid.") || !strings.Contains(out, "Total document signed") {
		t.Errorf("pdfsig: %s", out)
	}
	listed := pdfxtest.Output(t, "pdfdetach", "-list", is.Path)
	names := append([]string{RecordName, GradeName, AboutName}, keysOf(sums)...)
	if !strings.Contains(listed, fmt.Sprintf("%d embedded files", len(names))) {
		t.Errorf("pdfdetach lists\n%s", listed)
	}
	dir := t.TempDir()
	taken, v, err := Extract(t.Context(), is.Path, filepath.Join(dir, "ours"), ExtractOptions{})
	if err != nil || !v.OK || len(taken) != len(names) {
		t.Fatalf("%v, %d files", err, len(taken))
	}
	var about About
	data, err := os.ReadFile(filepath.Join(dir, "ours", AboutName))
	if err == nil {
		err = json.Unmarshal(data, &about)
	}
	if err != nil || len(about.Files) != len(names)-1 || about.Files[0].SchemaSHA256 != RecordSchemaHash() {
		t.Fatalf("%v %+v", err, about)
	}
	for i, f := range about.Files {
		saved := filepath.Join(dir, fmt.Sprint(i))
		pdfxtest.Output(t, "pdfdetach", "-savefile", f.Name, "-o", saved, is.Path)
		for _, p := range []string{saved, filepath.Join(dir, "ours", filepath.FromSlash(f.Name))} {
			if out := pdfxtest.Output(t, "sha256sum", "--", p); !strings.Contains(out, f.SHA256) {
				t.Errorf("%s: sha256sum gives %s, the list says %s", f.Name, out, f.SHA256)
			}
		}
		if id, ok := sums[f.Name]; ok && id != f.SHA256 {
			t.Errorf("%s: the list says %s, the record %s", f.Name, f.SHA256, id)
		}
	}
}

func keysOf(m map[string]string) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// Every figure has an alternative text and every head of a table a scope, as
// qpdf reads the objects and pdfinfo the structure.
func TestStructureOutside(t *testing.T) {
	path := build(t, reporttest.Demo(6), nil)
	tree := pdfxtest.Output(t, "pdfinfo", "-struct", path)
	heads := strings.Count(tree, "\n") - strings.Count(strings.ReplaceAll(tree, "TH:\n", ""), "\n")
	scopes := strings.Count(tree, "/Scope /Row") + strings.Count(tree, "/Scope /Column") + strings.Count(tree, "/Scope /Both")
	if plain := strings.Count(tree, "TH\n"); heads < 20 || heads != scopes || plain > 0 {
		t.Errorf("%d heads of tables with attributes and %d without, %d scopes", heads, plain, scopes)
	}
	for _, want := range []string{"H1 ", "H2 ", "Table ", "Figure", "LBody", "Caption"} {
		if !strings.Contains(tree, want) {
			t.Errorf("pdfinfo shows no %s", want)
		}
	}
	var out struct {
		QPDF [2]json.RawMessage `json:"qpdf"`
	}
	var objects map[string]struct {
		Value json.RawMessage `json:"value"`
	}
	if err := json.Unmarshal([]byte(pdfxtest.Output(t, "qpdf", "--json=2", "--json-key=qpdf", path)), &out); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(out.QPDF[1], &objects); err != nil {
		t.Fatal(err)
	}
	figures := 0
	for name, o := range objects {
		var e struct {
			S   string `json:"/S"`
			Alt string `json:"/Alt"`
		}
		if json.Unmarshal(o.Value, &e) != nil || e.S != "/Figure" {
			continue
		}
		figures++
		if len(strings.TrimPrefix(e.Alt, "u:")) < 4 {
			t.Errorf("%s: a figure with the alternative text %q", name, e.Alt)
		}
	}
	if figures < 10 {
		t.Errorf("%d figures only", figures)
	}
}

// The texts of page 1 stand where the layout meant them to: pdftotext (poppler)
// finds the first word of each at the beginning of its baseline.
func TestPositionsOutside(t *testing.T) {
	r := reporttest.Demo(4)
	path := build(t, r, nil)
	var found struct {
		Words []struct {
			X0   float64 `xml:"xMin,attr"`
			Y0   float64 `xml:"yMin,attr"`
			Y1   float64 `xml:"yMax,attr"`
			Text string  `xml:",chardata"`
		} `xml:"body>doc>page>word"`
	}
	if err := xml.Unmarshal([]byte(pdfxtest.Output(t, "pdftotext", "-bbox", "-l", "1", path, "-")), &found); err != nil {
		t.Fatal(err)
	}
	in := Input{Record: r, Photos: &reporttest.Photos{}, Created: issuedAt, Signer: testSigner}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	wide, tall, err := page.Size("A4")
	if err != nil {
		t.Fatal(err)
	}
	d, err := paint.New(paint.Options{Width: wide, Height: tall, Title: "x", Created: issuedAt, Sheets: true})
	if err != nil {
		t.Fatal(err)
	}
	hash, err := RecordHash(r)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := page.Lay(t.Context(), d, &page.Report{Record: r, Grade: in.Grade, Drawing: in.Drawing, Rubric: in.Rubric, Photos: in.Photos, Text: in.text,
		Created: issuedAt, RecordHash: hash, Signer: testSigner}, nil); err != nil {
		t.Fatal(err)
	}
	const pt = 25.4 / 72
	right, wrong := 0, 0
	for _, s := range d.Sheet(1).Texts() {
		words := strings.Fields(s.Text)
		if len(words) == 0 || len([]rune(s.Text)) < 2 { // of letters one by one, only their own test knows
			continue
		}
		lead := len(s.Text) - len(strings.TrimLeft(s.Text, " "))
		x, y := s.X/pt, s.Y/pt
		at := slices.IndexFunc(found.Words, func(w struct {
			X0   float64 `xml:"xMin,attr"`
			Y0   float64 `xml:"yMin,attr"`
			Y1   float64 `xml:"yMax,attr"`
			Text string  `xml:",chardata"`
		}) bool {
			near := w.X0 > x-0.6 && w.X0 < x+0.6+float64(lead)*s.Size*0.65
			return w.Text == words[0] && near && w.Y0 < y && y < w.Y1+0.1
		})
		if at < 0 {
			wrong++
			t.Errorf("%q is meant to stand at %.1f, %.1f pt, and pdftotext finds it elsewhere", s.Text, x, y)
			continue
		}
		right++
	}
	if right < 60 || wrong > 0 {
		t.Errorf("%d texts at their place, %d elsewhere", right, wrong)
	}
}

// The marks of the archival form are found in what is built, and each is missed
// where it is not there.
func TestMissingMarks(t *testing.T) {
	check := func(path string) []string {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		missing, err := pdf.Missing(strings.NewReader(string(b)), int64(len(b)), pdf.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		return missing
	}
	if m := check(build(t, reporttest.Demo(1), nil)); len(m) > 0 {
		t.Errorf("a report lacks %v", m)
	}
	if m := check(build(t, reporttest.Demo(1), func(in *Input) { in.Probe = true })); !slices.Equal(m, []string{"the claim of the form in its metadata", "a structure for reading aloud"}) {
		t.Errorf("the probe, which claims another form, lacks %v", m)
	}
	const body = "%PDF-1.7\n1 0 obj\n<</Type /Catalog /Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type /Pages /Kids []>>\nendobj\n"
	bare := pdfxtest.Write(t, "bare.pdf", fmt.Appendf(nil, "%sxref\n0 3\n0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \ntrailer\n<</Size 3 /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n",
		body, strings.Index(body, "1 0 obj"), strings.Index(body, "2 0 obj"), len(body)))
	if m := check(bare); len(m) != 5 {
		t.Errorf("a bare file lacks %v, want all five", m)
	}
}
