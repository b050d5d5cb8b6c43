package bench

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	"wornwood/capture/index"
	"wornwood/capture/journal"
	"wornwood/capture/record"
)

// ErrIssued says that the report of an examination is issued, so that it can no
// longer be changed.
var ErrIssued = journal.ErrIssued

// Exam is one open examination. Its methods may be called from several
// goroutines; every change is on the disk when its method returns nil.
type Exam struct {
	b  *Bench
	id string

	mu    sync.Mutex
	file  *journal.File // nil once closed
	state *journal.State
	snap  *record.Record
	notes []string
	opens int // guarded by b.mu
}

// Begin begins an examination. With the ID of a known instrument it starts
// from what the last examination said of its identity: the instrument when
// inst is empty, the claims and materials with the papers they name. Photos and
// marks are not copied. An empty ID makes a new instrument.
func (b *Bench) Begin(instrument string, purpose record.Purpose, inst record.Instrument) (*Exam, error) {
	id, err := b.newID()
	if err != nil {
		return nil, err
	}
	var last record.Record
	if instrument == "" {
		if instrument, err = b.newID(); err != nil {
			return nil, err
		}
	} else if last, err = b.identity(instrument); err != nil {
		return nil, err
	}
	if inst == (record.Instrument{}) {
		inst = last.Instrument
	}
	s := b.Settings()
	now := b.now()
	cs, err := identityChanges(record.Examination{
		ID: id, Instrument: instrument, Purpose: purpose, Date: now.Truncate(time.Second), Examiner: s.Examiner, Shop: s.Shop, Rubric: s.Rubric,
	}, inst, &last)
	if err != nil {
		return nil, err
	}
	f, state, err := journal.Create(b.examPath(id), id, journal.Entry{Seq: 1, At: now, Op: journal.Begin, Changes: cs})
	if err != nil {
		return nil, asDamaged(err)
	}
	e := &Exam{b: b, id: id, file: f, state: state, opens: 1}
	e.snap = snapshot(state)
	b.mu.Lock()
	if b.closed {
		b.mu.Unlock()
		return nil, errors.Join(ErrClosed, f.Close())
	}
	b.exams[id] = e
	b.mu.Unlock()
	e.mu.Lock()
	defer e.mu.Unlock()
	e.reindex()
	return e, nil
}

// identity is what is known of an instrument from its last examination:
// instrument, claims, materials, and the papers that these name. Photos that a
// claim named are of that examination, which keeps them.
func (b *Bench) identity(instrument string) (record.Record, error) {
	var out record.Record
	rows, err := b.Examinations(instrument)
	if err != nil {
		return out, err
	}
	if len(rows) == 0 {
		return out, fmt.Errorf("begin examination: no instrument %q is on this bench", instrument)
	}
	last, err := b.OpenExam(rows[0].Exam)
	if err != nil {
		return out, fmt.Errorf("begin examination: %w", err)
	}
	rec := last.Record()
	out.Instrument, out.Materials = rec.Instrument, rec.Materials
	named := map[string]bool{}
	for _, c := range rec.Claims {
		var files []string
		for _, f := range c.Files {
			if rec.PhotoByID(f) == nil {
				files, named[f] = append(files, f), true
			}
		}
		c.Files = files
		out.Claims = append(out.Claims, c)
	}
	for _, m := range rec.Materials {
		for _, f := range m.Document {
			named[f] = true
		}
	}
	for _, a := range rec.Attachments {
		if named[a.ID] {
			out.Attachments = append(out.Attachments, a)
		}
	}
	return out, last.Close()
}

func identityChanges(ex record.Examination, inst record.Instrument, last *record.Record) ([]record.Change, error) {
	var cs []record.Change
	add := func(target string, v any) error {
		c, err := record.Set(target, v)
		cs = append(cs, c)
		return err
	}
	err := errors.Join(add("examination", ex), add("instrument", inst))
	for _, a := range last.Attachments {
		err = errors.Join(err, add(record.AttachmentTarget(a.ID), a))
	}
	for _, c := range last.Claims {
		err = errors.Join(err, add(record.ClaimTarget(c.ID), c))
	}
	for _, m := range last.Materials {
		err = errors.Join(err, add(record.MaterialTarget(m.ID), m))
	}
	return cs, err
}

