package sign

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"fmt"
	"math/big"
)

// The structures of RFC 5652 (Cryptographic Message Syntax). The CMS library
// beneath adds the time of signing to every signature, which PAdES forbids
// (ETSI EN 319 142-1, 6.3), and checks less than Verify must; so both ends are
// written out here and compared with other programs in the tests.
type contentInfo struct {
	Type    asn1.ObjectIdentifier
	Content asn1.RawValue `asn1:"explicit,tag:0"`
}

type encapsulated struct {
	Type    asn1.ObjectIdentifier
	Content asn1.RawValue `asn1:"explicit,optional,tag:0"`
}

type signedData struct {
	Version      int
	Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
	Content      encapsulated
	Certificates asn1.RawValue `asn1:"optional,tag:0"`
	CRLs         asn1.RawValue `asn1:"optional,tag:1"`
	Signers      []signerInfo  `asn1:"set"`
}

type signerInfo struct {
	Version   int
	SID       asn1.RawValue
	Digest    pkix.AlgorithmIdentifier
	Signed    asn1.RawValue `asn1:"optional,tag:0"`
	Algorithm pkix.AlgorithmIdentifier
	Signature []byte
	Unsigned  asn1.RawValue `asn1:"optional,tag:1"`
}

type attribute struct {
	Type   asn1.ObjectIdentifier
	Values []asn1.RawValue `asn1:"set"`
}

type issuerAndSerial struct {
	Issuer asn1.RawValue
	Serial *big.Int
}

// essCertIDv2 and signingCertificateV2 are those of RFC 5035; the hash
// algorithm is left out when it is SHA-256.
type essCertIDv2 struct {
	Algorithm    pkix.AlgorithmIdentifier `asn1:"optional"`
	Hash         []byte
	IssuerSerial asn1.RawValue `asn1:"optional"`
}

type signingCertificateV2 struct {
	Certs    []essCertIDv2
	Policies asn1.RawValue `asn1:"optional"`
}

var (
	oidData       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	oidSignedData = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidTSTInfo    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 1, 4}

	oidContentType    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest  = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningTime    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 5}
	oidSigningCert    = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 12}
	oidSigningCertV2  = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	oidTimeStampToken = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 14}

	oidSHA256 = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
	oidSHA384 = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 2}
	oidSHA512 = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 3}

	oidRSA         = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 1}
	oidRSASHA256   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 11}
	oidRSASHA384   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 12}
	oidRSASHA512   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 13}
	oidECDSASHA256 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}
	oidECDSASHA384 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 3}
	oidECDSASHA512 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 4}
)

// makeCMS makes a detached signature over content whose SHA-256 is digest.
// stamp, when not nil, gets the SHA-256 of the signature value and returns a
// time-stamp token.
func makeCMS(id *Identity, digest []byte, stamp func([]byte) ([]byte, error)) ([]byte, error) {
	attrs, err := signedAttributes(id.Certificate, digest)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(attrs)
	signature, err := id.Key.Sign(rand.Reader, sum[:], crypto.SHA256)
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	sid, err := asn1.Marshal(issuerAndSerial{asn1.RawValue{FullBytes: id.Certificate.RawIssuer}, id.Certificate.SerialNumber})
	if err != nil {
		return nil, err
	}
	implicit := append([]byte{}, attrs...)
	implicit[0] = 0xA0 // [0] IMPLICIT in place of SET
	si := signerInfo{
		Version: 1, SID: asn1.RawValue{FullBytes: sid},
		Digest:    pkix.AlgorithmIdentifier{Algorithm: oidSHA256},
		Signed:    asn1.RawValue{FullBytes: implicit},
		Algorithm: pkix.AlgorithmIdentifier{Algorithm: oidRSA, Parameters: asn1.NullRawValue},
		Signature: signature,
	}
	if _, ok := id.Key.Public().(*ecdsa.PublicKey); ok {
		si.Algorithm = pkix.AlgorithmIdentifier{Algorithm: oidECDSASHA256}
	}
	if stamp != nil {
		sum := sha256.Sum256(signature)
		token, err := stamp(sum[:])
		if err != nil {
			return nil, err
		}
		if si.Unsigned, err = unsignedAttributes(token); err != nil {
			return nil, err
		}
	}
	return wrapCMS(id, si)
}

func wrapCMS(id *Identity, si signerInfo) ([]byte, error) {
	bag := append([]byte{}, id.Certificate.Raw...)
	for _, c := range id.Chain {
		bag = append(bag, c.Raw...)
	}
	inner, err := asn1.Marshal(signedData{
		Version:      1,
		Digests:      []pkix.AlgorithmIdentifier{{Algorithm: oidSHA256}},
		Content:      encapsulated{Type: oidData},
		Certificates: asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: bag},
		Signers:      []signerInfo{si},
	})
	if err != nil {
		return nil, err
	}
	return asn1.Marshal(contentInfo{oidSignedData, asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: inner}})
}

// signedAttributes encodes content type, message digest and the certificate's
// identification as a DER set.
func signedAttributes(cert *x509.Certificate, digest []byte) ([]byte, error) {
	certHash := sha256.Sum256(cert.Raw)
	// GeneralNames with the issuer as directoryName, [4] EXPLICIT.
	name, err := asn1.Marshal([]asn1.RawValue{{Class: asn1.ClassContextSpecific, Tag: 4, IsCompound: true, Bytes: cert.RawIssuer}})
	if err != nil {
		return nil, err
	}
	issuer, err := asn1.Marshal(issuerAndSerial{asn1.RawValue{FullBytes: name}, cert.SerialNumber})
	if err != nil {
		return nil, err
	}
	values := []struct {
		oid   asn1.ObjectIdentifier
		value any
	}{
		{oidContentType, oidData},
		{oidMessageDigest, digest},
		{oidSigningCertV2, signingCertificateV2{Certs: []essCertIDv2{{Hash: certHash[:], IssuerSerial: asn1.RawValue{FullBytes: issuer}}}}},
	}
	var attrs []attribute
	for _, v := range values {
		der, err := asn1.Marshal(v.value)
		if err != nil {
			return nil, err
		}
		attrs = append(attrs, attribute{v.oid, []asn1.RawValue{{FullBytes: der}}})
	}
	// MarshalWithParams sorts the set as DER wants it.
	return asn1.MarshalWithParams(attrs, "set")
}

func unsignedAttributes(token []byte) (asn1.RawValue, error) {
	der, err := asn1.MarshalWithParams([]attribute{{oidTimeStampToken, []asn1.RawValue{{FullBytes: token}}}}, "set")
	if err != nil {
		return asn1.RawValue{}, err
	}
	der[0] = 0xA1 // [1] IMPLICIT in place of SET
	return asn1.RawValue{FullBytes: der}, nil
}
