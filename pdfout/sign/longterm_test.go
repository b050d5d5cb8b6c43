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
	"io"
	"math/big"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/timestamp"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

// publisher is an authority that publishes what it has revoked.
type publisher struct{ *pdfxtest.Authority }

func newPublisher(t *testing.T) publisher { return publisher{pdfxtest.NewAuthority(t)} }

// issue makes a signer's key with a certificate that names the given services.
func (p publisher) issue(t *testing.T, section string) *Identity {
	t.Helper()
	id, err := LoadIdentity(p.Issue("signer", section, "/CN=Anselm Tarry", "2020-2048", "a long enough phrase"), "a long enough phrase")
	if err != nil {
		t.Fatal(err)
	}
	return id
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
		return VerifyOptions{Roots: p.Roots, TSARoots: pool(root), Now: time.Now().Add(time.Minute)}
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
			id := p.issue(t, section)
			plain := signedNow(t, id, nil)
			want(t, plain, true, SignerTrusted, RevocationUnknown)
			said := withStatements(t, plain)
			want(t, said, true, SignerTrusted, NotRevoked)
			if at, err := SignerRevoked(t.Context(), bytes.NewReader(said), int64(len(said))); err != nil || !at.IsZero() {
				t.Errorf("revoked at %v, %v", at, err)
			}
		})
	}
	t.Run("revoked", func(t *testing.T) {
		id := p.issue(t, "both")
		plain, stamped := signedNow(t, id, nil), signedNow(t, id, stamp)
		time.Sleep(1100 * time.Millisecond) // times in certificates have whole seconds
		p.Revoke("signer")
		want(t, withStatements(t, plain), false, Revoked)
		want(t, withStatements(t, stamped), true, RevokedLater, TrustedTime)
		said := withStatements(t, plain)
		if at, err := SignerRevoked(t.Context(), bytes.NewReader(said), int64(len(said))); err != nil || at.IsZero() {
			t.Errorf("revoked at %v, %v", at, err)
		}
		if at, err := SignerRevoked(t.Context(), bytes.NewReader(plain), int64(len(plain))); err != nil || !at.IsZero() {
			t.Errorf("without statements revoked at %v, %v", at, err)
		}
	})
	t.Run("an authority that does not answer", func(t *testing.T) {
		data := signedNow(t, p.issue(t, "both"), nil)
		p.Down = true
		defer func() { p.Down = false }()
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
		data := withStatements(t, signedNow(t, other.issue(t, "both"), nil))
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
