package archive

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"time"

	"wornwood/capture/blob"
)

// Mended is what became of a damaged log.
type Mended struct {
	Changed bool    `json:"changed"`         // the log was put together anew
	Lines   []int64 `json:"lines"`           // that came from the copy, the first of them
	Count   int64   `json:"count"`           // how many in all
	Aside   string  `json:"aside,omitempty"` // where the damaged log is kept
}

// ForkError says that log and copy went different ways, so that which is right
// cannot be told from them.
type ForkError struct {
	Line int64 // the first that differs
}

func (e *ForkError) Error() string {
	return fmt.Sprintf("from line %d on, the log and that of the copy tell different things, each in a way that goes on from the line before. One of the two was written by somebody else, or by two at once. "+
		"Nothing was changed. Which is right shows by a head that was noted elsewhere or stamped: wornwood archive log DIR --since HEAD, for either", e.Line)
}

// MendLog compares the log of the archive in a folder with that of a second copy,
// and puts it together anew where what is missing or altered can be proven by the
// copy: the copy's chain must be whole from archive.json on, and go through every
// line here that is not shown to be false by the line after it; lines that the
// copy does not have yet must go on from its end. The damaged log is kept aside.
// Logs that tell different things are left alone: *ForkError.
//
// It is for an archive that is not open: one with a damaged log may not open.
func MendLog(ctx context.Context, dir, second string, now time.Time) (*Mended, error) {
	if shared, err := readShared(dir); err != nil || shared != nil {
		return &Mended{Lines: []int64{}}, err // the check names differences; an object store keeps versions of its own
	}
	s, err := OpenFolder(dir)
	if err != nil {
		return nil, err
	}
	from, err := OpenPlace(ctx, second)
	if err != nil {
		return nil, fmt.Errorf("second copy: %w", err)
	}
	here := s.(*folder)
	release, err := here.Lock(now)
	if err != nil {
		return nil, err
	}
	m := &mending{ctx: ctx, out: &Mended{Lines: []int64{}}}
	err = m.mend(here, from, now)
	return m.out, errors.Join(err, release())
}

// entry tells of it in the log.
func (m *Mended) entry() Entry {
	text := fmt.Sprintf("the log was put together anew from a second copy; %d lines came from it", m.Count)
	for i, n := range m.Lines[:min(10, len(m.Lines))] {
		text += []string{": ", ", "}[min(i, 1)] + fmt.Sprint(n)
	}
	if len(m.Lines) > 10 {
		text += " and more"
	}
	if m.Aside != "" {
		text += "; the damaged one is kept as " + damagedDir + "/" + filepath.Base(m.Aside)
	}
	return Entry{Kind: Restored, Summary: text}
}

// mending is the comparison of two logs, line by line.
type mending struct {
	ctx  context.Context
	out  *Mended
	to   io.Writer // the log as it should be
	head Head      // of the copy, or behind its end of what goes on here
	// open is a line here that differs from the copy's in its place. The line
	// after it decides: where that goes on from it, it is no damage.
	open     *Head
	openFork bool // it goes on from the line before
}

func (m *mending) mend(here *folder, copy Store, now time.Time) error {
	settings, err := copy.Settings()
	if err != nil {
		return fmt.Errorf("second copy: %w", err)
	}
	if own, err := here.Settings(); err != nil || !bytes.Equal(own, settings) {
		return errors.Join(err, fmt.Errorf("the second copy is one of another archive, or %s was altered in one of the two: they differ", settingsName))
	}
	m.head = Head{0, sum(settings)}
	tmp, err := os.CreateTemp(filepath.Join(here.dir, stageDir), "new-*")
	if err != nil {
		return fmt.Errorf("mend log: %w", err)
	}
	defer os.Remove(tmp.Name()) // it is gone where it was put in place
	m.to = tmp
	err = m.compare(here, copy)
	if err = errors.Join(err, tmp.Chmod(0o644), tmp.Sync(), tmp.Close()); err != nil || !m.out.Changed {
		return err
	}
	return m.place(here, tmp.Name(), now)
}

// place puts the log in its place, the damaged one aside.
func (m *mending) place(here *folder, log string, now time.Time) error {
	aside := filepath.Join(here.dir, damagedDir, fmt.Sprintf("log-%d.jsonl", now.UnixNano()))
	if err := os.MkdirAll(filepath.Dir(aside), 0o755); err != nil {
		return fmt.Errorf("mend log: %w", err)
	}
	path := here.logPath(MainLog)
	if err := os.Link(path, aside); err == nil {
		m.out.Aside = aside
	} else if _, gone := os.Lstat(path); gone == nil {
		return fmt.Errorf("mend log: keep the damaged one: %w", err)
	}
	if err := os.Rename(log, path); err != nil {
		return fmt.Errorf("mend log: %w", err)
	}
	return errors.Join(blob.SyncDir(here.dir), blob.SyncDir(filepath.Dir(aside)))
}

