package journal

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// model is undo as anybody would write it down: whole records on two stacks.
type model struct {
	now          string
	done, undone []string
	group        string // of the last edit
}

func (m *model) do(group, now string) {
	if group == "" || group != m.group || len(m.done) == 0 {
		m.done = append(m.done, m.now)
	}
	m.group, m.undone, m.now = group, nil, now
}

// Random edits, undos and redos: what is in memory equals the model, and what
// is replayed from the disk equals what is in memory, after every step.
func TestUndoRedoReplay(t *testing.T) {
	root := t.TempDir()
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(root, "")
		if err != nil {
			rt.Fatal(err)
		}
		b := newBed(t, filepath.Join(dir, "j"))
		defer b.f.Close()
		look := func() string { return view(t, &State{Record: b.s.Record}) }
		m := &model{now: look()}
		for range rapid.IntRange(1, 30).Draw(rt, "steps") {
			switch op := rapid.SampledFrom([]Op{Do, Do, Do, Undo, Redo}).Draw(rt, "op"); op {
			case Do:
				e := Entry{Op: Do, Name: rapid.StringN(1, 8, -1).Draw(rt, "name"), Changes: changes(t, rt), Group: rapid.SampledFrom([]string{"", "", "g", "h"}).Draw(rt, "group")}
				if err := b.add(e); err != nil {
					rt.Fatal(err)
				}
				m.do(e.Group, look())
			case Undo:
				err := b.add(Entry{Op: Undo})
				if len(m.done) == 0 {
					if !errors.Is(err, ErrNothingToUndo) {
						rt.Fatal(err)
					}
					continue
				}
				if err != nil {
					rt.Fatal(err)
				}
				m.undone, m.now, m.done = append(m.undone, m.now), m.done[len(m.done)-1], m.done[:len(m.done)-1]
				m.group = groupOf(b.s)
			case Redo:
				err := b.add(Entry{Op: Redo})
				if len(m.undone) == 0 {
					if !errors.Is(err, ErrNothingToRedo) {
						rt.Fatal(err)
					}
					continue
				}
				if err != nil {
					rt.Fatal(err)
				}
				m.done, m.now, m.undone = append(m.done, m.now), m.undone[len(m.undone)-1], m.undone[:len(m.undone)-1]
				m.group = groupOf(b.s)
			}
			if got := look(); got != m.now {
				rt.Fatalf("in memory %s\nmodel     %s", got, m.now)
			}
			s, _, err := Replay(bytes.NewReader(b.bytes()), id, "j")
			if err != nil {
				rt.Fatal(err)
			}
			if got, want := view(t, s), view(t, b.s); got != want {
				rt.Fatalf("replayed  %s\nin memory %s", got, want)
			}
		}
	})
}

// groupOf is the group that a further edit would have to have to join the last.
func groupOf(s *State) string {
	if s.done == nil {
		return ""
	}
	return s.done.group
}

// changes draws one to four changes over few entities, so that they meet.
func changes(t *testing.T, rt *rapid.T) []record.Change {
	var cs []record.Change
	for range rapid.IntRange(1, 4).Draw(rt, "changes") {
		n := rapid.IntRange(1, 4).Draw(rt, "n")
		name := string(rune('a' + n))
		text := rapid.StringN(0, 5, -1).Draw(rt, "text")
		gone := rapid.IntRange(0, 3).Draw(rt, "gone") == 0
		var c record.Change
		switch rapid.IntRange(0, 7).Draw(rt, "kind") {
		case 0:
			c = mark(t, n, text)
		case 1:
			c = set(t, record.PhotoTarget(name), record.Photo{ID: name, Caption: text})
		case 2:
			c = set(t, record.PartTarget(record.PartID(name)), record.Part{ID: record.PartID(name), Note: text})
		case 3:
			c = set(t, record.ClaimTarget(name), record.Claim{ID: name, Text: text})
		case 4:
			c = set(t, record.ReadingTarget(name), record.Reading{ID: name, Unit: text})
		case 5:
			c, gone = set(t, "instrument", record.Instrument{Model: text}), false
		case 6:
			c, gone = set(t, "notExamined", []string{text}), false
		case 7:
			c, gone = set(t, "playing", record.Playing{}.With(n, n, record.Buzz)), false
		}
		if gone {
			c = record.Remove(c.Target)
		}
		cs = append(cs, c)
	}
	return cs
}
