package bench

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wornwood/capture/index"
	"wornwood/capture/journal"
)

// Row is one line of a list of instruments or examinations.
type Row = index.Row

// Finding is a fault that Check or Rebuild met, in one sentence.
type Finding struct {
	File string `json:"file"` // inside the bench, with forward slashes
	Text string `json:"text"`
}

// Rebuilt is what filling the index met.
type Rebuilt struct {
	Examinations int       `json:"examinations"`
	Damaged      []Finding `json:"damaged"` // journals that cannot be replayed and are left out
}

// Instruments lists every instrument with its newest examination, the latest first.
func (b *Bench) Instruments() ([]Row, error) {
	return b.lookup(func(x *index.Index) ([]Row, error) { return x.Instruments() })
}

// Search lists the instruments that match what was typed; see index.Search.
func (b *Bench) Search(q string) ([]Row, error) {
	return b.lookup(func(x *index.Index) ([]Row, error) { return x.Search(q) })
}

// Examinations lists the examinations of one instrument, the latest first.
func (b *Bench) Examinations(instrument string) ([]Row, error) {
	return b.lookup(func(x *index.Index) ([]Row, error) { return x.Examinations(instrument) })
}

// lookup asks the index, and once more after filling it again when it failed.
func (b *Bench) lookup(ask func(*index.Index) ([]Row, error)) ([]Row, error) {
	b.indexMu.Lock()
	defer b.indexMu.Unlock()
	if b.index != nil {
		rows, err := ask(b.index)
		if err == nil {
			return rows, nil
		}
		b.dropIndex()
	}
	if _, err := b.fillIndex(context.Background()); err != nil {
		return nil, err
	}
	return ask(b.index)
}

// dropIndex gives the index up until it is filled again. indexMu is held.
func (b *Bench) dropIndex() {
	if b.index != nil {
		_ = b.index.Close() // it has failed already, and holds nothing of its own
		b.index = nil
	}
}

func (b *Bench) indexPath() string { return filepath.Join(b.dir, indexName) }

// openIndex opens the index and brings it up to the journals: those that
// changed since, perhaps because the program was stopped between saving and
// indexing, are read again. An unusable index is filled from the start.
func (b *Bench) openIndex(ctx context.Context) error {
	b.indexMu.Lock()
	defer b.indexMu.Unlock()
	x, err := index.Open(b.indexPath())
	if err == nil {
		b.index = x
		if err = b.refresh(ctx); err == nil {
			return nil
		}
		b.dropIndex()
	}
	_, err = b.fillIndex(ctx)
	return err
}

// refresh reads again what changed. indexMu is held.
func (b *Bench) refresh(ctx context.Context) error {
	b.damaged = nil
	had, err := b.index.Stamps()
	if err != nil {
		return err
	}
	ids, err := b.examIDs()
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := ctx.Err(); err != nil {
			return err
		}
		now, err := stampOf(b.examPath(id))
		if err != nil {
			return err
		}
		if had[id] != now {
			it, err := b.itemOf(id)
			var damaged *DamagedError
			switch {
			case errors.As(err, &damaged):
				b.damaged = append(b.damaged, b.findingOf(damaged))
				err = b.index.Delete(id)
			case err == nil:
				err = b.index.Put(*it)
			}
			if err != nil {
				return err
			}
		}
		delete(had, id)
	}
	for id := range had {
		if err := b.index.Delete(id); err != nil {
			return err
		}
	}
	return nil
}

// Rebuild throws the index away and fills it from the journals.
func (b *Bench) Rebuild(ctx context.Context) (*Rebuilt, error) {
	b.indexMu.Lock()
	defer b.indexMu.Unlock()
	return b.fillIndex(ctx)
}

// fillIndex makes a new index from the journals. indexMu is held.
func (b *Bench) fillIndex(ctx context.Context) (*Rebuilt, error) {
	b.mu.Lock()
	closed := b.closed
	b.mu.Unlock()
	if closed {
		return nil, ErrClosed
	}
	b.dropIndex()
	if err := index.Remove(b.indexPath()); err != nil {
		return nil, err
	}
	ids, err := b.examIDs()
	if err != nil {
		return nil, err
	}
	x, err := index.Create(b.indexPath())
	if err != nil {
		return nil, err
	}
	done := &Rebuilt{}
	next := func() (*index.Item, error) {
		for len(ids) > 0 {
			id := ids[0]
			ids = ids[1:]
			it, err := b.itemOf(id)
			var damaged *DamagedError
			if errors.As(err, &damaged) {
				done.Damaged = append(done.Damaged, b.findingOf(damaged))
				continue
			}
			if err == nil {
				done.Examinations++
			}
			return it, err
		}
		return nil, nil
	}
	if err := x.Fill(ctx, next); err != nil {
		return nil, errors.Join(err, x.Close())
	}
	b.index, b.damaged = x, done.Damaged
	return done, nil
}

// Damaged lists the examinations that no list shows because their journals
// cannot be replayed. A person should be told of them when a bench is opened.
func (b *Bench) Damaged() []Finding {
	b.indexMu.Lock()
	defer b.indexMu.Unlock()
	return slices.Clone(b.damaged)
}

func (b *Bench) findingOf(d *DamagedError) Finding {
	return Finding{File: b.rel(d.File), Text: d.Error()}
}

// itemOf replays one journal for the index.
func (b *Bench) itemOf(id string) (*index.Item, error) {
	st, err := stampOf(b.examPath(id)) // first: an edit made meanwhile is then seen as a change
	if err != nil {
		return nil, err
	}
	s, _, err := b.replay(id)
	if err != nil {
		return nil, err
	}
	return &index.Item{Record: &s.Record, Issued: s.Issued, Stamp: st}, nil
}

func (b *Bench) replay(id string) (*journal.State, journal.Tail, error) {
	p := b.examPath(id)
	f, err := os.Open(p)
	if err != nil {
		return nil, journal.Tail{}, fmt.Errorf("open journal: %w", err)
	}
	defer f.Close()
	s, tail, err := journal.Replay(f, id, p)
	if err == nil && s.Record.Examination.ID != id {
		err = &DamagedError{File: p, Why: "it holds the examination " + s.Record.Examination.ID}
	}
	return s, tail, asDamaged(err)
}

// examIDs lists the examinations by their journals, sorted.
func (b *Bench) examIDs() ([]string, error) {
	list, err := os.ReadDir(filepath.Join(b.dir, examsDir))
	if err != nil {
		return nil, fmt.Errorf("list examinations: %w", err)
	}
	var ids []string
	for _, d := range list {
		if id, ok := strings.CutSuffix(d.Name(), journalSuffix); ok && validID(id) && d.Type().IsRegular() {
			ids = append(ids, id)
		}
	}
	return ids, nil
}

// rel is a path inside the bench as findings name it.
func (b *Bench) rel(path string) string {
	if r, err := filepath.Rel(b.dir, path); err == nil {
		return filepath.ToSlash(r)
	}
	return path
}
