package blob

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// tempPrefix begins the name of every unfinished file.
const tempPrefix = "incoming-"

// temp is a file being written beside the place it will take.
type temp struct {
	f    *os.File
	done bool
}

func newTemp(dir string) (*temp, error) {
	f, err := os.CreateTemp(dir, tempPrefix+"*")
	if err != nil {
		return nil, err
	}
	return &temp{f: f}, nil
}

// discard removes the file unless it was committed.
func (t *temp) discard() {
	if t.done {
		return
	}
	// The file has no name anybody knows; what cannot be removed now is
	// removed when the store is opened again.
	_ = t.f.Close()
	_ = os.Remove(t.f.Name())
}

// commit makes the content durable under its final name: sync, mode, close,
// rename, sync of the folder.
func (t *temp) commit(path string, perm fs.FileMode) error {
	if err := t.f.Sync(); err != nil {
		return err
	}
	if err := t.rename(path, perm); err != nil {
		return err
	}
	return SyncDir(filepath.Dir(path))
}

func (t *temp) rename(path string, perm fs.FileMode) error {
	if err := t.f.Chmod(perm); err != nil {
		return err
	}
	if err := t.f.Close(); err != nil {
		return err
	}
	if err := os.Rename(t.f.Name(), path); err != nil {
		return err
	}
	t.done = true
	return nil
}

// WriteFile writes a whole file durably: what is at path afterwards is either
// what was there before or everything that write gave, never a part of it.
func WriteFile(path string, perm fs.FileMode, write func(io.Writer) error) error {
	t, err := newTemp(filepath.Dir(path))
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	defer t.discard()
	if err := write(t.f); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err := t.commit(path, perm); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}

// WriteSpare is WriteFile without the syncs, for files that can be made again:
// after a loss of power such a file may be missing, empty or partly zero, and
// its reader must notice. The unfinished file lies in tempDir, which must be on
// the same disk and is the folder to give to CleanTemp.
func WriteSpare(tempDir, path string, perm fs.FileMode, data []byte) error {
	t, err := newTemp(tempDir)
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	defer t.discard()
	if _, err := t.f.Write(data); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err := t.rename(path, perm); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}

// CleanTemp removes unfinished files from one folder. It is called when no
// other process can be writing there.
func CleanTemp(dir string) error {
	list, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("clean %s: %w", dir, err)
	}
	for _, d := range list {
		if d.Type().IsRegular() && strings.HasPrefix(d.Name(), tempPrefix) {
			if err := os.Remove(filepath.Join(dir, d.Name())); err != nil {
				return fmt.Errorf("clean %s: %w", dir, err)
			}
		}
	}
	return nil
}

// SyncDir makes the names in a folder durable.
func SyncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return fmt.Errorf("sync folder: %w", err)
	}
	if err := d.Sync(); err != nil {
		return errors.Join(fmt.Errorf("sync folder %s: %w", dir, err), d.Close())
	}
	return d.Close()
}

func makeDir(dir string) error {
	if _, err := os.Stat(dir); err == nil {
		return nil
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	return SyncDir(filepath.Dir(dir))
}

// IsTemp tells whether a file name is that of an unfinished file.
func IsTemp(name string) bool { return strings.HasPrefix(name, tempPrefix) }
