package sign

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"math/big"
	"testing"
	"time"

	"github.com/digitorus/pkcs7"
)

// authority makes a certificate authority, and issue a certificate of it.
func authority(t testing.TB, name string) *Identity {
	t.Helper()
	return certify(t, nil, &x509.Certificate{
		Subject: pkix.Name{CommonName: name}, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign,
	})
}

func certify(t testing.TB, parent *Identity, c *x509.Certificate) *Identity {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	if c.SerialNumber, err = rand.Int(rand.Reader, big.NewInt(1<<62)); err != nil {
		t.Fatal(err)
	}
	c.NotBefore, c.NotAfter = signedAt.Add(-time.Hour), signedAt.AddDate(5, 0, 0)
	issuer, signer := c, crypto.Signer(k)
	if parent != nil {
		issuer, signer = parent.Certificate, parent.Key
	}
	der, err := x509.CreateCertificate(rand.Reader, c, issuer, k.Public(), signer)
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return &Identity{Key: k, Certificate: cert}
}

func pool(ids ...*Identity) *x509.CertPool {
	p := x509.NewCertPool()
	for _, id := range ids {
		p.AddCert(id.Certificate)
	}
	return p
}

func TestTrust(t *testing.T) {
	plain := unsignedSample(t)
	root := authority(t, "Trusted root")
	issued := certify(t, root, &x509.Certificate{Subject: pkix.Name{CommonName: "Anselm Tarry"}, KeyUsage: x509.KeyUsageDigitalSignature})
	opt := VerifyOptions{Roots: pool(root), Now: signedAt}
	t.Run("a certificate of a configured authority", func(t *testing.T) {
		r := verifyBytes(t, signBytes(t, plain, issued, examinerOptions()), opt)
		if !r.OK || !r.Signatures[0].Trusted || !r.Has(SignerTrusted) || r.Has(SignerUnknown) {
			t.Errorf("%+v", r.Findings)
		}
	})
	t.Run("a self-made certificate with a trusted root thrown into the bag", func(t *testing.T) {
		own := *key(t, examinerKey)
		own.Chain = []*x509.Certificate{root.Certificate, issued.Certificate}
		r := verifyBytes(t, signBytes(t, plain, &own, examinerOptions()), opt)
		if r.Signatures[0].Trusted || !r.Has(SignerUnknown) || r.Has(SignerTrusted) || r.Has(SignerKnown) {
			t.Errorf("%+v", r.Findings)
		}
		if !r.Signatures[0].Certificate.Equal(own.Certificate) {
			t.Error("another certificate of the bag is taken for the signer's")
		}
	})
	t.Run("the issuer's name is copied, its key is not", func(t *testing.T) {
		fake := authority(t, "Trusted root")
		made := certify(t, fake, &x509.Certificate{Subject: pkix.Name{CommonName: "Anselm Tarry"}})
		made.Chain = []*x509.Certificate{fake.Certificate}
		r := verifyBytes(t, signBytes(t, plain, made, examinerOptions()), opt)
		if r.Signatures[0].Trusted || !r.Has(SignerUnknown) {
			t.Errorf("%+v", r.Findings)
		}
	})
	t.Run("signed outside the certificate's time", func(t *testing.T) {
		o := examinerOptions()
		o.Now = signedAt.AddDate(6, 0, 0)
		if r := verifyBytes(t, forge(t, plain, issued, o), VerifyOptions{}); !r.Has(OutsideValidity) {
			t.Errorf("%+v", r.Findings)
		}
		wantSignError(t, plain, issued, o, ErrExpired)
		o.Now = signedAt.AddDate(-1, 0, 0)
		wantSignError(t, plain, issued, o, ErrExpired)
	})
	t.Run("no system roots and no time are assumed", func(t *testing.T) {
		if _, err := Verify(t.Context(), nil, 0, VerifyOptions{Roots: pool(root)}); err == nil {
			t.Error("Roots without Now are accepted")
		}
	})
}

