package archive_test

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/pdfxtest"
)

// proofOf makes a proof and reads it back as from a file.
func proofOf(t *testing.T, a *archive.Archive, ask archive.ProofAsk) *archive.ProofFile {
	t.Helper()
	p, err := a.LineProof(context.Background(), ask)
	if err != nil {
		t.Fatal(err)
	}
	return again(t, p)
}

func again(t *testing.T, p *archive.ProofFile) *archive.ProofFile {
	t.Helper()
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	back, err := archive.ParseProof(b)
	if err != nil {
		t.Fatal(err)
	}
	return back
}

// A report is proven to stand in the log without the lines about others; an
// altered line, path, head or signature is not taken.
func TestLineProof(t *testing.T) {
	a, _ := newArchive(t)
	in := folderOf(t, 5)
	file(t, a, filepath.Join(in, "report-0.pdf"), filepath.Join(in, "report-1.pdf"))
	early, err := a.TreeHead()
	if err != nil {
		t.Fatal(err)
	}
	file(t, a, in)
	p := proofOf(t, a, archive.ProofAsk{Reports: []string{hash(made()[3])}, Earlier: []int64{early.Size}, Signer: dealer()})
	if len(p.Lines) != 1 || p.Head.Size != 5 || p.Head.Head() != a.Head() {
		t.Fatalf("%+v", p)
	}
	b, err := json.Marshal(p)
	if err != nil || strings.Contains(string(b), hash(made()[1])) {
		t.Errorf("another report is in it (%v)", err)
	}
	noted := a.Head()
	trust := archive.ProofTrust{VerifyOptions: pdfout.VerifyOptions{Known: pdfout.KnownKeys{dealer().Fingerprint(): "Calloway"}}, Noted: &noted, Earlier: &early}
	r := p.Check(trust)
	if !r.Holds || !r.Known || r.SignerName != "Calloway" || len(r.Lines) != 1 || r.Lines[0].File != hash(made()[3]) || !r.Noted {
		t.Fatalf("%+v", r)
	}
	other := archive.Head{Seq: 5, Hash: early.Hash}
	for name, c := range map[string]struct {
		harm func(p *archive.ProofFile, trust *archive.ProofTrust)
		says string
	}{
		"line": {func(p *archive.ProofFile, _ *archive.ProofTrust) {
			p.Lines[0].Text = strings.Replace(p.Lines[0].Text, "report-3", "report-4", 1)
		}, "does not stand in the log"},
		"number": {func(p *archive.ProofFile, _ *archive.ProofTrust) { p.Lines[0].Line++ }, "cannot be read"},
		"path":   {func(p *archive.ProofFile, _ *archive.ProofTrust) { p.Lines[0].Path[0] = early.Root }, "does not stand"},
		"root":   {func(p *archive.ProofFile, _ *archive.ProofTrust) { p.Head.Root = early.Root }, "does not stand"},
		"signature": {func(p *archive.ProofFile, _ *archive.ProofTrust) { p.Head.Time = p.Head.Time.AddDate(1, 0, 0) },
			"signature of the head does not hold"},
		"before":     {func(p *archive.ProofFile, _ *archive.ProofTrust) { p.Earlier[0].Root = p.Head.Root }, "lines were taken out or altered"},
		"not before": {func(p *archive.ProofFile, _ *archive.ProofTrust) { p.Earlier = nil }, "does not go on from the earlier head"},
		"noted":      {func(_ *archive.ProofFile, t *archive.ProofTrust) { t.Noted = &other }, "noted head 5 is not one of"},
	} {
		bad, by := again(t, p), trust
		c.harm(bad, &by)
		if r := bad.Check(by); r.Holds || !strings.Contains(strings.Join(r.Why, "\n"), c.says) {
			t.Errorf("%s: %+v", name, r.Why)
		}
	}
	if _, err := a.LineProof(context.Background(), archive.ProofAsk{Lines: []int64{6}}); err == nil {
		t.Error("line 6 of 5 is proven")
	}
	if _, err := a.LineProof(context.Background(), archive.ProofAsk{Reports: []string{hash(made()[7])}}); err == nil {
		t.Error("a report that was never filed is proven")
	}
}

