package pdfout

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/blob"
	"wornwood/capture/record"
	"wornwood/pdfout/sign"
)

// HasKey tells whether the bench has a signing key yet.
func HasKey(b *bench.Bench) bool {
	_, err := os.Stat(b.KeyPath())
	return !errors.Is(err, fs.ErrNotExist)
}

// OpenIdentity opens the bench's signing key or, on first use, makes it for the
// examiner and shop of the record, falling back on the bench's settings, and
// keeps it encrypted under the passphrase. A wrong passphrase gives an error
// that wraps sign.ErrPassphrase. The public half is kept beside the key.
func OpenIdentity(b *bench.Bench, r *record.Record, passphrase string, now time.Time) (*sign.Identity, error) {
	id, err := openIdentity(b, r, passphrase, now)
	if err != nil {
		return nil, err
	}
	return id, keepPublic(b, id)
}

func openIdentity(b *bench.Bench, r *record.Record, passphrase string, now time.Time) (*sign.Identity, error) {
	path := b.KeyPath()
	if HasKey(b) {
		return sign.LoadIdentity(path, passphrase)
	}
	set := b.Settings()
	subj := sign.Subject{Name: r.Examination.Examiner, Shop: r.Examination.Shop}
	if subj.Name == "" {
		subj.Name = set.Examiner
	}
	if subj.Shop == "" {
		subj.Shop = set.Shop
	}
	if subj.Name == "" {
		return nil, errors.New("make signing key: nobody is named as examiner; say who examines, then issue")
	}
	id, err := sign.NewKey(subj, now, rand.Reader)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("make signing key: %w", err)
	}
	if err := sign.SaveIdentity(path, id, passphrase); err != nil {
		return nil, err
	}
	return id, nil
}

// ErrNoPublic says that the bench's key has not been opened since its public
// half is kept beside it.
var ErrNoPublic = errors.New("what is public of the signing key is not kept beside it yet; open the key once with its passphrase")

// PublicIdentity is the public half of the bench's key, without its passphrase.
// It wraps ErrNoPublic where it is not there. It is for showing and handing on:
// nothing is signed or judged by it.
func PublicIdentity(b *bench.Bench) (*sign.Identity, error) {
	id, err := sign.LoadPublic(b.CertificatePath())
	if errors.Is(err, fs.ErrNotExist) {
		return nil, ErrNoPublic
	}
	return id, err
}

// keepPublic writes the public half of the key where it is not there, or not
// the key's.
func keepPublic(b *bench.Bench, id *sign.Identity) error {
	text, path := sign.EncodePublic(id), b.CertificatePath()
	if was, err := os.ReadFile(path); err == nil && bytes.Equal(was, text) {
		return nil
	}
	err := blob.WriteFile(path, 0o644, func(w io.Writer) error { _, err := w.Write(text); return err })
	if err != nil {
		return fmt.Errorf("keep the public half of the key: %w", err)
	}
	return nil
}

// Brought is what ImportKey did.
type Brought struct {
	Identity *sign.Identity
	Kept     string // file name of the key that was there before, "" for none
}

// ImportKey makes the key and certificate of a PKCS#12 file, which opens with
// its own passphrase, the bench's, encrypted under the bench's passphrase. That
// is the passphrase of the key the bench has; where it has none it is a new
// one. The old key is kept under its fingerprint and never overwritten. Refused
// are a wrong passphrase of either, a certificate that belongs to another key,
// is not valid now or not for signing, and weak keys; nothing is changed then.
func ImportKey(b *bench.Bench, path, filePassphrase, passphrase string, now time.Time) (*Brought, error) {
	id, err := sign.LoadIdentity(path, filePassphrase)
	if err != nil {
		return nil, fmt.Errorf("bring key along: %w", err)
	}
	if err := id.CheckBrought(now); err != nil {
		return nil, fmt.Errorf("bring key along from %s: %w", filepath.Base(path), err)
	}
	out := &Brought{Identity: id}
	if !HasKey(b) {
		if err := os.MkdirAll(filepath.Dir(b.KeyPath()), 0o700); err != nil {
			return nil, fmt.Errorf("bring key along: %w", err)
		}
		if err := sign.SaveIdentity(b.KeyPath(), id, passphrase); err != nil {
			return nil, fmt.Errorf("bring key along: %w", err)
		}
		return out, keepPublic(b, id)
	}
	old, err := sign.LoadIdentity(b.KeyPath(), passphrase)
	if err != nil {
		return nil, fmt.Errorf("bring key along: this bench's own key: %w", err)
	}
	if old.Certificate.Equal(id.Certificate) {
		return nil, errors.New("bring key along: it is this bench's key already")
	}
	if out.Kept, err = freeName(b, old); err != nil {
		return nil, fmt.Errorf("bring key along: %w", err)
	}
	if err := sign.ReplaceIdentity(b.KeyPath(), out.Kept, id, passphrase); err != nil {
		return nil, fmt.Errorf("bring key along: %w", err)
	}
	return out, keepPublic(b, id)
}

// freeName is a file name for a key that goes out of use. A key that comes back
// into use, or gets a new certificate, may go out of use again.
func freeName(b *bench.Bench, id *sign.Identity) (string, error) {
	dir, stem := filepath.Dir(b.KeyPath()), "examiner-"+string(id.Fingerprint())
	now, err := os.ReadFile(b.KeyPath())
	if err != nil {
		return "", err
	}
	for n := 1; n < 1000; n++ {
		name := stem + ".p12"
		if n > 1 {
			name = fmt.Sprintf("%s-%d.p12", stem, n)
		}
		there, err := os.ReadFile(filepath.Join(dir, name))
		// The same bytes are left from a try that was cut short.
		if errors.Is(err, fs.ErrNotExist) || (err == nil && bytes.Equal(there, now)) {
			return name, nil
		}
	}
	return "", errors.New("a thousand old keys are kept already; move them to another place")
}

// KnownPath is where the user's own list of known keys is kept.
func KnownPath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("find the list of known keys: %w", err)
	}
	return filepath.Join(dir, "wornwood", "known-keys.json"), nil
}
