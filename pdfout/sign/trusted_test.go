package sign

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/pdfxtest"
)

// TestTrustedAuthority lets poppler judge a signature whose certificate comes
// from an authority that its NSS database trusts, and the same signature where
// it does not. (A self-made certificate is no authority, so NSS cannot be told
// to trust one; its reports are judged elsewhere without the certificate.)
func TestTrustedAuthority(t *testing.T) {
	dir := t.TempDir()
	at := func(n string) string { return filepath.Join(dir, n) }
	pdfxtest.Output(t, "openssl", "req", "-x509", "-nodes", "-days", "3650", "-subj", "/CN=Invented Authority", "-newkey", "ec",
		"-pkeyopt", "ec_paramgen_curve:P-256", "-keyout", at("ca.key"), "-out", at("ca.pem"))
	pdfxtest.Output(t, "openssl", "req", "-x509", "-nodes", "-days", "3650", "-subj", "/CN=Anselm Tarry/O=Merrow and Finch", "-newkey", "ec",
		"-pkeyopt", "ec_paramgen_curve:P-256", "-CA", at("ca.pem"), "-CAkey", at("ca.key"), "-addext", "basicConstraints=critical,CA:FALSE",
		"-addext", "keyUsage=critical,digitalSignature,nonRepudiation", "-addext", "extendedKeyUsage=emailProtection",
		"-keyout", at("key.pem"), "-out", at("cert.pem"))
	pdfxtest.Output(t, "openssl", "pkcs12", "-export", "-inkey", at("key.pem"), "-in", at("cert.pem"), "-certfile", at("ca.pem"),
		"-passout", "pass:a long enough phrase", "-out", at("key.p12"))
	id, err := LoadIdentity(at("key.p12"), "a long enough phrase")
	if err != nil {
		t.Fatal(err)
	}
	opt := examinerOptions()
	opt.Now = id.Certificate.NotBefore.Add(time.Minute)
	path := pdfxtest.Write(t, "report.pdf", signBytes(t, unsignedSample(t), id, opt))

	db := "sql:" + dir
	pdfxtest.Output(t, "certutil", "-N", "-d", db, "--empty-password")
	const trusted = "Certificate is Trusted."
	if out := pdfxtest.Output(t, "pdfsig", "-nssdir", db, path); strings.Contains(out, trusted) {
		t.Errorf("pdfsig trusts an authority that it was never told of:\n%s", out)
	}
	pdfxtest.Output(t, "certutil", "-A", "-d", db, "-n", "authority", "-t", "CT,C,C", "-i", at("ca.pem"))
	out := pdfxtest.Output(t, "pdfsig", "-nssdir", db, path)
	for _, want := range []string{"Signature is Valid.", trusted, "Total document signed", "Anselm Tarry"} {
		if !strings.Contains(out, want) {
			t.Errorf("pdfsig does not say %q:\n%s", want, out)
		}
	}
}
