package bench

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

	"wornwood/capture/blob"
)

const (
	rubricsDir   = "rubrics"
	rubricSuffix = ".json"
	// maxRubric bounds a rubric, in bytes.
	maxRubric = 1 << 20
)

// ErrNoRubric says that the bench does not have a rubric.
var ErrNoRubric = errors.New("this rubric is not on the bench; bring back its file from a backup, or from a report that was graded by it")

// AddRubric keeps a rubric of the shop's own under the SHA-256 of its bytes,
// which it gives back; one that is there already is left as it is. The bytes
// are its canonical JSON; whether it can be used is for package grade to say.
func (b *Bench) AddRubric(data []byte) (hash string, err error) {
	if len(data) == 0 || len(data) > maxRubric {
		return "", fmt.Errorf("keep rubric: it is empty or larger than %d KiB", maxRubric>>10)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return "", ErrClosed
	}
	sum := sha256.Sum256(data)
	hash = hex.EncodeToString(sum[:])
	if _, err := b.readRubric(hash); err == nil {
		return hash, nil
	}
	err = blob.WriteFile(b.rubricPath(hash), 0o444, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	if err != nil {
		return "", fmt.Errorf("keep rubric: %w", err)
	}
	return hash, nil
}

// Rubric is a rubric that was kept on the bench, by its hash. It returns
// ErrNoRubric (wrapped), or a *DamagedError when the file is not what its name
// says.
func (b *Bench) Rubric(hash string) ([]byte, error) { return b.readRubric(hash) }

func (b *Bench) readRubric(hash string) ([]byte, error) {
	if !isSum(hash) {
		return nil, fmt.Errorf("read rubric: %.70q is not the hash of a rubric", hash)
	}
	p := b.rubricPath(hash)
	f, err := os.Open(p)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("read rubric %s: %w", hash, ErrNoRubric)
	}
	if err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxRubric+1))
	if err != nil {
		return nil, fmt.Errorf("read rubric: %w", err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
		return nil, &DamagedError{File: p, Why: "its content is not that of its name"}
	}
	return data, nil
}

// Rubrics lists the hashes of the rubrics kept on the bench, in order.
func (b *Bench) Rubrics() ([]string, error) {
	list, err := os.ReadDir(filepath.Join(b.dir, rubricsDir))
	if err != nil {
		return nil, fmt.Errorf("list rubrics: %w", err)
	}
	var out []string
	for _, d := range list {
		if hash, ok := strings.CutSuffix(d.Name(), rubricSuffix); ok && isSum(hash) {
			out = append(out, hash)
		}
	}
	return out, nil
}

// ChosenRubric is the hash of the rubric that new examinations are graded by,
// "" for the newest that comes with the program.
func (b *Bench) ChosenRubric() string { return b.Settings().Rubric }

// ChooseRubric makes a rubric that of new examinations; "" takes the newest
// that comes with the program.
func (b *Bench) ChooseRubric(hash string) error {
	s := b.Settings()
	s.Rubric = hash
	return b.SetSettings(s)
}

func (b *Bench) rubricPath(hash string) string {
	return filepath.Join(b.dir, rubricsDir, hash+rubricSuffix)
}

// isSum tells whether a text is a SHA-256 in lower-case hex digits.
func isSum(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}

// rubrics sees that every rubric on the bench is what its name says.
func (c *checker) rubrics() error {
	list, err := c.b.Rubrics()
	if err != nil {
		return err
	}
	for _, hash := range list {
		if _, err := c.b.readRubric(hash); err != nil {
			text := err.Error()
			var d *DamagedError
			if errors.As(err, &d) {
				text = d.Why
			}
			c.find(rubricsDir+"/"+hash+rubricSuffix, "is damaged: "+text+"; bring it back from a backup, or from a report that was graded by it")
		}
	}
	return nil
}
