package view

import (
	"errors"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// Keys is what the sheet of keys shows: the bench's signing key, to be handed
// on, and the keys of others that are known here.
type Keys struct {
	b     *bench.Bench // nil: no bench is open
	now   func() time.Time
	known func() (string, error) // where the list of known keys is

	taken *pdfout.KnownKey // taken off last
}

// NewKeys makes the model on a bench, or on none.
func NewKeys(b *bench.Bench, now func() time.Time) *Keys {
	return &Keys{b: b, now: now, known: pdfout.KnownPath}
}

// KeyState is what there is of the bench's own key.
type KeyState int

// The states of the bench's own key.
const (
	NoBench   KeyState = iota // no bench is open
	NoKey                     // it has no key yet
	ClosedKey                 // its public half is not kept yet: it needs the passphrase once
	ShownKey                  // it can be shown
)

// State says what there is of the bench's key.
func (v *Keys) State() KeyState {
	switch {
	case v.b == nil:
		return NoBench
	case !pdfout.HasKey(v.b):
		return NoKey
	}
	if _, err := pdfout.PublicIdentity(v.b); err != nil {
		return ClosedKey
	}
	return ShownKey
}

// StateText says what to do where the key cannot be shown.
func (v *Keys) StateText() string {
	switch v.State() {
	case NoBench:
		return "Open a bench first; its key is kept with it."
	case NoKey:
		return "This bench has no signing key yet. One is made when its first report is issued, or now. Or bring one along: a PKCS#12 file (.p12, .pfx) that an authority gave you."
	case ClosedKey:
		return "What is public of this bench's key is not kept beside it yet. Open the key once with its passphrase."
	}
	return ""
}

// OwnKey is the bench's key as it is shown.
type OwnKey struct {
	Name        string
	Fingerprint [4]string // sixteen groups of four digits in four lines
	Long        string    // the same in one
	By          string    // who certified it
	Valid       string    // from when until when
	Expired     bool
	Code        image.Image // the card as a square code
}

// Own is the bench's key; it is an error where it cannot be shown.
func (v *Keys) Own() (*OwnKey, error) {
	id, err := v.public()
	if err != nil {
		return nil, err
	}
	c := id.Certificate
	k := &OwnKey{Name: pdfout.SignerOf(id).Name, Long: id.Fingerprint().Long(), By: "Made on this bench; no authority stands behind it.",
		Valid: "For " + day(c.NotBefore) + " to " + day(c.NotAfter) + "."}
	for i := range k.Fingerprint {
		k.Fingerprint[i] = k.Long[i*20 : i*20+19]
	}
	if !id.SelfMade() {
		k.By = "Certified by " + c.Issuer.CommonName + "."
		if id.Publishes() {
			k.By += " It publishes what it has revoked."
		}
	}
	if now := v.now(); now.After(c.NotAfter) || now.Before(c.NotBefore) {
		k.Expired = true
		k.Valid += " Nothing can be signed with it now: bring another along."
	}
	k.Code, err = pdfout.KeyCode(id)
	return k, err
}

func (v *Keys) public() (*sign.Identity, error) {
	if v.b == nil {
		return nil, errors.New("open a bench first; its key is kept with it")
	}
	return pdfout.PublicIdentity(v.b)
}

// FileName proposes a name for what is saved of the key.
func (v *Keys) FileName(ext string) string {
	id, err := v.public()
	if err != nil {
		return "key" + ext
	}
	keep := func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) || r < ' ' {
			return -1
		}
		if r == ' ' {
			return '-'
		}
		return r
	}
	name := strings.Trim(strings.Map(keep, id.Certificate.Subject.CommonName), ".-")
	if name == "" {
		name = "key"
	}
	return name + ext
}

// Export writes the public half of the key to a new file.
func (v *Keys) Export(path string) error {
	id, err := v.public()
	if err != nil {
		return err
	}
	return pdfout.SavePublic(path, id)
}

