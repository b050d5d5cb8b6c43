package sign

import (
	"crypto/rand"
	"crypto/x509"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/pdfxtest"
)

const phrase = "correct willow bridge pin"

func TestKeyFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "key.p12")
	id := key(t, examinerKey)
	if err := SaveIdentity(path, id, phrase); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	back, err := LoadIdentity(path, phrase)
	if err != nil {
		t.Fatal(err)
	}
	if back.Fingerprint() != id.Fingerprint() || !back.Certificate.Equal(id.Certificate) {
		t.Error("another key comes back")
	}
	// OpenSSL opens the file and sees the raised number of iterations.
	out := pdfxtest.Output(t, "openssl", "pkcs12", "-in", path, "-passin", "pass:"+phrase, "-info", "-nokeys")
	for _, want := range []string{"Iteration 600000", "PBKDF2", "hmacWithSHA256", "AES-256-CBC", "CN = Anselm Tarry"} {
		if !strings.Contains(out, want) {
			t.Errorf("openssl does not find %q:\n%s", want, out)
		}
	}
	_, err = LoadIdentity(path, "wrong willow bridge pin")
	if !errors.Is(err, ErrPassphrase) {
		t.Errorf("wrong passphrase: %v", err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := SaveIdentity(path, key(t, buyerKey), phrase); err == nil || !strings.Contains(err.Error(), "never overwritten") {
		t.Errorf("overwriting: %v", err)
	}
	after, err := os.ReadFile(path)
	if err != nil || string(after) != string(before) {
		t.Error("the key file was touched")
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 1 {
		t.Errorf("left behind: %v, %v", list, err)
	}
}

func TestKeyFileRefusals(t *testing.T) {
	dir := t.TempDir()
	id := key(t, examinerKey)
	for _, short := range []string{"", "hunter", "elevenchars", "äöüßäöüßäöü"} {
		err := SaveIdentity(filepath.Join(dir, "short.p12"), id, short)
		if err == nil || !strings.Contains(err.Error(), "at least 12") {
			t.Errorf("passphrase of %d characters: %v", len([]rune(short)), err)
		}
		if short != "" && err != nil && strings.Contains(err.Error(), short) {
			t.Errorf("the passphrase stands in the error: %v", err)
		}
	}
	for name, data := range map[string][]byte{
		"empty.p12": {}, "text.p12": []byte("no key"), "big.p12": make([]byte, maxKeyFile+1),
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := LoadIdentity(path, phrase)
		if err == nil || !strings.Contains(err.Error(), name) || strings.Contains(err.Error(), phrase) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := LoadIdentity(filepath.Join(dir, "none.p12"), phrase); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("missing file: %v", err)
	}
	mixed := &Identity{Key: id.Key, Certificate: key(t, buyerKey).Certificate}
	if err := mixed.check(); err == nil {
		t.Error("the certificate of another key is accepted")
	}
}

func TestNewKey(t *testing.T) {
	id := key(t, examinerKey)
	c := id.Certificate
	if c.KeyUsage != x509.KeyUsageDigitalSignature|x509.KeyUsageContentCommitment || c.IsCA || c.Version != 3 {
		t.Errorf("usage %b, CA %v, version %d", c.KeyUsage, c.IsCA, c.Version)
	}
	if c.NotAfter.Before(signedAt.AddDate(10, 0, 0)) || c.NotBefore.After(signedAt) {
		t.Errorf("valid %v to %v", c.NotBefore, c.NotAfter)
	}
	if c.Subject.String() != "CN=Anselm Tarry,O=Merrow & Finch,C=GB" {
		t.Errorf("subject %v", c.Subject)
	}
	out := pdfxtest.Output(t, "openssl", "x509", "-noout", "-text", "-in", pdfxtest.Write(t, "cert.pem", certificatePEM(id)))
	for _, want := range []string{"Digital Signature, Non Repudiation", "ASN1 OID: prime256v1", "CA:FALSE"} {
		if !strings.Contains(out, want) {
			t.Errorf("openssl does not find %q:\n%s", want, out)
		}
	}
	for _, s := range []Subject{{}, {Name: "  "}, {Name: "A", Country: "uk"}, {Name: "A", Country: "GBR"}, {Name: strings.Repeat("a", 65)}} {
		if _, err := NewKey(s, signedAt, rand.Reader); err == nil {
			t.Errorf("subject %+v is accepted", s)
		}
	}
}

func TestFingerprint(t *testing.T) {
	id := key(t, examinerKey)
	f := id.Fingerprint()
	// The same by OpenSSL: SHA-256 of the SubjectPublicKeyInfo in DER.
	cert := pdfxtest.Write(t, "cert.pem", certificatePEM(id))
	pub := pdfxtest.Output(t, "openssl", "x509", "-noout", "-pubkey", "-in", cert)
	der := filepath.Join(t.TempDir(), "pub.der")
	pdfxtest.Output(t, "openssl", "pkey", "-pubin", "-in", pdfxtest.Write(t, "pub.pem", []byte(pub)), "-outform", "DER", "-out", der)
	sum := pdfxtest.Output(t, "openssl", "dgst", "-sha256", "-r", der)
	if !strings.HasPrefix(sum, string(f)+" ") {
		t.Errorf("openssl: %s, here %s", sum, f)
	}
	if len(f.Long()) != 64+15 || len(f.Short()) != 16+3 || !strings.HasPrefix(f.Long(), f.Short()+" ") {
		t.Errorf("%q %q", f.Long(), f.Short())
	}
	back, err := ParseFingerprint(strings.ToUpper(f.Long()))
	if err != nil || back != f {
		t.Errorf("%v, %v", back, err)
	}
	for _, s := range []string{"", f.Short(), string(f) + "00", strings.Repeat("g", 64)} {
		if _, err := ParseFingerprint(s); err == nil {
			t.Errorf("%q is accepted", s)
		}
	}
}
