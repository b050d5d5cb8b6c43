package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/rsa"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"unicode/utf8"

	"software.sslmate.com/src/go-pkcs12"
)

// MinPassphrase is the least number of characters of a passphrase. The key
// derivation of PKCS#12 is weak, so the passphrase has to be long.
const MinPassphrase = 12

// keyIterations slows down guessing: opening a key file took 0.4 s where it was
// measured, against a few milliseconds with the library's own number. 600 000
// is what OWASP advises for PBKDF2 with SHA-256 (recalled, not looked up).
// OpenSSL 3.0 opens such a file.
const keyIterations = 600_000

// maxKeyFile bounds a key file before it is read: real ones have a few
// kilobytes, with a long chain perhaps twenty.
const maxKeyFile = 1 << 20

// ErrPassphrase says that the passphrase does not open the key file.
var ErrPassphrase = errors.New("the passphrase does not open the key file")

// SaveIdentity writes the key and its certificates to a new PKCS#12 file that
// only its owner may read. It never overwrites a file: a lost key cannot be
// made again. The passphrase appears in no error.
func SaveIdentity(path string, id *Identity, passphrase string) error {
	data, err := encodeIdentity(path, id, passphrase)
	if err != nil {
		return err
	}
	if err := writeOnce(path, data); err != nil {
		return fmt.Errorf("save key: %w", err)
	}
	return nil
}

// ReplaceIdentity puts another key into the place of the one at path, which
// stays as it is under the name keep beside it. A file that has that name
// already is not touched; then nothing is replaced.
func ReplaceIdentity(path, keep string, id *Identity, passphrase string) error {
	data, err := encodeIdentity(path, id, passphrase)
	if err != nil {
		return err
	}
	old, err := os.ReadFile(path)
	if err != nil {
		return fmt.Errorf("replace key: %w", err)
	}
	kept := filepath.Join(filepath.Dir(path), keep)
	// An earlier try that was cut short may have left the copy.
	if there, err := os.ReadFile(kept); err != nil || !bytes.Equal(there, old) {
		if err := writeOnce(kept, old); err != nil {
			return fmt.Errorf("replace key: %w", err)
		}
	}
	tmp := filepath.Join(filepath.Dir(path), "incoming-key") // a bench takes such leftovers away
	if err := os.Remove(tmp); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("replace key: %w", err)
	}
	if err := writeOnce(tmp, data); err != nil {
		return fmt.Errorf("replace key: %w", err)
	}
	if err := os.Rename(tmp, path); err != nil {
		return fmt.Errorf("replace key: %w", err)
	}
	return syncFolder(filepath.Dir(path))
}

func encodeIdentity(path string, id *Identity, passphrase string) ([]byte, error) {
	if n := utf8.RuneCountInString(passphrase); n < MinPassphrase {
		return nil, fmt.Errorf("save key %s: the passphrase has %d characters and needs at least %d", filepath.Base(path), n, MinPassphrase)
	}
	data, err := pkcs12.Modern2023.WithIterations(keyIterations).Encode(id.Key, id.Certificate, id.Chain, passphrase)
	if err != nil {
		return nil, fmt.Errorf("save key %s: the key or passphrase cannot be encoded", filepath.Base(path))
	}
	return data, nil
}

// writeOnce makes the file whole or not at all, and never over another one.
func writeOnce(path string, data []byte) error {
	dir := filepath.Dir(path)
	tmp, err := os.CreateTemp(dir, "incoming-key-*") // CreateTemp gives mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	_, err = tmp.Write(data)
	err = errors.Join(err, tmp.Sync(), tmp.Close())
	if err != nil {
		return err
	}
	// Link fails when the name exists, which rename would not.
	if err := os.Link(tmp.Name(), path); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s exists already; a key file is never overwritten", path)
		}
		if err := createExclusive(path, data); err != nil {
			return err
		}
	}
	return syncFolder(dir)
}

// createExclusive serves folders without hard links.
func createExclusive(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s exists already; a key file is never overwritten", path)
	}
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Sync(), f.Close())
}

func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, fs.ErrInvalid) {
		return err
	}
	return nil
}

// LoadIdentity opens a PKCS#12 file made here or elsewhere. A wrong
// passphrase gives an error that wraps ErrPassphrase; the passphrase itself
// appears in no error.
func LoadIdentity(path, passphrase string) (*Identity, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("open key: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxKeyFile+1))
	if err != nil {
		return nil, fmt.Errorf("open key: %w", err)
	}
	id, err := decodeIdentity(data, passphrase)
	if err != nil {
		return nil, fmt.Errorf("open key %s: %w", filepath.Base(path), err)
	}
	return id, nil
}

func decodeIdentity(data []byte, passphrase string) (id *Identity, err error) {
	if len(data) > maxKeyFile {
		return nil, errors.New("the file is far too large for a key file")
	}
	if err := checkIterations(data, 0); err != nil {
		return nil, err
	}
	defer func() {
		// The decoder is not written for hostile files.
		if recover() != nil {
			id, err = nil, errors.New("it is not a PKCS#12 file with one key and its certificate")
		}
	}()
	key, cert, chain, err := pkcs12.DecodeChain(data, passphrase)
	switch {
	case errors.Is(err, pkcs12.ErrIncorrectPassword):
		return nil, ErrPassphrase
	case err != nil:
		return nil, fmt.Errorf("it is not a PKCS#12 file with one key and its certificate: %w", err)
	}
	signer, ok := key.(crypto.Signer)
	if !ok {
		return nil, errors.New("the kind of key is not accepted; it needs RSA or ECDSA")
	}
	id = arrange(signer, append([]*x509.Certificate{cert}, chain...))
	return id, id.check()
}

// check sees that key and certificate belong together and may sign.
func (id *Identity) check() error {
	if id == nil || id.Key == nil || id.Certificate == nil {
		return errors.New("there is no signing key")
	}
	if err := checkKey(id.Key.Public()); err != nil {
		return err
	}
	if !sameKey(id.Key.Public(), id.Certificate) {
		return errors.New("the certificate belongs to another key")
	}
	const may = x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment
	if u := id.Certificate.KeyUsage; u != 0 && u&may == 0 {
		return errors.New("the certificate does not allow signing documents")
	}
	return nil
}

func sameKey(pub crypto.PublicKey, c *x509.Certificate) bool {
	switch pub := pub.(type) {
	case *rsa.PublicKey:
		return pub.Equal(c.PublicKey)
	case *ecdsa.PublicKey:
		return pub.Equal(c.PublicKey)
	}
	return false
}
