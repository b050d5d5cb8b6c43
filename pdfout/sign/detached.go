package sign

import (
	"context"
	"crypto"
	"crypto/sha256"
	"crypto/x509"
	"net/http"
	"time"
)

// SignContent makes a detached CMS signature (RFC 5652, DER) over bytes that are
// no PDF. It is of the same make as that of a report: the signer's certificate is
// named under its protection, and it holds no time of signing.
func SignContent(id *Identity, content []byte) ([]byte, error) {
	if err := id.check(); err != nil {
		return nil, err
	}
	digest := sha256.Sum256(content)
	return makeCMS(id, digest[:], nil)
}

// CheckContent checks what SignContent made, or another program to the same
// rules, and gives the signer's certificate. That the signature is right says
// nothing of who holds the key: compare the FingerprintOf the certificate.
func CheckContent(der, content []byte) (*x509.Certificate, error) {
	c, err := parseCMS(der, oidData)
	if err != nil {
		return nil, err
	}
	h := c.hash()
	h.Write(content)
	return c.cert, c.verify(h.Sum(nil))
}

// LeadsTo says whether the signer's certificate of a signature that CheckContent
// took leads to one of the roots, at a time.
func LeadsTo(der []byte, roots *x509.CertPool, at time.Time) bool {
	c, err := parseCMS(der, oidData)
	if err != nil || roots == nil {
		return false
	}
	_, err = c.chain(roots, at, x509.ExtKeyUsageAny)
	return err == nil
}

// Stamp asks a time-stamp authority for a token over a SHA-256 digest (RFC 3161).
// A nil client is one with a limit of time. Errors wrap ErrTimestamp.
func Stamp(ctx context.Context, client *http.Client, url string, digest []byte) ([]byte, error) {
	return requestToken(ctx, client, url, digest)
}

// Stamped is what a time-stamp token says.
type Stamped struct {
	Time      time.Time
	Authority string // as its certificate says
	Trusted   bool   // the certificate leads to one of the roots
}

// CheckStamp checks a token over content. A token of an authority that leads to
// none of the roots is no error, but not trusted: anybody can make one.
func CheckStamp(token, content []byte, roots *x509.CertPool) (Stamped, error) {
	over := func(h crypto.Hash) ([]byte, error) { return digestOf(h, content) }
	c, err := parseCMS(token, oidTSTInfo)
	if err != nil {
		return Stamped{}, err
	}
	// With its own certificates as roots the rest of the token is judged.
	own := x509.NewCertPool()
	for _, cert := range c.bag {
		own.AddCert(cert)
	}
	at, cert, err := verifyToken(token, over, own)
	if err != nil {
		return Stamped{}, err
	}
	s := Stamped{Time: at, Authority: cert.Subject.CommonName}
	if roots != nil {
		_, _, err := verifyToken(token, over, roots)
		s.Trusted = err == nil
	}
	return s, nil
}
