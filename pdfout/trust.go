package pdfout

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"wornwood/capture/blob"
)

// Role says what a trusted authority is trusted for. It is the name of the
// folder of its certificates.
type Role string

// The roles: certifying who signs, and vouching for the time.
const (
	Signers Role = "signers"
	Stamps  Role = "stamps"
)

// Roles lists the roles.
func Roles() []Role { return []Role{Signers, Stamps} }

// Authority is the certificate of an authority that the user trusts.
type Authority struct {
	Role        Role      `json:"role"`
	Name        string    `json:"name"`
	Fingerprint string    `json:"fingerprint"` // SHA-256 of the certificate, hex
	From        time.Time `json:"notBefore"`
	Until       time.Time `json:"notAfter"`
	File        string    `json:"file"` // that holds it

	cert *x509.Certificate
}

const (
	maxAuthorities   = 200     // certificates for one role
	maxAuthorityFile = 1 << 20 // bytes
)

// AuthoritiesPath is the user's own folder of trusted authorities. It holds the
// folders "signers" and "stamps", each with files *.pem of one or more
// certificates.
func AuthoritiesPath() (string, error) {
	known, err := KnownPath()
	if err != nil {
		return "", err
	}
	return filepath.Join(filepath.Dir(known), "authorities"), nil
}

// LoadAuthorities reads the trusted authorities of a folder, sorted by role and
// name; a folder that does not exist holds none. A broken file is an error and
// not passed over: who relies on the list must not lose half of it unseen.
func LoadAuthorities(dir string) ([]Authority, error) {
	var out []Authority
	for _, role := range Roles() {
		files, err := filepath.Glob(filepath.Join(escaped(dir), string(role), "*.pem"))
		if err != nil {
			return nil, fmt.Errorf("read trusted authorities: %w", err)
		}
		n := len(out)
		for _, f := range files {
			list, err := readAuthorities(f, role)
			if err != nil {
				return nil, fmt.Errorf("read trusted authorities: %w; mend the file or take it out", err)
			}
			if out = append(out, list...); len(out)-n > maxAuthorities {
				return nil, fmt.Errorf("read trusted authorities: %s holds more than %d", filepath.Join(dir, string(role)), maxAuthorities)
			}
		}
		slices.SortStableFunc(out[n:], func(a, b Authority) int { return strings.Compare(a.Name+a.Fingerprint, b.Name+b.Fingerprint) })
	}
	return out, nil
}

// escaped makes a path a pattern of itself.
func escaped(path string) string {
	return strings.NewReplacer(`[`, `[[]`, `*`, `[*]`, `?`, `[?]`).Replace(path)
}

// readAuthorities reads the certificates of a PEM file (RFC 7468).
func readAuthorities(path string, role Role) ([]Authority, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxAuthorityFile+1))
	if err != nil {
		return nil, err
	}
	name := filepath.Base(path)
	if len(data) > maxAuthorityFile {
		return nil, fmt.Errorf("%s is larger than a file of certificates", name)
	}
	var out []Authority
	for {
		var block *pem.Block
		if block, data = pem.Decode(data); block == nil {
			break
		}
		a, err := authority(block, role)
		if err != nil {
			return nil, fmt.Errorf("%s %w", name, err)
		}
		a.File = path
		out = append(out, *a)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("%s holds no certificate in PEM form", name)
	}
	return out, nil
}

func authority(block *pem.Block, role Role) (*Authority, error) {
	switch {
	case strings.Contains(block.Type, "PRIVATE KEY"):
		return nil, errors.New("holds a private key, which belongs to its authority alone; take only the certificate")
	case block.Type != "CERTIFICATE":
		return nil, fmt.Errorf("holds a %.40q beside certificates", block.Type)
	}
	c, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		return nil, fmt.Errorf("holds a certificate that cannot be read: %w", err)
	}
	stamps := role == Stamps && slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageTimeStamping)
	if !stamps && (!c.BasicConstraintsValid || !c.IsCA) {
		return nil, fmt.Errorf("holds the certificate of %q, which is no authority's. A signer's own key is listed with 'wornwood know'", nameOf(c))
	}
	sum := sha256.Sum256(c.Raw)
	return &Authority{Role: role, Name: nameOf(c), Fingerprint: hex.EncodeToString(sum[:]), From: c.NotBefore, Until: c.NotAfter, cert: c}, nil
}

