package archive_test

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/pdfxtest"
)

// bundle makes a bundle and unpacks it with unzip.
func bundle(t *testing.T, a *archive.Archive, hashes []string, opt archive.BundleOptions) (*archive.Bundled, []byte, string) {
	t.Helper()
	var b bytes.Buffer
	out, err := a.Bundle(context.Background(), &b, hashes, opt)
	if err != nil {
		t.Fatal(err)
	}
	to := t.TempDir()
	pdfxtest.Output(t, "unzip", "-q", pdfxtest.Write(t, "claim.zip", b.Bytes()), "-d", to)
	return out, b.Bytes(), to
}

// commandsOf are the commands that HOW-TO-CHECK.txt gives.
func commandsOf(t *testing.T, dir string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "HOW-TO-CHECK.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, m := range regexp.MustCompile(`(?m)^    (.*)$`).FindAllStringSubmatch(string(b), -1) {
		out = append(out, m[1])
	}
	if len(out) < 10 {
		t.Fatalf("%d commands", len(out))
	}
	return strings.Join(out, "\n")
}

func runCommands(t *testing.T, dir string) string {
	t.Helper()
	cmd := exec.Command("sh", "-c", commandsOf(t, dir))
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	t.Logf("commands end with %v", err)
	return string(out)
}

