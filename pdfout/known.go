package pdfout

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wornwood/capture/blob"
	"wornwood/pdfout/sign"
)

// KnownSchema names the JSON shape of a list of known keys.
const KnownSchema = "wornwood.known/1"

// maxKnown bounds the file of known keys, in bytes.
const maxKnown = 4 << 20

// KnownKeys are the keys whose fingerprints somebody has compared over another
// channel, with the name by which each is called here.
type KnownKeys map[sign.Fingerprint]string

type knownFile struct {
	Schema string            `json:"schema"`
	Keys   map[string]string `json:"keys"` // fingerprint to name
}

// LoadKnown reads a list of known keys; a file that does not exist is an empty
// list. A broken entry is an error and not passed over: whoever relies on the
// list must not lose half of it unseen.
func LoadKnown(path string) (KnownKeys, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return KnownKeys{}, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read known keys: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxKnown+1))
	if err != nil {
		return nil, fmt.Errorf("read known keys: %w", err)
	}
	var k knownFile
	if len(b) > maxKnown {
		err = fmt.Errorf("larger than %d MiB", maxKnown>>20)
	} else if err = json.Unmarshal(b, &k); err == nil && k.Schema != KnownSchema {
		err = fmt.Errorf("its schema is %q, this program reads %q", k.Schema, KnownSchema)
	}
	if err != nil {
		return nil, fmt.Errorf("read known keys from %s: %w; put the file aside to start a new list", path, err)
	}
	out := KnownKeys{}
	for fp, name := range k.Keys {
		p, err := sign.ParseFingerprint(fp)
		if err != nil {
			return nil, fmt.Errorf("read known keys from %s: %w", path, err)
		}
		out[p] = name
	}
	return out, nil
}

// Add is the list with one more key, or with another name for a known one. A
// name is needed: a key without one says nothing.
func (k KnownKeys) Add(fp sign.Fingerprint, name string) (KnownKeys, error) {
	if _, err := sign.ParseFingerprint(string(fp)); err != nil {
		return nil, fmt.Errorf("add known key: %w", err)
	}
	if name = strings.Join(strings.Fields(name), " "); name == "" {
		return nil, errors.New("add known key: say whose key it is")
	}
	out := maps.Clone(k)
	if out == nil {
		out = KnownKeys{}
	}
	out[fp] = name
	return out, nil
}

// Without is the list without a key.
func (k KnownKeys) Without(fp sign.Fingerprint) KnownKeys {
	out := maps.Clone(k)
	delete(out, fp)
	return out
}

// KnownKey is one row of a list of known keys.
type KnownKey struct {
	Fingerprint sign.Fingerprint
	Name        string
}

// Rows are the keys in the order of their names.
func (k KnownKeys) Rows() []KnownKey {
	rows := make([]KnownKey, 0, len(k))
	for fp, name := range k {
		rows = append(rows, KnownKey{fp, name})
	}
	slices.SortFunc(rows, func(a, b KnownKey) int {
		return cmp.Or(strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), strings.Compare(string(a.Fingerprint), string(b.Fingerprint)))
	})
	return rows
}

// Save writes the list; the file is replaced as a whole or not at all.
func (k KnownKeys) Save(path string) error {
	f := knownFile{Schema: KnownSchema, Keys: map[string]string{}}
	for fp, name := range k {
		f.Keys[string(fp)] = name
	}
	b, err := json.MarshalIndent(f, "", "  ") // keys come out sorted
	if err != nil {
		return fmt.Errorf("write known keys: %w", err)
	}
	err = blob.WriteFile(path, 0o644, func(w io.Writer) error { _, err := w.Write(append(b, '\n')); return err })
	if err != nil {
		return fmt.Errorf("write known keys: %w", err)
	}
	return nil
}

// ChangeKnown changes the list in a file, and makes file and folder where they
// are not there yet. Whatever goes wrong, the list stays as it was.
func ChangeKnown(path string, change func(KnownKeys) (KnownKeys, error)) error {
	known, err := LoadKnown(path)
	if err != nil {
		return err
	}
	if known, err = change(known); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("keep the list of known keys: %w", err)
	}
	return known.Save(path)
}
