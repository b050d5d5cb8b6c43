package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/rsa"
	"crypto/sha1" //nolint:gosec // only to recognise a certificate named by the first version of the attribute
	"crypto/sha256"
	"crypto/sha512"
	"crypto/x509"
	"encoding/asn1"
	"errors"
	"fmt"
	"hash"
)

// What is checked here and not by the CMS library's own Verify, which accepts
// BER, any number of signers down to SHA-1, and looks at neither the content
// type nor the certificate's identification: strict DER; one signer; digests
// of the SHA-2 family only, and a signature algorithm that fits; RSA from 2048
// bits, curves P-256 to P-521; each signed attribute once with one value; the
// content type; the message digest; the certificate named under the
// signature's protection (signingCertificateV2); certificates of the bag as
// links of a chain and never as its anchor; no use of a signing-time.

// cms is one parsed and structurally checked signature.
type cms struct {
	data  signedData
	si    signerInfo
	cert  *x509.Certificate   // the signer's
	bag   []*x509.Certificate // all certificates that came along
	hash  func() hash.Hash
	alg   crypto.Hash
	attrs map[string][]byte // signed attributes by OID, each with its one value
}

// weakError says that an algorithm or a key is too weak or not known.
type weakError string

func (e weakError) Error() string { return string(e) }

const maxCertificates = 32

// parseCMS reads a DER encoded SignedData with exactly one signer. Bytes
// after it must be the zeros that fill its place in the file.
func parseCMS(der []byte, contentType asn1.ObjectIdentifier) (*cms, error) {
	var ci contentInfo
	rest, err := asn1.Unmarshal(der, &ci)
	if err != nil {
		return nil, fmt.Errorf("it is not a CMS signature: %w", err)
	}
	if len(bytes.Trim(rest, "\x00")) > 0 {
		return nil, errors.New("other bytes follow the CMS signature")
	}
	if !ci.Type.Equal(oidSignedData) {
		return nil, errors.New("it is not signed data")
	}
	c := &cms{}
	if rest, err = asn1.Unmarshal(ci.Content.Bytes, &c.data); err != nil || len(rest) > 0 {
		return nil, errors.New("its signed data is broken")
	}
	if len(c.data.Signers) != 1 {
		return nil, fmt.Errorf("it has %d signers instead of one", len(c.data.Signers))
	}
	c.si = c.data.Signers[0]
	if !c.data.Content.Type.Equal(contentType) {
		return nil, errors.New("it signs another kind of content")
	}
	if err := c.pickHash(); err != nil {
		return nil, err
	}
	if c.bag, err = x509.ParseCertificates(c.data.Certificates.Bytes); err != nil {
		return nil, fmt.Errorf("its certificates are broken: %w", err)
	}
	if len(c.bag) > maxCertificates {
		return nil, fmt.Errorf("it carries %d certificates", len(c.bag))
	}
	if err := c.pickSigner(); err != nil {
		return nil, err
	}
	return c, c.readAttributes(contentType)
}

func (c *cms) pickHash() error {
	switch oid := c.si.Digest.Algorithm; {
	case oid.Equal(oidSHA256):
		c.alg, c.hash = crypto.SHA256, sha256.New
	case oid.Equal(oidSHA384):
		c.alg, c.hash = crypto.SHA384, sha512.New384
	case oid.Equal(oidSHA512):
		c.alg, c.hash = crypto.SHA512, sha512.New
	default:
		return weakError("its digest algorithm is not SHA-256, SHA-384 or SHA-512")
	}
	return nil
}

// pickSigner finds the certificate that the signer's identifier names. The
// identifier is not protected; that it is the right one is what
// signingCertificateV2 proves.
func (c *cms) pickSigner() error {
	sid := c.si.SID
	for _, cert := range c.bag {
		if sid.Class == asn1.ClassContextSpecific && sid.Tag == 0 {
			if len(cert.SubjectKeyId) > 0 && bytes.Equal(cert.SubjectKeyId, sid.Bytes) {
				c.cert = cert
				break
			}
			continue
		}
		var ias issuerAndSerial
		if rest, err := asn1.Unmarshal(sid.FullBytes, &ias); err != nil || len(rest) > 0 {
			return errors.New("its signer is named in a broken way")
		}
		if bytes.Equal(cert.RawIssuer, ias.Issuer.FullBytes) && cert.SerialNumber.Cmp(ias.Serial) == 0 {
			c.cert = cert
			break
		}
	}
	if c.cert == nil {
		return errors.New("the signer's certificate is missing")
	}
	if err := checkKey(c.cert.PublicKey); err != nil {
		return weakError(err.Error())
	}
	return nil
}

func (c *cms) readAttributes(contentType asn1.ObjectIdentifier) error {
	if len(c.si.Signed.FullBytes) == 0 {
		return errors.New("it has no signed attributes")
	}
	c.attrs = map[string][]byte{}
	for rest := c.si.Signed.Bytes; len(rest) > 0; {
		var a attribute
		var err error
		if rest, err = asn1.Unmarshal(rest, &a); err != nil || len(a.Values) != 1 {
			return errors.New("its signed attributes are broken")
		}
		if _, twice := c.attrs[a.Type.String()]; twice {
			return errors.New("it has a signed attribute twice")
		}
		c.attrs[a.Type.String()] = a.Values[0].FullBytes
	}
	var ct asn1.ObjectIdentifier
	if rest, err := asn1.Unmarshal(c.attrs[oidContentType.String()], &ct); err != nil || len(rest) > 0 || !ct.Equal(contentType) {
		return errors.New("its content type attribute is missing or wrong")
	}
	return nil
}

