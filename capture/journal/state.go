package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wornwood/capture/record"
)

// State is what the lines of a journal add up to.
type State struct {
	Record record.Record
	Issued *record.Issued // nil until the report is issued
	Seq    int            // number of the last line
	At     time.Time      // time of the last line

	done, undone *step
}

// step is one edit as the undo list sees it, on top of the one before it. A
// step is never altered once it is made, so states may share them.
type step struct {
	below         *step
	name, group   string
	forward, back []record.Change
	places        []int // for each of back: index at which a removed element stood, else -1
}

// sameGroup tells whether the step below belongs to the same edit.
func (t *step) sameGroup() bool {
	return t.group != "" && t.below != nil && t.below.group == t.group
}

// UndoName names the edit that Undo would take back; false when there is none.
func (s *State) UndoName() (string, bool) { return top(s.done) }

// RedoName names the edit that Redo would make again; false when there is none.
func (s *State) RedoName() (string, bool) { return top(s.undone) }

func top(t *step) (string, bool) {
	if t == nil {
		return "", false
	}
	return t.name, true
}

// Next is the state after one more entry. The receiver stays as it is, so that
// an entry which cannot be written is as if it never was.
func (s *State) Next(e Entry) (*State, error) {
	if e.Seq != s.Seq+1 {
		return nil, fmt.Errorf("apply entry: it is number %d where %d is due", e.Seq, s.Seq+1)
	}
	if s.Issued != nil {
		return nil, ErrIssued
	}
	if (e.Op == Begin) != (s.Seq == 0) {
		return nil, fmt.Errorf("apply entry %d: %q is not possible here", e.Seq, e.Op)
	}
	n := *s
	n.Seq, n.At = e.Seq, e.At
	var err error
	switch e.Op {
	case Begin:
		_, err = n.Record.ApplyAll(e.Changes)
		n.Record.Schema = record.Schema
	case Do:
		err = n.do(e)
	case Undo:
		err = n.undo()
	case Redo:
		err = n.redo()
	case Issue:
		err = n.issue(e)
	default:
		err = fmt.Errorf("%q is not an operation", e.Op)
	}
	if err != nil {
		return nil, fmt.Errorf("apply entry %d: %w", e.Seq, err)
	}
	return &n, nil
}

func (s *State) do(e Entry) error {
	if len(e.Changes) == 0 {
		return fmt.Errorf("the edit %q changes nothing", e.Name)
	}
	st := step{name: e.Name, group: e.Group, forward: e.Changes}
	if err := s.forward(&st); err != nil {
		return err
	}
	st.below = s.done
	s.done, s.undone = &st, nil
	return nil
}

// undo takes back the last edit with everything grouped to it.
func (s *State) undo() error {
	if s.done == nil {
		return ErrNothingToUndo
	}
	for again := true; again; {
		st := *s.done
		if err := s.backward(&st); err != nil {
			return err
		}
		again = st.sameGroup()
		s.done = st.below
		st.below = s.undone
		s.undone = &st
	}
	return nil
}

func (s *State) redo() error {
	if s.undone == nil {
		return ErrNothingToRedo
	}
	for again := true; again; {
		st := *s.undone
		if err := s.forward(&st); err != nil {
			return err
		}
		again = st.sameGroup()
		s.undone = st.below
		st.below = s.done
		s.done = &st
	}
	return nil
}

func (s *State) issue(e Entry) error {
	if e.Issued == nil || e.Issued.Number == "" || e.Issued.File == "" {
		return fmt.Errorf("an issued report needs a number and a file")
	}
	ex := s.Record.Examination
	ex.Number = e.Issued.Number
	if e.Issued.Rubric != "" {
		ex.Rubric = e.Issued.Rubric
	}
	c, err := record.Set("examination", ex)
	if err != nil {
		return err
	}
	if _, err := s.Record.Apply(c); err != nil {
		return err
	}
	issued := *e.Issued
	s.Issued, s.done, s.undone = &issued, nil, nil
	return nil
}

// forward makes the changes of a step and notes how to take them back.
func (s *State) forward(st *step) error {
	saved := s.Record
	st.back, st.places = nil, nil
	for _, c := range st.forward {
		at := indexOf(&s.Record, c.Target)
		inv, err := s.Record.Apply(c)
		if err != nil {
			s.Record = saved
			return err
		}
		if indexOf(&s.Record, c.Target) >= 0 {
			at = -1 // still there, so taking it back moves nothing
		}
		st.back = append(st.back, inv)
		st.places = append(st.places, at)
	}
	slices.Reverse(st.back)
	slices.Reverse(st.places)
	return nil
}

func (s *State) backward(st *step) error {
	saved := s.Record
	for i, c := range st.back {
		if _, err := s.Record.Apply(c); err != nil {
			s.Record = saved
			return err
		}
		if at := st.places[i]; at >= 0 {
			moveLast(&s.Record, c.Target, at)
		}
	}
	return nil
}

// indexOf is the place of a listed entity in its list, -1 when it is absent or
// not listed.
func indexOf(r *record.Record, target string) int {
	kind, id, _ := strings.Cut(target, "/")
	switch kind {
	case "photo":
		return slices.IndexFunc(r.Photos, func(p record.Photo) bool { return p.ID == id })
	case "part":
		return slices.IndexFunc(r.Parts, func(p record.Part) bool { return string(p.ID) == id })
	case "claim":
		return slices.IndexFunc(r.Claims, func(c record.Claim) bool { return c.ID == id })
	case "reading":
		return slices.IndexFunc(r.Readings, func(q record.Reading) bool { return q.ID == id })
	}
	return -1 // marks keep the order of their numbers by themselves
}

// moveLast puts the last element of a list back to where it stood: an inverse
// change appends, but an undo must give the very same record.
func moveLast(r *record.Record, target string, at int) {
	kind, _, _ := strings.Cut(target, "/")
	switch kind {
	case "photo":
		r.Photos = movedLast(r.Photos, at)
	case "part":
		r.Parts = movedLast(r.Parts, at)
	case "claim":
		r.Claims = movedLast(r.Claims, at)
	case "reading":
		r.Readings = movedLast(r.Readings, at)
	}
}

func movedLast[T any](l []T, at int) []T {
	n := len(l) - 1
	if at >= n {
		return l
	}
	out := make([]T, 0, len(l))
	out = append(out, l[:at]...)
	out = append(out, l[n])
	return append(out, l[at:n]...)
}
