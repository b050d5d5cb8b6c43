package sign

import (
	"bytes"
	"context"
	"crypto"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/timestamp"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

// publisher is an authority made with OpenSSL's own ca command, which answers
// on this machine what OpenSSL says: OCSP at /ocsp, its list at /list.
type publisher struct {
	t     *testing.T
	dir   string
	url   string
	roots *x509.CertPool
	down  bool
}

const publisherConfig = `
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
[both]
keyUsage = critical,digitalSignature,nonRepudiation
authorityInfoAccess = OCSP;URI:%[2]s/ocsp
crlDistributionPoints = URI:%[2]s/list
[list]
keyUsage = critical,digitalSignature,nonRepudiation
crlDistributionPoints = URI:%[2]s/list
`

func newPublisher(t *testing.T) *publisher {
	p := &publisher{t: t, dir: t.TempDir(), roots: x509.NewCertPool()}
	s := httptest.NewServer(http.HandlerFunc(p.serve))
	t.Cleanup(s.Close)
	p.url = s.URL
	for name, text := range map[string]string{"index.txt": "", "index.txt.attr": "unique_subject = no\n", "serial": "10\n", "crlnumber": "01\n", "ca.cnf": fmt.Sprintf(publisherConfig, p.dir, p.url)} {
		if err := os.WriteFile(p.at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pdfxtest.Output(t, "openssl", "req", "-x509", "-nodes", "-days", "3650", "-subj", "/CN=Invented Authority", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256",
		"-addext", "keyUsage=critical,keyCertSign,cRLSign,digitalSignature", "-keyout", p.at("ca.key"), "-out", p.at("ca.pem"))
	pem, err := os.ReadFile(p.at("ca.pem"))
	if err != nil || !p.roots.AppendCertsFromPEM(pem) {
		t.Fatal(err)
	}
	return p
}

func (p *publisher) at(name string) string { return filepath.Join(p.dir, name) }

func (p *publisher) serve(w http.ResponseWriter, r *http.Request) {
	if p.down {
		http.Error(w, "closed today", http.StatusServiceUnavailable)
		return
	}
	out, args := p.at("answer"), []string{"crl", "-in", p.at("list.pem"), "-outform", "DER", "-out", p.at("answer")}
	if r.URL.Path == "/ocsp" {
		b, err := io.ReadAll(r.Body)
		if err == nil {
			err = os.WriteFile(p.at("query"), b, 0o600)
		}
		if err != nil {
			p.t.Error(err)
		}
		args = []string{"ocsp", "-index", p.at("index.txt"), "-CA", p.at("ca.pem"), "-rsigner", p.at("ca.pem"), "-rkey", p.at("ca.key"),
			"-reqin", p.at("query"), "-respout", out, "-ndays", "7"}
	} else if _, err := pdfxtest.Run(p.t, "openssl", "ca", "-config", p.at("ca.cnf"), "-gencrl", "-out", p.at("list.pem")); err != nil {
		p.t.Error(err)
	}
	if _, err := pdfxtest.Run(p.t, "openssl", args...); err != nil {
		p.t.Error(err)
	}
	http.ServeFile(w, r, out)
}

// issue makes a signer's key with a certificate that names the given services.
func (p *publisher) issue(section string) *Identity {
	t := p.t
	t.Helper()
	pdfxtest.Output(t, "openssl", "req", "-new", "-nodes", "-subj", "/CN=Anselm Tarry", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-keyout", p.at("key.pem"), "-out", p.at("req.pem"))
	pdfxtest.Output(t, "openssl", "ca", "-batch", "-notext", "-config", p.at("ca.cnf"), "-extensions", section, "-in", p.at("req.pem"), "-out", p.at("cert.pem"))
	pdfxtest.Output(t, "openssl", "pkcs12", "-export", "-inkey", p.at("key.pem"), "-in", p.at("cert.pem"), "-certfile", p.at("ca.pem"),
		"-passout", "pass:a long enough phrase", "-out", p.at("key.p12"))
	id, err := LoadIdentity(p.at("key.p12"), "a long enough phrase")
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func (p *publisher) revoke() {
	p.t.Helper()
	pdfxtest.Output(p.t, "openssl", "ca", "-batch", "-config", p.at("ca.cnf"), "-revoke", p.at("cert.pem"))
}

func signedNow(t *testing.T, id *Identity, stamp func(context.Context, []byte) ([]byte, error)) []byte {
	t.Helper()
	opt := examinerOptions()
	opt.Now, opt.Timestamp = time.Now(), stamp
	return signBytes(t, unsignedSample(t), id, opt)
}

func withStatements(t *testing.T, data []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := AddRevocation(t.Context(), bytes.NewReader(data), int64(len(data)), &out, LongTermOptions{Now: time.Now()}); err != nil {
		t.Fatal(err)
	}
	pdfxtest.Check(t, pdfxtest.Write(t, "report.pdf", out.Bytes()))
	return out.Bytes()
}

// stamper is a time-stamp authority that stamps now.
func stamper(t *testing.T, tsa *Identity) func(context.Context, []byte) ([]byte, error) {
	return func(_ context.Context, digest []byte) ([]byte, error) {
		ts := timestamp.Timestamp{HashAlgorithm: crypto.SHA256, HashedMessage: digest, Time: time.Now().UTC().Truncate(time.Second), Policy: asn1.ObjectIdentifier{1, 3, 6, 1, 4, 1, 55555, 1}, AddTSACertificate: true}
		der, err := ts.CreateResponseWithOpts(tsa.Certificate, tsa.Key, crypto.SHA256)
		if err != nil {
			t.Fatal(err)
		}
		answer, err := timestamp.ParseResponse(der)
		if err != nil {
			t.Fatal(err)
		}
		return answer.RawToken, nil
	}
}

// What an authority says about revocation is embedded, found again, and judged
// without asking anybody.
func TestRevocation(t *testing.T) {
	p := newPublisher(t)
	root := authority(t, "Time root")
	stamp := stamper(t, stampingKey(t, root))
	opt := func() VerifyOptions {
		return VerifyOptions{Roots: p.roots, TSARoots: pool(root), Now: time.Now().Add(time.Minute)}
	}
	want := func(t *testing.T, data []byte, ok bool, codes ...Code) {
		t.Helper()
		r := verifyBytes(t, data, opt())
		for _, c := range codes {
			if !r.Has(c) || r.OK != ok || r.Signatures[0].Trusted != ok {
				t.Errorf("ok %v, trusted %v, want %v and %s: %+v", r.OK, r.Signatures[0].Trusted, ok, c, r.Findings)
			}
		}
	}
	for _, section := range []string{"both", "list"} {
		t.Run("not revoked, by "+section, func(t *testing.T) {
			id := p.issue(section)
			plain := signedNow(t, id, nil)
			want(t, plain, true, SignerTrusted, RevocationUnknown)
			want(t, withStatements(t, plain), true, SignerTrusted, NotRevoked)
		})
	}
	t.Run("revoked", func(t *testing.T) {
		id := p.issue("both")
		plain, stamped := signedNow(t, id, nil), signedNow(t, id, stamp)
		time.Sleep(1100 * time.Millisecond) // times in certificates have whole seconds
		p.revoke()
		want(t, withStatements(t, plain), false, Revoked)
		want(t, withStatements(t, stamped), true, RevokedLater, TrustedTime)
	})
	t.Run("an authority that does not answer", func(t *testing.T) {
		data := signedNow(t, p.issue("both"), nil)
		p.down = true
		defer func() { p.down = false }()
		err := AddRevocation(t.Context(), bytes.NewReader(data), int64(len(data)), io.Discard, LongTermOptions{Now: time.Now()})
		if !errors.Is(err, ErrRevocation) || !strings.Contains(err.Error(), "503") {
			t.Errorf("%v", err)
		}
	})
	t.Run("a self-made certificate", func(t *testing.T) {
		data := signedSample(t)
		err := AddRevocation(t.Context(), bytes.NewReader(data), int64(len(data)), io.Discard, LongTermOptions{Now: time.Now()})
		if !errors.Is(err, ErrSelfMade) {
			t.Errorf("%v", err)
		}
	})
	t.Run("statements of somebody else", func(t *testing.T) {
		other := newPublisher(t)
		data := withStatements(t, signedNow(t, other.issue("both"), nil))
		r := verifyBytes(t, data, opt())
		if r.Signatures[0].Trusted || r.Has(NotRevoked) {
			t.Errorf("%+v", r.Findings)
		}
		if err := AddRevocation(t.Context(), bytes.NewReader(data[:len(data)-9]), int64(len(data)-9), io.Discard, LongTermOptions{Now: time.Now()}); err == nil {
			t.Error("a damaged report is given a longer life")
		}
	})
}

// A time-stamp over the whole file can be added later, and again.
func TestAddTimestamp(t *testing.T) {
	root := authority(t, "Time root")
	stamp := stamper(t, stampingKey(t, root))
	data := countersigned(t)
	for n := 1; n <= 2; n++ {
		var out bytes.Buffer
		if err := AddTimestamp(t.Context(), bytes.NewReader(data), int64(len(data)), &out, LongTermOptions{Now: time.Now(), Timestamp: stamp}); err != nil {
			t.Fatal(err)
		}
		data = out.Bytes()
		pdfxtest.Check(t, pdfxtest.Write(t, "stamped.pdf", data))
		r := verifyBytes(t, data, VerifyOptions{TSARoots: pool(root)})
		if !r.OK || !r.Countersigned || !r.Has(DocumentStamped) || len(r.Signatures) != 2+n {
			t.Errorf("%d: %+v", n, r.Findings)
		}
	}
	for name, opt := range map[string]LongTermOptions{
		"no authority":       {Now: time.Now()},
		"one that is silent": {Now: time.Now(), TimestampURL: "http://127.0.0.1:1/"},
		"a token too long":   {Now: time.Now(), Timestamp: func(context.Context, []byte) ([]byte, error) { return make([]byte, reserved+1), nil }},
	} {
		if err := AddTimestamp(t.Context(), bytes.NewReader(data), int64(len(data)), io.Discard, opt); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	altered := appendRevision(t, data, changed(pageContents(t, data), text("0 0 9 9 re f")))
	if err := AddTimestamp(t.Context(), bytes.NewReader(altered), int64(len(altered)), io.Discard, LongTermOptions{Now: time.Now(), Timestamp: stamp}); !errors.Is(err, ErrAltered) {
		t.Errorf("an altered report is stamped: %v", err)
	}
}

func pageContents(t *testing.T, data []byte) int {
	_, page := pageOf(t, open(t, data), 2)
	return page["Contents"].(pdf.Ref).Num
}

// Lists that hold only part of what is revoked, or that another key signed,
// say nothing.
func TestPartialLists(t *testing.T) {
	root := authority(t, "Trusted root")
	root.Certificate.KeyUsage |= x509.KeyUsageCRLSign
	cert := certify(t, root, &x509.Certificate{KeyUsage: x509.KeyUsageDigitalSignature})
	list := func(by *Identity, ext ...asn1.ObjectIdentifier) *x509.RevocationList {
		l := &x509.RevocationList{Number: big.NewInt(1), ThisUpdate: signedAt, NextUpdate: signedAt.AddDate(0, 1, 0)}
		for _, oid := range ext {
			l.ExtraExtensions = append(l.ExtraExtensions, partial(oid))
		}
		der, err := x509.CreateRevocationList(rand.Reader, l, by.Certificate, by.Key)
		if err != nil {
			t.Fatal(err)
		}
		parsed, err := x509.ParseRevocationList(der)
		if err != nil {
			t.Fatal(err)
		}
		return parsed
	}
	other := authority(t, "Trusted root")
	other.Certificate.KeyUsage |= x509.KeyUsageCRLSign
	at := signedAt.AddDate(0, 0, 3)
	for name, c := range map[string]struct {
		list *x509.RevocationList
		at   time.Time
		want bool
	}{
		"a whole list":     {list(root), at, true},
		"another's":        {list(other), at, false},
		"a delta":          {list(root, oidDeltaCRL), at, false},
		"of one place":     {list(root, oidIssuingDist), at, false},
		"long out of date": {list(root), signedAt.AddDate(1, 0, 0), false},
	} {
		s := &statements{crls: []*x509.RevocationList{c.list}}
		if got := s.about(cert.Certificate, root.Certificate, c.at); got.known != c.want {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func partial(oid asn1.ObjectIdentifier) pkix.Extension {
	return pkix.Extension{Id: oid, Critical: true, Value: []byte{0x30, 0x00}}
}
