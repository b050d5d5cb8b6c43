package sign

import (
	"bytes"
	"context"
	"crypto"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/digitorus/timestamp"

	"wornwood/pdfout/pdf"
	"wornwood/pdfout/pdfxtest"
)

var stampedAt = signedAt.Add(90 * time.Second)

// oidExtKeyUsage must be critical in an authority's certificate (RFC 3161, 2.3).
var oidExtKeyUsage = asn1.ObjectIdentifier{2, 5, 29, 37}

func stampingKey(t testing.TB, root *Identity) *Identity {
	t.Helper()
	eku, err := asn1.Marshal([]asn1.ObjectIdentifier{{1, 3, 6, 1, 5, 5, 7, 3, 8}})
	if err != nil {
		t.Fatal(err)
	}
	return certify(t, root, &x509.Certificate{
		Subject: pkix.Name{CommonName: "Larkfoot Time"}, KeyUsage: x509.KeyUsageDigitalSignature,
		ExtraExtensions: []pkix.Extension{{Id: oidExtKeyUsage, Critical: true, Value: eku}},
	})
}

// stamp makes a response of an authority over a digest.
func stamp(t testing.TB, id *Identity, digest []byte, req *timestamp.Request) []byte {
	t.Helper()
	ts := timestamp.Timestamp{
		HashAlgorithm: crypto.SHA256, HashedMessage: digest, Time: stampedAt, Policy: asn1.ObjectIdentifier{1, 3, 6, 1, 4, 1, 55555, 1},
		AddTSACertificate: true, Accuracy: time.Second,
	}
	if req != nil {
		ts.Nonce = req.Nonce
	}
	der, err := ts.CreateResponseWithOpts(id.Certificate, id.Key, crypto.SHA256)
	if err != nil {
		t.Fatal(err)
	}
	return der
}

func token(t testing.TB, id *Identity, digest []byte) []byte {
	t.Helper()
	ts, err := timestamp.ParseResponse(stamp(t, id, digest, nil))
	if err != nil {
		t.Fatal(err)
	}
	return ts.RawToken
}

// serve runs an authority on this machine that answers with make.
func serve(t *testing.T, make func(req *timestamp.Request) []byte) string {
	t.Helper()
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		if err != nil || r.Header.Get("Content-Type") != "application/timestamp-query" {
			http.Error(w, "bad", http.StatusBadRequest)
			return
		}
		req, err := timestamp.ParseRequest(body)
		if err != nil {
			http.Error(w, "bad", http.StatusBadRequest)
			return
		}
		w.Header().Set("Content-Type", "application/timestamp-reply")
		if _, err := w.Write(make(req)); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(s.Close)
	return s.URL
}

func TestTimestamp(t *testing.T) {
	root := authority(t, "Time root")
	tsa := stampingKey(t, root)
	url := serve(t, func(req *timestamp.Request) []byte { return stamp(t, tsa, req.HashedMessage, req) })
	opt := examinerOptions()
	opt.TimestampURL = url
	data := signBytes(t, unsignedSample(t), key(t, examinerKey), opt)
	checkOutside(t, data, FieldExaminer, key(t, examinerKey))
	r := verifyBytes(t, data, VerifyOptions{TSARoots: pool(root)})
	if s := r.Signatures[0]; !r.OK || !r.Has(TrustedTime) || !s.TrustedTime.Equal(stampedAt) || s.Authority != "Larkfoot Time" {
		t.Errorf("%+v %+v", r.Findings, s)
	}
	// The same token judged by OpenSSL.
	der, _ := cut(t, data, FieldExaminer)
	c, err := parseCMS(der, oidData)
	if err != nil {
		t.Fatal(err)
	}
	tok, err := c.timeToken()
	if err != nil || tok == nil {
		t.Fatalf("no token: %v", err)
	}
	sum := sha256.Sum256(c.si.Signature)
	out := pdfxtest.Output(t, "openssl", "ts", "-verify", "-token_in", "-in", pdfxtest.Write(t, "token.der", tok), "-digest", fmt.Sprintf("%x", sum),
		"-CAfile", pdfxtest.Write(t, "root.pem", certificatePEM(root)), "-attime", fmt.Sprint(stampedAt.Unix()))
	if !strings.Contains(out, "Verification: OK") {
		t.Errorf("openssl ts: %s", out)
	}
	t.Run("no authority is configured", func(t *testing.T) { noTime(t, data, VerifyOptions{}) })
	t.Run("another authority is configured", func(t *testing.T) {
		noTime(t, data, VerifyOptions{TSARoots: pool(authority(t, "Other root"))})
	})
}

