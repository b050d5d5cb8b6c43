package annotate

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate/dating"
	"wornwood/capture/record"
)

// AddEvidence lists a piece of dating evidence and returns its ID. What the
// evidence allows is not stored; dating.Reckon computes it. An ID that e
// carries is not used.
func (s *Session) AddEvidence(e record.Evidence) (string, error) {
	e = dating.Normal(e)
	if e.Kind == "" {
		return "", fmt.Errorf("add evidence: say of what kind it is")
	}
	list := s.Scene().Record.Evidence
	if len(list) >= record.MaxEvidence {
		return "", fmt.Errorf("add evidence: %d pieces are listed already, more than a report can show", len(list))
	}
	e.ID = nextEvidence(list)
	if err := s.set("Add evidence: "+evidenceName(&e), record.EvidenceTarget(e.ID), e); err != nil {
		return "", err
	}
	return e.ID, nil
}

// nextEvidence is one more than the highest number in use, so that an undone
// removal never finds its ID taken.
func nextEvidence(list []record.Evidence) string {
	high := 0
	for _, e := range list {
		if d, ok := strings.CutPrefix(e.ID, "e"); ok {
			if n, err := strconv.Atoi(d); err == nil && n < 1e9 {
				high = max(high, n)
			}
		}
	}
	return "e" + strconv.Itoa(high+1)
}

// SetEvidence changes a piece of evidence by a function under a name such as
// "Code". The ID stays. A change that changes nothing makes no entry.
func (s *Session) SetEvidence(id, what string, edit func(*record.Evidence)) error {
	old, err := evidence(s.Scene(), id)
	if err != nil {
		return fmt.Errorf("set %s: %w", strings.ToLower(what), err)
	}
	e := old
	e.Files = slices.Clone(old.Files)
	edit(&e)
	e = dating.Normal(e)
	e.ID = id
	if sameEvidence(&e, &old) {
		return nil
	}
	return s.set(what+" of "+evidenceName(&e), record.EvidenceTarget(id), e)
}

// RemoveEvidence takes a piece of evidence away.
func (s *Session) RemoveEvidence(id string) error {
	e, err := evidence(s.Scene(), id)
	if err != nil {
		return fmt.Errorf("remove evidence: %w", err)
	}
	return s.Do("Remove evidence: "+evidenceName(&e), record.Remove(record.EvidenceTarget(id)))
}

// SetAside leaves a piece of evidence out of what the dates allow, with the
// reason; "" counts it again.
func (s *Session) SetAside(id, reason string) error {
	return s.SetEvidence(id, "Setting aside", func(e *record.Evidence) { e.SetAside = reason })
}

func evidence(sc *Scene, id string) (record.Evidence, error) {
	for _, e := range sc.Record.Evidence {
		if e.ID == id {
			return e, nil
		}
	}
	return record.Evidence{}, fmt.Errorf("no evidence %q is listed", id)
}

// evidenceName is what undo calls a piece.
func evidenceName(e *record.Evidence) string {
	switch {
	case e.What != "":
		return e.What
	case e.Code != "":
		return e.Code
	}
	return string(e.Kind)
}

func sameEvidence(a, b *record.Evidence) bool {
	x, y := *a, *b
	x.Files, y.Files = nil, nil
	return slices.Equal(a.Files, b.Files) && reflect.DeepEqual(x, y)
}
