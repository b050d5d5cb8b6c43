// Package annotate is the editing session of one examination: what is shown,
// what is selected, and every change a person can make to it, with undo.
//
// Start with Open, Session.Scene and the commands (AddMark, MoveMark, SetPart
// ...). A Session does not draw and does not store: it turns an intention into
// record.Changes, hands them to a Journal, which has them on disk before the
// call returns, and publishes a new Scene. Window and verbs use the same
// commands, so they cannot come to differ.
package annotate

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Journal is where a Session's changes go. capture/bench's Exam is one. Do
// refuses, before anything is written, changes that would leave a record no
// examination can hold (record.Check).
type Journal interface {
	Record() *record.Record
	Do(name string, cs ...record.Change) error
	Undo() (name string, err error)
	Redo() (name string, err error)
	CanUndo() (name string, ok bool)
	CanRedo() (name string, ok bool)
	Issued() (record.Issued, bool)
	SavedAt() time.Time
}

// Scene is one immutable state of a session, complete for drawing.
type Scene struct {
	Record   *record.Record
	Drawing  *outline.Drawing
	Grade    *grade.Result // nil when GradeError is set
	Rubric   *grade.Rubric // what Grade was computed by
	Case     *grade.Case   // the working of Grade, for what-ifs; nil with it
	Selected int           // mark number, 0 for none
	Issued   *record.Issued
	Undo     string // name of the change that Undo takes back, "" for none
	Redo     string
	SavedAt  time.Time

	// GradeError says why no grade could be computed, for example because the
	// record names a kind that this rubric does not know. The record is shown
	// all the same.
	GradeError error
}

// Session is the editing of one examination. Its methods may be called from
// any goroutine; listeners are called on the caller's.
type Session struct {
	mu       sync.Mutex
	j        Journal
	find     func(record.Examination, bool) (*grade.Rubric, error)
	rubric   atomic.Pointer[grade.Rubric]
	asked    asked // what the rubric was chosen by
	scene    *Scene
	selected int
	lastKind map[record.Shape]record.Kind
	planes   []keptPlane // fitted scales of photos, the oldest first
	listen   []func(*Scene)
}

// Open starts a session on an examination's journal, graded by the rubric where
// the examination names none; one that it names must have come with the
// program. OpenFor also finds a shop's own.
func Open(j Journal, rb *grade.Rubric) (*Session, error) {
	return begin(j, func(ex record.Examination, _ bool) (*grade.Rubric, error) {
		if ex.Rubric == "" || ex.Rubric == rb.Hash() {
			return rb, nil
		}
		return RubricOf(nil, ex.Rubric)
	})
}

func begin(j Journal, find func(record.Examination, bool) (*grade.Rubric, error)) (*Session, error) {
	s := &Session{j: j, find: find, lastKind: map[record.Shape]record.Kind{}}
	if _, err := grade.DrawingFor(j.Record().Instrument); err != nil {
		return nil, fmt.Errorf("open examination: %w", err)
	}
	s.scene = s.compose()
	return s, nil
}

// Rubric is the table that the session grades by: the examination's, or the
// newest where that cannot be had.
func (s *Session) Rubric() *grade.Rubric { return s.rubric.Load() }

// Scene is the present state.
func (s *Session) Scene() *Scene {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.scene
}

// OnChange adds a listener that is told of every new scene.
func (s *Session) OnChange(f func(*Scene)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.listen = append(s.listen, f)
}

// compose builds the scene from the journal; the caller holds mu or is alone.
func (s *Session) compose() *Scene {
	rec := s.j.Record()
	sc := &Scene{Record: rec, SavedAt: s.j.SavedAt(), Selected: s.shown(rec)}
	sc.Undo, _ = s.j.CanUndo()
	sc.Redo, _ = s.j.CanRedo()
	if is, ok := s.j.Issued(); ok {
		sc.Issued = &is
	}
	noRubric := s.judgeBy(rec.Examination)
	sc.Rubric = s.Rubric()
	var err error
	if sc.Drawing, err = grade.DrawingFor(rec.Instrument); err != nil {
		// An identity that no drawing follows from is refused on entry, so
		// the last drawing still stands for everything but that identity.
		sc.GradeError = err
		if s.scene != nil {
			sc.Drawing = s.scene.Drawing
		}
		return sc
	}
	if sc.GradeError = noRubric; noRubric == nil {
		if sc.Case, sc.GradeError = s.regrade(rec, sc.Drawing); sc.GradeError == nil {
			sc.Grade = sc.Case.Result()
		}
	}
	return sc
}

// publish makes the scene anew and tells the listeners.
func (s *Session) publish() {
	s.mu.Lock()
	s.scene = s.compose()
	s.mu.Unlock()
	s.tell()
}

// tell hands the present scene to the listeners, outside the lock.
func (s *Session) tell() {
	s.mu.Lock()
	sc, fs := s.scene, slices.Clone(s.listen)
	s.mu.Unlock()
	for _, f := range fs {
		f(sc)
	}
}

// Refresh makes the scene anew after the journal was changed from outside, for
// example by an import or by issuing the report.
func (s *Session) Refresh() { s.publish() }

// Select makes a mark the selected one; 0 selects none. The record is the same,
// so nothing is graded again.
func (s *Session) Select(n int) {
	s.mu.Lock()
	if s.selected == n {
		s.mu.Unlock()
		return
	}
	s.selected = n
	sc := *s.scene
	sc.Selected = s.shown(sc.Record)
	s.scene = &sc
	s.mu.Unlock()
	s.tell()
}

// shown is the selected mark where the record has it, else 0.
func (s *Session) shown(r *record.Record) int {
	if r.MarkByNumber(s.selected) == nil {
		return 0
	}
	return s.selected
}

// Do saves changes under a name and publishes the new scene.
func (s *Session) Do(name string, cs ...record.Change) error {
	if err := s.j.Do(name, cs...); err != nil {
		return fmt.Errorf("%s: %w", lowerFirst(name), err)
	}
	s.publish()
	return nil
}

// Undo takes the last change back and returns its name.
func (s *Session) Undo() (string, error) {
	name, err := s.j.Undo()
	if err == nil {
		s.publish()
	}
	return name, err
}

// Redo makes the last undone change again and returns its name.
func (s *Session) Redo() (string, error) {
	name, err := s.j.Redo()
	if err == nil {
		s.publish()
	}
	return name, err
}
