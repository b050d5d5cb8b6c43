package sign

import (
	"bytes"
	"context"
	"crypto"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"golang.org/x/crypto/ocsp"
)

// ErrRevocation is wrapped when an authority gave no usable statement on
// whether a certificate was revoked. The report stands without.
var ErrRevocation = errors.New("no statement on revocation")

// Bounds of an authority's answers; a list of a large authority has some
// megabytes.
const (
	maxOCSP = 256 << 10
	maxCRL  = 16 << 20
)

// fetched are DER encoded statements and the certificates they are about.
type fetched struct {
	ocsp, crls [][]byte
	certs      []*x509.Certificate
}

// has says whether a certificate's issuer publishes statements.
func publishes(c *x509.Certificate) bool {
	return len(c.OCSPServer) > 0 || len(c.CRLDistributionPoints) > 0
}

// fetchStatements asks, for every certificate of a chain whose authority
// publishes statements, its OCSP service or else for its list. This is the only
// place that asks an authority about certificates, and only when told to.
func fetchStatements(ctx context.Context, client *http.Client, chain []*x509.Certificate, into *fetched) error {
	for i, c := range chain {
		into.certs = append(into.certs, c)
		if i+1 == len(chain) || !publishes(c) {
			continue
		}
		issuer := chain[i+1]
		err := errors.New("it publishes none over HTTP")
		var der []byte
		for _, url := range c.OCSPServer {
			if der, err = askOCSP(ctx, client, url, c, issuer); err == nil {
				into.ocsp = append(into.ocsp, der)
				break
			}
		}
		if der != nil {
			continue
		}
		for _, url := range c.CRLDistributionPoints {
			if der, err = askCRL(ctx, client, url, issuer); err == nil {
				into.crls = append(into.crls, der)
				break
			}
		}
		if der == nil {
			return fmt.Errorf("%w: the authority of %s: %w", ErrRevocation, nameOf(c), err)
		}
	}
	return nil
}

func askOCSP(ctx context.Context, client *http.Client, url string, c, issuer *x509.Certificate) ([]byte, error) {
	query, err := ocsp.CreateRequest(c, issuer, &ocsp.RequestOptions{Hash: crypto.SHA1}) // what all authorities understand (RFC 5019, 2.1.1); it names a certificate and secures nothing
	if err != nil {
		return nil, err
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, url, bytes.NewReader(query))
	if err != nil {
		return nil, err
	}
	req.Header.Set("Content-Type", "application/ocsp-request")
	body, err := answer(client, req, maxOCSP)
	if err != nil {
		return nil, err
	}
	r, err := ocsp.ParseResponseForCert(body, c, issuer)
	switch {
	case err != nil:
		return nil, fmt.Errorf("its answer is broken: %w", err)
	case !mayAnswer(r, issuer):
		return nil, errors.New("its answer is signed by somebody who may not")
	case r.Status == ocsp.Unknown:
		return nil, errors.New("it does not know the certificate")
	}
	return body, nil
}

func askCRL(ctx context.Context, client *http.Client, url string, issuer *x509.Certificate) ([]byte, error) {
	if !strings.HasPrefix(url, "http://") && !strings.HasPrefix(url, "https://") {
		return nil, errors.New("its list is not on the web")
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return nil, err
	}
	body, err := answer(client, req, maxCRL)
	if err != nil {
		return nil, err
	}
	l, err := x509.ParseRevocationList(body)
	if err != nil {
		return nil, fmt.Errorf("its list is broken: %w", err)
	}
	if err := l.CheckSignatureFrom(issuer); err != nil || !plainList(l) {
		return nil, errors.New("its list is not one that can be relied on")
	}
	return body, nil
}

// answer is the body of a web answer, bounded.
func answer(client *http.Client, req *http.Request, most int64) ([]byte, error) {
	if client == nil {
		client = &http.Client{Timeout: 30 * time.Second}
	}
	resp, err := client.Do(req)
	if err != nil {
		return nil, fmt.Errorf("it does not answer: %w", err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(io.LimitReader(resp.Body, most+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("its answer breaks off: %w", err)
	case resp.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("it answers %s", resp.Status)
	case int64(len(body)) > most:
		return nil, errors.New("its answer is too long")
	}
	return body, nil
}
