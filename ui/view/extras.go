package view

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/record"
)

// ExtraRow is one thing that comes with the instrument.
type ExtraRow struct {
	ID       string
	Kind     string
	What     string
	State    string // "" for not judged
	Number   string // "1" where nothing is said
	Note     string
	Files    int
	Selected bool
}

// Extras is the list of what comes with the instrument.
type Extras struct {
	s        *annotate.Session
	selected string
}

// NewExtras makes the model on a session.
func NewExtras(s *annotate.Session) *Extras { return &Extras{s: s} }

// Rows lists what comes with it in the order in which it was entered.
func (v *Extras) Rows() []ExtraRow {
	var rows []ExtraRow
	at := v.Selected()
	for _, e := range v.s.Extras() {
		rows = append(rows, ExtraRow{ID: e.ID, Kind: e.Kind, What: e.What, State: string(e.State), Number: strconv.Itoa(max(1, e.Number)),
			Note: e.Note, Files: len(e.Files), Selected: e.ID == at})
	}
	return rows
}

// Selected is the identity of the entry shown, "" while there is none: the one
// selected last, or the first.
func (v *Extras) Selected() string {
	list := v.s.Extras()
	if len(list) == 0 {
		return ""
	}
	if slices.ContainsFunc(list, func(e record.Extra) bool { return e.ID == v.selected }) {
		return v.selected
	}
	return list[0].ID
}

// Select shows an entry.
func (v *Extras) Select(id string) { v.selected = id }

// Detail is the selected entry, nil while there is none.
func (v *Extras) Detail() *ExtraRow {
	for _, r := range v.Rows() {
		if r.Selected {
			return &r
		}
	}
	return nil
}

// Add enters a new thing of the kind of the selected one and selects it; the
// words for it come after.
func (v *Extras) Add() error {
	kind := record.ExtraKinds()[0]
	if d := v.Detail(); d != nil && d.Kind != "" {
		kind = d.Kind
	}
	id, err := v.s.AddExtra(record.Extra{Kind: kind})
	if err == nil {
		v.selected = id
	}
	return err
}

// Remove takes the selected entry off the list and selects the next.
func (v *Extras) Remove() error {
	id := v.Selected()
	if id == "" {
		return nil
	}
	list := v.s.Extras()
	i := slices.IndexFunc(list, func(e record.Extra) bool { return e.ID == id })
	next := ""
	if i+1 < len(list) {
		next = list[i+1].ID
	} else if i > 0 {
		next = list[i-1].ID
	}
	if err := v.s.RemoveExtra(id); err != nil {
		return err
	}
	v.selected = next
	return nil
}

// StateNotJudged is how the form calls an extra without a state.
const StateNotJudged = "not judged"

// ExtraStates are the states of the form: one that was never there does not
// come with anything.
func ExtraStates() []string {
	out := []string{StateNotJudged}
	for _, st := range record.States() {
		if st != record.NotFitted && st != record.NotSeen {
			out = append(out, string(st))
		}
	}
	return out
}

// SetKind, SetWhat and the next change the selected entry.
func (v *Extras) SetKind(kind string) error {
	return v.set("Kind", func(e *record.Extra) { e.Kind = kind })
}

// SetWhat says what it is.
func (v *Extras) SetWhat(text string) error {
	return v.set("Words", func(e *record.Extra) { e.What = text })
}

// SetState says what it is against the instrument: original to it or not.
func (v *Extras) SetState(word string) error {
	if word == StateNotJudged {
		word = ""
	}
	return v.set("State", func(e *record.Extra) { e.State = record.State(word) })
}

// SetNumber says how many there are; "" and "1" are one.
func (v *Extras) SetNumber(text string) error {
	n, err := ExtraNumber(text)
	if err != nil {
		return err
	}
	return v.set("Number", func(e *record.Extra) { e.Number = n })
}

// ExtraNumber reads how many there are; one is kept as 0, which reads as 1.
func ExtraNumber(text string) (int, error) {
	text = strings.TrimSpace(text)
	if text == "" || text == "1" {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("set number: %q is no number of things; type a whole number from 1", text)
	}
	return n, nil
}

// SetNote gives it its note.
func (v *Extras) SetNote(text string) error {
	return v.set("Note", func(e *record.Extra) { e.Note = text })
}

// ToggleFile ties a photo to the selected entry or unties it.
func (v *Extras) ToggleFile(photo string) error {
	return v.set("Photo", func(e *record.Extra) {
		if i := slices.Index(e.Files, photo); i >= 0 {
			e.Files = slices.Delete(e.Files, i, i+1)
			return
		}
		e.Files = append(e.Files, photo)
	})
}

func (v *Extras) set(what string, edit func(*record.Extra)) error {
	id := v.Selected()
	if id == "" {
		return nil
	}
	return v.s.SetExtra(id, what, edit)
}

// Photos lists the photos of the examination and whether each is tied to the
// selected entry.
func (v *Extras) Photos() []PhotoTie {
	var tied []string
	if e := v.s.Extra(v.Selected()); e != nil {
		tied = e.Files
	}
	return photoTies(v.s.Scene().Record, tied)
}

// Tab is the words of the tab: "Comes with it", with how many things do.
func (v *Extras) Tab() string {
	if n := len(v.s.Scene().Record.Extras); n > 0 {
		return fmt.Sprintf("Comes with it · %d", n)
	}
	return "Comes with it"
}