// nameOf is what a certificate calls its holder, without what could disguise it.
func nameOf(c *x509.Certificate) string {
	name := c.Subject.CommonName
	if name == "" {
		name = c.Subject.String()
	}
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return unicode.ReplacementChar
		}
		return r
	}, name)
}

// AddAuthorities copies the certificates of a PEM file into the folder, for one
// role, each into a file of its own that is named by its fingerprint. What is
// there already is left. It returns those of the file.
func AddAuthorities(dir, file string, role Role) ([]Authority, error) {
	list, err := readAuthorities(file, role)
	if err != nil {
		return nil, fmt.Errorf("trust authority: %w", err)
	}
	if err := os.MkdirAll(filepath.Join(dir, string(role)), 0o700); err != nil {
		return nil, fmt.Errorf("trust authority: %w", err)
	}
	for i := range list {
		a := &list[i]
		a.File = filepath.Join(dir, string(role), a.Fingerprint[:32]+".pem")
		if _, err := os.Stat(a.File); err == nil {
			continue
		}
		text := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.cert.Raw})
		if err := blob.WriteFile(a.File, 0o644, func(w io.Writer) error { _, err := io.Copy(w, bytes.NewReader(text)); return err }); err != nil {
			return nil, fmt.Errorf("trust authority: %w", err)
		}
	}
	return list, nil
}

// ErrSharedFile says that a file holds other certificates as well.
var ErrSharedFile = errors.New("its file holds other certificates as well; take it out of the file by hand")

// RemoveAuthority takes the authorities whose fingerprint begins as given out
// of the folder, from every role. Spaces, colons and the letters' case do not
// matter. It is an error when there is none, or when several differ.
func RemoveAuthority(dir, fingerprint string) ([]Authority, error) {
	want := strings.ToLower(strings.NewReplacer(" ", "", ":", "").Replace(fingerprint))
	if len(want) < 8 {
		return nil, errors.New("no longer trust authority: give at least the first eight digits of its fingerprint, as 'wornwood trust' lists it")
	}
	all, err := LoadAuthorities(dir)
	if err != nil {
		return nil, err
	}
	var gone []Authority
	inFile := map[string]int{}
	for _, a := range all {
		inFile[a.File]++
		if strings.HasPrefix(a.Fingerprint, want) {
			gone = append(gone, a)
		}
	}
	for _, a := range gone {
		switch {
		case a.Fingerprint != gone[0].Fingerprint:
			return nil, fmt.Errorf("no longer trust authority: several begin with %s; give more digits", want)
		case inFile[a.File] > 1:
			return nil, fmt.Errorf("no longer trust authority %q: %s: %w", a.Name, a.File, ErrSharedFile)
		}
	}
	if len(gone) == 0 {
		return nil, fmt.Errorf("no longer trust authority: none has the fingerprint %.64s", want)
	}
	for _, a := range gone {
		if err := os.Remove(a.File); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("no longer trust authority: %w", err)
		}
	}
	return gone, nil
}

// Trusting is what the user knows and trusts: the list of known keys at known
// and the authorities in the folder dir; "" for the user's own of either. With
// it a report is judged as of now.
func Trusting(known, dir string, now time.Time) (opt VerifyOptions, err error) {
	if known == "" {
		if known, err = KnownPath(); err != nil {
			return opt, err
		}
	}
	if opt.Known, err = LoadKnown(known); err != nil {
		return opt, err
	}
	if dir == "" {
		if dir, err = AuthoritiesPath(); err != nil {
			return opt, err
		}
	}
	list, err := LoadAuthorities(dir)
	if err != nil {
		return opt, err
	}
	opt.Now = now
	for _, a := range list {
		pool := &opt.Roots
		if a.Role == Stamps {
			pool = &opt.TSARoots
		}
		if *pool == nil {
			*pool = x509.NewCertPool()
		}
		(*pool).AddCert(a.cert)
	}
	return opt, nil
}
