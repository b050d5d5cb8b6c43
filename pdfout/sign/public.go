package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// maxPublic bounds a file of certificates before it is read: one has one to two
// kilobytes, a chain some ten.
const maxPublic = 256 << 10

// EncodePublic is the public half of an identity as text that other programs
// read: X.509 certificates in PEM (RFC 7468), the signer's own first, then its
// issuers. It holds nothing secret.
func EncodePublic(id *Identity) []byte {
	var b bytes.Buffer
	for _, c := range append([]*x509.Certificate{id.Certificate}, id.Chain...) {
		// Writing to a buffer does not fail.
		_ = pem.Encode(&b, &pem.Block{Type: "CERTIFICATE", Bytes: c.Raw})
	}
	return b.Bytes()
}

// LoadPublic reads a file of certificates in PEM or of one in DER. The
// identity has no Key: it can be recognised and not signed with. A file with a
// private key in it is refused, because it should not have been handed on.
func LoadPublic(path string) (*Identity, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("read certificate: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxPublic+1))
	if err != nil {
		return nil, fmt.Errorf("read certificate: %w", err)
	}
	id, err := DecodePublic(data)
	if err != nil {
		return nil, fmt.Errorf("read certificate %s: %w", filepath.Base(path), err)
	}
	return id, nil
}

// DecodePublic is LoadPublic for what is read already.
func DecodePublic(data []byte) (*Identity, error) {
	if len(data) > maxPublic {
		return nil, errors.New("the file is far too large for a certificate")
	}
	certs, err := certificatesIn(data)
	if err != nil {
		return nil, err
	}
	id := &Identity{Certificate: certs[0], Chain: line(certs[0], certs[1:])}
	return id, checkKey(id.Certificate.PublicKey)
}

func certificatesIn(data []byte) ([]*x509.Certificate, error) {
	var certs []*x509.Certificate
	for rest := data; ; {
		var block *pem.Block
		if block, rest = pem.Decode(rest); block == nil {
			break
		}
		switch {
		case strings.HasSuffix(block.Type, "PRIVATE KEY"):
			return nil, errors.New("it holds a private key, which nobody but its owner may have; tell the owner, and ask for the certificate alone")
		case block.Type != "CERTIFICATE":
			continue
		case len(certs) == maxCertificates:
			return nil, fmt.Errorf("it holds more than %d certificates", maxCertificates)
		}
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return nil, fmt.Errorf("a certificate in it is broken: %w", err)
		}
		certs = append(certs, c)
	}
	if len(certs) == 0 {
		c, err := x509.ParseCertificate(data)
		if err != nil {
			return nil, errors.New("it holds no certificate; ask for the file that Wornwood exports, or for an X.509 certificate in PEM")
		}
		certs = append(certs, c)
	}
	return certs, nil
}

// line is the way from a certificate to its issuers, as far as they are among
// others; what does not belong to it is left out.
func line(c *x509.Certificate, others []*x509.Certificate) []*x509.Certificate {
	var way []*x509.Certificate
	for last := c; len(way) < maxCertificates && !selfSigned(last); {
		next := issuerOf(last, others)
		if next == nil {
			break
		}
		way, last = append(way, next), next
	}
	return way
}

func issuerOf(c *x509.Certificate, among []*x509.Certificate) *x509.Certificate {
	for _, o := range among {
		if !o.Equal(c) && bytes.Equal(c.RawIssuer, o.RawSubject) && c.CheckSignatureFrom(o) == nil {
			return o
		}
	}
	return nil
}

func selfSigned(c *x509.Certificate) bool {
	return bytes.Equal(c.RawIssuer, c.RawSubject) && (len(c.AuthorityKeyId) == 0 || bytes.Equal(c.AuthorityKeyId, c.SubjectKeyId))
}

// SelfMade tells whether no authority stands behind the certificate: its own
// key signed it.
func (id *Identity) SelfMade() bool { return selfSigned(id.Certificate) }

// Publishes tells whether the certificate's authority says where it publishes
// what it has revoked, so that AddRevocation has somebody to ask.
func (id *Identity) Publishes() bool { return publishes(id.Certificate) }