// The head is stamped by OpenSSL's authority and judged by OpenSSL; a report is
// shown to have stood in the log by then.
func TestStamp(t *testing.T) {
	url, roots := pdfxtest.Stamps(t)
	a, dir := newArchive(t)
	if _, err := a.Stamp(context.Background(), archive.StampOptions{URL: url}); err == nil {
		t.Error("an empty log is stamped")
	}
	file(t, a, folderOf(t, 3))
	s, err := a.Stamp(context.Background(), archive.StampOptions{URL: url, Signer: dealer(), By: "R. Calloway"})
	if err != nil || s.Head.Size != 3 || s.Line != 4 || s.By.Authority != "Invented Time" {
		t.Fatalf("%+v (%v)", s, err)
	}
	if r := check(t, a, archive.CheckOptions{Trust: pdfout.VerifyOptions{TSARoots: roots}}); len(r.Findings) > 0 || r.Stamps != 1 {
		t.Errorf("%+v", r)
	}
	if list, err := a.Stamps(roots); err != nil || len(list) != 1 || !list[0].By.Trusted {
		t.Errorf("%+v (%v)", list, err)
	}
	p := proofOf(t, a, archive.ProofAsk{Reports: []string{hash(made()[0]), hash(made()[2])}})
	r := p.Check(archive.ProofTrust{VerifyOptions: pdfout.VerifyOptions{TSARoots: roots}})
	if !r.Holds || len(p.Stamps) != 1 || len(r.Lines) != 2 || r.Lines[0].Stamp == nil || !r.Lines[0].Stamp.Trusted {
		t.Fatalf("%+v", r)
	}
	p.Stamps[0].Head.Hash = p.Head.Hash
	if r := p.Check(archive.ProofTrust{}); r.Holds {
		t.Error("a stamp over another head is taken")
	}
	stampByOpenSSL(t, dir)
	if _, err := a.Stamp(context.Background(), archive.StampOptions{URL: "http://127.0.0.1:1/"}); err == nil {
		t.Error("stamped by nobody")
	}
}

// stampByOpenSSL takes head and token out of the log with Python and has OpenSSL
// judge them. The authority's certificate, self-made in the test, is the token's.
func stampByOpenSSL(t *testing.T, dir string) {
	t.Helper()
	to := t.TempDir()
	const take = `
import json, base64, sys
for line in open(sys.argv[1] + "/log.jsonl"):
    e = json.loads(line)
    if e["kind"] == "stamped":
        open(sys.argv[2] + "/head.json", "w").write(json.dumps(e["body"]["head"], sort_keys=True, separators=(",", ":"), ensure_ascii=False))
        open(sys.argv[2] + "/token.der", "wb").write(base64.b64decode(e["body"]["token"]))
        open(sys.argv[2] + "/head.p7s", "wb").write(base64.b64decode(e["body"]["signature"]))
`
	if out, err := exec.Command("python3", "-c", take, dir, to).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	at := func(n string) string { return filepath.Join(to, n) }
	pdfxtest.Output(t, "openssl", "pkcs7", "-inform", "DER", "-in", at("token.der"), "-print_certs", "-out", at("authority.pem"))
	out := pdfxtest.Output(t, "openssl", "ts", "-verify", "-token_in", "-in", at("token.der"), "-data", at("head.json"), "-CAfile", at("authority.pem"))
	if !strings.Contains(out, "Verification: OK") {
		t.Errorf("openssl ts: %s", out)
	}
	out = pdfxtest.Output(t, "openssl", "cms", "-verify", "-binary", "-noverify", "-inform", "DER", "-in", at("head.p7s"), "-content", at("head.json"), "-out", os.DevNull)
	if !strings.Contains(out, "successful") {
		t.Errorf("openssl cms: %s", out)
	}
	if err := os.WriteFile(at("head.json"), []byte(`{}`), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := pdfxtest.Run(t, "openssl", "ts", "-verify", "-token_in", "-in", at("token.der"), "-data", at("head.json"), "-CAfile", at("authority.pem")); err == nil {
		t.Errorf("openssl takes another head: %s", out)
	}
}

// A time-stamp in the log that is not over the log before it is found.
func TestForgedStampIsFound(t *testing.T) {
	url, roots := pdfxtest.Stamps(t)
	a, _ := newArchive(t)
	file(t, a, folderOf(t, 2))
	if _, err := a.Stamp(context.Background(), archive.StampOptions{URL: url}); err != nil {
		t.Fatal(err)
	}
	notes, err := a.Notes(archive.Stamped)
	if err != nil || len(notes) != 1 {
		t.Fatal(notes, err)
	}
	// The same token again, further on, as if nothing had come between.
	if err := a.Note(archive.Entry{Kind: archive.Stamped, Body: notes[0].Body}); err != nil {
		t.Fatal(err)
	}
	body := strings.Replace(string(notes[0].Body), `"size":2`, `"size":4`, 1)
	if err := a.Note(archive.Entry{Kind: archive.Stamped, Body: json.RawMessage(body)}); err != nil {
		t.Fatal(err)
	}
	r := check(t, a, archive.CheckOptions{Trust: pdfout.VerifyOptions{TSARoots: roots}})
	if len(r.Findings) != 2 || r.Findings[0].Severity != archive.Grave || r.Findings[0].Line != 4 || r.Findings[1].Line != 5 {
		t.Errorf("%+v", r.Findings)
	}
	// Whoever trusts no authority is told, which is no fault of the archive.
	b, _ := newArchive(t)
	file(t, b, folderOf(t, 1))
	if _, err := b.Stamp(context.Background(), archive.StampOptions{URL: url}); err != nil {
		t.Fatal(err)
	}
	r = check(t, b, archive.CheckOptions{})
	if len(r.Findings) != 1 || r.Findings[0].Severity != archive.Remark || !strings.Contains(r.Findings[0].Text, "Invented Time") || r.Wrong() {
		t.Errorf("%+v", r.Findings)
	}
}
