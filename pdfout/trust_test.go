package pdfout

import (
	"bytes"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// The user's own authorities decide whom Verify trusts and when; strict checking
// says of each demand whether it is met.
func TestTrustAndStrict(t *testing.T) {
	ca, dir := pdfxtest.NewAuthority(t), filepath.Join(t.TempDir(), "with [brackets] *", "authorities")
	const pass = "a passphrase of the test"
	id, err := sign.LoadIdentity(ca.Issue("signer", "none", "/CN=Anselm Tarry", "2020-2048", pass), pass)
	if err != nil {
		t.Fatal(err)
	}
	url, _ := pdfxtest.Stamps(t)
	r := reporttest.Demo(1)
	plain := dishonest{pages: r, inside: r}.plain(t, id)
	now := time.Now()
	report := signed(t, plain, id, sign.SignOptions{Field: sign.FieldExaminer, Now: now, TimestampURL: url})
	none := filepath.Join(t.TempDir(), "known.json")
	judge := func(known string, strict bool) *Verdict {
		t.Helper()
		opt, err := Trusting(known, dir, now)
		if err != nil {
			t.Fatal(err)
		}
		opt.Strict = strict
		v, err := VerifyReader(t.Context(), bytes.NewReader(report), int64(len(report)), opt)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	standing := func(v *Verdict, c sign.Code) Standing {
		for _, l := range v.Lines {
			if l.Code == c {
				return l.Standing
			}
		}
		return ""
	}
	want := func(v *Verdict, ok bool, signer, when Standing) {
		t.Helper()
		if v.OK != ok || standing(v, StrictSigner) != signer || standing(v, StrictTime) != when || standing(v, StrictRubric) != Good || standing(v, StrictForm) != Good {
			t.Errorf("ok %v; %+v", v.OK, v.Lines)
		}
		if (v.Strict == StrictMet) != ok {
			t.Errorf("strict: %s", v.Strict)
		}
	}
	v := judge(none, true)
	want(v, false, Bad, Bad)
	if v.Headline() != "Complete and unaltered, but it lacks what strict checking asks for." {
		t.Error(v.Headline())
	}
	if v := judge(none, false); !v.OK || v.Strict != "" || v.Has(StrictSigner) {
		t.Errorf("not asked for, yet said: %+v", v.Lines)
	}
	added, err := AddAuthorities(dir, ca.At("ca.pem"), Signers)
	if err != nil || len(added) != 1 || added[0].Name != "Invented Authority" {
		t.Fatalf("%v %+v", err, added)
	}
	if _, err := AddAuthorities(dir, ca.At("ca.pem"), Signers); err != nil {
		t.Errorf("added again: %v", err)
	}
	v = judge(none, true)
	want(v, false, Good, Bad)
	if !v.Has(sign.SignerTrusted) || !strings.Contains(judge(none, false).Headline(), "Anselm Tarry, whom an authority that is trusted here has certified") {
		t.Errorf("%+v", v.Lines)
	}
	// The authority that stamped is not the one for signers.
	stamped := filepath.Join(t.TempDir(), "tsa.pem")
	writeCertificate(t, report, stamped)
	if _, err := AddAuthorities(dir, stamped, Stamps); err != nil {
		t.Fatal(err)
	}
	want(judge(none, true), true, Good, Good)
	known, err := KnownKeys{}.Add(id.Fingerprint(), "Anselm Tarry, by telephone")
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(t.TempDir(), "known.json")
	if err := known.Save(list); err != nil {
		t.Fatal(err)
	}
	if _, err := RemoveAuthority(dir, added[0].Fingerprint[:12]); err != nil {
		t.Fatal(err)
	}
	want(judge(list, true), true, Good, Good)
	want(judge(none, true), false, Bad, Good)

	// An unsigned or cut report meets nothing, and nothing panics.
	for _, b := range [][]byte{plain, report[:len(report)/2], nil} {
		v, err := VerifyReader(t.Context(), bytes.NewReader(b), int64(len(b)), VerifyOptions{Strict: true, Limits: pdf.Limits{}})
		if err != nil || v.OK || v.Strict != StrictMissed || standing(v, StrictSigner) != Bad {
			t.Errorf("%v %+v", err, v)
		}
	}
}

// writeCertificate writes the certificate of the authority that stamped a report
// to a PEM file, by OpenSSL.
func writeCertificate(t *testing.T, report []byte, to string) {
	t.Helper()
	at := bytes.LastIndex(report, []byte("/Contents <"))
	der := report[at+len("/Contents <"):]
	der = der[:bytes.IndexByte(der, '>')]
	raw := make([]byte, hex.DecodedLen(len(der)))
	if _, err := hex.Decode(raw, der); err != nil {
		t.Fatal(err)
	}
	cms := pdfxtest.Write(t, "cms.der", raw)
	out := pdfxtest.Output(t, "openssl", "asn1parse", "-inform", "DER", "-in", cms)
	// The token is an attribute of its own: id-smime-aa-timeStampToken, with the
	// signed data behind it.
	lines := strings.Split(out, "\n")
	for i, l := range lines {
		if !strings.Contains(l, "id-smime-aa-timeStampToken") {
			continue
		}
		offset := strings.TrimSpace(strings.SplitN(lines[i+2], ":", 2)[0])
		pdfxtest.Output(t, "openssl", "asn1parse", "-inform", "DER", "-in", cms, "-strparse", offset, "-noout", "-out", cms+".tok")
		pdfxtest.Output(t, "openssl", "pkcs7", "-inform", "DER", "-in", cms+".tok", "-print_certs", "-out", to)
		return
	}
	t.Fatalf("the signature holds no token:\n%s", out)
}

// What is no list of authorities is refused with the file's name, and nothing
// half read is used.
func TestAuthoritiesRefused(t *testing.T) {
	ca := pdfxtest.NewAuthority(t)
	ca.Issue("leaf", "none", "/CN=A. Signer", "2020-2048", "a passphrase of the test")
	read := func(name string) []byte {
		b, err := os.ReadFile(ca.At(name))
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	dir := t.TempDir()
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"empty":                {nil, "holds no certificate"},
		"words":                {[]byte("trust me"), "holds no certificate"},
		"a key":                {read("ca.key"), "private key"},
		"a key behind":         {append(read("ca.pem"), read("ca.key")...), "private key"},
		"a signer's":           {read("leaf.pem"), "no authority's"},
		"broken":               {bytes.Replace(read("ca.pem"), []byte("MII"), []byte("MIA"), 1), "cannot be read"},
		"larger than a list":   {append(read("ca.pem"), make([]byte, 1<<20)...), "larger"},
		"something else in it": {[]byte("-----BEGIN PUBLIC KEY-----\nAAAA\n-----END PUBLIC KEY-----\n"), "beside certificates"},
	} {
		path := filepath.Join(t.TempDir(), "file.pem")
		if err := os.WriteFile(path, c.data, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := AddAuthorities(dir, path, Signers); err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "file.pem") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if list, err := LoadAuthorities(dir); err != nil || len(list) != 0 {
		t.Errorf("something was kept: %v %+v", err, list)
	}
	if err := os.MkdirAll(filepath.Join(dir, "stamps"), 0o755); err != nil {
		t.Fatal(err)
	}
	both := filepath.Join(dir, "stamps", "mine.pem")
	if err := os.WriteFile(both, append(read("ca.pem"), read("ca.pem")...), 0o600); err != nil {
		t.Fatal(err)
	}
	list, err := LoadAuthorities(dir)
	if err != nil || len(list) != 2 || list[0].Role != Stamps {
		t.Fatalf("%v %+v", err, list)
	}
	if _, err := RemoveAuthority(dir, list[0].Fingerprint); err == nil || !strings.Contains(err.Error(), "by hand") {
		t.Errorf("taken out of a file of two: %v", err)
	}
	if err := os.WriteFile(both, []byte("nothing"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Trusting(filepath.Join(dir, "none.json"), dir, time.Now()); err == nil || !strings.Contains(err.Error(), "mine.pem") {
		t.Errorf("a broken file is passed over: %v", err)
	}
}

// Whatever a report calls its files, extract writes below the folder only, never
// over anything, and nothing at all when a name is taken.
func TestExtractNames(t *testing.T) {
	r := reporttest.Demo(0)
	odd := map[string][]byte{"../escape.json": []byte("1"), "/etc/passwd": []byte("2"), "a/b/c": []byte("3"), "CON.json": []byte("4"), "con.JSON": []byte("5"), ".hidden": []byte("6"),
		"originals/../../x": []byte("7"), strings.Repeat("long", 60): []byte("8"), "x\u202e": []byte("9"), "ends. ": []byte("10")}
	path := pdfxtest.Write(t, "report.pdf", dishonest{pages: r, inside: r, files: odd}.make(t))
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	list, v, err := Extract(t.Context(), path, dir, ExtractOptions{Anyway: true})
	if err != nil || len(list) != len(odd)+2 {
		t.Fatalf("%v, %d files (%s)", err, len(list), v.Worst())
	}
	seen := map[string]bool{}
	for _, e := range list {
		b, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(e.File)))
		if err != nil || hexSum(b) != e.SHA256 || seen[strings.ToLower(e.File)] {
			t.Errorf("%q as %q: %v", e.Name, e.File, err)
		}
		seen[strings.ToLower(e.File)] = true
		if base := strings.ToLower(filepath.Base(e.File)); strings.HasPrefix(base, "con.") || base[0] == '.' || strings.ContainsAny(base, "\\:*?\u202e") || strings.HasSuffix(base, " ") {
			t.Errorf("%q is not a safe name", e.File)
		}
	}
	if outside, err := filepath.Glob(filepath.Join(parent, "*")); err != nil || len(outside) != 1 {
		t.Errorf("written outside: %v", outside)
	}
	other := filepath.Join(parent, "other")
	if err := os.MkdirAll(other, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(parent, "target"), filepath.Join(other, GradeName)); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Extract(t.Context(), path, other, ExtractOptions{Anyway: true}); err == nil || !strings.Contains(err.Error(), "there already") {
		t.Errorf("written over a link: %v", err)
	}
	if left, err := os.ReadDir(other); err != nil || len(left) != 1 {
		t.Errorf("written beside: %v", left)
	}
	altered := pdfxtest.Write(t, "altered.pdf", append(dishonest{pages: r, inside: r}.make(t), 'x'))
	if _, _, err := Extract(t.Context(), altered, filepath.Join(parent, "third"), ExtractOptions{}); err == nil || !strings.Contains(err.Error(), "nothing was written") {
		t.Errorf("an altered report gives files: %v", err)
	}
	if _, err := os.Stat(filepath.Join(parent, "third")); err == nil {
		t.Error("a folder was made for nothing")
	}
}
