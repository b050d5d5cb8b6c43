package sign

import (
	"bytes"
	"encoding/asn1"
	"encoding/pem"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/pkcs7"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

// cut takes the CMS and the bytes it signs out of a file.
func cut(t *testing.T, data []byte, field string) (der, signed []byte) {
	t.Helper()
	v := open(t, data)
	d := get[pdf.Dict](t, v, fieldOf(t, v, field).value)
	r := d["ByteRange"].(pdf.Array)
	a, b, n := r[1].(int64), r[2].(int64), r[3].(int64)
	var raw asn1.RawValue
	if _, err := asn1.Unmarshal([]byte(d["Contents"].(pdf.String)), &raw); err != nil {
		t.Fatal(err)
	}
	return raw.FullBytes, append(bytes.Clone(data[:a]), data[b:b+n]...)
}

func certificatePEM(id *Identity) []byte {
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: id.Certificate.Raw})
}

// checkOutside lets poppler, OpenSSL, qpdf and the CMS library beneath judge a
// signature.
func checkOutside(t *testing.T, data []byte, field string, id *Identity) {
	t.Helper()
	path := pdfxtest.Write(t, "report.pdf", data)
	pdfxtest.Check(t, path)
	out := pdfxtest.Signatures(t, path)
	if n := len(open(t, data).File().Revisions) - 1; strings.Count(out, "Signature is Valid.") != n {
		t.Errorf("pdfsig does not find %d valid signatures:\n%s", n, out)
	}
	if !strings.Contains(out, "Signature Type: ETSI.CAdES.detached") {
		t.Errorf("pdfsig finds another type:\n%s", out)
	}
	der, signed := cut(t, data, field)
	// -cades checks signingCertificateV2 (RFC 5035).
	out = pdfxtest.Output(t, "openssl", "cms", "-verify", "-cades", "-binary", "-inform", "DER", "-purpose", "any",
		"-in", pdfxtest.Write(t, "sig.der", der), "-content", pdfxtest.Write(t, "signed.bin", signed),
		"-CAfile", pdfxtest.Write(t, "cert.pem", certificatePEM(id)), "-out", os.DevNull)
	if !strings.Contains(out, "CAdES Verification successful") {
		t.Errorf("openssl: %s", out)
	}
	p7, err := pkcs7.Parse(der)
	if err != nil {
		t.Fatal(err)
	}
	p7.Content = signed
	if err := p7.Verify(); err != nil {
		t.Errorf("CMS library: %v", err)
	}
	if !p7.GetOnlySigner().Equal(id.Certificate) {
		t.Error("CMS library finds another signer")
	}
}

// Keys made by OpenSSL and brought along as PKCS#12.
func TestKeysBroughtAlong(t *testing.T) {
	plain := unsignedSample(t)
	for _, kind := range [][]string{
		{"rsa2048", "rsa:2048"}, {"rsa3072", "rsa:3072"}, {"rsa4096", "rsa:4096"},
		{"p256", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"}, {"p384", "ec", "-pkeyopt", "ec_paramgen_curve:P-384"},
	} {
		t.Run(kind[0], func(t *testing.T) {
			dir := t.TempDir()
			at := func(n string) string { return filepath.Join(dir, n) }
			args := append([]string{"req", "-x509", "-nodes", "-days", "3650", "-subj", "/CN=Anselm Tarry/O=Merrow and Finch",
				"-keyout", at("key.pem"), "-out", at("cert.pem"), "-newkey"}, kind[1:]...)
			pdfxtest.Output(t, "openssl", args...)
			pdfxtest.Output(t, "openssl", "pkcs12", "-export", "-inkey", at("key.pem"), "-in", at("cert.pem"),
				"-passout", "pass:a long enough phrase", "-out", at("key.p12"))
			id, err := LoadIdentity(at("key.p12"), "a long enough phrase")
			if err != nil {
				t.Fatal(err)
			}
			opt := examinerOptions()
			opt.Now = id.Certificate.NotBefore.Add(time.Hour) // OpenSSL's certificates begin today
			data := signBytes(t, plain, id, opt)
			checkOutside(t, data, FieldExaminer, id)
			if r := verifyBytes(t, data, VerifyOptions{}); !r.OK || r.Signatures[0].Signer != "Anselm Tarry" {
				t.Errorf("not accepted: %+v", r.Findings)
			}
		})
	}
}

func TestOwnKeyOutside(t *testing.T) {
	checkOutside(t, signedSample(t), FieldExaminer, key(t, examinerKey))
	both := countersigned(t)
	checkOutside(t, both, FieldExaminer, key(t, examinerKey))
	checkOutside(t, both, FieldBuyer, key(t, buyerKey))
	path := pdfxtest.Write(t, "report.pdf", both)
	out := pdfxtest.Signatures(t, path)
	if strings.Count(out, "- Total document signed") != 1 || strings.Count(out, "- Not total document signed") != 1 {
		t.Errorf("pdfsig:\n%s", out)
	}
	to := filepath.Join(t.TempDir(), "out.json")
	pdfxtest.Output(t, "pdfdetach", "-save", "1", "-o", to, path)
	got, err := os.ReadFile(to)
	if err != nil || string(got) != sampleRecord {
		t.Errorf("pdfdetach gives %q, %v", got, err)
	}
}

// The signature says nothing about its time but the claimed one (ETSI EN 319
// 142-1, 6.3: no signing-time attribute), and what it must name it names.
func TestSignedAttributes(t *testing.T) {
	der, _ := cut(t, signedSample(t), FieldExaminer)
	c, err := parseCMS(der, oidData)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.attrs) != 3 {
		t.Errorf("%d signed attributes", len(c.attrs))
	}
	for _, oid := range []asn1.ObjectIdentifier{oidContentType, oidMessageDigest, oidSigningCertV2} {
		if c.attrs[oid.String()] == nil {
			t.Errorf("attribute %v is missing", oid)
		}
	}
	if c.attrs[oidSigningTime.String()] != nil {
		t.Error("there is a signing-time")
	}
}

// The PDF/A validator of the tests knows no later part of the standard than
// the first, which has no signatures like these; so here the signed file must
// at least open and render without complaint.
func TestSignedRenders(t *testing.T) {
	path := pdfxtest.Write(t, "report.pdf", countersigned(t))
	to := filepath.Join(t.TempDir(), "page")
	out := pdfxtest.Output(t, "pdftoppm", "-r", "40", "-gray", path, to)
	if strings.TrimSpace(out) != "" {
		t.Errorf("pdftoppm complains: %s", out)
	}
	text := pdfxtest.Output(t, "pdftotext", path, "-")
	if !strings.Contains(text, "Larkfoot Standard, page 2") {
		t.Errorf("pdftotext: %q", text)
	}
}

// darkPixels counts the dark pixels of a binary grey picture (PGM).
func darkPixels(t *testing.T, path string) int {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	// Three words of header after P5: width, height, largest value.
	fields := bytes.Fields(data[:min(len(data), 64)])
	if len(fields) < 4 || string(fields[0]) != "P5" {
		t.Fatalf("no grey picture: %.20q", data)
	}
	head := bytes.Index(data, fields[3]) + len(fields[3]) + 1
	n := 0
	for _, v := range data[head:] {
		if v < 100 {
			n++
		}
	}
	return n
}
