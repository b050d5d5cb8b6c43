package pdfxtest

import (
	"crypto/x509"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// Authority is a certificate authority made with OpenSSL's own ca command,
// which answers on this machine what OpenSSL says: OCSP at /ocsp, its list at
// /list. Its certificates are for 2020 to 2048, so that tests may have clocks of
// their own.
type Authority struct {
	URL   string
	Roots *x509.CertPool
	Down  bool // it answers that it is closed

	t   testing.TB
	dir string
	mu  sync.Mutex // OpenSSL's files are for one at a time
}

const authorityConfig = `
[ca]
default_ca = here
[here]
dir = %[1]s
database = %[1]s/index.txt
serial = %[1]s/serial
crlnumber = %[1]s/crlnumber
new_certs_dir = %[1]s
certificate = %[1]s/ca.pem
private_key = %[1]s/ca.key
default_md = sha256
default_days = 800
default_crl_days = 30
policy = any
[any]
commonName = supplied
organizationName = optional
[root]
basicConstraints = critical,CA:TRUE
keyUsage = critical,keyCertSign,cRLSign,digitalSignature
subjectKeyIdentifier = hash
[both]
keyUsage = critical,digitalSignature,nonRepudiation
authorityInfoAccess = OCSP;URI:%[2]s/ocsp
crlDistributionPoints = URI:%[2]s/list
[list]
keyUsage = critical,digitalSignature,nonRepudiation
crlDistributionPoints = URI:%[2]s/list
[none]
keyUsage = critical,digitalSignature,nonRepudiation
[server]
keyUsage = critical,digitalSignature
extendedKeyUsage = serverAuth
`

// NewAuthority makes an authority that lives as long as the test.
func NewAuthority(t testing.TB) *Authority {
	t.Helper()
	a := &Authority{t: t, dir: t.TempDir(), Roots: x509.NewCertPool()}
	s := httptest.NewServer(http.HandlerFunc(a.serve))
	t.Cleanup(s.Close)
	a.URL = s.URL
	for name, text := range map[string]string{"index.txt": "", "index.txt.attr": "unique_subject = no\n", "serial": "10\n", "crlnumber": "01\n", "ca.cnf": fmt.Sprintf(authorityConfig, a.dir, a.URL)} {
		if err := os.WriteFile(a.At(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	a.request("ca", "/CN=Invented Authority", "ec", "-pkeyopt", "ec_paramgen_curve:P-256")
	Output(t, "openssl", "ca", "-batch", "-notext", "-selfsign", "-keyfile", a.At("ca.key"), "-config", a.At("ca.cnf"), "-extensions", "root",
		"-startdate", "20200101000000Z", "-enddate", "20481231000000Z", "-in", a.At("ca.csr"), "-out", a.At("ca.pem"))
	pem, err := os.ReadFile(a.At("ca.pem"))
	if err != nil || !a.Roots.AppendCertsFromPEM(pem) {
		t.Fatal(err)
	}
	return a
}

// At is a file of the authority: ca.pem is its certificate, NAME.key, NAME.pem
// and NAME.p12 what it issued under a name.
func (a *Authority) At(name string) string { return filepath.Join(a.dir, name) }

func (a *Authority) request(name, subject string, newkey ...string) {
	a.t.Helper()
	Output(a.t, "openssl", append([]string{"req", "-new", "-nodes", "-subj", subject, "-keyout", a.At(name + ".key"), "-out", a.At(name + ".csr"), "-newkey"}, newkey...)...)
}

// Issue certifies a new key for a subject such as "/CN=Anselm Tarry" and puts
// both with the authority's certificate into NAME.p12 under a passphrase. The
// section says which services the certificate names (both, list, none) or that
// it is for a server; years such as "2020-2048" bound it, newkey is OpenSSL's
// (P-256 without).
func (a *Authority) Issue(name, section, subject, years, passphrase string, newkey ...string) string {
	a.t.Helper()
	a.mu.Lock()
	defer a.mu.Unlock()
	if len(newkey) == 0 {
		newkey = []string{"ec", "-pkeyopt", "ec_paramgen_curve:P-256"}
	}
	from, until, ok := strings.Cut(years, "-")
	if !ok {
		a.t.Fatalf("%q are no years such as 2020-2048", years)
	}
	a.request(name, subject, newkey...)
	Output(a.t, "openssl", "ca", "-batch", "-notext", "-config", a.At("ca.cnf"), "-extensions", section,
		"-startdate", from+"0101000000Z", "-enddate", until+"0101000000Z", "-in", a.At(name+".csr"), "-out", a.At(name+".pem"))
	Output(a.t, "openssl", "pkcs12", "-export", "-inkey", a.At(name+".key"), "-in", a.At(name+".pem"), "-certfile", a.At("ca.pem"),
		"-passout", "pass:"+passphrase, "-out", a.At(name+".p12"))
	return a.At(name + ".p12")
}

// Revoke revokes what was issued under a name, as of now.
func (a *Authority) Revoke(name string) {
	a.t.Helper()
	a.mu.Lock()
	defer a.mu.Unlock()
	Output(a.t, "openssl", "ca", "-batch", "-config", a.At("ca.cnf"), "-revoke", a.At(name+".pem"))
}

func (a *Authority) serve(w http.ResponseWriter, r *http.Request) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.Down {
		http.Error(w, "closed today", http.StatusServiceUnavailable)
		return
	}
	out, args := a.At("answer"), []string{"crl", "-in", a.At("list.pem"), "-outform", "DER", "-out", a.At("answer")}
	if r.URL.Path == "/ocsp" {
		b, err := io.ReadAll(r.Body)
		if err == nil {
			err = os.WriteFile(a.At("query"), b, 0o600)
		}
		if err != nil {
			a.t.Error(err)
		}
		args = []string{"ocsp", "-index", a.At("index.txt"), "-CA", a.At("ca.pem"), "-rsigner", a.At("ca.pem"), "-rkey", a.At("ca.key"),
			"-reqin", a.At("query"), "-respout", out, "-ndays", "7"}
	} else if _, err := Run(a.t, "openssl", "ca", "-config", a.At("ca.cnf"), "-gencrl", "-out", a.At("list.pem")); err != nil {
		a.t.Error(err)
	}
	if _, err := Run(a.t, "openssl", args...); err != nil {
		a.t.Error(err)
	}
	http.ServeFile(w, r, out)
}

const stampConfig = `
[tsa]
default_tsa = here
[here]
serial = %[1]s/serial
crypto_device = builtin
signer_cert = %[1]s/tsa.pem
certs = %[1]s/tsa.pem
signer_key = %[1]s/tsa.key
signer_digest = sha256
default_policy = 1.3.6.1.4.1.55555.1
digests = sha256, sha384, sha512
ess_cert_id_alg = sha256
`

// Stamps runs OpenSSL's time-stamp authority (RFC 3161) on this machine for as
// long as the test lives.
func Stamps(t testing.TB) (url string, roots *x509.CertPool) {
	t.Helper()
	dir := t.TempDir()
	at := func(n string) string { return filepath.Join(dir, n) }
	for name, text := range map[string]string{"serial": "01\n", "ts.cnf": fmt.Sprintf(stampConfig, dir)} {
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	Output(t, "openssl", "req", "-x509", "-nodes", "-days", "3650", "-subj", "/CN=Invented Time", "-newkey", "rsa:2048", "-addext", "extendedKeyUsage=critical,timeStamping",
		"-addext", "keyUsage=critical,digitalSignature", "-keyout", at("tsa.key"), "-out", at("tsa.pem"))
	pem, err := os.ReadFile(at("tsa.pem"))
	roots = x509.NewCertPool()
	if err != nil || !roots.AppendCertsFromPEM(pem) {
		t.Fatal(err)
	}
	var mu sync.Mutex
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mu.Lock()
		defer mu.Unlock()
		b, err := io.ReadAll(r.Body)
		if err == nil {
			err = os.WriteFile(at("query"), b, 0o600)
		}
		if err != nil {
			t.Error(err)
		}
		if _, err := Run(t, "openssl", "ts", "-reply", "-config", at("ts.cnf"), "-queryfile", at("query"), "-out", at("reply")); err != nil {
			t.Error(err)
		}
		w.Header().Set("Content-Type", "application/timestamp-reply")
		http.ServeFile(w, r, at("reply"))
	}))
	t.Cleanup(s.Close)
	return s.URL, roots
}