// noTime wants the report intact but no time trusted.
func noTime(t *testing.T, data []byte, opt VerifyOptions) {
	t.Helper()
	r := verifyBytes(t, data, opt)
	if !r.Has(NoTrustedTime) || r.Has(TrustedTime) || !r.Signatures[0].TrustedTime.IsZero() {
		t.Errorf("a time is trusted: %+v", r.Findings)
	}
	if !r.OK || !r.Has(ClaimedTime) {
		t.Errorf("the signature itself is not accepted: %+v", r.Findings)
	}
	for _, f := range r.Findings {
		t.Logf("%s %s: %s", f.Severity, f.Code, f.Text)
	}
}

func TestBadTokens(t *testing.T) {
	root := authority(t, "Time root")
	tsa := stampingKey(t, root)
	plain := certify(t, root, &x509.Certificate{Subject: pkix.Name{CommonName: "No clock"}, KeyUsage: x509.KeyUsageDigitalSignature})
	other := sha256.Sum256([]byte("something else"))
	cases := map[string]func(digest []byte) []byte{
		"a token over another digest": func([]byte) []byte { return token(t, tsa, other[:]) },
		"a token whose signature was changed": func(d []byte) []byte {
			tok := bytes.Clone(token(t, tsa, d))
			tok[len(tok)-3] ^= 1
			return tok
		},
		"a token whose time was changed": func(d []byte) []byte {
			return bytes.Replace(token(t, tsa, d), []byte("20250314"), []byte("20190314"), 1)
		},
		"a token that nobody signed": func(d []byte) []byte {
			return unsignedToken(t, token(t, tsa, d))
		},
		"a certificate that is not for time-stamping": func(d []byte) []byte { return token(t, plain, d) },
		"an authority that made itself":               func(d []byte) []byte { return token(t, stampingKey(t, authority(t, "Time root")), d) },
		"no token but other data":                     func([]byte) []byte { return []byte{0x30, 0x03, 0x02, 0x01, 0x05} },
	}
	for name, make := range cases {
		t.Run(name, func(t *testing.T) {
			opt := examinerOptions()
			opt.Timestamp = func(_ context.Context, d []byte) ([]byte, error) { return make(d), nil }
			noTime(t, signBytes(t, unsignedSample(t), key(t, examinerKey), opt), VerifyOptions{TSARoots: pool(root)})
		})
	}
}

// unsignedToken takes the signer out of a token.
func unsignedToken(t *testing.T, tok []byte) []byte {
	t.Helper()
	c, err := parseCMS(tok, oidTSTInfo)
	if err != nil {
		t.Fatal(err)
	}
	c.data.Signers = []signerInfo{}
	inner, err := asn1.Marshal(c.data)
	if err != nil {
		t.Fatal(err)
	}
	out, err := asn1.Marshal(contentInfo{oidSignedData, asn1.RawValue{Class: 2, Tag: 0, IsCompound: true, Bytes: inner}})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestAuthorityFails(t *testing.T) {
	root := authority(t, "Time root")
	tsa := stampingKey(t, root)
	other := sha256.Sum256([]byte("something else"))
	cases := map[string]func(req *timestamp.Request) []byte{
		"it answers with a page":       func(*timestamp.Request) []byte { return []byte("<html>") },
		"it answers without end":       func(*timestamp.Request) []byte { return make([]byte, maxToken+10) },
		"it answers another question":  func(req *timestamp.Request) []byte { return stamp(t, tsa, other[:], req) },
		"it repeats an earlier answer": func(req *timestamp.Request) []byte { return stamp(t, tsa, req.HashedMessage, nil) },
		"it refuses": func(*timestamp.Request) []byte {
			der, err := timestamp.CreateErrorResponse(timestamp.Rejection, timestamp.BadAlgorithm)
			if err != nil {
				t.Error(err)
			}
			return der
		},
	}
	for name, answer := range cases {
		t.Run(name, func(t *testing.T) {
			opt := examinerOptions()
			opt.TimestampURL = serve(t, answer)
			wantSignError(t, unsignedSample(t), key(t, examinerKey), opt, ErrTimestamp)
		})
	}
	t.Run("nobody is there", func(t *testing.T) {
		s := httptest.NewServer(nil)
		s.Close()
		opt := examinerOptions()
		opt.TimestampURL = s.URL
		wantSignError(t, unsignedSample(t), key(t, examinerKey), opt, ErrTimestamp)
	})
	t.Run("cancelled", func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		data := unsignedSample(t)
		err := Sign(ctx, bytes.NewReader(data), int64(len(data)), io.Discard, key(t, examinerKey), examinerOptions())
		if !errors.Is(err, context.Canceled) {
			t.Errorf("got %v", err)
		}
	})
}