// remake encodes a signature after changing its parts; resign makes the
// signature value fit again.
func remake(t testing.TB, id *Identity, digest []byte, resign bool, change func(sd *signedData, si *signerInfo)) []byte {
	t.Helper()
	der, err := makeCMS(id, digest, nil)
	if err != nil {
		t.Fatal(err)
	}
	c, err := parseCMS(der, oidData)
	if err != nil {
		t.Fatal(err)
	}
	change(&c.data, &c.si)
	if resign {
		set := append([]byte{}, c.si.Signed.FullBytes...)
		set[0] = 0x31
		sum := sha256.Sum256(set)
		if c.si.Signature, err = id.Key.Sign(rand.Reader, sum[:], crypto.SHA256); err != nil {
			t.Fatal(err)
		}
	}
	if len(c.data.Signers) == 1 {
		c.data.Signers[0] = c.si
	}
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

// attrs encodes signed attributes as their [0] field.
func attrs(t testing.TB, list ...attribute) asn1.RawValue {
	t.Helper()
	der, err := asn1.MarshalWithParams(list, "set")
	if err != nil {
		t.Fatal(err)
	}
	der[0] = 0xA0
	return asn1.RawValue{FullBytes: der}
}

func attr(t testing.TB, oid asn1.ObjectIdentifier, v any) attribute {
	t.Helper()
	der, err := asn1.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return attribute{oid, []asn1.RawValue{{FullBytes: der}}}
}

// Signed attributes that lack something or say something else, under a
// signature value that fits them.
func TestBrokenAttributes(t *testing.T) {
	id, other := key(t, examinerKey), key(t, buyerKey)
	certV2 := func(c *x509.Certificate) attribute {
		sum := sha256.Sum256(c.Raw)
		return attr(t, oidSigningCertV2, signingCertificateV2{Certs: []essCertIDv2{{Hash: sum[:]}}})
	}
	kind := attr(t, oidContentType, oidData)
	own := certV2(id.Certificate)
	digest := func(d []byte) attribute { return attr(t, oidMessageDigest, d) }
	cases := map[string]struct {
		code Code
		list func(d []byte) []attribute
	}{
		"a digest of something else":   {AlteredBytes, func([]byte) []attribute { return []attribute{kind, digest(make([]byte, 32)), own} }},
		"no digest":                    {BrokenSignature, func([]byte) []attribute { return []attribute{kind, own} }},
		"the certificate is not named": {BrokenSignature, func(d []byte) []attribute { return []attribute{kind, digest(d)} }},
		"another certificate is named": {BrokenSignature, func(d []byte) []attribute { return []attribute{kind, digest(d), certV2(other.Certificate)} }},
		"no content type":              {BrokenSignature, func(d []byte) []attribute { return []attribute{digest(d), own} }},
		"another content type":         {BrokenSignature, func(d []byte) []attribute { return []attribute{attr(t, oidContentType, oidTSTInfo), digest(d), own} }},
		"an attribute twice":           {BrokenSignature, func(d []byte) []attribute { return []attribute{kind, digest(d), digest(make([]byte, 32)), own} }},
	}
	plain := unsignedSample(t)
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			data := forgeCMS(t, plain, func(d []byte) []byte {
				return remake(t, id, d, true, func(_ *signedData, si *signerInfo) { si.Signed = attrs(t, c.list(d)...) })
			})
			expect(t, data, c.code, VerifyOptions{})
		})
	}
	t.Run("the least that is right", func(t *testing.T) {
		data := forgeCMS(t, plain, func(d []byte) []byte {
			return remake(t, id, d, true, func(_ *signedData, si *signerInfo) { si.Signed = attrs(t, kind, digest(d), own) })
		})
		if r := verifyBytes(t, data, VerifyOptions{}); !r.OK {
			t.Errorf("the remaking itself is found: %+v", r.Findings)
		}
	})
}

