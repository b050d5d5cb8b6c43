package annotate

import (
	"fmt"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// Shelf is where a shop keeps rubrics of its own; capture/bench's Bench is one.
type Shelf interface {
	Rubric(hash string) ([]byte, error) // canonical JSON
	AddRubric(data []byte) (hash string, err error)
	ChosenRubric() string // hash of the one for new examinations, "" for the newest that came with the program
}

// RubricOf is the rubric of that hash: one that came with the program, or one
// from the shelf. "" is the one that the shop has chosen, else the newest. The
// error says what to do when it is on neither.
func RubricOf(sh Shelf, hash string) (*grade.Rubric, error) {
	if hash == "" && sh != nil {
		hash = sh.ChosenRubric()
	}
	if hash == "" {
		return grade.Default(), nil
	}
	if r := grade.ByHash(hash); r != nil {
		return r, nil
	}
	if sh == nil {
		return nil, fmt.Errorf("the rubric %s did not come with this program; choose another to grade by", grade.ShortHash(hash))
	}
	b, err := sh.Rubric(hash)
	if err != nil {
		return nil, fmt.Errorf("the examination is graded by the rubric %s: %w", grade.ShortHash(hash), err)
	}
	r, err := grade.Load(b)
	if err != nil {
		return nil, fmt.Errorf("the rubric %s on the bench: %w", grade.ShortHash(hash), err)
	}
	if r.Hash() != hash {
		return nil, fmt.Errorf("the rubric %s on the bench is not the one of that name", grade.ShortHash(hash))
	}
	return r, nil
}

// RubricFor is the rubric that an examination is graded by. Reports issued
// before examinations kept it were all graded by grade.FirstNamed.
func RubricFor(sh Shelf, ex record.Examination, issued bool) (*grade.Rubric, error) {
	if ex.Rubric == "" && issued {
		return RubricOf(sh, grade.FirstNamed)
	}
	return RubricOf(sh, ex.Rubric)
}

// KeepRubric reads a shop's own rubric and keeps it on the shelf; one that came
// with the program is known already and not kept.
func KeepRubric(sh Shelf, data []byte) (*grade.Rubric, error) {
	r, err := grade.Load(data)
	if err != nil || r.Shipped() {
		return r, err
	}
	hash, err := sh.AddRubric(r.Table())
	if err != nil {
		return nil, err
	}
	if hash != r.Hash() {
		return nil, fmt.Errorf("keep rubric: it was kept as %s and is %s", hash, r.Hash())
	}
	return r, nil
}

// OpenFor starts a session like Open, by the rubric that the examination names,
// found among those of the program and on the shelf.
func OpenFor(j Journal, sh Shelf) (*Session, error) {
	return begin(j, func(ex record.Examination, issued bool) (*grade.Rubric, error) { return RubricFor(sh, ex, issued) })
}

// judgeBy makes the rubric that the record names the session's. One that cannot
// be had leaves the session the newest, by which kinds and parts are still
// listed, and gives the error that stands in the place of a grade.
func (s *Session) judgeBy(ex record.Examination) error {
	_, issued := s.j.Issued()
	now := asked{true, ex.Rubric, issued}
	if s.asked == now {
		return nil
	}
	r, err := s.find(ex, issued)
	if err != nil {
		s.asked = asked{}
		s.rubric.Store(grade.Default())
		return err
	}
	s.asked = now
	s.rubric.Store(r)
	return nil
}

// asked is what the rubric in use was chosen by.
type asked struct {
	found  bool
	hash   string
	issued bool
}

// UseRubric grades the examination by another rubric from now on; nil takes the
// shop's usual one. It can be undone.
func (s *Session) UseRubric(r *grade.Rubric) error {
	sc := s.Scene()
	ex, name := sc.Record.Examination, "Grade by the usual rubric"
	ex.Rubric = ""
	if r != nil {
		ex.Rubric, name = r.Hash(), "Grade by "+r.Name
	}
	if ex.Rubric == sc.Record.Examination.Rubric {
		return nil
	}
	return s.set(name, "examination", ex)
}
