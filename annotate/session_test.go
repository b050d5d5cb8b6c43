package annotate

import (
	"errors"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// memory is a Journal in memory with the undo discipline of the real one.
type memory struct {
	rec    *record.Record
	undo   []entry
	redo   []entry
	issued *record.Issued
	fail   error
}

type entry struct {
	name         string
	does, undoes []record.Change
}

func (m *memory) Record() *record.Record { r := *m.rec; return &r }
func (m *memory) SavedAt() time.Time     { return time.Time{} }

func (m *memory) Do(name string, cs ...record.Change) error {
	if m.fail != nil {
		return m.fail
	}
	inv, err := m.rec.ApplyAll(cs)
	if err != nil {
		return err
	}
	m.undo, m.redo = append(m.undo, entry{name, cs, inv}), nil
	return nil
}

func (m *memory) Undo() (string, error) {
	e := m.undo[len(m.undo)-1]
	m.undo = m.undo[:len(m.undo)-1]
	m.redo = append(m.redo, e)
	_, err := m.rec.ApplyAll(e.undoes)
	return e.name, err
}

func (m *memory) Redo() (string, error) {
	e := m.redo[len(m.redo)-1]
	m.redo = m.redo[:len(m.redo)-1]
	m.undo = append(m.undo, e)
	_, err := m.rec.ApplyAll(e.does)
	return e.name, err
}

func last(es []entry) (string, bool) {
	if len(es) == 0 {
		return "", false
	}
	return es[len(es)-1].name, true
}

func (m *memory) CanUndo() (string, bool) { return last(m.undo) }
func (m *memory) CanRedo() (string, bool) { return last(m.redo) }

func (m *memory) Issued() (record.Issued, bool) {
	if m.issued == nil {
		return record.Issued{}, false
	}
	return *m.issued, true
}

func open(t interface{ Fatal(...any) }) (*Session, *memory) {
	j := &memory{rec: &record.Record{Schema: record.Schema, Instrument: record.Instrument{Class: outline.Classes()[0]},
		Photos: []record.Photo{{ID: "aa", Name: "a.jpg"}, {ID: "bb", Name: "b.jpg", View: "front"}}}}
	s, err := Open(j, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	return s, j
}

var front = Surface{Side: outline.Front}

// onFront is a point of the body's front finish, below the bridge.
var onFront = record.Point{X: -60, Y: 690}

func TestAddMarkTellsTheScene(t *testing.T) {
	s, _ := open(t)
	var told []int
	s.OnChange(func(sc *Scene) { told = append(told, len(sc.Record.Marks)) })
	n, err := s.AddMark(front, record.PointShape, []record.Point{onFront})
	if err != nil {
		t.Fatal(err)
	}
	sc := s.Scene()
	m := sc.Record.MarkByNumber(n)
	if n != 1 || m == nil || sc.Selected != 1 || sc.Undo != "Add mark 1" || len(told) == 0 || told[0] != 1 {
		t.Fatalf("mark %d, selected %d, undo %q, told %v", n, sc.Selected, sc.Undo, told)
	}
	reg, ok := sc.Drawing.Region(m.On[0].Region)
	if !ok || reg.Part != record.FrontFinish {
		t.Fatalf("placed on %q", m.On[0].Region)
	}
	if sc.Grade.MarkPoints(1) <= 0 {
		t.Fatal("a ding on the front costs nothing")
	}
}

func TestMarkOutsideIsRefused(t *testing.T) {
	s, j := open(t)
	if _, err := s.AddMark(front, record.PointShape, []record.Point{{X: 900, Y: 900}}); err == nil {
		t.Fatal("a mark beside the instrument was accepted")
	}
	if len(j.rec.Marks) != 0 {
		t.Fatal("it was saved all the same")
	}
}

func TestUsualKindFollowsPartAndHabit(t *testing.T) {
	s, _ := open(t)
	fret := record.Point{X: 0, Y: outline.FretPosition(648, 5)}
	n, err := s.AddMark(front, record.PointShape, []record.Point{fret})
	if err != nil {
		t.Fatal(err)
	}
	m := s.Scene().Record.MarkByNumber(n)
	if info, _ := s.Rubric().Kind(m.Kind); !info.On(record.Frets) {
		t.Fatalf("a mark on a fret became a %q", m.Kind)
	}
	if !slices.Equal(m.On[0].Pieces, []int{5}) {
		t.Fatalf("pieces %v, want fret 5", m.On[0].Pieces)
	}
	n, _ = s.AddMark(front, record.PointShape, []record.Point{onFront})
	if err := s.SetKind(n, "chip"); err != nil {
		t.Fatal(err)
	}
	n, _ = s.AddMark(front, record.PointShape, []record.Point{{X: -70, Y: 650}})
	if k := s.Scene().Record.MarkByNumber(n).Kind; k != "chip" {
		t.Fatalf("after a chip the next point became a %q", k)
	}
}

func TestPhotoFirstThenOutline(t *testing.T) {
	s, _ := open(t)
	n, err := s.AddMark(Surface{Photo: "aa"}, record.PointShape, []record.Point{{X: 10, Y: 20}})
	if err != nil {
		t.Fatal(err)
	}
	if p := s.Scene().Grade.MarkPoints(n); p != 0 {
		t.Fatalf("a mark without a place on the outline costs %v", p)
	}
	if err := s.AddPlace(n, front, record.PointShape, []record.Point{onFront}); err != nil {
		t.Fatal(err)
	}
	m := s.Scene().Record.MarkByNumber(n)
	if len(m.Photos) != 1 || len(m.On) != 1 || s.Scene().Grade.MarkPoints(n) <= 0 {
		t.Fatalf("got %+v", m)
	}
}

func TestPhotoRemovalUntiesMarks(t *testing.T) {
	s, _ := open(t)
	n, _ := s.AddMark(Surface{Photo: "aa"}, record.PointShape, []record.Point{{X: 10, Y: 20}})
	if err := s.RemovePhoto("aa"); err != nil {
		t.Fatal(err)
	}
	if r := s.Scene().Record; len(r.Photos) != 1 || len(r.MarkByNumber(n).Photos) != 0 {
		t.Fatalf("photos %v, mark %+v", r.Photos, r.MarkByNumber(n))
	}
	if _, err := s.Undo(); err != nil {
		t.Fatal(err)
	}
	if r := s.Scene().Record; len(r.Photos) != 2 || len(r.MarkByNumber(n).Photos) != 1 {
		t.Fatal("undo did not bring photo and tie back")
	}
}

func TestOneViewOnePhoto(t *testing.T) {
	s, _ := open(t)
	if err := s.SetPhotoView("aa", "front"); err != nil {
		t.Fatal(err)
	}
	r := s.Scene().Record
	if r.PhotoByID("aa").View != "front" || r.PhotoByID("bb").View != "" {
		t.Fatalf("views %q and %q", r.PhotoByID("aa").View, r.PhotoByID("bb").View)
	}
}

func TestImpossibleIdentityIsRefused(t *testing.T) {
	s, _ := open(t)
	before := s.Scene().Record.Instrument
	if err := s.SetInstrument("scale length", func(i *record.Instrument) { i.ScaleLength = 3 }); err == nil {
		t.Fatal("a scale length of 3 mm was accepted")
	}
	if got := s.Scene().Record.Instrument; got != before {
		t.Fatalf("identity became %+v", got)
	}
}

func TestFailedSaveChangesNothing(t *testing.T) {
	s, j := open(t)
	j.fail = errors.New("disk full")
	if _, err := s.AddMark(front, record.PointShape, []record.Point{onFront}); !errors.Is(err, j.fail) {
		t.Fatalf("got %v", err)
	}
	if len(s.Scene().Record.Marks) != 0 {
		t.Fatal("the scene shows a mark that was not saved")
	}
}

func TestEveryCommandUndoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := open(t)
		if _, err := s.AddMark(front, record.PointShape, []record.Point{onFront}); err != nil {
			t.Fatal(err)
		}
		before := s.Scene()
		var err error
		switch rapid.IntRange(0, 6).Draw(t, "command") {
		case 0:
			err = s.SetKind(1, "scratch")
		case 1:
			err = s.DeleteMark(1)
		case 2:
			err = s.MovePlace(1, front, 0, []record.Point{{X: 50, Y: 690}})
		case 3:
			err = s.SetPart(record.Tuners, "State", func(p *record.Part) { p.State = record.LaterReplacement })
		case 4:
			err = s.SetAllParts(record.Original, true)
		case 5:
			err = s.SetSound(1, 19, record.Buzz)
		case 6:
			err = s.SetInstrument("serial", func(i *record.Instrument) { i.Serial = "41873" })
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Undo(); err != nil {
			t.Fatal(err)
		}
		a, b := before.Grade, s.Scene().Grade
		if len(s.Scene().Record.Marks) != 1 || (a.Index == nil) != (b.Index == nil) || (a.Index != nil && *a.Index != *b.Index) || a.OriginalityLow != b.OriginalityLow || a.Playing.Tried != b.Playing.Tried {
			t.Fatalf("undone, the answers differ: %+v and %+v", a, b)
		}
	})
}

