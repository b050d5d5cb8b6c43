package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"wornwood/capture/record"
)

const id = "aaaaaaaaaaaaaaaaaaaaaaaaaa"

var start = time.Date(2026, 3, 14, 9, 0, 0, 0, time.FixedZone("", 3600))

// set is a change or a failed test.
func set(t testing.TB, target string, v any) record.Change {
	t.Helper()
	c, err := record.Set(target, v)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mark(t testing.TB, n int, note string) record.Change {
	return set(t, record.MarkTarget(n), record.Mark{Number: n, Kind: "ding", Depth: record.Through, Note: note})
}

// bed is a journal under test with the state that it should have.
type bed struct {
	t    testing.TB
	path string
	f    *File
	s    *State
}

func newBed(t testing.TB, path string) *bed {
	t.Helper()
	first := Entry{Seq: 1, At: start, Op: Begin, Changes: []record.Change{
		set(t, "examination", record.Examination{ID: id, Instrument: "i", Purpose: record.Intake, Date: start}),
		set(t, "instrument", record.Instrument{Maker: "Halden & Rowe", Model: "Larkfoot <Standard>"}),
	}}
	f, s, err := Create(path, id, first)
	if err != nil {
		t.Fatal(err)
	}
	return &bed{t, path, f, s}
}

func (b *bed) add(e Entry) error {
	e.Seq, e.At = b.s.Seq+1, b.s.At.Add(time.Second)
	next, err := b.s.Next(e)
	if err != nil {
		return err
	}
	if err := b.f.Append(e); err != nil {
		return err
	}
	b.s = next
	return nil
}

func (b *bed) must(e Entry) {
	b.t.Helper()
	if err := b.add(e); err != nil {
		b.t.Fatal(err)
	}
}

func (b *bed) bytes() []byte {
	b.t.Helper()
	data, err := os.ReadFile(b.path)
	if err != nil {
		b.t.Fatal(err)
	}
	return data
}

// view is everything of a state that can be seen from outside.
func view(t testing.TB, s *State) string {
	t.Helper()
	b, err := json.Marshal(s.Record)
	if err != nil {
		t.Fatal(err)
	}
	is, err := json.Marshal(s.Issued)
	if err != nil {
		t.Fatal(err)
	}
	u, uok := s.UndoName()
	r, rok := s.RedoName()
	return fmt.Sprintf("%s\nissued %s, undo %q %v, redo %q %v, line %d at %s", b, is, u, uok, r, rok, s.Seq, s.At.Format(time.RFC3339Nano))
}

func TestReplayGivesTheState(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	b.must(Entry{Op: Do, Name: "Mark 1", Changes: []record.Change{mark(t, 1, "by the bridge <\u2028>")}})
	b.must(Entry{Op: Do, Name: "Mark 2", Changes: []record.Change{mark(t, 2, ""), mark(t, 1, "moved")}})
	b.must(Entry{Op: Undo})
	b.must(Entry{Op: Redo})
	b.must(Entry{Op: Undo})
	s, tail, err := Replay(bytes.NewReader(b.bytes()), id, "j")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := view(t, s), view(t, b.s); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if tail.Lines != 6 || tail.Torn != 0 || tail.Good != b.f.Size() || tail.Good != int64(len(b.bytes())) {
		t.Errorf("%+v", tail)
	}
	for i, line := range bytes.Split(bytes.TrimSpace(b.bytes()), []byte("\n")) {
		if !json.Valid(line) {
			t.Errorf("line %d is not JSON: %s", i+1, line)
		}
	}
}

func TestUndoDiscipline(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	names := func(undo, redo string) {
		t.Helper()
		u, _ := b.s.UndoName()
		r, _ := b.s.RedoName()
		if u != undo || r != redo {
			t.Errorf("undo %q, redo %q; want %q, %q", u, r, undo, redo)
		}
	}
	if err := b.add(Entry{Op: Undo}); !errors.Is(err, ErrNothingToUndo) {
		t.Error(err)
	}
	if err := b.add(Entry{Op: Redo}); !errors.Is(err, ErrNothingToRedo) {
		t.Error(err)
	}
	b.must(Entry{Op: Do, Name: "one", Changes: []record.Change{mark(t, 1, "")}})
	b.must(Entry{Op: Do, Name: "two", Changes: []record.Change{mark(t, 2, "")}})
	names("two", "")
	b.must(Entry{Op: Undo})
	names("one", "two")
	b.must(Entry{Op: Do, Name: "three", Changes: []record.Change{mark(t, 3, "")}})
	names("three", "") // a new edit clears what could be redone
	b.must(Entry{Op: Undo})
	b.must(Entry{Op: Undo})
	names("", "one")
	if len(b.s.Record.Marks) != 0 {
		t.Errorf("%v", b.s.Record.Marks)
	}
}

// Taking an element away and undoing it must put it back where it stood.
func TestUndoKeepsTheOrder(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	var cs []record.Change
	for _, n := range []string{"a", "b", "c", "d"} {
		cs = append(cs, set(t, record.PhotoTarget(n), record.Photo{ID: n}), set(t, record.ClaimTarget(n), record.Claim{ID: n}),
			set(t, record.PartTarget(record.PartID(n)), record.Part{ID: record.PartID(n)}), set(t, record.ReadingTarget(n), record.Reading{ID: n}))
	}
	b.must(Entry{Op: Do, Name: "all", Changes: cs})
	before := view(t, &State{Record: b.s.Record})
	b.must(Entry{Op: Do, Name: "away", Changes: []record.Change{
		record.Remove("photo/b"), record.Remove("claim/a"), record.Remove("part/c"), record.Remove("reading/d"),
		record.Remove("photo/a"), set(t, "photo/b", record.Photo{ID: "b", Caption: "again"}), record.Remove("photo/c"),
	}})
	b.must(Entry{Op: Undo})
	if got := view(t, &State{Record: b.s.Record}); got != before {
		t.Errorf("got  %s\nwant %s", got, before)
	}
}

func TestGroupIsOneEdit(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	photo := func(n, group string) Entry {
		return Entry{Op: Do, Name: "import " + group, Group: group, Changes: []record.Change{set(t, record.PhotoTarget(n), record.Photo{ID: n})}}
	}
	count := func(want int) {
		t.Helper()
		if len(b.s.Record.Photos) != want {
			t.Errorf("%d photos, want %d", len(b.s.Record.Photos), want)
		}
	}
	for _, n := range []string{"a", "b"} {
		b.must(photo(n, "x"))
	}
	for _, n := range []string{"c", "d", "e"} {
		b.must(photo(n, "y"))
	}
	b.must(Entry{Op: Undo})
	count(2)
	b.must(Entry{Op: Undo})
	count(0)
	b.must(Entry{Op: Redo})
	count(2)
	b.must(Entry{Op: Redo})
	count(5)
	b.must(Entry{Op: Do, Name: "between", Changes: []record.Change{mark(t, 1, "")}})
	b.must(photo("f", "y"))
	b.must(Entry{Op: Undo})
	count(5) // an edit between keeps the two apart
}

func TestIssueFreezes(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	b.must(Entry{Op: Do, Name: "one", Changes: []record.Change{mark(t, 1, "")}})
	if err := b.add(Entry{Op: Issue, Issued: &record.Issued{Number: "CR-2026-0001"}}); err == nil {
		t.Error("issued without a file")
	}
	is := record.Issued{Number: "CR-2026-0001", At: start, File: "reports/CR-2026-0001.pdf", SHA256: "00"}
	b.must(Entry{Op: Issue, Issued: &is})
	for _, e := range []Entry{{Op: Do, Changes: []record.Change{mark(t, 2, "")}}, {Op: Undo}, {Op: Redo}, {Op: Issue, Issued: &is}} {
		if err := b.add(e); !errors.Is(err, ErrIssued) {
			t.Errorf("%s: %v", e.Op, err)
		}
	}
	s, _, err := Replay(bytes.NewReader(b.bytes()), id, "j")
	if err != nil || !reflect.DeepEqual(*s.Issued, is) || s.Record.Examination.Number != is.Number {
		t.Errorf("%+v %v", s, err)
	}
	if _, ok := s.UndoName(); ok {
		t.Error("an issued examination offers undo")
	}
}

func TestRefusedEditLeavesNothing(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	size, before := len(b.bytes()), view(t, b.s)
	for name, e := range map[string]Entry{
		"unknown target": {Op: Do, Changes: []record.Change{mark(t, 1, ""), {Target: "nonsense", Value: json.RawMessage("1")}}},
		"no changes":     {Op: Do, Name: "nothing"},
		"unknown op":     {Op: "dance"},
		"second begin":   {Op: Begin},
		"too large":      {Op: Do, Changes: []record.Change{mark(t, 1, strings.Repeat("x", MaxLine))}},
		"not JSON":       {Op: Do, Changes: []record.Change{{Target: "instrument", Value: json.RawMessage("{")}}},
	} {
		if err := b.add(e); err == nil {
			t.Errorf("%s: accepted", name)
		}
		if len(b.bytes()) != size || view(t, b.s) != before {
			t.Errorf("%s: something changed", name)
		}
	}
	b.must(Entry{Op: Do, Name: "goes on", Changes: []record.Change{mark(t, 1, "")}})
}

func TestCreateNeverOverwrites(t *testing.T) {
	b := newBed(t, filepath.Join(t.TempDir(), "j"))
	if _, _, err := Create(b.path, id, Entry{Seq: 1, Op: Begin}); err == nil {
		t.Error("a journal was written over")
	}
}