// A time-stamp over the whole file and certificates for later checking may be
// added after the signatures (ISO 32000-2, 12.8.4.3 and 12.8.5).
func TestLaterAdditions(t *testing.T) {
	root := authority(t, "Time root")
	tsa := stampingKey(t, root)
	both := countersigned(t)
	opt := VerifyOptions{TSARoots: pool(root)}
	v := open(t, both)
	catRef, cat := catalog(t, v)
	next := int(v.Trailer()["Size"].(int64))
	cat["DSS"] = pdf.Dict{"Certs": pdf.Array{pdf.Ref{Num: next}}}
	dss := appendRevision(t, both, revision{objects: map[int]pdf.Object{
		catRef.Num: cat, next: pdf.NewStream(pdf.Dict{}, root.Certificate.Raw)}})
	if r := verifyBytes(t, dss, opt); !r.OK || !r.Countersigned {
		t.Errorf("certificates added: %+v", r.Findings)
	}
	stamped := documentStamp(t, dss, tsa, pdf.Rect{})
	r := verifyBytes(t, stamped, opt)
	if !r.OK || !r.Has(DocumentStamped) || len(r.Signatures) != 3 {
		t.Errorf("time-stamp over the file: %+v", r.Findings)
	}
	pdfxtest.Check(t, pdfxtest.Write(t, "stamped.pdf", stamped))
	t.Run("a time-stamp field that can be seen", func(t *testing.T) {
		expect(t, documentStamp(t, dss, tsa, pdf.Rect{0, 0, 500, 700}), ChangedAfter, opt)
	})
	t.Run("a page changed along with the certificates", func(t *testing.T) {
		ref, page := pageOf(t, v, 1)
		page["Rotate"] = int64(90)
		expect(t, appendRevision(t, both, revision{objects: map[int]pdf.Object{
			catRef.Num: cat, next: text("x"), ref.Num: page}}), ChangedAfter, opt)
	})
	t.Run("a time-stamp over other bytes", func(t *testing.T) {
		bad := bytes.Clone(stamped)
		v := open(t, bad)
		sig := get[pdf.Dict](t, v, fieldOf(t, v, "Stamp").value)
		i := bytes.LastIndex(bad, fmt.Appendf(nil, "%X", string(sig["Contents"].(pdf.String))[:40]))
		bad[i+200] ^= 1 // a digit of the token
		if r := verifyBytes(t, bad, opt); r.Has(DocumentStamped) {
			t.Errorf("accepted: %+v", r.Findings)
		}
	})
}

// documentStamp appends a time-stamp over the whole file the way other
// programs do: a new field on the first page.
func documentStamp(t *testing.T, data []byte, tsa *Identity, rect pdf.Rect) []byte {
	t.Helper()
	v := open(t, data)
	_, cat := catalog(t, v)
	formRef := cat["AcroForm"].(pdf.Ref)
	form := get[pdf.Dict](t, v, formRef).Clone()
	pageRef, page := pageOf(t, v, 1)
	b := &builder{size: int64(len(data)), offsets: map[int]int64{}, next: int(v.Trailer()["Size"].(int64))}
	fieldRef, sigRef := b.alloc(), b.alloc()
	form["Fields"] = append(append(pdf.Array{}, form["Fields"].(pdf.Array)...), fieldRef)
	page["Annots"] = append(append(pdf.Array{}, get[pdf.Array](t, v, page["Annots"])...), fieldRef)
	widget := pdf.Dict{"Type": pdf.Name("Annot"), "Subtype": pdf.Name("Widget"), "FT": pdf.Name("Sig"), "T": pdf.String("Stamp"), "F": int64(132), "P": pageRef,
		"Rect": pdf.Array{pdf.Num(rect[0]), pdf.Num(rect[1]), pdf.Num(rect[2]), pdf.Num(rect[3])}, "V": sigRef}
	for ref, o := range map[pdf.Ref]pdf.Object{formRef: form, pageRef: page, fieldRef: widget} {
		if err := b.put(ref, o); err != nil {
			t.Fatal(err)
		}
	}
	u := &update{}
	at := b.putSignature(sigRef, pdf.Dict{"Type": pdf.Name("DocTimeStamp"), "Filter": pdf.Name("Adobe.PPKLite"), "SubFilter": pdf.Name("ETSI.RFC3161")}, u)
	b.putTable(v, SignOptions{Now: stampedAt})
	u.bytes = b.out.Bytes()
	n := int64(len(data))
	copy(u.bytes[at:], fmt.Sprintf("[0 %d %d %d]", n+u.gap.Start, n+u.gap.End, int64(len(u.bytes))-u.gap.End))
	h := sha256.New()
	h.Write(data)
	h.Write(u.bytes[:u.gap.Start])
	h.Write(u.bytes[u.gap.End:])
	copy(u.bytes[u.gap.Start+1:], fmt.Sprintf("%X", token(t, tsa, h.Sum(nil))))
	return append(bytes.Clone(data), u.bytes...)
}