func TestBrokenCMS(t *testing.T) {
	id, other := key(t, examinerKey), key(t, buyerKey)
	oidSHA1 := asn1.ObjectIdentifier{1, 3, 14, 3, 2, 26}
	cases := map[string]struct {
		code   Code
		change func(*signedData, *signerInfo)
	}{
		"the signature value changed": {BrokenSignature, func(_ *signedData, si *signerInfo) {
			si.Signature = append([]byte{}, si.Signature...)
			si.Signature[len(si.Signature)-1] ^= 1
		}},
		"no signed attributes": {BrokenSignature, func(_ *signedData, si *signerInfo) { si.Signed = asn1.RawValue{} }},
		"the certificate is missing": {BrokenSignature, func(sd *signedData, _ *signerInfo) {
			sd.Certificates = asn1.RawValue{Class: 2, Tag: 0, IsCompound: true, Bytes: other.Certificate.Raw}
		}},
		"two signers": {BrokenSignature, func(sd *signedData, si *signerInfo) { sd.Signers = []signerInfo{*si, *si} }},
		"SHA-1":       {WeakAlgorithm, func(_ *signedData, si *signerInfo) { si.Digest.Algorithm = oidSHA1 }},
		"a signature algorithm that does not fit the digest": {WeakAlgorithm, func(_ *signedData, si *signerInfo) {
			si.Algorithm.Algorithm = oidECDSASHA512
		}},
	}
	plain := unsignedSample(t)
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			expect(t, forgeCMS(t, plain, func(d []byte) []byte { return remake(t, id, d, false, c.change) }), c.code, VerifyOptions{})
		})
	}
	t.Run("other bytes behind the signature", func(t *testing.T) {
		data := forgeCMS(t, plain, func(d []byte) []byte {
			return append(remake(t, id, d, true, func(*signedData, *signerInfo) {}), 0, 0, 7)
		})
		expect(t, data, BrokenSignature, VerifyOptions{})
	})
	t.Run("no signature at all", func(t *testing.T) {
		expect(t, forgeCMS(t, plain, func([]byte) []byte { return nil }), BrokenSignature, VerifyOptions{})
	})
}

// Made by the CMS library with its default digest, SHA-1, and by a key of 1024
// bits.
func TestWeakSignatures(t *testing.T) {
	plain := unsignedSample(t)
	make1 := func(digest []byte, k crypto.Signer, cert *x509.Certificate, sha asn1.ObjectIdentifier) []byte {
		sd, err := pkcs7.NewSignedData([]byte("x"))
		if err != nil {
			t.Fatal(err)
		}
		sd.SetDigestAlgorithm(sha)
		if err := sd.AddSigner(cert, k, pkcs7.SignerInfoConfig{}); err != nil {
			t.Fatal(err)
		}
		sd.Detach()
		der, err := sd.Finish()
		if err != nil {
			t.Fatal(err)
		}
		return der
	}
	id := key(t, examinerKey)
	t.Run("SHA-1", func(t *testing.T) {
		expect(t, forgeCMS(t, plain, func(d []byte) []byte { return make1(d, id.Key, id.Certificate, pkcs7.OIDDigestAlgorithmSHA1) }), WeakAlgorithm, VerifyOptions{})
	})
	t.Run("a short RSA key", func(t *testing.T) {
		t.Setenv("GODEBUG", "rsa1024min=0")
		k, err := rsa.GenerateKey(rand.Reader, 1024)
		if err != nil {
			t.Fatal(err)
		}
		c := &x509.Certificate{SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: "Short"}, NotBefore: signedAt, NotAfter: signedAt.AddDate(1, 0, 0)}
		der, err := x509.CreateCertificate(rand.Reader, c, c, k.Public(), k)
		if err != nil {
			t.Fatal(err)
		}
		cert, err := x509.ParseCertificate(der)
		if err != nil {
			t.Fatal(err)
		}
		expect(t, forgeCMS(t, plain, func(d []byte) []byte { return make1(d, k, cert, pkcs7.OIDDigestAlgorithmSHA256) }), WeakAlgorithm, VerifyOptions{})
		if err := (&Identity{Key: k, Certificate: cert}).check(); err == nil {
			t.Error("a short key may sign")
		}
	})
}
