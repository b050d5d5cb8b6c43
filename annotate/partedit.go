package annotate

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/signs"
	"wornwood/capture/record"
)

// PartEdit is several things said of one part at once; what is nil or empty
// stays as it is.
type PartEdit struct {
	State      *record.State
	Inspected  *bool
	Judged     *[]string
	Reversible *string
	Note       *string
	Signs      []record.Sign // an answer "" takes that sign's back
	Tie, Untie []string      // Photo.ID
}

// EditPart says several things of one part in one change. A part that has just
// been given a state that needs a close look counts as inspected, unless the
// edit says otherwise. An edit of which anything is refused changes nothing.
func (s *Session) EditPart(id record.PartID, e PartEdit) error {
	if err := s.checkEdit(id, e); err != nil {
		return fmt.Errorf("change %s: %w", id, err)
	}
	return s.SetPart(id, "Change", func(p *record.Part) {
		if e.State != nil {
			JudgePart(p, *e.State)
		}
		put(&p.Inspected, e.Inspected)
		put(&p.Judged, e.Judged)
		put(&p.Reversible, e.Reversible)
		put(&p.Note, e.Note)
		for _, a := range e.Signs {
			p.Signs = answered(p.Signs, a.ID, a.Answer)
		}
		p.Photos = without(p.Photos, func(q string) bool { return slices.Contains(e.Untie, q) })
		for _, q := range e.Tie {
			if !slices.Contains(p.Photos, q) {
				p.Photos = append(p.Photos, q)
			}
		}
		if len(p.Photos) == 0 {
			p.Photos = nil
		}
	})
}

func put[T any](to, from *T) {
	if from != nil {
		*to = *from
	}
}

// JudgePart gives a part a state. A part that was looked at closely enough to
// be judged counts as inspected, unless it is not there.
func JudgePart(p *record.Part, st record.State) {
	p.State = st
	if st == record.Original || Reversible(st) {
		p.Inspected = true
	}
}

func (s *Session) checkEdit(id record.PartID, e PartEdit) error {
	rec := s.Scene().Record
	st := record.State("")
	if p := rec.PartByID(id); p != nil {
		st = p.State
	}
	if e.State != nil {
		st = *e.State
		if !slices.Contains(record.States(), st) {
			return fmt.Errorf("%q is no state; the states are %s", st, joinStates())
		}
	}
	if e.Judged != nil {
		for _, m := range *e.Judged {
			if !slices.Contains(record.Methods(), m) {
				return fmt.Errorf("%q is no way of judging; the ways are %s", m, strings.Join(record.Methods(), ", "))
			}
		}
	}
	if r := e.Reversible; r != nil {
		if err := reversibleOf(id, st, *r); err != nil {
			return err
		}
	}
	for _, a := range e.Signs {
		if err := s.checkSign(id, a.ID, a.Answer); err != nil {
			return err
		}
	}
	for _, q := range append(slices.Clone(e.Tie), e.Untie...) {
		if rec.PhotoByID(q) == nil {
			return errors.New("the examination has no such photo")
		}
	}
	return nil
}

// reversibleOf refuses an answer that is none, or that the part's state does
// not ask for.
func reversibleOf(id record.PartID, st record.State, answer string) error {
	if !slices.Contains([]string{"", "yes", "no"}, answer) {
		return fmt.Errorf("reversible %q is neither yes nor no", answer)
	}
	if answer != "" && !Reversible(st) {
		return fmt.Errorf("%s is stated as %s; say first how it was replaced, refinished or altered", id, stateWord(st))
	}
	return nil
}

// checkSign refuses answers that are none, and answers to signs of other parts
// or classes; taking an answer back is always right.
func (s *Session) checkSign(id record.PartID, sign, answer string) error {
	if answer == "" {
		return nil
	}
	if !slices.Contains(record.SignAnswers(), answer) {
		return fmt.Errorf("%q is no answer; the answers are %s", answer, strings.Join(record.SignAnswers(), ", "))
	}
	if !slices.ContainsFunc(s.PartSigns(id), func(x signs.Sign) bool { return x.ID == sign }) {
		return fmt.Errorf("the list for %s has no sign %q", id, sign)
	}
	return nil
}
