package sign

import (
	"crypto"
	"crypto/x509"
	"encoding/asn1"
	"errors"
	"fmt"
	"time"
)

// Uses of a certificate that go with signing documents: the one made for it
// (id-kp-documentSigning, RFC 9336), e-mail (RFC 5280, 4.2.1.12), and two that
// authorities wrote into certificates for documents before there was that one
// (from memory; the second is of a word processor's maker, the first of the
// inventor of PDF).
var (
	oidDocumentSigning = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 36}
	oidOlderSigning    = []asn1.ObjectIdentifier{{1, 2, 840, 113583, 1, 1, 5}, {1, 3, 6, 1, 4, 1, 311, 10, 3, 12}}
)

// Usable says why an identity cannot sign at a time, nil when it can: there is
// no key, key and certificate do not belong together, the certificate is not
// for signing, or the time lies outside its validity (wrapping ErrExpired).
func (id *Identity) Usable(at time.Time) error {
	if err := id.check(); err != nil {
		return err
	}
	if c := id.Certificate; at.After(c.NotAfter) || at.Before(c.NotBefore) {
		return fmt.Errorf("%w; it is for %s to %s", ErrExpired, clock(c.NotBefore), clock(c.NotAfter))
	}
	return nil
}

// CheckBrought is Usable for a certificate that was made elsewhere, and refuses
// also those whose authority gave them for something else.
func (id *Identity) CheckBrought(at time.Time) error {
	if err := id.Usable(at); err != nil {
		return err
	}
	c := id.Certificate
	if c.IsCA && !id.SelfMade() {
		return errors.New("the certificate is an authority's own, for issuing certificates; bring the signer's")
	}
	if len(c.ExtKeyUsage)+len(c.UnknownExtKeyUsage) == 0 {
		return nil // it does not say what for
	}
	for _, u := range c.ExtKeyUsage {
		if u == x509.ExtKeyUsageAny || u == x509.ExtKeyUsageEmailProtection {
			return nil
		}
	}
	for _, u := range c.UnknownExtKeyUsage {
		if u.Equal(oidDocumentSigning) || u.Equal(oidOlderSigning[0]) || u.Equal(oidOlderSigning[1]) {
			return nil
		}
	}
	return errors.New("the certificate was given for another use than signing documents; ask its authority for one that is for documents or e-mail")
}

// arrange finds the key's own certificate, which other programs put at any
// place of a file, and the way to its issuers. Of several with the key, as
// after a renewal, the one that lasts longest is taken.
func arrange(key crypto.Signer, certs []*x509.Certificate) *Identity {
	id := &Identity{Key: key, Certificate: certs[0]}
	found := false
	for _, c := range certs {
		if sameKey(key.Public(), c) && (!found || c.NotAfter.After(id.Certificate.NotAfter)) {
			id.Certificate, found = c, true
		}
	}
	id.Chain = line(id.Certificate, certs)
	return id
}

// maxIterations bounds what a key file may ask for before it opens: a hundred
// times the number used here would take a minute.
const maxIterations = 10_000_000

// checkIterations refuses a PKCS#12 file whose key derivation would not end in
// a reasonable time. In all of its parameters (RFC 7292, RFC 8018) the number
// stands behind the salt: an INTEGER after an OCTET STRING.
func checkIterations(der []byte, depth int) error {
	salted := false
	for len(der) > 0 && depth < 24 {
		var v asn1.RawValue
		rest, err := asn1.Unmarshal(der, &v)
		if err != nil {
			return nil // not DER, or broken: the decoder says so
		}
		der = rest
		plain := v.Class == asn1.ClassUniversal && !v.IsCompound
		if plain && v.Tag == asn1.TagInteger && salted {
			var n int64
			if _, err := asn1.Unmarshal(v.FullBytes, &n); err != nil || n < 1 || n > maxIterations {
				return fmt.Errorf("it asks for an impossible number of rounds of key derivation; up to %d are accepted", maxIterations)
			}
		}
		salted = plain && v.Tag == asn1.TagOctetString
		if v.IsCompound || salted {
			if err := checkIterations(v.Bytes, depth+1); err != nil {
				return err
			}
		}
	}
	return nil
}
