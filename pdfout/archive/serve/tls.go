package serve

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"fmt"
	"math/big"
	"net"
	"time"
)

// tlsConfig leaves the choice of ciphers to the library.
func tlsConfig() *tls.Config { return &tls.Config{MinVersion: tls.VersionTLS12} }

// Certificate reads a certificate and its key, both PEM.
func Certificate(certFile, keyFile string) (tls.Certificate, error) {
	c, err := tls.LoadX509KeyPair(certFile, keyFile)
	if err != nil {
		return c, fmt.Errorf("certificate %s with key %s: %w", certFile, keyFile, err)
	}
	return c, nil
}

// TrialCertificate makes a certificate for a host that nobody vouches for, good
// for 30 days: for trying on one machine. Its fingerprint is SHA-256, in hex.
func TrialCertificate(host string, now time.Time) (tls.Certificate, string, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return tls.Certificate{}, "", fmt.Errorf("make certificate: %w", err)
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	if err != nil {
		return tls.Certificate{}, "", fmt.Errorf("make certificate: %w", err)
	}
	t := &x509.Certificate{SerialNumber: serial, Subject: pkix.Name{CommonName: "Wornwood archive, for trying"},
		NotBefore: now.Add(-time.Hour), NotAfter: now.AddDate(0, 0, 30), KeyUsage: x509.KeyUsageDigitalSignature,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, BasicConstraintsValid: true, DNSNames: []string{"localhost"}}
	if ip := net.ParseIP(host); ip != nil {
		t.IPAddresses = []net.IP{ip}
	} else if host != "" && host != "localhost" {
		t.DNSNames = append(t.DNSNames, host)
	}
	der, err := x509.CreateCertificate(rand.Reader, t, t, key.Public(), key)
	if err != nil {
		return tls.Certificate{}, "", fmt.Errorf("make certificate: %w", err)
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		return tls.Certificate{}, "", fmt.Errorf("make certificate: %w", err)
	}
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key, Leaf: leaf}, fmt.Sprintf("%X", sha256.Sum256(der)), nil
}
