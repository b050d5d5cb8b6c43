package archive

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"wornwood/pdfout"
)

// What a person said about which reports are of one instrument. The lines are
// replayed in the order of the log, see FORMAT.md.
const (
	Joined   EventKind = "joined"   // these reports are of one instrument
	Parted   EventKind = "parted"   // these are of another than those they stood with
	Distinct EventKind = "distinct" // these are of different instruments, and are not to be proposed again
)

// instrumentKinds are the kinds of lines from which instruments follow.
var instrumentKinds = []EventKind{Joined, Parted, Distinct}

// MaxMembers bounds how many reports one decision names.
const MaxMembers = 100

// Member is a report as a decision names it: with what decides by itself which
// others it belongs to, so that lines are replayed without looking anything up.
// Without a report it stands for all reports of a group.
type Member struct {
	Report string `json:"report,omitempty"` // SHA-256
	First  string `json:"first,omitempty"`  // as in the line that filed it
	Group  string `json:"group,omitempty"`  // the key that signed it and its instrument's ID within the bench, see groupOf
}

// instrumentBody is the body of a line of these kinds.
type instrumentBody struct {
	Reports []Member `json:"reports"`
	Why     string   `json:"why"`
}

// Decision is what a person said about reports.
type Decision struct {
	Seq     int64     `json:"seq"`
	Time    time.Time `json:"time"`
	Kind    EventKind `json:"kind"`
	By      string    `json:"by"`
	Why     string    `json:"why"`
	Reports []Member  `json:"reports"`
}

// instrumentIDLen is the length of an instrument's ID on a bench: 128 random
// bits in base32. Shorter ones, as other programs may write, repeat.
const instrumentIDLen = 26

// groupOf names the reports that belong together without anybody saying so:
// those of one instrument of one bench, signed with one key. "" where the record
// names no instrument. The key is part of it because anybody can write any ID
// into a record.
func groupOf(key, instrument string) string {
	if key == "" || len(instrument) != instrumentIDLen || strings.Trim(instrument, "abcdefghijklmnopqrstuvwxyz234567") != "" {
		return ""
	}
	return key + "/" + instrument
}

// groupParts takes a group's name apart.
func groupParts(group string) (key, instrument string) {
	key, instrument, _ = strings.Cut(group, "/")
	return key, instrument
}

func memberOf(r Row) Member {
	return Member{Report: r.Hash, First: r.First, Group: groupOf(r.Key, r.Instrument)}
}

// decision reads a line of these kinds.
func (e Entry) decision() (Decision, error) {
	var b instrumentBody
	if err := json.Unmarshal(e.Body, &b); err != nil {
		return Decision{}, fmt.Errorf("line %d of the log: what was %s cannot be read: %w", e.Seq, e.Kind, err)
	}
	return Decision{e.Seq, e.Time, e.Kind, e.By, b.Why, b.Reports}, nil
}

// maxReason bounds who decided and why, in letters.
const maxReason = 500

// decide writes a decision into the log.
func (a *Archive) decide(kind EventKind, by, why string, members []Member) error {
	by, why = clean(by, maxReason), clean(why, maxReason)
	switch {
	case by == "":
		return errors.New("say who decides it")
	case why == "":
		return errors.New("say why; others will want to know")
	case len(members) > MaxMembers:
		return fmt.Errorf("%d reports at once, more than %d; name fewer", len(members), MaxMembers)
	}
	body, err := pdfout.Canonical(instrumentBody{members, why})
	if err != nil {
		return err
	}
	return a.Note(Entry{Kind: kind, By: by, Body: body})
}
