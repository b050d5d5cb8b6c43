package archive

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"wornwood/capture/blob"
)

// The names in an archive's folder.
const (
	settingsName = "archive.json"
	indexName    = "index.db"
	lockName     = "lock"
	stageDir     = "incoming"
	retired      = "retired"
	damagedDir   = "damaged"
)

// folder is the store of one machine: a folder as FORMAT.md describes it.
type folder struct {
	dir string

	mu    sync.Mutex
	dirty map[string]bool // folders whose names are not durable yet
}

// OpenFolder opens the store in a folder that Make made.
func OpenFolder(dir string) (Store, error) {
	if _, err := os.Stat(filepath.Join(dir, settingsName)); err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("%s is no archive: it holds no %s; 'wornwood archive make' makes one", dir, settingsName)
		}
		return nil, fmt.Errorf("open archive: %w", err)
	}
	return &folder{dir: dir, dirty: map[string]bool{}}, nil
}

var suffix = map[Area]string{Files: ".pdf", Refused: ".pdf", Reasons: ".txt", Verdicts: ".json", Records: ".json"}

// path is where a file lies; "" when the name is none.
func (s *folder) path(ref Ref) string {
	if !blob.ValidID(ref.Hash) || suffix[ref.Area] == "" {
		return ""
	}
	name := ref.Hash + suffix[ref.Area]
	switch ref.Area {
	case Refused, Reasons: // one visible pile, the reason beside the file
		return filepath.Join(s.dir, string(Refused), name)
	}
	return filepath.Join(s.dir, string(ref.Area), ref.Hash[:2], name)
}

// stage is where a file waits until its line is in the log. The content's area
// is known only then, so its name has none.
func (s *folder) stage(hash string, area Area) string {
	return filepath.Join(s.dir, stageDir, hash+"."+string(area))
}

const content Area = "content"

func (s *folder) Stage(r io.Reader, limit int64, keep func(string) bool) (string, int64, error) {
	f, err := os.CreateTemp(filepath.Join(s.dir, stageDir), "new-*")
	if err != nil {
		return "", 0, fmt.Errorf("take in file: %w", err)
	}
	done := false
	defer func() {
		if !done {
			// What cannot be removed now is removed when the archive is opened.
			_ = f.Close()
			_ = os.Remove(f.Name())
		}
	}()
	h := sha256.New()
	n, err := io.Copy(io.MultiWriter(f, h), io.LimitReader(r, limit+1))
	if err != nil {
		return "", 0, fmt.Errorf("take in file: %w", err)
	}
	if n > limit {
		return "", 0, fmt.Errorf("more than %d MiB: %w", limit>>20, ErrTooLarge)
	}
	hash := hex.EncodeToString(h.Sum(nil))
	if !keep(hash) {
		return hash, n, nil
	}
	if err := finish(f, s.stage(hash, content)); err != nil {
		return "", 0, fmt.Errorf("take in file: %w", err)
	}
	done = true
	return hash, n, nil
}

// finish makes a file's content durable under its name; the name becomes so
// with its folder.
func finish(f *os.File, path string) error {
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Chmod(0o444); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

func (s *folder) Put(ref Ref, data []byte) error {
	if s.path(ref) == "" {
		return fmt.Errorf("take in %s %.70q: not the name of a file of an archive", ref.Area, ref.Hash)
	}
	f, err := os.CreateTemp(filepath.Join(s.dir, stageDir), "new-*")
	if err != nil {
		return fmt.Errorf("take in %s: %w", ref.Area, err)
	}
	if _, err = f.Write(data); err == nil {
		err = finish(f, s.stage(ref.Hash, ref.Area))
	}
	if err != nil {
		return errors.Join(fmt.Errorf("take in %s: %w", ref.Area, err), closeAndRemove(f))
	}
	return nil
}

func closeAndRemove(f *os.File) error {
	_ = f.Close() // closed already where only the rename failed
	return os.Remove(f.Name())
}

func (s *folder) Staged(hash string) (Content, error) { return openContent(s.stage(hash, content)) }

func (s *folder) Leftover() ([]string, error) {
	list, err := os.ReadDir(filepath.Join(s.dir, stageDir))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("list what is staged: %w", err)
	}
	var out []string
	for _, d := range list { // sorted, so that one report's come together
		hash, _, _ := strings.Cut(d.Name(), ".")
		if len(out) == 0 || out[len(out)-1] != hash {
			out = append(out, hash)
		}
	}
	return out, nil
}

// belongs are the files of a report by where it goes.
var belongs = map[Area][]Area{Files: {Records, Verdicts}, Refused: {Reasons}}

func (s *folder) Publish(hash string, area Area) error {
	if belongs[area] == nil || s.path(Ref{area, hash}) == "" {
		return fmt.Errorf("file %.70q in %q: not a name of an archive", hash, area)
	}
	for _, a := range append([]Area{content}, belongs[area]...) {
		from, to := s.stage(hash, a), s.path(Ref{a, hash})
		if a == content {
			to = s.path(Ref{area, hash})
		}
		if _, err := os.Lstat(from); errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err := s.makeDir(filepath.Dir(to)); err != nil {
			return fmt.Errorf("file report: %w", err)
		}
		if err := os.Rename(from, to); err != nil {
			return fmt.Errorf("file report: %w", err)
		}
	}
	return nil
}

// makeDir makes a folder where there is none and notes it as changed.
func (s *folder) makeDir(dir string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.dirty[dir] = true
	if _, err := os.Stat(dir); err == nil {
		return nil
	}
	s.dirty[filepath.Dir(dir)] = true
	return os.MkdirAll(dir, 0o755)
}

func (s *folder) Settle() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	for dir := range s.dirty {
		if err := blob.SyncDir(dir); err != nil {
			return err
		}
		delete(s.dirty, dir)
	}
	return nil
}

func (s *folder) Discard(hash string) error {
	list, err := filepath.Glob(filepath.Join(s.dir, stageDir, "*"))
	if err != nil {
		return fmt.Errorf("clean up: %w", err)
	}
	for _, p := range list {
		if name := filepath.Base(p); name == hash || strings.HasPrefix(name, hash+".") {
			if err := os.Remove(p); err != nil {
				return fmt.Errorf("clean up: %w", err)
			}
		}
	}
	return nil
}

func (s *folder) Retire(hash string) error {
	if s.path(Ref{Files, hash}) == "" {
		return fmt.Errorf("remove report %.70q: %w", hash, ErrMissing)
	}
	f, err := os.Create(s.stage(hash, retired))
	if err == nil {
		err = errors.Join(f.Sync(), f.Close(), blob.SyncDir(filepath.Join(s.dir, stageDir)))
	}
	if err != nil {
		return fmt.Errorf("remove report: %w", err)
	}
	return nil
}

func (s *folder) Remove(hash string) error {
	for _, area := range Areas() {
		p := s.path(Ref{area, hash})
		if p == "" {
			return fmt.Errorf("remove report %.70q: %w", hash, ErrMissing)
		}
		err := os.Remove(p)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err == nil {
			err = blob.SyncDir(filepath.Dir(p))
		}
		if err != nil {
			return fmt.Errorf("remove report: %w", err)
		}
	}
	return s.Discard(hash)
}

func (s *folder) Settings() ([]byte, error) {
	b, err := os.ReadFile(filepath.Join(s.dir, settingsName))
	if err != nil {
		return nil, fmt.Errorf("open archive: %w", err)
	}
	return b, nil
}
