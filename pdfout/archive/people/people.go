// Package people keeps who may do what with an archive that is served: names,
// roles and passwords, in one file beside the archive. It binds whoever comes
// through the web pages; whoever can write into the folder or the database
// itself is bound only by the permissions of those.
package people

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"wornwood/capture/blob"
)

// Role says what a person may do. Each may do all that the one before may.
type Role string

// The roles.
const (
	Reader Role = "reader" // finds, looks, takes PDFs out
	Filer  Role = "filer"  // files reports as well, and sees the refused pile
	Keeper Role = "keeper" // sees who read what as well
)

// Roles lists the roles, the least first.
func Roles() []Role { return []Role{Reader, Filer, Keeper} }

// ParseRole reads a role.
func ParseRole(s string) (Role, error) {
	if r := Role(strings.ToLower(strings.TrimSpace(s))); slices.Contains(Roles(), r) {
		return r, nil
	}
	return "", fmt.Errorf("there is no role %.40q; there are reader, filer and keeper", s)
}

// May tells whether somebody of this role may do what takes at least the other.
func (r Role) May(least Role) bool {
	have, need := slices.Index(Roles(), r), slices.Index(Roles(), least)
	return need >= 0 && have >= need
}

// Person is somebody who may come in.
type Person struct {
	Name     string    `json:"name"`
	Role     Role      `json:"role"`
	Password string    `json:"password"` // as Hash made it
	Since    time.Time `json:"since"`
	// Changed is when role or password was set: who came in before must come in
	// again.
	Changed time.Time `json:"changed"`
}

// Schema names the form of people.json.
const Schema = "wornwood.people/1"

// FileName is the file beside the archive.
const FileName = "people.json"

const maxFile = 4 << 20

// ErrNobody says that no such person may come in.
var ErrNobody = errors.New("there is nobody of that name; 'wornwood archive people DIR' lists them")

// List is everybody who may come in, by name.
type List struct {
	path   string
	people []Person
}

type file struct {
	Schema string   `json:"schema"`
	People []Person `json:"people"`
}

// Load reads the list of an archive's folder; an empty one where there is none.
func Load(dir string) (*List, error) {
	l := &List{path: filepath.Join(dir, FileName)}
	f, err := os.Open(l.path)
	if errors.Is(err, fs.ErrNotExist) {
		return l, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read people: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("read people: %w", err)
	}
	var in file
	dec := json.NewDecoder(bytes.NewReader(b))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&in); err != nil || len(b) > maxFile || in.Schema != Schema {
		return nil, fmt.Errorf("%s is not of the form %s; nobody is let in before it is mended or removed", l.path, Schema)
	}
	for _, p := range in.People {
		if _, err := ParseRole(string(p.Role)); err != nil || key(p.Name) == "" {
			return nil, fmt.Errorf("%s: the entry of %q cannot be used; nobody is let in before it is mended", l.path, p.Name)
		}
	}
	l.people = in.People
	return l, nil
}

// People lists everybody, by name.
func (l *List) People() []Person { return slices.Clone(l.people) }

// Find is the person of a name, small and capital letters aside.
func (l *List) Find(name string) (Person, bool) {
	if i := l.at(name); i >= 0 {
		return l.people[i], true
	}
	return Person{}, false
}

func (l *List) at(name string) int {
	k := key(name)
	return slices.IndexFunc(l.people, func(p Person) bool { return key(p.Name) == k })
}

// key is what two spellings of a name have in common.
func key(name string) string {
	return cases.Fold().String(norm.NFKC.String(strings.Join(strings.Fields(name), " ")))
}

const maxName = 64 // letters

// Add lets somebody in.
func (l *List) Add(name string, role Role, password string, now time.Time) error {
	name = norm.NFC.String(strings.Join(strings.Fields(name), " "))
	switch {
	case key(name) == "" || len([]rune(name)) > maxName || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }):
		return fmt.Errorf("%.80q is no name: it takes 1 to %d letters", name, maxName)
	case l.at(name) >= 0:
		return fmt.Errorf("%s is on the list already", name)
	}
	hash, err := Hash(password)
	if err != nil {
		return err
	}
	now = now.UTC().Truncate(time.Millisecond)
	l.people = append(l.people, Person{name, role, hash, now, now})
	slices.SortFunc(l.people, func(a, b Person) int { return strings.Compare(key(a.Name), key(b.Name)) })
	return nil
}

// SetRole gives somebody another role.
func (l *List) SetRole(name string, role Role, now time.Time) error {
	i := l.at(name)
	if i < 0 {
		return ErrNobody
	}
	l.people[i].Role, l.people[i].Changed = role, now.UTC().Truncate(time.Millisecond)
	return nil
}

// SetPassword gives somebody another password.
func (l *List) SetPassword(name, password string, now time.Time) error {
	i := l.at(name)
	if i < 0 {
		return ErrNobody
	}
	hash, err := Hash(password)
	if err != nil {
		return err
	}
	l.people[i].Password, l.people[i].Changed = hash, now.UTC().Truncate(time.Millisecond)
	return nil
}

// Remove shuts somebody out.
func (l *List) Remove(name string) error {
	i := l.at(name)
	if i < 0 {
		return ErrNobody
	}
	l.people = slices.Delete(l.people, i, i+1)
	return nil
}

// Save writes the list, whole or not at all, readable by its owner alone.
func (l *List) Save() error {
	b, err := json.MarshalIndent(file{Schema, l.people}, "", "  ")
	if err == nil {
		err = blob.WriteFile(l.path, 0o600, func(w io.Writer) error { _, err := w.Write(append(b, '\n')); return err })
	}
	if err != nil {
		return fmt.Errorf("write people: %w", err)
	}
	return nil
}