// SaveCode writes the square code to a new PNG file.
func (v *Keys) SaveCode(path string) error {
	id, err := v.public()
	if err != nil {
		return err
	}
	return pdfout.SaveKeyCode(path, id)
}

// CheckNew says what is wrong with a passphrase that is to be chosen, "" for
// nothing.
func (v *Keys) CheckNew(one, two string) string {
	switch {
	case len([]rune(one)) < sign.MinPassphrase:
		return fmt.Sprintf("A new key needs a passphrase of %d characters or more.", sign.MinPassphrase)
	case one != two:
		return "The two passphrases differ."
	}
	return ""
}

// Open opens the key, or makes it where there is none, so that it can be shown.
func (v *Keys) Open(passphrase string) error {
	if v.b == nil {
		return errors.New("open a bench first; its key is kept with it")
	}
	_, err := pdfout.OpenIdentity(v.b, &record.Record{}, passphrase, v.now())
	return err
}

// Import brings a key along, see pdfout.ImportKey, and says what became of the
// one there was.
func (v *Keys) Import(path, filePassphrase, passphrase string) (string, error) {
	if v.b == nil {
		return "", errors.New("open a bench first; its key is kept with it")
	}
	did, err := pdfout.ImportKey(v.b, path, filePassphrase, passphrase, v.now())
	if err != nil {
		return "", err
	}
	said := "Reports are signed with the key of " + pdfout.SignerOf(did.Identity).Name + " from now on."
	if did.Kept != "" {
		said += " The one before is kept in the folder keys."
	}
	return said, nil
}

// Known are the keys known here in the order of their names.
func (v *Keys) Known() ([]pdfout.KnownKey, error) {
	path, err := v.known()
	if err != nil {
		return nil, err
	}
	known, err := pdfout.LoadKnown(path)
	return known.Rows(), err
}

// Read finds a key in what was typed or pasted: a fingerprint, the text of a
// card, a certificate, or the path of a file with one.
func (v *Keys) Read(text string) (sign.Fingerprint, string, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return "", "", errors.New("paste a fingerprint or the text of a card, or name a file with a certificate")
	}
	if fp, name, err := pdfout.ReadKeyCard(text); err == nil || strings.ContainsAny(text, "\n") {
		return fp, name, err
	}
	id, err := sign.LoadPublic(text)
	if errors.Is(err, os.ErrNotExist) && !strings.ContainsRune(text, filepath.Separator) && filepath.Ext(text) == "" {
		_, _, err = pdfout.ReadKeyCard(text) // it was not meant as a path
	}
	if err != nil {
		return "", "", err
	}
	return id.Fingerprint(), pdfout.SignerOf(id).Name, nil
}

// Add lists a key as known.
func (v *Keys) Add(fp sign.Fingerprint, name string) error {
	return v.change(func(k pdfout.KnownKeys) (pdfout.KnownKeys, error) { return k.Add(fp, name) })
}

// Remove takes a key off the list; PutBack undoes it.
func (v *Keys) Remove(fp sign.Fingerprint) error {
	var was pdfout.KnownKey
	err := v.change(func(k pdfout.KnownKeys) (pdfout.KnownKeys, error) {
		was = pdfout.KnownKey{Fingerprint: fp, Name: k[fp]}
		return k.Without(fp), nil
	})
	if err == nil && was.Name != "" {
		v.taken = &was
	}
	return err
}

// Taken is the name of the key that was taken off last, "" for none.
func (v *Keys) Taken() string {
	if v.taken == nil {
		return ""
	}
	return v.taken.Name
}

// PutBack lists again what Remove took off last.
func (v *Keys) PutBack() error {
	if v.taken == nil {
		return nil
	}
	err := v.Add(v.taken.Fingerprint, v.taken.Name)
	if err == nil {
		v.taken = nil
	}
	return err
}

func (v *Keys) change(f func(pdfout.KnownKeys) (pdfout.KnownKeys, error)) error {
	path, err := v.known()
	if err != nil {
		return err
	}
	return pdfout.ChangeKnown(path, f)
}
