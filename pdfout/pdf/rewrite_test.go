package pdf

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"wornwood/pdfout/pdfxtest"
)

// Judged by qpdf (syntax) and by the preflight of PDFBox (ISO 19005-1 level
// B), the only part of the standard that a validator in Debian knows.
func TestArchivalForm(t *testing.T) {
	path := pdfxtest.Write(t, "report.pdf", rewriteSample(t, sampleOptions()))
	pdfxtest.Check(t, path)
	opt := sampleOptions()
	opt.Probe = true
	probe := pdfxtest.Write(t, "probe.pdf", rewriteSample(t, opt))
	pdfxtest.Check(t, probe)
	pdfxtest.Preflight(t, probe)
}

// The preflight must be able to fail: the same file without its metadata.
func TestPreflightFindsFault(t *testing.T) {
	opt := sampleOptions()
	opt.Probe = true
	data := bytes.Replace(rewriteSample(t, opt), []byte("/Metadata "), []byte("/Metadate "), 1)
	if err := pdfxtest.TryPreflight(t, pdfxtest.Write(t, "probe.pdf", data)); err == nil {
		t.Error("a file without metadata passes as PDF/A")
	}
}

func TestSeenByPoppler(t *testing.T) {
	path := pdfxtest.Write(t, "report.pdf", rewriteSample(t, sampleOptions()))
	info := pdfxtest.Output(t, "pdfinfo", path)
	for _, want := range []string{
		"Title:           Condition report: Larkfoot Standard, 1974", "Author:          A. Tarry & Söhne", "Tagged:          yes",
		"JavaScript:      no", "Form:            AcroForm", "PDF version:     1.7", "Pages:           2", "Encrypted:       no",
		"Fri Mar 14 09:26:53 2025",
	} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo lacks %q:\n%s", want, info)
		}
	}
	text := pdfxtest.Output(t, "pdftotext", "-layout", path, "-")
	// Codes on both sides of 256 map back to their characters.
	for _, want := range []string{"Maße, Größe: 1 − 2 ≤ 3 … “quoted” Ωж", "Condition of the Larkfoot Standard"} {
		if !strings.Contains(text, want) {
			t.Errorf("pdftotext lacks %q:\n%s", want, text)
		}
	}
	fonts := pdfxtest.Output(t, "pdffonts", path)
	row := regexp.MustCompile(`(?m)^[A-Z]{6}\+text\S*\s+CID TrueType\s+Identity-H\s+yes yes yes`)
	if len(row.FindAllString(fonts, -1)) != 2 {
		t.Errorf("pdffonts does not find two embedded subsets with Unicode maps:\n%s", fonts)
	}
	tree := pdfxtest.Output(t, "pdfinfo", "-struct-text", path)
	for _, want := range []string{"Document", `"Condition of the Larkfoot Standard"`, "Figure", "Link", "see the photographs", "Form"} {
		if !strings.Contains(tree, want) {
			t.Errorf("pdfinfo -struct-text lacks %q:\n%s", want, tree)
		}
	}
	urls := pdfxtest.Output(t, "pdfinfo", "-url", path)
	if !strings.Contains(urls, "https://example.org/how-to-verify") {
		t.Errorf("the link is lost:\n%s", urls)
	}
	images := pdfxtest.Output(t, "pdfimages", "-list", path)
	if n := strings.Count(images, "jpeg"); n != 6 {
		t.Errorf("%d JPEG pictures:\n%s", n, images)
	}
}

// The metadata as xmpbox of the PDFBox project reads it, in its strict mode.
func TestMetadata(t *testing.T) {
	tagged := rewriteSample(t, sampleOptions())
	out := pdfxtest.Metadata(t, pdfxtest.Write(t, "report.pdf", tagged))
	for _, want := range []string{
		"part 3\n", "conformance B\n", "title Condition report: Larkfoot Standard, 1974\n", "creator [A. Tarry & Söhne]\n",
		"description Serial 41873\n", "keywords condition, Larkfoot\n", "created 2025-03-14T09:26:53Z\n", "ua [IntegerType:1]\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("xmpbox does not find %q:\n%s", want, out)
		}
	}
	opt := sampleOptions()
	opt.Structure = nil
	out = pdfxtest.Metadata(t, pdfxtest.Write(t, "report.pdf", rewriteSample(t, opt)))
	if !strings.Contains(out, "ua none\n") {
		t.Errorf("an untagged file claims accessibility:\n%s", out)
	}
}

func TestAttachmentsByteForByte(t *testing.T) {
	path := pdfxtest.Write(t, "report.pdf", rewriteSample(t, sampleOptions()))
	list := pdfxtest.Output(t, "pdfdetach", "-list", path)
	if !strings.Contains(list, "2 embedded files") || !strings.Contains(list, "Anmerkung ä.txt") {
		t.Errorf("pdfdetach: %s", list)
	}
	for i, a := range sampleOptions().Attachments {
		to := filepath.Join(t.TempDir(), "out")
		pdfxtest.Output(t, "pdfdetach", "-save", fmt.Sprint(i+1), "-o", to, path)
		got, err := os.ReadFile(to)
		if err != nil || !bytes.Equal(got, a.Data) {
			t.Errorf("attachment %d: %q, %v", i, got, err)
		}
	}
}

