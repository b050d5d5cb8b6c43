package pdfout

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

var issuedAt = time.Date(2026, 11, 14, 16, 5, 0, 0, reporttest.Zone)

var testSigner = Signer{Name: "M. Østergård-Łuczak, Fen Street Instruments", Key: strings.Repeat("7f2a91c40d55e8b3", 4)}

// build makes the report of a record and returns the file's path.
func build(t testing.TB, r *record.Record, change func(*Input)) string {
	t.Helper()
	in := Input{Record: r, Photos: &reporttest.Photos{Small: len(r.Photos) > 20}, Created: issuedAt, Signer: testSigner}
	if change != nil {
		change(&in)
	}
	var b bytes.Buffer
	if _, err := Build(context.Background(), in, &b, nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "report.pdf")
	if dir := os.Getenv("WORNWOOD_REPORTS"); dir != "" { // keep the files to look at
		path = filepath.Join(dir, strings.ReplaceAll(t.Name(), "/", "-")+".pdf")
	}
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// Page 1 holds the three answers, what is not original, the worst marks and
// who says so, as pdftotext (poppler) reads it.
func TestPage1(t *testing.T) {
	path := build(t, reporttest.Demo(4), nil)
	text := pdfxtest.Output(t, "pdftotext", "-layout", "-l", "1", path, "-")
	in := Input{Record: reporttest.Demo(4)}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	want := []string{"Larkfoot Standard", "Halden & Rowe, said to be 1974", "41873", "14 November 2026, before listing", "Nut: period replacement.", "Tuners: later",
		"Fret wear, fret crown 0.95 ± 0.05 mm", "Wear-through", "Four smaller marks", "Neck pocket and cavity under the guard: not opened.", "range ",
		"of 132 positions", "Appears to be rosewood", "“One of 60”", "signed 14 November 2026 16:05 +01:00", "7f2a 91c4 0d55 e8b3", "CONDITION: " + strings.ToUpper(in.Grade.Word)}
	for _, a := range page.Answers(in.Grade, nil) {
		want = append(want, a.Figure)
	}
	squeezed := strings.Join(strings.Fields(text), " ")
	for _, w := range want {
		if !strings.Contains(squeezed, w) {
			t.Errorf("page 1 does not say %q", w)
		}
	}
	if t.Failed() {
		t.Log(text)
	}
}

// The ledger adds up as printed: the rows between "Nothing wrong" and
// "Condition index", read back by pdftotext, sum to the last line.
func TestLedgerAddsUp(t *testing.T) {
	for _, rec := range []*record.Record{reporttest.Demo(0), reporttest.Many(200, 0)} {
		text := pdfxtest.Output(t, "pdftotext", "-layout", build(t, rec, nil), "-")
		_, text, ok := strings.Cut(text, "Nothing wrong")
		if !ok {
			t.Fatal("no ledger")
		}
		sum, end, rows := 1000, -1, 0
		for _, line := range strings.Split(text, "\n") {
			f := strings.Fields(line)
			if len(f) < 2 {
				continue
			}
			var whole, tenth int
			figure := strings.TrimPrefix(f[len(f)-1], "−")
			if n, err := fmt.Sscanf(figure, "%d.%d", &whole, &tenth); n != 2 || err != nil {
				continue
			}
			if f[0] == "Condition" {
				end = whole*10 + tenth
				break
			}
			var no int
			if n, err := fmt.Sscanf(f[0], "%d", &no); n == 1 && err == nil && strings.HasPrefix(f[len(f)-1], "−") || figure == "0.0" {
				sum -= whole*10 + tenth
				rows++
			}
		}
		if end != sum || rows < len(rec.Marks) {
			t.Errorf("%d rows, the ledger comes to %d tenths, its last line says %d", rows, sum, end)
		}
	}
}

// Every font is embedded (pdffonts), qpdf finds no fault, and pdfdetach gives
// the canonical record byte for byte.
func TestFileIsSound(t *testing.T) {
	rec := reporttest.Demo(3)
	path := build(t, rec, nil)
	pdfxtest.Check(t, path)
	fonts := strings.Split(strings.TrimSpace(pdfxtest.Output(t, "pdffonts", path)), "\n")
	if len(fonts) < 6 {
		t.Fatalf("pdffonts lists too little:\n%s", strings.Join(fonts, "\n"))
	}
	for _, f := range fonts[2:] {
		if !strings.Contains(f, " yes yes yes ") {
			t.Errorf("not embedded, not a subset or without Unicode: %s", f)
		}
	}
	saved := filepath.Join(t.TempDir(), "record.json")
	pdfxtest.Output(t, "pdfdetach", "-savefile", RecordName, "-o", saved, path)
	got, err := os.ReadFile(saved)
	want, cerr := Canonical(rec)
	if err != nil || cerr != nil || !bytes.Equal(got, want) {
		t.Errorf("pdfdetach gives another record (%v, %v)", err, cerr)
	}
	info := pdfxtest.Output(t, "pdfinfo", path)
	if !strings.Contains(info, "Tagged:") || !strings.Contains(info, "Title:           Condition report CR-2026-0417") {
		t.Errorf("pdfinfo: %s", info)
	}
}

// The probe variant passes PDFBox preflight for PDF/A-1b (ISO 19005-1).
func TestPreflight(t *testing.T) {
	pdfxtest.Preflight(t, build(t, reporttest.Demo(3), func(in *Input) { in.Probe = true }))
}

// zbarimg reads the square code back from the page as pdftoppm renders it.
func TestSquareCode(t *testing.T) {
	rec := reporttest.Demo(1)
	hash, err := RecordHash(rec)
	if err != nil {
		t.Fatal(err)
	}
	for _, paper := range []string{"A4", "Letter"} {
		path := build(t, rec, func(in *Input) { in.Paper = paper })
		png := filepath.Join(t.TempDir(), "page")
		pdfxtest.Output(t, "pdftoppm", "-r", "150", "-l", "1", "-png", "-singlefile", path, png)
		// The tool also complains on its error stream that there is no bus.
		lines := strings.Split(strings.TrimSpace(pdfxtest.Output(t, "zbarimg", "--raw", "-q", png+".png")), "\n")
		got := lines[len(lines)-1]
		if want := page.QRText(rec.Examination.Number, hash, testSigner.Key); got != want {
			t.Errorf("%s: the code says %q, want %q", paper, got, want)
		}
	}
}

// Two processes build the same bytes: maps of the drawing library come out in
// another order in every process.
func TestSameBytesInEveryProcess(t *testing.T) {
	const ask = "WORNWOOD_PRINT_SUM"
	if os.Getenv(ask) != "" {
		b, err := os.ReadFile(build(t, reporttest.Demo(6), nil))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Printf("sum %x\n", sha256.Sum256(b))
		return
	}
	sums := map[string]bool{}
	for range 3 {
		cmd := exec.Command(os.Args[0], "-test.run=^TestSameBytesInEveryProcess$")
		cmd.Env = append(os.Environ(), ask+"=1", "WORNWOOD_REPORTS=")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		for _, line := range strings.Split(string(out), "\n") {
			if strings.HasPrefix(line, "sum ") {
				sums[line] = true
			}
		}
	}
	if len(sums) != 1 {
		t.Errorf("%d different files: %v", len(sums), sums)
	}
}

// A character that the typefaces lack is refused by name and place, before
// anything is written.
func TestRefusedCharacter(t *testing.T) {
	cases := map[string]func(*record.Record){
		"mark 3 note": func(r *record.Record) { r.Marks[2].Note = "a 🎸 here" },
		"instrument":  func(r *record.Record) { r.Instrument.Model = "Larkfoot 漢" },
		"photo":       func(r *record.Record) { r.Photos[0].Caption = "bell \a" },
	}
	for where, spoil := range cases {
		r := reporttest.Demo(1)
		spoil(r)
		var b bytes.Buffer
		_, err := Build(context.Background(), Input{Record: r, Photos: &reporttest.Photos{}, Created: issuedAt}, &b, nil)
		if err == nil || b.Len() > 0 || !strings.Contains(err.Error(), where) || !strings.Contains(err.Error(), "U+") {
			t.Errorf("%s: %v (%d bytes)", where, err, b.Len())
		}
	}
}

// No photo in a report carries metadata, whatever the preview carried.
func TestNoMetadata(t *testing.T) {
	rec := reporttest.Demo(2)
	path := build(t, rec, func(in *Input) { in.Photos = tagged{&reporttest.Photos{}} })
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"Exif\x00", "GPS 51.5", "http://ns.adobe.com/xap/1.0/\x00"} {
		if bytes.Contains(b, []byte(s)) {
			t.Errorf("the report contains %q", s)
		}
	}
}

// tagged puts an Exif segment with a place into every preview.
type tagged struct{ page.Source }

func (s tagged) Preview(id string, size int) ([]byte, error) {
	b, err := s.Source.Preview(id, size)
	if err != nil {
		return nil, err
	}
	seg := append([]byte{0xFF, 0xE1, 0, 22}, "Exif\x00\x00GPS 51.5 0.1 x"...)
	out := append(append(append([]byte{}, b[:2]...), seg...), b[2:]...)
	_, err = paint.Strip(out)
	return out, err
}
