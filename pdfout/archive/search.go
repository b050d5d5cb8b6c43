package archive

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Bounds of a saved search, in letters.
const (
	maxSearchName = 80
	maxSearchLine = 1000
)

// SavedSearch is a query line that somebody kept under a name.
type SavedSearch struct {
	Name string    `json:"name"`
	Line string    `json:"line"`
	By   string    `json:"by"`
	Time time.Time `json:"time"` // of the line of the log that says so
	Seq  int64     `json:"seq"`
}

// SavedSearches are the searches that are kept, by name, small and capital
// letters aside. A line that cannot be read is passed over: nothing follows from
// it, and the check of the log tells of damage.
func (a *Archive) SavedSearches() ([]SavedSearch, error) {
	notes, err := a.Notes(SearchKept)
	if err != nil {
		return nil, fmt.Errorf("saved searches: %w", err)
	}
	kept := map[string]SavedSearch{}
	for _, e := range notes {
		b, err := readNote[searchBody](e)
		key := fold(b.Name)
		if err != nil || key == "" {
			continue
		}
		s := SavedSearch{Name: b.Name, Line: b.Line, By: e.By, Time: e.Time, Seq: e.Seq}
		switch was := fold(b.Was); {
		case b.Removed:
			delete(kept, key)
		case was != "":
			old, is := kept[was]
			if !is {
				continue
			}
			s.Line = old.Line
			delete(kept, was)
			kept[key] = s
		default:
			kept[key] = s
		}
	}
	out := make([]SavedSearch, 0, len(kept))
	for _, s := range kept {
		out = append(out, s)
	}
	slices.SortFunc(out, func(a, b SavedSearch) int { return strings.Compare(fold(a.Name), fold(b.Name)) })
	return out, nil
}

// SaveSearch keeps a query line under a name, in place of one kept under it
// before. A line that ParseQuery does not read is not kept.
func (a *Archive) SaveSearch(by, name, line string) error {
	name, line = clean(name, maxSearchName), strings.TrimSpace(line)
	if name == "" {
		return errors.New("save search: give it a name")
	}
	if len([]rune(line)) > maxSearchLine {
		return fmt.Errorf("save search: the line is longer than %d letters", maxSearchLine)
	}
	if line != clean(line, maxSearchLine) {
		return errors.New("save search: the line holds signs that cannot be seen; type it anew")
	}
	if _, err := ParseQuery(line); err != nil {
		return fmt.Errorf("save search: %w", err)
	}
	return a.noteOf(SearchKept, by, searchBody{Name: name, Line: line})
}

// RenameSearch gives a saved search another name, which no other has.
func (a *Archive) RenameSearch(by, from, to string) error {
	to = clean(to, maxSearchName)
	if to == "" {
		return errors.New("rename search: give it a name")
	}
	list, err := a.SavedSearches()
	if err != nil {
		return err
	}
	i := findSearch(list, from)
	if i < 0 {
		return noSearch(from)
	}
	if j := findSearch(list, to); j >= 0 && j != i {
		return fmt.Errorf("rename search: there is one named %q already", list[j].Name)
	}
	return a.noteOf(SearchKept, by, searchBody{Name: to, Was: list[i].Name})
}

// RemoveSearch takes a saved search off. What the log says of it stays.
func (a *Archive) RemoveSearch(by, name string) error {
	list, err := a.SavedSearches()
	if err != nil {
		return err
	}
	i := findSearch(list, name)
	if i < 0 {
		return noSearch(name)
	}
	return a.noteOf(SearchKept, by, searchBody{Name: list[i].Name, Removed: true})
}

func findSearch(list []SavedSearch, name string) int {
	return slices.IndexFunc(list, func(s SavedSearch) bool { return fold(s.Name) == fold(name) })
}

func noSearch(name string) error { return fmt.Errorf("there is no saved search named %.80q", name) }