// linesOf gives a log's lines one by one.
func linesOf(s Store) iter.Seq2[[]byte, error] {
	return func(yield func([]byte, error) bool) {
		err := s.Log(MainLog, 0, func(line []byte, _ int64) error {
			if !yield(bytes.Clone(line), nil) {
				return errEnough
			}
			return nil
		})
		if err != nil && !errors.Is(err, errEnough) && !errors.Is(err, ErrMissing) {
			yield(nil, err)
		}
	}
}

// ownLines are the lines here, one after the other; what is no line of a log is
// passed over.
type ownLines struct {
	next func() ([]byte, error, bool)
	line []byte // nil behind the end
	seq  int64
	junk bool // something was passed over
}

func (o *ownLines) advance() error {
	for {
		line, err, ok := o.next()
		if err != nil {
			return fmt.Errorf("mend log: the damaged log cannot be read on: %w", err)
		}
		if o.line, o.seq = line, 0; !ok {
			return nil
		}
		if o.seq = seqOf(line); o.seq > 0 {
			return nil
		}
		o.junk = true
	}
}

// compare goes along both logs by the lines' numbers.
func (m *mending) compare(here, copy Store) error {
	next, stop := iter.Pull2(linesOf(here))
	defer stop()
	own := &ownLines{next: next}
	if err := own.advance(); err != nil {
		return err
	}
	for line, err := range linesOf(copy) {
		if err == nil {
			err = m.ctx.Err()
		}
		if err != nil {
			return fmt.Errorf("mend log: %w", err)
		}
		if err := m.step(own, line); err != nil {
			return err
		}
	}
	for own.line != nil { // the copy is older
		if err := m.goOn(own.line); err != nil {
			return err
		}
		if err := own.advance(); err != nil {
			return err
		}
	}
	m.out.Changed = m.out.Changed || own.junk
	if m.open != nil && m.openFork {
		return &ForkError{m.open.Seq} // the last line here
	}
	return nil
}

// step takes the next line of the copy.
func (m *mending) step(own *ownLines, line []byte) error {
	err, n := follows(line, m.head), m.head.Seq+1
	if err != nil {
		return fmt.Errorf("mend log: the log of the copy is damaged as well: %s", strings.TrimSuffix(err.Error(), "; compare it with a copy of the archive and bring the log back from there"))
	}
	for own.line != nil && own.seq < n { // of before: put in, or out of order
		own.junk = true
		if err := own.advance(); err != nil {
			return err
		}
	}
	switch {
	case own.line == nil || own.seq > n:
		m.take(n)
	case bytes.Equal(own.line, line):
		m.open = nil
		err = own.advance()
	default:
		if err = m.differs(own.line, n); err == nil {
			err = own.advance()
		}
	}
	if err != nil {
		return err
	}
	return m.put(line, n)
}

// take notes a line that comes from the copy.
func (m *mending) take(n int64) {
	m.out.Changed = true
	m.out.Count++
	if len(m.out.Lines) < 100 {
		m.out.Lines = append(m.out.Lines, n)
	}
}

func (m *mending) put(line []byte, n int64) error {
	m.head = Head{n, sum(line)}
	if _, err := m.to.Write(append(line, '\n')); err != nil {
		return fmt.Errorf("mend log: %w", err)
	}
	return nil
}

// differs judges a line that is another than the copy's of the same number.
func (m *mending) differs(own []byte, n int64) error {
	var e Entry
	if err := json.Unmarshal(own, &e); err != nil {
		m.open = nil
		m.take(n)
		return nil
	}
	if m.open != nil && e.Previous == m.open.Hash {
		return &ForkError{m.open.Seq} // two lines that follow on each other, beside the copy's
	}
	m.open, m.openFork = &Head{n, sum(own)}, e.Previous == m.head.Hash
	m.take(n)
	return nil
}

// goOn takes a line that the copy does not have yet.
func (m *mending) goOn(own []byte) error {
	e, err := readEntry(own, m.head)
	if err != nil {
		if m.open != nil && m.openFork && previousIs(own, m.open.Hash) {
			return &ForkError{m.open.Seq}
		}
		return fmt.Errorf("mend log: the copy ends with line %d, before the damage in line %d; a newer copy is needed. Nothing was changed", m.head.Seq, m.head.Seq+1)
	}
	m.open = nil
	return m.put(own, e.Seq)
}

func previousIs(line []byte, hash string) bool {
	var e Entry
	return json.Unmarshal(line, &e) == nil && e.Previous == hash
}
