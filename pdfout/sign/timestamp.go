package sign

import (
	"bytes"
	"context"
	"crypto"
	"crypto/rand"
	"crypto/sha256"
	"crypto/sha512"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net/http"
	"time"

	"github.com/digitorus/timestamp"
)

// ErrTimestamp is wrapped when the time-stamp authority gave no usable token.
// The same report can be signed again without a time-stamp.
var ErrTimestamp = errors.New("no time-stamp")

// maxToken bounds an authority's answer; real ones have three to nine
// kilobytes.
const maxToken = 64 << 10

// requestToken asks the authority at url for a token over a SHA-256 digest
// (RFC 3161, 3.4).
func requestToken(ctx context.Context, client *http.Client, url string, digest []byte) ([]byte, error) {
	nonce, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 63))
	if err != nil {
		return nil, err
	}
	query := timestamp.Request{HashAlgorithm: crypto.SHA256, HashedMessage: digest, Certificates: true, Nonce: nonce}
	der, err := query.Marshal()
	if err != nil {
		return nil, err
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, url, bytes.NewReader(der))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTimestamp, err)
	}
	req.Header.Set("Content-Type", "application/timestamp-query")
	if client == nil {
		client = &http.Client{Timeout: 30 * time.Second}
	}
	resp, err := client.Do(req)
	if err != nil {
		return nil, fmt.Errorf("%w: the authority does not answer: %w", ErrTimestamp, err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(io.LimitReader(resp.Body, maxToken+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("%w: the authority's answer breaks off: %w", ErrTimestamp, err)
	case resp.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("%w: the authority answers %s", ErrTimestamp, resp.Status)
	case len(body) > maxToken:
		return nil, fmt.Errorf("%w: the authority's answer is too long", ErrTimestamp)
	}
	answer, err := timestamp.ParseResponse(body)
	if err != nil {
		return nil, fmt.Errorf("%w: the authority refuses: %w", ErrTimestamp, err)
	}
	if answer.Nonce == nil || answer.Nonce.Cmp(nonce) != 0 || !bytes.Equal(answer.HashedMessage, digest) {
		return nil, fmt.Errorf("%w: the authority answers another question", ErrTimestamp)
	}
	return answer.RawToken, nil
}

// tstInfo is the part of RFC 3161, 2.4.2 that matters for the time; what may
// follow GenTime is kept raw.
type tstInfo struct {
	Version int
	Policy  asn1.ObjectIdentifier
	Imprint struct {
		Algorithm pkix.AlgorithmIdentifier
		Hash      []byte
	}
	Serial  *big.Int
	GenTime time.Time `asn1:"generalized"`
}

// verifyToken checks a time-stamp token over data and returns its time. The
// authority's certificate must lead to one of the roots; without roots no
// time is trusted.
func verifyToken(der []byte, over func(crypto.Hash) ([]byte, error), roots *x509.CertPool) (time.Time, *x509.Certificate, error) {
	var none time.Time
	c, err := parseCMS(der, oidTSTInfo)
	if err != nil {
		return none, nil, err
	}
	var content []byte
	if rest, err := asn1.Unmarshal(c.data.Content.Content.Bytes, &content); err != nil || len(rest) > 0 {
		return none, nil, errors.New("it holds no time")
	}
	h := c.hash()
	h.Write(content)
	if err := c.verify(h.Sum(nil)); err != nil {
		return none, nil, err
	}
	info, err := parseTSTInfo(content)
	if err != nil {
		return none, nil, err
	}
	want, err := over(imprintHash(info))
	if err != nil {
		return none, nil, err
	}
	if !bytes.Equal(want, info.Imprint.Hash) {
		return none, nil, errors.New("it was made for something else than this signature")
	}
	if roots == nil {
		return none, c.cert, errors.New("no time-stamp authority is trusted here")
	}
	return info.GenTime, c.cert, c.checkAuthority(roots, info.GenTime)
}

// parseTSTInfo reads the leading fields; Go's decoder ignores the rest of a
// sequence only when told to, so the fields are taken one by one.
func parseTSTInfo(content []byte) (*tstInfo, error) {
	broken := errors.New("the time in it is broken")
	var seq asn1.RawValue
	if rest, err := asn1.Unmarshal(content, &seq); err != nil || len(rest) > 0 || seq.Tag != asn1.TagSequence {
		return nil, broken
	}
	info := &tstInfo{}
	rest := seq.Bytes
	for _, field := range []struct {
		to     any
		params string
	}{{&info.Version, ""}, {&info.Policy, ""}, {&info.Imprint, ""}, {&info.Serial, ""}, {&info.GenTime, "generalized"}} {
		var err error
		if rest, err = asn1.UnmarshalWithParams(rest, field.to, field.params); err != nil {
			return nil, broken
		}
	}
	if info.Version != 1 {
		return nil, broken
	}
	return info, nil
}

func imprintHash(info *tstInfo) crypto.Hash {
	switch oid := info.Imprint.Algorithm.Algorithm; {
	case oid.Equal(oidSHA256):
		return crypto.SHA256
	case oid.Equal(oidSHA384):
		return crypto.SHA384
	case oid.Equal(oidSHA512):
		return crypto.SHA512
	}
	return 0
}

// digestOf hashes a short value with an accepted algorithm.
func digestOf(h crypto.Hash, data []byte) ([]byte, error) {
	switch h {
	case crypto.SHA256:
		s := sha256.Sum256(data)
		return s[:], nil
	case crypto.SHA384:
		s := sha512.Sum384(data)
		return s[:], nil
	case crypto.SHA512:
		s := sha512.Sum512(data)
		return s[:], nil
	}
	return nil, weakError("its digest algorithm is not accepted")
}

// checkAuthority wants a certificate for time-stamping alone (RFC 3161, 2.3)
// that leads to a trusted root and was valid when it stamped.
func (c *cms) checkAuthority(roots *x509.CertPool, at time.Time) error {
	if len(c.cert.ExtKeyUsage) != 1 || c.cert.ExtKeyUsage[0] != x509.ExtKeyUsageTimeStamping || len(c.cert.UnknownExtKeyUsage) > 0 {
		return errors.New("its certificate is not one for time-stamping")
	}
	if _, err := c.chain(roots, at, x509.ExtKeyUsageTimeStamping); err != nil {
		return errors.New("its authority is not one that is trusted here")
	}
	return nil
}

// chain verifies the signer's certificate against roots and gives the way there,
// the signer's first. What came along in
// the bag can link, never anchor.
func (c *cms) chain(roots *x509.CertPool, at time.Time, usage x509.ExtKeyUsage) ([]*x509.Certificate, error) {
	between := x509.NewCertPool()
	for _, cert := range c.bag {
		if cert != c.cert {
			between.AddCert(cert)
		}
	}
	chains, err := c.cert.Verify(x509.VerifyOptions{
		Roots: roots, Intermediates: between, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{usage},
	})
	if err != nil {
		return nil, err
	}
	return chains[0], nil
}
