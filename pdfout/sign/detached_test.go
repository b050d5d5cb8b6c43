package sign

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/digitorus/timestamp"

	"wornwood/pdfout/pdfxtest"
)

// A signature over plain bytes is judged by OpenSSL as by CheckContent.
func TestSignContent(t *testing.T) {
	content := []byte(`{"a":1}`)
	id := key(t, examinerKey)
	der, err := SignContent(id, content)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := CheckContent(der, content)
	if err != nil || FingerprintOf(cert) != id.Fingerprint() {
		t.Fatalf("%v (%v)", cert, err)
	}
	if !LeadsTo(der, pool(id), signedAt) || LeadsTo(der, pool(authority(t, "Other")), signedAt) || LeadsTo(der, nil, signedAt) {
		t.Error("the way to a root is wrong")
	}
	out := pdfxtest.Output(t, "openssl", "cms", "-verify", "-cades", "-binary", "-inform", "DER", "-purpose", "any", "-in", pdfxtest.Write(t, "c.p7s", der),
		"-content", pdfxtest.Write(t, "c.json", content), "-CAfile", pdfxtest.Write(t, "c.pem", certificatePEM(id)), "-out", os.DevNull)
	if !strings.Contains(out, "CAdES Verification successful") {
		t.Errorf("openssl: %s", out)
	}
	if _, err := CheckContent(der, []byte(`{"a":2}`)); !errors.Is(err, errDigest) {
		t.Errorf("other bytes: %v", err)
	}
	for i := range der {
		bad := bytes.Clone(der)
		bad[i] ^= 4
		if cert, err := CheckContent(bad, content); err == nil && FingerprintOf(cert) != id.Fingerprint() {
			t.Fatalf("byte %d changed: taken as of another signer", i)
		}
	}
}

func TestCheckStamp(t *testing.T) {
	root := authority(t, "Time root")
	tsa := stampingKey(t, root)
	url := serve(t, func(req *timestamp.Request) []byte { return stamp(t, tsa, req.HashedMessage, req) })
	content := []byte("the head")
	digest := sha256.Sum256(content)
	tok, err := Stamp(context.Background(), nil, url, digest[:])
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name    string
		trusted bool
		check   func() (Stamped, error)
	}{
		{"no roots", false, func() (Stamped, error) { return CheckStamp(tok, content, nil) }},
		{"its root", true, func() (Stamped, error) { return CheckStamp(tok, content, pool(root)) }},
		{"another root", false, func() (Stamped, error) { return CheckStamp(tok, content, pool(authority(t, "Other"))) }},
	} {
		s, err := c.check()
		if err != nil || s.Trusted != c.trusted || !s.Time.Equal(stampedAt) || s.Authority != "Larkfoot Time" {
			t.Errorf("%s: %+v (%v)", c.name, s, err)
		}
	}
	if _, err := CheckStamp(tok, []byte("another"), pool(root)); err == nil {
		t.Error("a token over something else is taken")
	}
	bad := bytes.Replace(tok, []byte("20250314"), []byte("20190314"), 1)
	if _, err := CheckStamp(bad, content, nil); err == nil {
		t.Error("a token with another time is taken")
	}
}
