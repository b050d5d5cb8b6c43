package annotate

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"wornwood/capture/record"
)

// AddClaim records what is said about the instrument under an identity of its
// own, which it returns: c1, c2 ..., one more than the highest in use. A claim
// without a standing is stated, which is the least that can be said of it.
func (s *Session) AddClaim(c record.Claim) (id string, err error) {
	rec := s.Scene().Record
	if len(rec.Claims) >= record.MaxEntries {
		return "", fmt.Errorf("add claim: an examination holds %d of them", record.MaxEntries)
	}
	c = tidyClaim(c)
	if c.Standing == "" {
		c.Standing = record.Stated
	}
	if err := checkClaim(rec, nil, &c); err != nil {
		return "", fmt.Errorf("add claim: %w", err)
	}
	c.ID = numbered("c", rec.Claims, func(c record.Claim) string { return c.ID })
	return c.ID, s.set("Add claim on "+claimName(&c), record.ClaimTarget(c.ID), c)
}

// SetClaim records a claim under the identity it carries, whether there is one
// of that identity or not.
func (s *Session) SetClaim(c record.Claim) error {
	if c.ID == "" {
		return errors.New("set claim: it has no identity")
	}
	rec := s.Scene().Record
	if err := checkClaim(rec, s.Claim(c.ID), &c); err != nil {
		return fmt.Errorf("set claim: %w", err)
	}
	return s.set("Claim on "+claimName(&c), record.ClaimTarget(c.ID), c)
}

// EditClaim changes a claim by a function under a name such as "Standing". The
// identity stays. A change that changes nothing makes no entry.
func (s *Session) EditClaim(id, what string, edit func(*record.Claim)) error {
	old := s.Claim(id)
	if old == nil {
		return fmt.Errorf("set claim: no claim %q is listed", id)
	}
	c := *old
	c.Files = slices.Clone(old.Files)
	edit(&c)
	c = tidyClaim(c)
	c.ID = id
	if len(c.Files) == 0 {
		c.Files = nil
	}
	if reflect.DeepEqual(*old, c) {
		return nil
	}
	if err := checkClaim(s.Scene().Record, old, &c); err != nil {
		return fmt.Errorf("set claim: %w", err)
	}
	return s.set(what+" of the claim on "+claimName(&c), record.ClaimTarget(id), c)
}

// RemoveClaim takes a claim away.
func (s *Session) RemoveClaim(id string) error {
	c := s.Claim(id)
	if c == nil {
		return fmt.Errorf("remove claim: no claim %q is listed", id)
	}
	return s.Do("Remove claim on "+claimName(c), record.Remove(record.ClaimTarget(id)))
}

// Claim is a copy of a claim, nil for none of that identity.
func (s *Session) Claim(id string) *record.Claim {
	for _, c := range s.Scene().Record.Claims {
		if c.ID == id {
			c.Files = slices.Clone(c.Files)
			return &c
		}
	}
	return nil
}

func tidyClaim(c record.Claim) record.Claim {
	for _, p := range []*string{&c.About, &c.Text, &c.By, &c.Support} {
		*p = strings.TrimSpace(*p)
	}
	return c
}

// checkClaim refuses a standing that is none and files that the examination
// does not have; a file that was tied before may have gone since.
func checkClaim(rec *record.Record, old, c *record.Claim) error {
	if !slices.Contains(record.Standings(), c.Standing) {
		return fmt.Errorf("%q is no standing; the standings are %s", c.Standing, joinWords(record.Standings()))
	}
	var had []string
	if old != nil {
		had = old.Files
	}
	return checkFiles(rec, had, c.Files)
}

// checkFiles refuses new references to files that the examination does not have.
func checkFiles(rec *record.Record, had, files []string) error {
	for i, f := range files {
		if slices.Contains(files[:i], f) {
			return errors.New("a file is tied twice")
		}
		if !slices.Contains(had, f) && rec.PhotoByID(f) == nil && Attachment(rec, f) == nil {
			return errors.New("the examination has no such photo or attachment")
		}
	}
	return nil
}

func joinWords[T ~string](list []T) string {
	var out []string
	for _, w := range list {
		out = append(out, string(w))
	}
	return strings.Join(out, ", ")
}

// claimName is what undo calls a claim.
func claimName(c *record.Claim) string {
	switch {
	case c.About != "":
		return c.About
	case c.Text != "":
		return "“" + short(c.Text, 30) + "”"
	}
	return "nothing yet"
}

// short cuts a text to so many letters.
func short(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return strings.TrimSpace(string(r[:most-1])) + "…"
	}
	return s
}

// numbered is a letter with one more than the highest number in use behind it,
// so that an undone removal never finds its identity taken.
func numbered[T any](letter string, list []T, id func(T) string) string {
	high := 0
	for _, x := range list {
		if k := id(x); strings.HasPrefix(k, letter) {
			high = max(high, trailingDigits(k[len(letter):]))
		}
	}
	return fmt.Sprintf("%s%d", letter, high+1)
}

// trailingDigits reads a plain number of up to nine digits, 0 for anything else.
func trailingDigits(s string) int {
	n := 0
	if s == "" || len(s) > 9 {
		return 0
	}
	for _, r := range s {
		if r < '0' || r > '9' {
			return 0
		}
		n = 10*n + int(r-'0')
	}
	return n
}