// Two processes, not two calls: within one, Go may order a map the same twice.
func TestSameBytesInEveryProcess(t *testing.T) {
	const child = "PDF_TEST_CHILD"
	sum := fmt.Sprintf("%x", sha256.Sum256(rewriteSample(t, sampleOptions())))
	if os.Getenv(child) != "" {
		fmt.Println("digest", sum)
		return
	}
	drawn := map[string]bool{}
	for range 4 {
		cmd := exec.Command(os.Args[0], "-test.run=^TestSameBytesInEveryProcess$", "-test.v")
		cmd.Env = append(os.Environ(), child+"=1")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		m := regexp.MustCompile(`digest ([0-9a-f]{64})`).FindSubmatch(out)
		if m == nil {
			t.Fatalf("no digest in %s", out)
		}
		drawn[string(m[1])] = true
	}
	if len(drawn) != 1 || !drawn[sum] {
		t.Errorf("digests %v, here %s", drawn, sum)
	}
}

// What the drawing library itself writes does differ, which is why the test
// above means something.
func TestDrawnOrderVaries(t *testing.T) {
	seen := map[[32]byte]bool{}
	for range 20 {
		seen[sha256.Sum256(sampleDrawn(t))] = true
	}
	if len(seen) < 2 {
		t.Error("the drawing library orders pictures by itself now; the reordering is not tested any more")
	}
}

func TestPicturesLoseTheirStories(t *testing.T) {
	if !bytes.Contains(sampleDrawn(t), []byte("SECRETGP")) {
		t.Fatal("the sample has no camera data to lose")
	}
	data := rewriteSample(t, sampleOptions())
	for _, s := range []string{"SECRETGP", "Exif", "COMMEN"} {
		if bytes.Contains(data, []byte(s)) {
			t.Errorf("%s is still there", s)
		}
	}
}

func TestMissingGlyph(t *testing.T) {
	drawn := drawText(t, "one tick ✓ here")
	err := Rewrite(&bytes.Buffer{}, drawn, plainOptions())
	var missing *MissingGlyphError
	if !errors.As(err, &missing) || len(missing.Runes) != 1 || missing.Runes[0] != '✓' {
		t.Errorf("got %v", err)
	}
}

func TestBasicPlane(t *testing.T) {
	got, gone := BasicPlane("a🎸b🎸c😀")
	if got != "a\uFFFDb\uFFFDc\uFFFD" || string(gone) != "🎸😀" {
		t.Errorf("%q, %q", got, string(gone))
	}
	if got, gone := BasicPlane("plain ß"); got != "plain ß" || gone != nil {
		t.Errorf("%q, %q", got, string(gone))
	}
}

func TestRefusedOptions(t *testing.T) {
	drawn := sampleDrawn(t)
	cases := map[string]func(*Options){
		"needs a Title":            func(o *Options) { o.Title = "" },
		"needs a Lang":             func(o *Options) { o.Lang = "" },
		"needs a Created time":     func(o *Options) { o.Created = zeroTime },
		"control character U+0007": func(o *Options) { o.Author = "a\x07" },
		"not UTF-8":                func(o *Options) { o.Subject = "\xFF" },
		"used twice":               func(o *Options) { o.Fields[1].Name = o.Fields[0].Name },
		"on page 9 of 2":           func(o *Options) { o.Fields[0].Page = 9 },
		"empty rectangle":          func(o *Options) { o.Fields[0].Rect = Rect{} },
		"needs a MediaType":        func(o *Options) { o.Attachments[0].MediaType = "" },
		"unknown Relationship":     func(o *Options) { o.Attachments[0].Relationship = "Friend" },
		"is not a standard one":    func(o *Options) { o.Structure[0].Type = "Heading" },
		"a Figure needs Alt":       func(o *Options) { o.Structure[3].Alt = "" },
		"a TH needs Scope":         func(o *Options) { o.Structure[0].Type = "TH" },
		"belongs to two elements":  func(o *Options) { o.Structure[1].Content = []Mark{{1, 0}} },
		"MCID 1 of page 1 belongs": func(o *Options) { o.Structure[1].Content = nil },
		"page 1 has no MCID 7":     func(o *Options) { o.Structure[1].Content = []Mark{{1, 1}, {1, 7}} },
		"content on page 3 of 2":   func(o *Options) { o.Structure[1].Content = []Mark{{3, 1}} },
		"there is no link 5":       func(o *Options) { o.Structure[1].Links = []LinkRef{{1, 5}} },
		"a link of page 1 belongs": func(o *Options) { o.Structure[1].Links = []LinkRef{{1, 0}} },
	}
	for want, change := range cases {
		t.Run(want, func(t *testing.T) {
			opt := sampleOptions()
			change(&opt)
			err := Rewrite(&bytes.Buffer{}, drawn, opt)
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("got %v", err)
			}
		})
	}
}

func TestUntaggedDrawing(t *testing.T) {
	opt := plainOptions()
	opt.Structure = []Element{{Type: "P"}}
	err := Rewrite(&bytes.Buffer{}, drawText(t, "loose words"), opt)
	if err == nil || !strings.Contains(err.Error(), "page 1 draws (Tj) outside every tag") {
		t.Errorf("got %v", err)
	}
}

func TestRefusedPages(t *testing.T) {
	for name, drawn := range map[string][]byte{"nothing": nil, "no PDF": []byte("hello"), "cut off": sampleDrawn(t)[:5000]} {
		if err := Rewrite(&bytes.Buffer{}, drawn, sampleOptions()); err == nil || !IsRefusal(err) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
