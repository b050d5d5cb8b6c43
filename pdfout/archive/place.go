package archive

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"wornwood/capture/blob"
	"wornwood/pdfout"
)

// SharedSchema names the form of shared.json, as FORMAT.md describes it.
const SharedSchema = "wornwood.shared/1"

const sharedName = "shared.json"

// Shared says where a shared archive is. It stands in a folder of its own on
// each machine in place of the archive, and holds no secret.
type Shared struct {
	Schema  string `json:"schema"`
	Archive string `json:"archive"` // SHA-256 of the archive.json that must be there
	Files   string `json:"files"`   // s3:// address, or a folder, from the folder of shared.json on where it is relative
	// Index is a postgres:// address without a password; "" keeps an index.db in
	// the folder of shared.json.
	Index string `json:"index,omitempty"`
}

// readShared reads a folder's shared.json; nil where there is none.
func readShared(dir string) (*Shared, error) {
	path := filepath.Join(dir, sharedName)
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("open archive: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxLine))
	if err != nil {
		return nil, fmt.Errorf("open archive: %w", err)
	}
	var s Shared
	if err := json.Unmarshal(b, &s); err != nil || s.Schema != SharedSchema || !blob.ValidID(s.Archive) || s.Files == "" {
		return nil, fmt.Errorf("%s is not of the form %s; copy it again from who made the archive, or a newer program made it", path, SharedSchema)
	}
	if err := checkIndex(s.Index); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if !IsS3(s.Files) && !filepath.IsAbs(s.Files) {
		s.Files = filepath.Join(dir, s.Files)
	}
	return &s, nil
}

func (s *Shared) write(dir string) error {
	b, err := pdfout.Canonical(s)
	if err == nil {
		err = os.MkdirAll(dir, 0o755)
	}
	if err == nil {
		err = blob.WriteFile(filepath.Join(dir, sharedName), 0o644, func(w io.Writer) error { _, err := w.Write(append(b, '\n')); return err })
	}
	if err != nil {
		return fmt.Errorf("make archive: %w", err)
	}
	return nil
}

// checkIndex sees that an address names a database and holds no password.
func checkIndex(address string) error {
	if address == "" {
		return nil
	}
	u, err := url.Parse(address)
	if err != nil || (u.Scheme != "postgres" && u.Scheme != "postgresql") {
		return errors.New("the address of the index reads postgres://USER@HOST/DATABASE")
	}
	_, has := u.User.Password()
	for name := range u.Query() {
		has = has || strings.Contains(strings.ToLower(name), "password")
	}
	if has {
		return errors.New("a password does not belong into the address of the index, where everybody reads it; put it into ~/.pgpass or PGPASSWORD")
	}
	return nil
}

// OpenPlace opens the store of an archive: of a folder, of a folder with
// shared.json, or of an s3:// address.
func OpenPlace(ctx context.Context, place string) (Store, error) {
	if IsS3(place) {
		at, err := ParseS3Place(place)
		if err != nil {
			return nil, err
		}
		return OpenS3(ctx, at)
	}
	shared, err := readShared(place)
	if err != nil {
		return nil, err
	}
	if shared == nil {
		return OpenFolder(place)
	}
	s, err := OpenPlace(ctx, shared.Files)
	if err != nil {
		return nil, err
	}
	settings, err := s.Settings()
	if err == nil && sum(settings) != shared.Archive {
		err = shared.other()
	}
	if err != nil {
		return nil, errors.Join(err, closeStore(s))
	}
	return s, nil
}

func (s *Shared) other() error {
	return fmt.Errorf("in %s is another archive than the one that %s names; ask who made it where it is now", s.Files, sharedName)
}

func closeStore(s Store) error {
	if c, is := s.(io.Closer); is {
		return c.Close()
	}
	return nil
}

// makePlace begins an archive with these settings in a folder that is empty or
// not there, or at an s3:// address; was tells that one with any settings was
// there, which is opened then.
func makePlace(ctx context.Context, place string, settings []byte) (s Store, was bool, err error) {
	if !IsS3(place) {
		if _, err := os.Lstat(filepath.Join(place, settingsName)); err == nil {
			s, err = OpenFolder(place)
			return s, true, err
		}
		if err := makeFolder(place, settings); err != nil {
			return nil, false, err
		}
		s, err = OpenFolder(place)
		return s, false, err
	}
	at, err := ParseS3Place(place)
	if err != nil {
		return nil, false, err
	}
	t, err := dialS3(ctx, at)
	if err != nil {
		return nil, false, err
	}
	if _, err := t.Settings(); !errors.Is(err, ErrMissing) {
		return t, true, err
	}
	t, err = makeS3(ctx, at, settings)
	return t, false, err
}
