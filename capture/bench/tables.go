package bench

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"wornwood/capture/blob"
)

// TableKind says what one of the shop's own tables lists.
type TableKind string

// The kinds of table.
const (
	SerialTable  TableKind = "serials"  // serial numbers and their years
	FeatureTable TableKind = "features" // ways of building and when they began or ended
)

// TableKinds lists the kinds.
func TableKinds() []TableKind { return []TableKind{SerialTable, FeatureTable} }

const (
	tablesDir = "tables"
	// maxTable bounds a table, in bytes.
	maxTable = 8 << 20
)

// TableFile is one of the shop's own tables as it lies on the disk. What it
// says is read by annotate/dating.
type TableFile struct {
	Kind TableKind
	Name string // inside the bench, with forward slashes: "tables/serials.csv"
	Data []byte
	Err  error // why it could not be read
}

// tableExts are the forms in which a table may lie there.
func tableExts() []string { return []string{".csv", ".json"} }

// Tables reads the shop's own tables, those of serial numbers first. A bench
// without any has none.
func (b *Bench) Tables() []TableFile {
	var out []TableFile
	for _, k := range TableKinds() {
		for _, ext := range tableExts() {
			f := TableFile{Kind: k, Name: tablesDir + "/" + string(k) + ext}
			f.Data, f.Err = readTable(filepath.Join(b.dir, tablesDir, string(k)+ext))
			if !errors.Is(f.Err, fs.ErrNotExist) {
				out = append(out, f)
			}
		}
	}
	return out
}

func readTable(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	st, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !st.Mode().IsRegular() {
		return nil, errors.New("it is no file")
	}
	data, err := io.ReadAll(io.LimitReader(f, maxTable+1))
	if err != nil {
		return nil, err
	}
	if len(data) > maxTable {
		return nil, fmt.Errorf("it is larger than %d MiB", maxTable>>20)
	}
	return data, nil
}

// SetTable makes data the table of a kind in one form, ".csv" or ".json". The
// table that was there before is kept beside it under the name that SetTable
// returns, "" when there was none or it was the same.
func (b *Bench) SetTable(kind TableKind, ext string, data []byte) (kept string, err error) {
	if (kind != SerialTable && kind != FeatureTable) || (ext != ".csv" && ext != ".json") {
		return "", fmt.Errorf("write table: there is no table %s%s", kind, ext)
	}
	if len(data) > maxTable {
		return "", fmt.Errorf("write table: it is larger than %d MiB", maxTable>>20)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return "", ErrClosed
	}
	dir := filepath.Join(b.dir, tablesDir)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fmt.Errorf("write table: %w", err)
	}
	if err := blob.SyncDir(b.dir); err != nil {
		return "", err
	}
	path := filepath.Join(dir, string(kind)+ext)
	old, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return "", fmt.Errorf("write table: %w", err)
	case string(old) == string(data):
		return "", nil
	default:
		if kept, err = keepTable(dir, string(kind)+ext, old); err != nil {
			return "", err
		}
	}
	return kept, blob.WriteFile(path, 0o644, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// keepTable writes a table that is about to be replaced beside it, under the
// first free name.
func keepTable(dir, name string, old []byte) (string, error) {
	for n := 1; ; n++ {
		kept := fmt.Sprintf("%s.before-%d", name, n)
		path := filepath.Join(dir, kept)
		if _, err := os.Lstat(path); err == nil {
			continue
		} else if !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("keep table: %w", err)
		}
		err := blob.WriteFile(path, 0o644, func(w io.Writer) error {
			_, err := w.Write(old)
			return err
		})
		return tablesDir + "/" + kept, err
	}
}
