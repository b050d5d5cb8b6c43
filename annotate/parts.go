package annotate

import (
	"errors"
	"fmt"
	"reflect"
	"slices"

	"wornwood/annotate/signs"
	"wornwood/capture/record"
)

// SetPart changes what is said of one part; what names the change for undo. An
// edit that changes nothing makes no entry. What cannot be said of the part's
// state goes with it: see Reversible.
func (s *Session) SetPart(id record.PartID, what string, edit func(*record.Part)) error {
	old := record.Part{ID: id}
	known := s.Scene().Record.PartByID(id)
	if known != nil {
		old = *known
	}
	p := old
	p.Judged, p.Photos, p.Signs = slices.Clone(old.Judged), slices.Clone(old.Photos), slices.Clone(old.Signs)
	edit(&p)
	p.ID = id
	if !Reversible(p.State) {
		p.Reversible = ""
	}
	if known != nil && reflect.DeepEqual(old, p) {
		return nil
	}
	return s.set(fmt.Sprintf("%s of %s", what, id), record.PartTarget(id), p)
}

// Reversible tells whether it is a question for a part in that state whether
// the work could be undone: where it was replaced, refinished or altered.
func Reversible(st record.State) bool {
	switch st {
	case record.PeriodReplacement, record.LaterReplacement, record.Refinished, record.Altered:
		return true
	}
	return false
}

// SetReversible says whether what was done to a part could be undone: "yes",
// "no", or "" to leave it open.
func (s *Session) SetReversible(id record.PartID, answer string) error {
	var st record.State
	if p := s.Scene().Record.PartByID(id); p != nil {
		st = p.State
	}
	if err := reversibleOf(id, st, answer); err != nil {
		return fmt.Errorf("set reversible: %w", err)
	}
	return s.SetPart(id, "Reversible", func(p *record.Part) { p.Reversible = answer })
}

func stateWord(st record.State) record.State {
	if st == "" {
		return record.NotSeen
	}
	return st
}

// PartSigns lists the signs to look for on a part of this instrument.
func (s *Session) PartSigns(id record.PartID) []signs.Sign {
	return signs.For(s.Scene().Drawing.Class, id)
}

// SetSign answers one sign on a part with one of record.SignAnswers; "" takes
// the answer back, also that to a sign which the list no longer has.
func (s *Session) SetSign(id record.PartID, sign, answer string) error {
	if err := s.checkSign(id, sign, answer); err != nil {
		return fmt.Errorf("set sign: %w", err)
	}
	p := s.Scene().Record.PartByID(id)
	if p == nil && answer == "" {
		return nil
	}
	return s.SetPart(id, "Sign", func(p *record.Part) { p.Signs = answered(p.Signs, sign, answer) })
}

// answered is the list with one answer changed, in the order in which they
// were first given.
func answered(list []record.Sign, id, answer string) []record.Sign {
	i := slices.IndexFunc(list, func(x record.Sign) bool { return x.ID == id })
	switch {
	case answer == "" && i < 0:
		return list
	case answer == "":
		return slices.Delete(list, i, i+1)
	case i < 0:
		return append(list, record.Sign{ID: id, Answer: answer})
	}
	list[i].Answer = answer
	return list
}

// TogglePartPhoto ties a photo of the examination to a part, or unties it.
func (s *Session) TogglePartPhoto(id record.PartID, photo string) error {
	ph := s.Scene().Record.PhotoByID(photo)
	if ph == nil {
		return errors.New("tie photo: the examination has no such photo")
	}
	return s.SetPart(id, "Photo "+ph.Name, func(p *record.Part) {
		if i := slices.Index(p.Photos, photo); i >= 0 {
			p.Photos = slices.Delete(p.Photos, i, i+1)
			return
		}
		p.Photos = append(p.Photos, photo)
	})
}

// SetAllParts says the same of every part of the class about which nothing was
// said yet, in one change: the usual start of an examination. A part that the
// examiner called not seen was spoken of and stays so.
func (s *Session) SetAllParts(st record.State, inspected bool) error {
	sc := s.Scene()
	shares, err := s.Rubric().Shares(sc.Drawing.Class)
	if err != nil {
		return err
	}
	var cs []record.Change
	for _, sh := range shares {
		if q := sc.Record.PartByID(sh.Part); sh.Optional || (q != nil && q.State != "") {
			continue // whether it has an optional part is for the examiner to say
		}
		p := record.Part{ID: sh.Part}
		if q := sc.Record.PartByID(sh.Part); q != nil {
			p = *q
		}
		p.State, p.Inspected = st, inspected
		c, err := record.Set(record.PartTarget(sh.Part), p)
		if err != nil {
			return err
		}
		cs = append(cs, c)
	}
	if len(cs) == 0 {
		return nil
	}
	return s.Do(fmt.Sprintf("Set remaining parts to %s", st), cs...)
}
