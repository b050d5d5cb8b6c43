package annotate

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"wornwood/capture/record"
)

// Extras lists what comes with the instrument in the order in which it was
// entered. The list is the caller's; what hangs on its elements is not.
func (s *Session) Extras() []record.Extra { return SortedExtras(s.Scene().Record.Extras) }

// SortedExtras puts extras into the order of their identities, which are
// numbers: an undone removal puts one at the end of the record's list.
func SortedExtras(list []record.Extra) []record.Extra {
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b record.Extra) int {
		return cmp.Or(cmp.Compare(extraNumber(a.ID), extraNumber(b.ID)), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// extraNumber is an identity as a number; others come last.
func extraNumber(id string) int {
	if n, err := strconv.Atoi(id); err == nil && n > 0 {
		return n
	}
	return 1 << 30
}

// Extra is a copy of one thing that comes with the instrument, nil for none of
// that identity.
func (s *Session) Extra(id string) *record.Extra {
	for _, e := range s.Scene().Record.Extras {
		if e.ID == id {
			e.Files = slices.Clone(e.Files)
			return &e
		}
	}
	return nil
}

// AddExtra enters one thing that comes with the instrument and returns its
// identity: one more than the highest in use.
func (s *Session) AddExtra(e record.Extra) (id string, err error) {
	list := s.Scene().Record.Extras
	if len(list) >= record.MaxEntries {
		return "", fmt.Errorf("add what comes with it: an examination holds %d of them", record.MaxEntries)
	}
	n := 0
	for _, x := range list {
		if k := extraNumber(x.ID); k < 1<<30 {
			n = max(n, k)
		}
	}
	e.ID, e.What, e.Note = strconv.Itoa(n+1), strings.TrimSpace(e.What), strings.TrimSpace(e.Note)
	if err := s.checkExtra(e); err != nil {
		return "", fmt.Errorf("add what comes with it: %w", err)
	}
	return e.ID, s.set("Add "+extraName(e), record.ExtraTarget(e.ID), e)
}

// SetExtra changes one thing that comes with the instrument. An edit that
// changes nothing makes no entry.
func (s *Session) SetExtra(id, what string, edit func(*record.Extra)) error {
	old := s.Extra(id)
	if old == nil {
		return fmt.Errorf("set what comes with it: there is no entry %q", id)
	}
	e := *old
	e.Files = slices.Clone(old.Files)
	edit(&e)
	e.ID, e.What, e.Note = id, strings.TrimSpace(e.What), strings.TrimSpace(e.Note)
	if reflect.DeepEqual(*old, e) {
		return nil
	}
	if err := s.checkExtra(e); err != nil {
		return fmt.Errorf("set what comes with it: %w", err)
	}
	return s.set(what+" of "+extraName(e), record.ExtraTarget(id), e)
}

// RemoveExtra takes one thing off the list.
func (s *Session) RemoveExtra(id string) error {
	e := s.Extra(id)
	if e == nil {
		return fmt.Errorf("remove what comes with it: there is no entry %q", id)
	}
	return s.Do("Remove "+extraName(*e), record.Remove(record.ExtraTarget(id)))
}

// checkExtra refuses what the form does not offer. A file must belong to the
// examination.
func (s *Session) checkExtra(e record.Extra) error {
	rec := s.Scene().Record
	switch {
	case e.What == "" && e.Kind == "":
		return errors.New("say what it is")
	case e.Kind != "" && !slices.Contains(record.ExtraKinds(), e.Kind):
		return fmt.Errorf("%q is no kind; the kinds are %s", e.Kind, strings.Join(record.ExtraKinds(), ", "))
	case e.State != "" && !slices.Contains(record.States(), e.State):
		return fmt.Errorf("%q is no state; the states are %s", e.State, joinStates())
	case e.Number < 0 || e.Number > maxNumber:
		return fmt.Errorf("%d is no number of things; 1 to %d", e.Number, maxNumber)
	}
	for _, f := range e.Files {
		if rec.PhotoByID(f) == nil && !slices.ContainsFunc(rec.Attachments, func(a record.Attachment) bool { return a.ID == f }) {
			return errors.New("the examination has no such photo or attachment")
		}
	}
	return nil
}

// maxNumber is more of one thing than comes with any instrument.
const maxNumber = 999

func joinStates() string {
	var out []string
	for _, st := range record.States() {
		out = append(out, string(st))
	}
	return strings.Join(out, ", ")
}

// extraName is what undo calls the entry.
func extraName(e record.Extra) string {
	if e.What != "" {
		return e.What
	}
	return e.Kind
}
