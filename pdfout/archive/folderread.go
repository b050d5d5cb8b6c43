package archive

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/blob"
)

// opened is an open file of a folder.
type opened struct {
	*os.File
	size int64
}

func (o *opened) Size() int64 { return o.size }

func openContent(path string) (Content, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("open %s: %w", path, ErrMissing)
	}
	if err != nil {
		return nil, fmt.Errorf("open file: %w", err)
	}
	st, err := f.Stat()
	if err == nil && !st.Mode().IsRegular() {
		err = errors.New("it is not a file")
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("open %s: %w", path, err), f.Close())
	}
	return &opened{f, st.Size()}, nil
}

func (s *folder) Open(ref Ref) (Content, error) {
	p := s.path(ref)
	if p == "" {
		return nil, fmt.Errorf("open %s %.70q: %w", ref.Area, ref.Hash, ErrMissing)
	}
	return openContent(p)
}

func (s *folder) List(area Area, visit func(hash string, size int64, stranger string) error) error {
	root := filepath.Join(s.dir, string(area))
	if area == Reasons {
		root = filepath.Join(s.dir, string(Refused))
	}
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && p == root {
			return filepath.SkipAll
		}
		if err != nil || d.IsDir() {
			return err
		}
		if blob.IsTemp(d.Name()) {
			return nil // a file being brought back
		}
		st, err := d.Info()
		if err != nil {
			return err
		}
		hash, ext := strings.TrimSuffix(d.Name(), filepath.Ext(p)), filepath.Ext(p)
		if root == filepath.Join(s.dir, string(Refused)) && ext != suffix[area] && (ext == ".txt" || ext == ".pdf") {
			return nil // the other half of the pile
		}
		if !st.Mode().IsRegular() || s.path(Ref{area, hash}) != p {
			return visit("", st.Size(), p)
		}
		return visit(hash, st.Size(), "")
	})
	if err != nil {
		return fmt.Errorf("list %s: %w", area, err)
	}
	return nil
}

func (s *folder) Restore(ref Ref, r io.Reader) error {
	to := s.path(ref)
	if to == "" {
		return fmt.Errorf("restore %s %.70q: %w", ref.Area, ref.Hash, ErrMissing)
	}
	if _, err := os.Lstat(to); err == nil {
		aside := filepath.Join(s.dir, damagedDir, fmt.Sprintf("%s-%d-%s", ref.Area, time.Now().UnixNano(), filepath.Base(to)))
		if err := os.MkdirAll(filepath.Dir(aside), 0o755); err != nil {
			return fmt.Errorf("restore %s: %w", ref.Area, err)
		}
		if err := os.Rename(to, aside); err != nil {
			return fmt.Errorf("restore %s: %w", ref.Area, err)
		}
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return fmt.Errorf("restore %s: %w", ref.Area, err)
	}
	return blob.WriteFile(to, 0o444, func(w io.Writer) error {
		_, err := io.Copy(w, r)
		return err
	})
}
