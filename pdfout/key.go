package pdfout

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"wornwood/capture/bench"
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
// keeps it encrypted under the passphrase.
func OpenIdentity(b *bench.Bench, r *record.Record, passphrase string, now time.Time) (*sign.Identity, error) {
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

// KnownPath is where the user's own list of known keys is kept.
func KnownPath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("find the list of known keys: %w", err)
	}
	return filepath.Join(dir, "wornwood", "known-keys.json"), nil
}