// board is a rectangle over frets 9 to 20 of a 648 mm scale.
func board() []record.Point {
	a, b := outline.FretPosition(648, 9)-3, outline.FretPosition(648, 20)+2
	return []record.Point{{X: -18, Y: a}, {X: 18, Y: a}, {X: 18, Y: b}, {X: -18, Y: b}}
}

func TestKindDecidesWhatAnAreaBelongsTo(t *testing.T) {
	s, _ := open(t)
	n, err := s.AddMark(front, record.AreaShape, board())
	if err != nil {
		t.Fatal(err)
	}
	part := func() record.PartID {
		r, _ := s.Scene().Drawing.Region(s.Scene().Record.MarkByNumber(n).On[0].Region)
		return r.Part
	}
	if err := s.SetKind(n, "fade"); err != nil || part() != record.Fingerboard {
		t.Fatalf("a fade over the board lies on %s: %v", part(), err)
	}
	if err := s.SetKind(n, "fret wear"); err != nil || part() != record.Frets {
		t.Fatalf("fret wear over the board lies on %s: %v", part(), err)
	}
	want := []int{9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20}
	if got := s.Scene().Record.MarkByNumber(n).On[0].Pieces; !slices.Equal(got, want) {
		t.Fatalf("frets %v, want %v", got, want)
	}
	if err := s.SetKind(n, "fade"); err != nil || s.Scene().Record.MarkByNumber(n).On[0].Pieces != nil {
		t.Fatalf("the fade kept the frets: %v", err)
	}
}

func TestAreaOverhangingTheEdge(t *testing.T) {
	s, _ := open(t)
	n, err := s.AddMark(front, record.AreaShape, []record.Point{{X: -60, Y: 650}, {X: -400, Y: 650}, {X: -400, Y: 700}, {X: -60, Y: 700}})
	if err != nil {
		t.Fatal(err)
	}
	if r, _ := s.Scene().Drawing.Region(s.Scene().Record.MarkByNumber(n).On[0].Region); r.Part != record.FrontFinish {
		t.Fatalf("lies on %s", r.Part)
	}
}

func TestNotSeenStays(t *testing.T) {
	s, _ := open(t)
	if err := s.SetPart(record.Electronics, "State", func(p *record.Part) { p.State = record.NotSeen }); err != nil {
		t.Fatal(err)
	}
	if err := s.SetAllParts(record.Original, true); err != nil {
		t.Fatal(err)
	}
	r := s.Scene().Record
	if e, f := r.PartByID(record.Electronics), r.PartByID(record.Frets); e.State != record.NotSeen || e.Inspected || f.State != record.Original || !f.Inspected {
		t.Fatalf("electronics %+v, frets %+v", e, f)
	}
}
