package pdfout

import (
	"crypto/x509"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

const stampConfig = `
[tsa]
default_tsa = here
[here]
serial = serial
crypto_device = builtin
signer_cert = tsa.pem
certs = tsa.pem
signer_key = tsa.key
signer_digest = sha256
default_policy = 1.3.6.1.4.1.55555.1
digests = sha256, sha384, sha512
ess_cert_id_alg = sha256
`

// stampAuthority runs OpenSSL's time-stamp authority on this machine.
func stampAuthority(t *testing.T) (url string, roots *x509.CertPool) {
	t.Helper()
	dir := t.TempDir()
	at := func(n string) string { return filepath.Join(dir, n) }
	for name, text := range map[string]string{"serial": "01\n", "ts.cnf": strings.NewReplacer("= serial", "= "+at("serial"), "= tsa.", "= "+at("tsa.")).Replace(stampConfig)} {
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pdfxtest.Output(t, "openssl", "req", "-x509", "-nodes", "-days", "3650", "-subj", "/CN=Invented Time", "-newkey", "rsa:2048", "-addext", "extendedKeyUsage=critical,timeStamping",
		"-addext", "keyUsage=critical,digitalSignature", "-keyout", at("tsa.key"), "-out", at("tsa.pem"))
	pem, err := os.ReadFile(at("tsa.pem"))
	roots = x509.NewCertPool()
	if err != nil || !roots.AppendCertsFromPEM(pem) {
		t.Fatal(err)
	}
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		b, err := io.ReadAll(r.Body)
		if err == nil {
			err = os.WriteFile(at("query"), b, 0o600)
		}
		if err != nil {
			t.Error(err)
		}
		if _, err := pdfxtest.Run(t, "openssl", "ts", "-reply", "-config", at("ts.cnf"), "-queryfile", at("query"), "-out", at("reply")); err != nil {
			t.Error(err)
		}
		w.Header().Set("Content-Type", "application/timestamp-reply")
		http.ServeFile(w, r, at("reply"))
	}))
	t.Cleanup(s.Close)
	return s.URL, roots
}

func TestExtend(t *testing.T) {
	honest := reporttest.Demo(1)
	report := forgery{honest, nil, mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))}.make(t)
	path := pdfxtest.Write(t, "report.pdf", report)
	to := filepath.Join(t.TempDir(), "longer.pdf")
	url, roots := stampAuthority(t)
	did, err := Extend(t.Context(), path, to, ExtendOptions{Now: time.Now(), TimestampURL: url})
	if err != nil {
		t.Fatal(err)
	}
	if did.Revocation || !did.Timestamp || did.Why == "" {
		t.Errorf("%+v", did)
	}
	v, err := Verify(t.Context(), to, VerifyOptions{TSARoots: roots, Now: time.Now()})
	if err != nil || !v.OK || !v.Has(sign.DocumentStamped) || !v.Has(sign.Unaltered) || !v.Has(GradeFollows) {
		t.Errorf("%v %+v", err, v)
	}
	pdfxtest.Check(t, to)
	left, err := filepath.Glob(filepath.Join(filepath.Dir(to), ".wornwood-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}

	for name, c := range map[string]struct {
		path, to, url, want string
	}{
		"a file that is there":      {path, to, url, "there already"},
		"nothing to add":            {path, to + "2", "", "name a time-stamp authority"},
		"an authority that is away": {path, to + "3", "http://127.0.0.1:1/", "no time-stamp"},
		"no report":                 {filepath.Join(t.TempDir(), "none.pdf"), to + "4", url, "no such file"},
		"an altered report":         {pdfxtest.Write(t, "bad.pdf", append(report[:len(report):len(report)], "x"...)), to + "5", url, "altered"},
	} {
		_, err := Extend(t.Context(), c.path, c.to, ExtendOptions{Now: time.Now(), TimestampURL: c.url})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := os.Stat(c.to); err == nil && c.to != to {
			t.Errorf("%s: a file is left", name)
		}
	}
}
