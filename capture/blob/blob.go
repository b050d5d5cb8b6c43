// Package blob keeps files that are written once and named by their content.
//
// Start with Open and Store.Put. A file lies at ab/HASH, where HASH is its
// SHA-256 in 64 lower-case hex digits and ab are the first two of them. It is
// written to a temporary file, synced, made read-only and renamed, so that a
// name always stands for whole content. Every read is checked against the name.
//
// The package does not promise secrecy, does not delete anything but its own
// unfinished files, and expects one process at a time to write.
package blob

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// ErrMissing says that no file with that hash is in the store.
var ErrMissing = errors.New("the file is not in the store")

// ErrTooLarge says that more bytes came than the caller allowed.
var ErrTooLarge = errors.New("the file is larger than allowed")

// DamagedError says that a stored file no longer has the content its name
// stands for.
type DamagedError struct {
	ID   string // the name, SHA-256 of what was stored
	Path string
	Why  string
}

func (e *DamagedError) Error() string {
	return fmt.Sprintf("%s is damaged: %s; bring it back from a backup", e.Path, e.Why)
}

// Store is a folder of files named by their SHA-256. Its methods may be called
// from several goroutines.
type Store struct{ dir string }

// Open makes the folder when it is missing and removes what an interrupted Put
// left behind.
func Open(dir string) (*Store, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("open store: %w", err)
	}
	if err := CleanTemp(dir); err != nil {
		return nil, err
	}
	return &Store{dir: dir}, nil
}

// ValidID tells whether id is 64 lower-case hex digits. Only such names ever
// become part of a path.
func ValidID(id string) bool {
	if len(id) != sha256.Size*2 {
		return false
	}
	for _, c := range []byte(id) {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

// Sum is the name that data gets.
func Sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// Path is where the file with that name lies or would lie; "" when id is not a
// name.
func (s *Store) Path(id string) string {
	if !ValidID(id) {
		return ""
	}
	return filepath.Join(s.dir, id[:2], id)
}

// Has tells whether a file with that name is in the store, without reading it.
func (s *Store) Has(id string) bool {
	st, err := os.Stat(s.Path(id))
	return err == nil && st.Mode().IsRegular()
}

// Put stores everything that r gives and returns its name and size; known says
// that the same content was there already. More than limit bytes is
// ErrTooLarge, and nothing is stored. A damaged file of the same name is
// replaced by the good content.
func (s *Store) Put(r io.Reader, limit int64) (id string, size int64, known bool, err error) {
	t, err := newTemp(s.dir)
	if err != nil {
		return "", 0, false, fmt.Errorf("store file: %w", err)
	}
	defer t.discard()
	h := sha256.New()
	size, err = io.Copy(io.MultiWriter(t.f, h), io.LimitReader(r, limit+1))
	if err != nil {
		return "", 0, false, fmt.Errorf("store file: %w", err)
	}
	if size > limit {
		return "", 0, false, fmt.Errorf("store file of more than %d bytes: %w", limit, ErrTooLarge)
	}
	id = hex.EncodeToString(h.Sum(nil))
	if s.Verify(id) == nil {
		return id, size, true, nil
	}
	if err := s.finish(t, id); err != nil {
		return "", 0, false, err
	}
	return id, size, false, nil
}

// PutBytes is Put for content already in memory; it writes nothing when the
// content is there already.
func (s *Store) PutBytes(data []byte) (id string, known bool, err error) {
	id = Sum(data)
	if s.Verify(id) == nil {
		return id, true, nil
	}
	_, _, known, err = s.Put(bytes.NewReader(data), int64(len(data)))
	return id, known, err
}

func (s *Store) finish(t *temp, id string) error {
	sub := filepath.Join(s.dir, id[:2])
	if err := makeDir(sub); err != nil {
		return fmt.Errorf("store file: %w", err)
	}
	if err := t.commit(filepath.Join(sub, id), 0o444); err != nil {
		return fmt.Errorf("store file: %w", err)
	}
	return nil
}

// File is an open stored file whose content was checked when it was opened.
type File struct {
	*os.File
	Size int64
}

// Open reads the file once to check it, then hands it out.
func (s *Store) Open(id string) (*File, error) {
	f, err := s.open(id)
	if err != nil {
		return nil, err
	}
	n, err := checkFile(f, id)
	if err == nil {
		_, err = f.Seek(0, io.SeekStart)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return &File{File: f, Size: n}, nil
}

// OpenUnchecked opens a file without reading it first, for a quick look at its
// beginning.
func (s *Store) OpenUnchecked(id string) (*os.File, error) { return s.open(id) }

// Bytes returns the checked content of a file of at most limit bytes.
func (s *Store) Bytes(id string, limit int64) ([]byte, error) {
	f, err := s.open(id)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", f.Name(), err)
	}
	if int64(len(b)) > limit {
		return nil, fmt.Errorf("read %s: more than %d bytes: %w", f.Name(), limit, ErrTooLarge)
	}
	if got := Sum(b); got != id {
		return nil, damaged(f.Name(), id, got)
	}
	return b, nil
}

// Verify reads the file and compares it with its name. It returns nil,
// ErrMissing (wrapped), a *DamagedError, or what reading met.
func (s *Store) Verify(id string) error {
	f, err := s.open(id)
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = checkFile(f, id)
	return err
}

func (s *Store) open(id string) (*os.File, error) {
	p := s.Path(id)
	if p == "" {
		return nil, fmt.Errorf("open file %.70q: not the name of a stored file: %w", id, ErrMissing)
	}
	f, err := os.Open(p)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("open %s: %w", p, ErrMissing)
	}
	if err != nil {
		return nil, fmt.Errorf("open file: %w", err)
	}
	return f, nil
}

func checkFile(f *os.File, id string) (int64, error) {
	h := sha256.New()
	n, err := io.Copy(h, f)
	if err != nil {
		return n, fmt.Errorf("read %s: %w", f.Name(), err)
	}
	if got := hex.EncodeToString(h.Sum(nil)); got != id {
		return n, damaged(f.Name(), id, got)
	}
	return n, nil
}

func damaged(path, id, got string) error {
	return &DamagedError{ID: id, Path: path, Why: "its SHA-256 is now " + got}
}

// List returns the names of all stored files, sorted. Files that are not named
// like content are returned as strangers, by path.
func (s *Store) List() (ids, strangers []string, err error) {
	err = filepath.WalkDir(s.dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name := d.Name()
		switch {
		case s.Path(name) == p:
			ids = append(ids, name)
		case !strings.HasPrefix(name, tempPrefix):
			strangers = append(strangers, p)
		}
		return nil
	})
	if err != nil {
		return nil, nil, fmt.Errorf("list store: %w", err)
	}
	return ids, strangers, nil
}

// Check verifies every stored file and calls visit for each, with nil when it
// is sound. It stops when ctx ends.
func (s *Store) Check(ctx context.Context, visit func(done, total int, id string, err error)) error {
	ids, _, err := s.List()
	if err != nil {
		return err
	}
	for i, id := range ids {
		if err := ctx.Err(); err != nil {
			return err
		}
		visit(i+1, len(ids), id, s.Verify(id))
	}
	return nil
}
