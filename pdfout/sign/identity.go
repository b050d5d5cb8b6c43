package sign

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"math/big"
	"strings"
	"time"
)

// Subject is who signs, as the certificate will say it.
type Subject struct {
	Name    string // the examiner; required
	Shop    string // may be empty
	Country string // two capital letters of ISO 3166-1, or empty
}

// Identity is a key with its certificate.
type Identity struct {
	Key         crypto.Signer
	Certificate *x509.Certificate
	Chain       []*x509.Certificate // issuers, if any, to be put beside the certificate
}

// Fingerprint identifies a public key: the SHA-256 of its
// SubjectPublicKeyInfo in 64 lower-case hexadecimal digits.
type Fingerprint string

// certificateYears is how long a self-made certificate lasts. A report about
// an instrument is read for longer than web certificates live, and nobody is
// there to renew it.
const certificateYears = 20

// NewKey makes an ECDSA key on the curve P-256 and a certificate that the key
// itself signs, valid from an hour before now, since clocks differ.
// Randomness for the serial number comes from rand; current Go versions take
// that of the key from the system whatever rand is.
func NewKey(subject Subject, now time.Time, rand io.Reader) (*Identity, error) {
	if err := subject.check(); err != nil {
		return nil, err
	}
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand)
	if err != nil {
		return nil, fmt.Errorf("make key: %w", err)
	}
	serial := make([]byte, 16)
	if _, err := io.ReadFull(rand, serial); err != nil {
		return nil, fmt.Errorf("make key: %w", err)
	}
	serial[0] = serial[0]&0x7F | 0x40 // positive and of full length
	spki, err := x509.MarshalPKIXPublicKey(key.Public())
	if err != nil {
		return nil, fmt.Errorf("make key: %w", err)
	}
	id := sha256.Sum256(spki)
	template := &x509.Certificate{
		SerialNumber: new(big.Int).SetBytes(serial),
		Subject:      subject.name(),
		NotBefore:    now.Add(-time.Hour).UTC().Truncate(time.Second),
		NotAfter:     now.AddDate(certificateYears, 0, 0).UTC().Truncate(time.Second),
		// ContentCommitment is the newer name of nonRepudiation.
		KeyUsage:              x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment,
		BasicConstraintsValid: true,
		SubjectKeyId:          id[:20],
		AuthorityKeyId:        id[:20],
	}
	der, err := x509.CreateCertificate(rand, template, template, key.Public(), key)
	if err != nil {
		return nil, fmt.Errorf("make certificate: %w", err)
	}
	cert, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, fmt.Errorf("make certificate: %w", err)
	}
	return &Identity{Key: key, Certificate: cert}, nil
}

func (s Subject) check() error {
	switch {
	case strings.TrimSpace(s.Name) == "":
		return errors.New("a signing key needs the examiner's name")
	case len([]rune(s.Name)) > 64 || len([]rune(s.Shop)) > 64: // upper bounds of RFC 5280, appendix A
		return errors.New("the names in a certificate may have at most 64 characters each")
	case s.Country != "" && (len(s.Country) != 2 || s.Country[0] < 'A' || s.Country[0] > 'Z' || s.Country[1] < 'A' || s.Country[1] > 'Z'):
		return fmt.Errorf("the country %q is not a code of two capital letters", s.Country)
	}
	return nil
}

func (s Subject) name() pkix.Name {
	n := pkix.Name{CommonName: s.Name}
	if s.Shop != "" {
		n.Organization = []string{s.Shop}
	}
	if s.Country != "" {
		n.Country = []string{s.Country}
	}
	return n
}

// Fingerprint is that of the identity's key.
func (id *Identity) Fingerprint() Fingerprint { return FingerprintOf(id.Certificate) }

// FingerprintOf is the fingerprint of a certificate's key. It stays the same
// when the key gets another certificate.
func FingerprintOf(c *x509.Certificate) Fingerprint {
	sum := sha256.Sum256(c.RawSubjectPublicKeyInfo)
	return Fingerprint(hex.EncodeToString(sum[:]))
}

// ParseFingerprint reads a fingerprint in any grouping; spaces, colons and
// capitals do not matter. It wants all 64 digits: a part can be forged.
func ParseFingerprint(s string) (Fingerprint, error) {
	clean := strings.ToLower(strings.NewReplacer(" ", "", ":", "", "\n", "", "\t", "").Replace(s))
	if b, err := hex.DecodeString(clean); err != nil || len(b) != sha256.Size {
		return "", fmt.Errorf("%q is not a fingerprint: it has 64 digits from 0 to 9 and a to f", s)
	}
	return Fingerprint(clean), nil
}

// Long is the whole fingerprint in groups of four, for comparing.
func (f Fingerprint) Long() string { return groups(string(f)) }

// Short is the first sixteen digits in groups of four, for recognising. It is
// too short to prove anything.
func (f Fingerprint) Short() string { return groups(string(f[:min(16, len(f))])) }

func (f Fingerprint) String() string { return string(f) }

func groups(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i += 4 {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(s[i:min(i+4, len(s))])
	}
	return b.String()
}

// checkKey refuses keys that Verify would not accept later.
func checkKey(pub crypto.PublicKey) error {
	switch k := pub.(type) {
	case *rsa.PublicKey:
		if n := k.N.BitLen(); n < 2048 || n > 8192 {
			return fmt.Errorf("an RSA key of %d bits is not accepted; it needs 2048 to 8192", n)
		}
		return nil
	case *ecdsa.PublicKey:
		switch k.Curve {
		case elliptic.P256(), elliptic.P384(), elliptic.P521():
			return nil
		}
		return errors.New("the key's elliptic curve is not accepted; it needs P-256, P-384 or P-521")
	}
	return errors.New("the kind of key is not accepted; it needs RSA or ECDSA")
}
