package archive

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"wornwood/pdfout"
)

// What a person said about whose instruments are kept together and what is
// insured. The lines are replayed in the order of the log, see FORMAT.md.
const (
	Collecting EventKind = "collection" // instruments put into a collection or taken out of it
	Insuring   EventKind = "policy"     // a policy, as it stands from a day on
)

// Item is an instrument as a collection or policy names it: by one of its
// reports, or, while there is none, by a description.
type Item struct {
	Member
	What   string `json:"what,omitempty"`   // an instrument without a report: what it is
	Serial string `json:"serial,omitempty"` // of the same, as far as known
}

// Described says that the item has no report.
func (i Item) Described() bool { return i.Report == "" && i.First == "" && i.Group == "" }

// key is what makes two items the same, whatever else the log says of them.
func (i Item) key() string {
	if i.Described() {
		return "d" + fold(i.What) + "\x00" + SerialKey(i.Serial)
	}
	return "f" + i.First
}

// collectionBody is the body of a line Collecting.
type collectionBody struct {
	Name   string `json:"name"`
	On     string `json:"on"` // the day from which it holds
	Add    []Item `json:"add,omitempty"`
	Remove []Item `json:"remove,omitempty"`
	Ended  bool   `json:"ended,omitempty"` // everything in it is taken out
	Why    string `json:"why,omitempty"`
}

// readNote reads the body of a line into its kind's form.
func readNote[B any](e Entry) (B, error) {
	var b B
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return b, fmt.Errorf("line %d of the log: the %s cannot be read: %w", e.Seq, e.Kind, err)
	}
	return b, nil
}

// noteOf writes a line of these kinds.
func (a *Archive) noteOf(kind EventKind, by string, body any) error {
	if by = clean(by, maxReason); by == "" {
		return errors.New("say who decides it")
	}
	b, err := pdfout.Canonical(body)
	if err != nil {
		return err
	}
	return a.Note(Entry{Kind: kind, By: by, Body: b})
}

// dayOf is the calendar day of a time in its own zone, 2006-01-02; days of this
// form are in the order of their letters.
func dayOf(t time.Time) string { return t.Format(time.DateOnly) }

// cleanDay reads a day; "" where it is empty.
func cleanDay(what, s string) (string, error) {
	if s = strings.TrimSpace(s); s == "" {
		return "", nil
	}
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return "", fmt.Errorf("%s: %.40q is no day; write it as 2026-11-14", what, s)
	}
	return dayOf(t), nil
}
