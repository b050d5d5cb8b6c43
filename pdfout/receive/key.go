package receive

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/pdfout/sign"
)

// Folder is where the user's own key and what is being received are kept.
func Folder() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("find the folder of your own key: %w", err)
	}
	return filepath.Join(dir, "wornwood"), nil
}

// KeyPath is where a user's personal key lies in that folder, as PKCS#12 like a
// bench's.
func KeyPath(folder string) string { return filepath.Join(folder, "personal.p12") }

// HasKey tells whether the user has a personal key yet.
func HasKey(folder string) bool {
	_, err := os.Stat(KeyPath(folder))
	return !errors.Is(err, fs.ErrNotExist)
}

// OpenKey opens the user's personal key or, on first use, makes it for the name
// and keeps it encrypted under the passphrase. No key is ever overwritten.
func OpenKey(folder, name, passphrase string, now time.Time) (*sign.Identity, error) {
	path := KeyPath(folder)
	if HasKey(folder) {
		return sign.LoadIdentity(path, passphrase)
	}
	if name = strings.Join(strings.Fields(name), " "); name == "" {
		return nil, errors.New("make your signing key: say who receives the instrument")
	}
	id, err := sign.NewKey(sign.Subject{Name: name}, now, rand.Reader)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fmt.Errorf("make your signing key: %w", err)
	}
	if err := sign.SaveIdentity(path, id, passphrase); err != nil {
		return nil, err
	}
	return id, nil
}
