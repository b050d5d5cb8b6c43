package bench

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"reflect"
	"sync"
	"testing"

	"wornwood/capture/journal"
	"wornwood/capture/record"
)

func set(t *testing.T, target string, v any) record.Change {
	t.Helper()
	c, err := record.Set(target, v)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mark(t *testing.T, n int) record.Change {
	return set(t, record.MarkTarget(n), record.Mark{Number: n, Kind: "ding"})
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func TestBeginKnownInstrument(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	must(t, b.SetSettings(Settings{Shop: "Alder Row", Examiner: "E. Quill"}))
	first := begin(t, b)
	mustImport(t, b, first, writePhotos(t, 1))
	changed := larkfoot()
	changed.Year = "1975"
	must(t, first.Do("much", mark(t, 1), set(t, "instrument", changed), set(t, "claim/c", record.Claim{ID: "c", Text: "first owner", Standing: record.Stated}),
		set(t, "part/neck", record.Part{ID: "neck", Inspected: true}), set(t, "notExamined", []string{"the inside"})))
	inst := first.Record().Examination.Instrument
	second, err := b.Begin(inst, record.Periodic, record.Instrument{})
	must(t, err)
	got := *second.Record()
	want := record.Record{
		Schema:     record.Schema,
		Instrument: changed,
		Claims:     []record.Claim{{ID: "c", Text: "first owner", Standing: record.Stated}},
		Examination: record.Examination{
			ID: second.ID(), Instrument: inst, Purpose: record.Periodic, Date: got.Examination.Date, Examiner: "E. Quill", Shop: "Alder Row",
		},
	}
	if !reflect.DeepEqual(got, want) || second.ID() == first.ID() || !got.Examination.Date.After(first.Record().Examination.Date) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	rows, err := b.Examinations(inst)
	if err != nil || len(rows) != 2 || rows[0].Exam != second.ID() || rows[0].Examinations != 2 {
		t.Errorf("%+v %v", rows, err)
	}
	// What the caller gives about the instrument goes before what was known.
	other := record.Instrument{Maker: "Merrow & Finch"}
	third, err := b.Begin(inst, record.Periodic, other)
	if err != nil || third.Record().Instrument != other {
		t.Errorf("%v %v", third, err)
	}
	if _, err := b.Begin("nobody", record.Intake, other); err == nil {
		t.Error("an unknown instrument was begun")
	}
}

func TestReopenedIsTheSame(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	ex := begin(t, b)
	id := ex.ID()
	for n := 1; n < 6; n++ {
		must(t, ex.Do(fmt.Sprint("mark ", n), mark(t, n)))
	}
	_, err := ex.Undo()
	must(t, err)
	want, saved := hashOf(ex.Record()), ex.SavedAt()
	must(t, b.Close())
	if err := ex.Do("late", mark(t, 9)); !errors.Is(err, ErrClosed) {
		t.Errorf("an edit after closing: %v", err)
	}
	b = open(t, dir)
	ex, err = b.OpenExam(id)
	must(t, err)
	undo, _ := ex.CanUndo()
	redo, _ := ex.CanRedo()
	if hashOf(ex.Record()) != want || !ex.SavedAt().Equal(saved) || undo != "mark 4" || redo != "mark 5" || len(ex.Notes()) != 0 {
		t.Errorf("undo %q, redo %q, notes %v", undo, redo, ex.Notes())
	}
}

func TestImpossibleEditIsRefused(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	for name, c := range map[string]record.Change{
		"mark without kind":  set(t, "mark/1", record.Mark{Number: 1}),
		"coverage over 1":    set(t, "mark/1", json.RawMessage(`{"number":1,"kind":"ding","on":[{"part":"neck","coverage":2}]}`)),
		"unknown part state": set(t, "part/neck", record.Part{ID: "neck", State: "melted"}),
		"unknown target":     set(t, "nonsense", 1),
	} {
		if err := ex.Do(name, mark(t, 7), c); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, can := ex.CanUndo(); can || len(ex.Record().Marks) != 0 {
		t.Error("a refused edit left something")
	}
}

func TestSnapshotsDoNotChange(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	must(t, ex.Do("two", mark(t, 1), mark(t, 2)))
	snap := ex.Record()
	before := hashOf(snap)
	must(t, ex.Do("more", mark(t, 3), set(t, "mark/1", record.Mark{Number: 1, Kind: "dent"}), record.Remove("mark/2")))
	_, err := ex.Undo()
	must(t, err)
	if hashOf(snap) != before {
		t.Error("a record handed out was changed")
	}
}

func TestOpenedTwiceIsOne(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	again, err := b.OpenExam(ex.ID())
	if err != nil || again != ex {
		t.Fatalf("%v", err)
	}
	must(t, ex.Close())
	must(t, again.Do("still open", mark(t, 1)))
	must(t, again.Close())
	if err := again.Do("closed", mark(t, 2)); !errors.Is(err, ErrClosed) {
		t.Error(err)
	}
	for _, id := range []string{"", "../x", "aaaaaaaaaaaaaaaaaaaaaaaaaa"} {
		if _, err := b.OpenExam(id); err == nil {
			t.Errorf("%q was opened", id)
		} else if len(id) == idLen && !errors.Is(err, fs.ErrNotExist) {
			t.Error(err)
		}
	}
}

func TestIssuedIsFrozen(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	ex := begin(t, b)
	id := ex.ID()
	must(t, ex.Do("one", mark(t, 1)))
	rel, sum, err := b.WriteReport("CR-2026-0001", writes("%PDF"))
	must(t, err)
	is := record.Issued{Number: "CR-2026-0001", At: b.now(), File: rel, SHA256: sum}
	must(t, ex.SetIssued(is))
	_, undoErr := ex.Undo()
	_, redoErr := ex.Redo()
	for _, err := range []error{ex.Do("more", mark(t, 2)), undoErr, redoErr, ex.SetIssued(is)} {
		if !errors.Is(err, ErrIssued) {
			t.Error(err)
		}
	}
	must(t, b.Close())
	b = open(t, dir)
	ex, err = b.OpenExam(id)
	must(t, err)
	got, ok := ex.Issued()
	rows, _ := b.Instruments()
	if !ok || !got.At.Equal(is.At) || got.Number != is.Number || ex.Record().Examination.Number != is.Number || !rows[0].Issued || rows[0].Number != is.Number {
		t.Errorf("%+v %v %+v", got, ok, rows)
	}
	clean(t, b)
}

// Edits from many goroutines beside an import: all of them arrive, and the
// journal replays to what is in memory.
func TestManyAtOnce(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	src := writePhotos(t, 6)
	var wg sync.WaitGroup
	wg.Go(func() {
		if _, err := b.Import(context.Background(), ex, []string{src}, nil); err != nil {
			t.Error(err)
		}
	})
	for g := range 4 {
		wg.Go(func() {
			for i := range 10 {
				n := 1 + g*10 + i
				c, err := record.Set(record.MarkTarget(n), record.Mark{Number: n, Kind: "ding"})
				if err == nil {
					err = ex.Do("mark", c)
				}
				if err == nil {
					_, err = b.Search("lark")
				}
				if err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	s, _, err := b.replay(ex.ID())
	must(t, err)
	if len(ex.Record().Marks) != 40 || len(ex.Record().Photos) != 6 || hashOf(&s.Record) != hashOf(ex.Record()) {
		t.Errorf("%d marks, %d photos", len(ex.Record().Marks), len(ex.Record().Photos))
	}
	intact(t, b, ex)
}

func TestNothingToUndo(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	if _, err := ex.Undo(); !errors.Is(err, journal.ErrNothingToUndo) {
		t.Error(err)
	}
	if _, err := ex.Redo(); !errors.Is(err, journal.ErrNothingToRedo) {
		t.Error(err)
	}
}