// The bundle for a loss between the third and the fourth of four examinations:
// what is in it, and just the commands of HOW-TO-CHECK.txt, run on it by sh with
// sha256sum, openssl and pdfsig.
func TestBundle(t *testing.T) {
	url, roots := pdfxtest.Stamps(t)
	a, h := filedYears(t)
	later, err := archivetest.Countersigned(reportOf(t, a, h[2]), newKey(t, "B. Atherley"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.Stamp(context.Background(), archive.StampOptions{URL: url}); err != nil {
		t.Fatal(err)
	}
	h = append(h, put(t, a, later)...)
	file(t, a, folderOf(t, 3)) // other instruments
	opt := archive.BundleOptions{Before: "2025-01-15", Reference: "Claim 7", Signer: dealer(), Trust: pdfout.VerifyOptions{TSARoots: roots}}
	out, _, dir := bundle(t, a, h, opt)
	if out.Before == nil || out.Before.Date != "2022-09-08" || len(out.Since) != 1 || out.Reports != 3 || out.Head.Head() != a.Head() {
		t.Fatalf("%+v", out)
	}
	said := strings.Join(out.Remarks, "\n")
	for _, want := range []string{"860 days before it, more than a year", "is dated 2022-09-08, before the loss, and was filed on 2026-11-14, after it. That it was made before is the word of whoever signed it."} {
		if !strings.Contains(said, want) {
			t.Errorf("remarks lack %q:\n%s", want, said)
		}
	}
	for _, f := range []string{"summary.txt", "summary.html"} {
		b, err := os.ReadFile(filepath.Join(dir, f))
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range []string{"Claim 7", "2022-09-08", "Fen Street Instruments", "Old Quay Guitars", "Invented Time", "refinished", h[3], "tuners"} {
			if !strings.Contains(string(b), want) {
				t.Errorf("%s lacks %q", f, want)
			}
		}
		for _, not := range []string{"http", "2018-05-02  Fen", "Merrow", "ZgotmplZ"} {
			if strings.Contains(string(b), not) {
				t.Errorf("%s holds %q", f, not)
			}
		}
	}
	authority(t, dir)
	text := runCommands(t, dir)
	for want, n := range map[string]int{"The files are those that were packed.": 1, "CMS Verification successful": 2, "Signature is Valid.": 4, "is as the log names it.": 6, "stands in the log.": 3, "Verification: OK": 1, "was in the log by then.": 2,
		strings.ReplaceAll(dealer().Fingerprint().Long(), " ", ""): 2} {
		if got := strings.Count(text, want); got != n {
			t.Errorf("%q %d times, want %d in\n%s", want, got, n, text)
		}
	}
	harmed(t, dir)
	b, err := os.ReadFile(filepath.Join(dir, "proof", "proof.json"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := archive.ParseProof(b)
	if err != nil {
		t.Fatal(err)
	}
	if r := p.Check(archive.ProofTrust{}); !r.Holds || len(r.Lines) != 3 {
		t.Errorf("%+v", r)
	}
}

// authority puts the authority's certificate where the text asks for it; the
// test's authority made its own, which comes with the token.
func authority(t *testing.T, dir string) {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(dir, "proof", "stamp-*.tsr"))
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	pdfxtest.Output(t, "openssl", "pkcs7", "-inform", "DER", "-in", list[0], "-print_certs", "-out", filepath.Join(dir, "authority.pem"))
}

// harmed changes a bit of each kind of file: the commands no longer say that all
// is well.
func harmed(t *testing.T, dir string) {
	t.Helper()
	for pattern, gone := range map[string]string{
		"reports/01*": "reports/01", "verdicts/02*": "verdicts/02", "proof/line-3.json": "Line 3 stands", "proof/line-3.path": "Line 3 stands", "proof/head.json": "Line 3 stands",
		"proof/stamp-4.json": "Line 3 was in the log by then", "proof/stamp-4.tsr": "Verification: OK",
	} {
		list, err := filepath.Glob(filepath.Join(dir, pattern))
		if err != nil || len(list) != 1 {
			t.Fatal(pattern, list, err)
		}
		was, err := os.ReadFile(list[0])
		if err != nil {
			t.Fatal(err)
		}
		bad := bytes.Clone(was)
		bad[len(bad)-9] ^= 1
		if pattern == "proof/head.json" || pattern == "proof/stamp-4.json" {
			i := bytes.Index(bad, []byte(`"root":"`)) + 20
			bad[i] = map[bool]byte{true: '1', false: '0'}[bad[i] == '0']
		}
		write(t, list[0], bad)
		text := runCommands(t, dir)
		if strings.Contains(text, "The files are those") {
			t.Errorf("%s altered, and the sums fit:\n%s", pattern, text)
		}
		for _, l := range strings.Split(text, "\n") {
			if strings.HasPrefix(l, gone) && (strings.HasSuffix(l, "names it.") || !strings.Contains(gone, "/")) {
				t.Errorf("%s altered, and still: %s", pattern, l)
			}
		}
		write(t, list[0], was)
	}
}

func reportOf(t *testing.T, a *archive.Archive, hash string) []byte {
	t.Helper()
	s, err := a.Show(hash)
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(s.Path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Without a key the same archive gives the same bytes; every name in the zip is
// plain; what is not there is said.
func TestBundleIsTheSameAgain(t *testing.T) {
	a, h := filedYears(t)
	opt := archive.BundleOptions{Before: "2017-01-01"}
	out, one, dir := bundle(t, a, h[:2], opt)
	_, two, _ := bundle(t, a, []string{h[1], h[0], h[1]}, opt)
	if !bytes.Equal(one, two) {
		t.Error("another zip from the same archive")
	}
	if out.Before != nil || len(out.Since) != 2 || !strings.Contains(strings.Join(out.Remarks, " "), "No examination before 2017-01-01 is filed") {
		t.Errorf("%+v", out)
	}
	z, err := zip.NewReader(bytes.NewReader(one), int64(len(one)))
	if err != nil {
		t.Fatal(err)
	}
	name := regexp.MustCompile(`^([a-z]+/)?[A-Za-z0-9_-]+(\.stamp-[0-9]+)?(\.[a-z0-9]+)?$`)
	for _, f := range z.File {
		if !name.MatchString(f.Name) {
			t.Errorf("a name %q", f.Name)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if n, err := io.Copy(io.Discard, r); err != nil || n != int64(f.UncompressedSize64) {
			t.Errorf("%s: %v", f.Name, err)
		}
	}
	text := runCommands(t, dir)
	if strings.Count(text, "stands in the log.") != 2 || strings.Count(text, "Signature is Valid.") != 2 {
		t.Errorf("%s", text)
	}
	for want, c := range map[string]func() error{
		"on which day": func() error {
			_, err := a.Bundle(context.Background(), io.Discard, h, archive.BundleOptions{})
			return err
		},
		"is no day": func() error {
			_, err := a.Bundle(context.Background(), io.Discard, h, archive.BundleOptions{Before: "soon"})
			return err
		},
		"no report is named": func() error { _, err := a.Bundle(context.Background(), io.Discard, nil, opt); return err },
		"not in the archive": func() error {
			_, err := a.Bundle(context.Background(), io.Discard, []string{strings.Repeat("0", 64)}, opt)
			return err
		},
	} {
		if err := c(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// A damaged report is not packed, and the sentence says what to do.
func TestBundleOfADamagedReport(t *testing.T) {
	for area, want := range map[archive.Area]string{archive.Files: "archive check", archive.Verdicts: "archive check"} {
		a, dir := newArchive(t)
		file(t, a, folderOf(t, 1))
		h := hash(made()[0])
		if err := damage(dir, archive.Ref{Area: area, Hash: h}); err != nil {
			t.Fatal(err)
		}
		if _, err := a.Bundle(context.Background(), io.Discard, []string{h}, archive.BundleOptions{Before: "2030-01-01"}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", area, err)
		}
	}
}