// verify checks digest, certificate identification and signature value.
func (c *cms) verify(digest []byte) error {
	var want []byte
	if rest, err := asn1.Unmarshal(c.attrs[oidMessageDigest.String()], &want); err != nil || len(rest) > 0 {
		return errors.New("its message digest is missing")
	}
	if !bytes.Equal(want, digest) {
		return errDigest
	}
	if err := c.checkSigningCertificate(); err != nil {
		return err
	}
	h := c.hash()
	h.Write([]byte{0x31}) // signed as SET, not as [0] (RFC 5652, 5.4)
	h.Write(c.si.Signed.FullBytes[1:])
	return c.checkSignature(h.Sum(nil))
}

var errDigest = errors.New("the bytes are not those that were signed")

func (c *cms) checkSignature(sum []byte) error {
	oid := c.si.Algorithm.Algorithm
	byHash := func(s256, s384, s512 asn1.ObjectIdentifier) bool {
		switch c.alg {
		case crypto.SHA256:
			return oid.Equal(s256)
		case crypto.SHA384:
			return oid.Equal(s384)
		}
		return oid.Equal(s512)
	}
	switch pub := c.cert.PublicKey.(type) {
	case *rsa.PublicKey:
		if !oid.Equal(oidRSA) && !byHash(oidRSASHA256, oidRSASHA384, oidRSASHA512) {
			return weakError("its signature algorithm is not accepted")
		}
		if rsa.VerifyPKCS1v15(pub, c.alg, sum, c.si.Signature) == nil {
			return nil
		}
	case *ecdsa.PublicKey:
		if !byHash(oidECDSASHA256, oidECDSASHA384, oidECDSASHA512) {
			return weakError("its signature algorithm is not accepted")
		}
		if ecdsa.VerifyASN1(pub, sum, c.si.Signature) {
			return nil
		}
	}
	return errors.New("the signature value does not fit the certificate's key")
}

// checkSigningCertificate compares the certificate with the one the signature
// names under its protection (RFC 5035).
func (c *cms) checkSigningCertificate() error {
	if raw, ok := c.attrs[oidSigningCertV2.String()]; ok {
		var v signingCertificateV2
		if rest, err := asn1.Unmarshal(raw, &v); err != nil || len(rest) > 0 || len(v.Certs) == 0 {
			return errors.New("its signingCertificateV2 attribute is broken")
		}
		var sum []byte
		switch oid := v.Certs[0].Algorithm.Algorithm; {
		case len(oid) == 0 || oid.Equal(oidSHA256):
			s := sha256.Sum256(c.cert.Raw)
			sum = s[:]
		case oid.Equal(oidSHA384):
			s := sha512.Sum384(c.cert.Raw)
			sum = s[:]
		case oid.Equal(oidSHA512):
			s := sha512.Sum512(c.cert.Raw)
			sum = s[:]
		default:
			return weakError("its signingCertificateV2 attribute uses an algorithm that is not accepted")
		}
		if !bytes.Equal(sum, v.Certs[0].Hash) {
			return errors.New("it names another certificate than the one it carries")
		}
		return checkIssuerSerial(v.Certs[0].IssuerSerial, c.cert)
	}
	// Many time-stamp authorities still use the first version of the
	// attribute, whose SHA-1 only tells certificates apart.
	if raw, ok := c.attrs[oidSigningCert.String()]; ok && c.data.Content.Type.Equal(oidTSTInfo) {
		var v struct {
			Certs []struct {
				Hash         []byte
				IssuerSerial asn1.RawValue `asn1:"optional"`
			}
			Policies asn1.RawValue `asn1:"optional"`
		}
		sum := sha1.Sum(c.cert.Raw)
		if rest, err := asn1.Unmarshal(raw, &v); err != nil || len(rest) > 0 || len(v.Certs) == 0 || !bytes.Equal(v.Certs[0].Hash, sum[:]) {
			return errors.New("it names another certificate than the one it carries")
		}
		return nil
	}
	return errors.New("it does not name the signer's certificate (signingCertificateV2)")
}

func checkIssuerSerial(raw asn1.RawValue, cert *x509.Certificate) error {
	if len(raw.FullBytes) == 0 {
		return nil
	}
	var ias struct {
		Names  []asn1.RawValue
		Serial asn1.RawValue
	}
	if rest, err := asn1.Unmarshal(raw.FullBytes, &ias); err != nil || len(rest) > 0 || len(ias.Names) != 1 {
		return errors.New("its signingCertificateV2 attribute is broken")
	}
	serial, err := asn1.Marshal(cert.SerialNumber)
	if err != nil || !bytes.Equal(serial, ias.Serial.FullBytes) || !bytes.Equal(ias.Names[0].Bytes, cert.RawIssuer) {
		return errors.New("it names another certificate than the one it carries")
	}
	return nil
}

// timeToken returns the time-stamp token among the unsigned attributes, if any.
func (c *cms) timeToken() ([]byte, error) {
	var token []byte
	for rest := c.si.Unsigned.Bytes; len(rest) > 0; {
		var a attribute
		var err error
		if rest, err = asn1.Unmarshal(rest, &a); err != nil {
			return nil, errors.New("the unsigned attributes are broken")
		}
		if !a.Type.Equal(oidTimeStampToken) {
			continue
		}
		if token != nil || len(a.Values) != 1 {
			return nil, errors.New("there is more than one time-stamp")
		}
		token = a.Values[0].FullBytes
	}
	return token, nil
}