// OpenExam opens an examination. Opened twice it is the same Exam, to be
// closed twice. It returns a *DamagedError when its journal cannot be replayed.
func (b *Bench) OpenExam(id string) (*Exam, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil, ErrClosed
	}
	if e := b.exams[id]; e != nil {
		e.opens++
		return e, nil
	}
	if !validID(id) {
		return nil, fmt.Errorf("open examination: %q is not the ID of an examination", id)
	}
	f, state, note, err := journal.Open(b.examPath(id), id)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("open examination: there is none with the ID %s on this bench: %w", id, fs.ErrNotExist)
	}
	if err != nil {
		return nil, asDamaged(err)
	}
	e := &Exam{b: b, id: id, file: f, state: state, opens: 1}
	e.snap = snapshot(state)
	if note != "" {
		e.notes = append(e.notes, note)
	}
	b.exams[id] = e
	return e, nil
}

// snapshot is a record that nobody changes any more: changes copy the lists
// they touch.
func snapshot(s *journal.State) *record.Record { r := s.Record; return &r }

// ID is the examination's ID.
func (e *Exam) ID() string { return e.id }

// Record is the examination as it is now. It must not be altered; the next
// edit makes another.
func (e *Exam) Record() *record.Record {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.snap
}

// Notes are sentences for the user about what was found on opening, such as a
// line that had been cut off.
func (e *Exam) Notes() []string {
	e.mu.Lock()
	defer e.mu.Unlock()
	return append([]string(nil), e.notes...)
}

// Do makes changes as one edit called name, all or none, and saves it. An edit
// that would leave an impossible record is refused.
func (e *Exam) Do(name string, cs ...record.Change) error {
	return e.append(journal.Entry{Op: journal.Do, Name: name, Changes: cs})
}

// Undo takes the last edit back and says which it was.
func (e *Exam) Undo() (name string, err error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	name, _ = e.state.UndoName()
	return name, e.appendLocked(journal.Entry{Op: journal.Undo})
}

// Redo makes the edit again that was taken back last and says which it was.
func (e *Exam) Redo() (name string, err error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	name, _ = e.state.RedoName()
	return name, e.appendLocked(journal.Entry{Op: journal.Redo})
}

// CanUndo names the edit that Undo would take back.
func (e *Exam) CanUndo() (name string, ok bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.state.UndoName()
}

// CanRedo names the edit that Redo would make again.
func (e *Exam) CanRedo() (name string, ok bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.state.RedoName()
}

// Issued is the issued report, false while there is none.
func (e *Exam) Issued() (record.Issued, bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.state.Issued == nil {
		return record.Issued{}, false
	}
	return *e.state.Issued, true
}

// SetIssued freezes the examination: its record gets the report's number and
// nothing can be changed any more.
func (e *Exam) SetIssued(is record.Issued) error {
	return e.append(journal.Entry{Op: journal.Issue, Name: "Report issued", Issued: &is})
}

// SavedAt is the time of the last saved edit.
func (e *Exam) SavedAt() time.Time {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.state.At
}

// Close closes the examination; nothing is left to be written.
func (e *Exam) Close() error {
	e.b.mu.Lock()
	e.opens--
	last := e.opens == 0
	if last && e.b.exams[e.id] == e {
		delete(e.b.exams, e.id)
	}
	e.b.mu.Unlock()
	if !last {
		return nil
	}
	return e.shut()
}

func (e *Exam) shut() error {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.file == nil {
		return nil
	}
	err := e.file.Close()
	e.file = nil
	return err
}

func (e *Exam) append(en journal.Entry) error {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.appendLocked(en)
}

// appendLocked tries the entry on the state in memory, writes it, and only
// then makes it the state.
func (e *Exam) appendLocked(en journal.Entry) error {
	if e.file == nil {
		return fmt.Errorf("change examination: it is closed: %w", ErrClosed)
	}
	en.Seq, en.At = e.state.Seq+1, e.b.now()
	next, err := e.state.Next(en)
	if err != nil {
		return err
	}
	if err := next.Record.Check(); err != nil {
		return err
	}
	if err := e.file.Append(en); err != nil {
		return err
	}
	e.state, e.snap = next, snapshot(next)
	e.reindex()
	return nil
}

// reindex brings the index up to the journal. A failure does not undo the
// edit, which is saved; the index is filled again before it is next read.
func (e *Exam) reindex() {
	e.b.indexMu.Lock()
	defer e.b.indexMu.Unlock()
	if e.b.index == nil {
		return
	}
	st, err := stampOf(e.file.Path())
	if err == nil {
		err = e.b.index.Put(index.Item{Record: e.snap, Issued: e.state.Issued, Stamp: st})
	}
	if err != nil {
		e.b.dropIndex()
	}
}

func stampOf(path string) (index.Stamp, error) {
	st, err := os.Stat(path)
	if err != nil {
		return index.Stamp{}, fmt.Errorf("look at journal: %w", err)
	}
	return index.Stamp{Size: st.Size(), Changed: st.ModTime().UnixNano()}, nil
}
