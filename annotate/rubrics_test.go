package annotate

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"wornwood/annotate/grade"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// shelfExam begins an examination on a bench of its own.
func shelfExam(t *testing.T) (*bench.Bench, *bench.Exam) {
	t.Helper()
	b, err := bench.Open(t.TempDir(), bench.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	ex, err := b.Begin("", record.Intake, record.Instrument{Class: "solid-body double-cutaway"})
	if err != nil {
		t.Fatal(err)
	}
	return b, ex
}

// houseRubric is a copy of the newest rubric with another factor.
func houseRubric(t *testing.T) []byte {
	t.Helper()
	b, err := grade.Default().Copy("Halden bench rubric")
	if err != nil {
		t.Fatal(err)
	}
	return bytes.Replace(b, []byte("1.02,1.1,"), []byte("1.05,1.1,"), 1)
}

func TestGradeByAShopsOwnRubric(t *testing.T) {
	b, ex := shelfExam(t)
	s, err := OpenFor(ex, b)
	if err != nil {
		t.Fatal(err)
	}
	if s.Rubric() != grade.Default() {
		t.Fatal("an examination of a new bench is not graded by the newest rubric")
	}
	if _, err := s.AddMark(Surface{Side: "front"}, record.PointShape, []record.Point{{X: -60, Y: 690}}); err != nil {
		t.Fatal(err)
	}
	usual := *s.Scene().Grade.Index
	house, err := KeepRubric(b, houseRubric(t))
	if err != nil {
		t.Fatal(err)
	}
	if err := s.UseRubric(house); err != nil {
		t.Fatal(err)
	}
	if g := s.Scene().Grade; g.RubricHash != house.Hash() || *g.Index >= usual || s.Rubric().Name != house.Name || s.Scene().Undo != "Grade by Halden bench rubric" {
		t.Errorf("graded %v by %s; undo %q", *g.Index, g.Rubric, s.Scene().Undo)
	}
	// Opened again, and after undo and redo, it is graded by the rubric it names.
	again, err := OpenFor(ex, b)
	if err != nil || again.Rubric().Hash() != house.Hash() {
		t.Errorf("opened again by %s, %v", again.Rubric().Name, err)
	}
	if _, err := s.Undo(); err != nil || s.Rubric() != grade.Default() || *s.Scene().Grade.Index != usual {
		t.Errorf("undone: %s, %v", s.Rubric().Name, err)
	}
	if _, err := s.Redo(); err != nil || s.Rubric().Hash() != house.Hash() {
		t.Errorf("done again: %s, %v", s.Rubric().Name, err)
	}
	if err := s.UseRubric(nil); err != nil || s.Rubric() != grade.Default() {
		t.Errorf("back to the usual: %v", err)
	}
}

// A rubric that cannot be had leaves the record to be seen and changed.
func TestAMissingRubric(t *testing.T) {
	b, ex := shelfExam(t)
	house, err := KeepRubric(b, houseRubric(t))
	if err != nil {
		t.Fatal(err)
	}
	s, err := OpenFor(ex, b)
	if err != nil || s.UseRubric(house) != nil {
		t.Fatal(err)
	}
	if err := os.Remove(b.Dir() + "/rubrics/" + house.Hash() + ".json"); err != nil {
		t.Fatal(err)
	}
	s, err = OpenFor(ex, b)
	if err != nil {
		t.Fatal(err)
	}
	sc := s.Scene()
	if sc.Grade != nil || !errors.Is(sc.GradeError, bench.ErrNoRubric) || !strings.Contains(sc.GradeError.Error(), "bring back its file") || sc.Drawing == nil {
		t.Errorf("grade %v, error %v", sc.Grade, sc.GradeError)
	}
	if _, err := s.AddMark(Surface{Side: "front"}, record.PointShape, []record.Point{{X: -60, Y: 690}}); err != nil || len(s.Scene().Record.Marks) != 1 {
		t.Errorf("no mark can be made: %v", err)
	}
	// Brought back, it counts from the next change on.
	if _, err := KeepRubric(b, houseRubric(t)); err != nil {
		t.Fatal(err)
	}
	s.Refresh()
	if sc := s.Scene(); sc.GradeError != nil || sc.Grade.RubricHash != house.Hash() {
		t.Errorf("brought back: %v", sc.GradeError)
	}
}

// What a report was issued by stays, whatever the shop grades by today.
func TestIssuedExaminationsKeepTheirRubric(t *testing.T) {
	for named, want := range map[string]string{"": grade.FirstNamed, grade.Known()[0].Hash(): grade.Known()[0].Hash()} {
		b, ex := shelfExam(t)
		if err := ex.SetIssued(record.Issued{Number: "CR-2026-0001", At: time.Unix(1e9, 0), File: "reports/CR-2026-0001.pdf", Rubric: named}); err != nil {
			t.Fatal(err)
		}
		house, err := KeepRubric(b, houseRubric(t))
		if err != nil || b.ChooseRubric(house.Hash()) != nil {
			t.Fatal(err)
		}
		s, err := OpenFor(ex, b)
		if err != nil || s.Rubric().Hash() != want || s.Scene().Grade.RubricHash != want {
			t.Errorf("issued by %q: graded by %s, %v", named, s.Rubric().Name, err)
		}
		// The next examination is graded by what the shop chose.
		next, err := b.Begin("", record.Intake, record.Instrument{Class: "violin"})
		if err != nil {
			t.Fatal(err)
		}
		if s, err = OpenFor(next, b); err != nil || s.Rubric().Hash() != house.Hash() {
			t.Errorf("the next by %s, %v", s.Rubric().Name, err)
		}
	}
}

func TestKeepRubricRefuses(t *testing.T) {
	b, _ := shelfExam(t)
	if _, err := KeepRubric(b, []byte(`{"name":"x"}`)); err == nil {
		t.Error("half a rubric was kept")
	}
	if r, err := KeepRubric(b, grade.RubricTable()); err != nil || r != grade.Default() {
		t.Errorf("the program's own: %v", err)
	}
	if list, err := b.Rubrics(); err != nil || len(list) != 0 {
		t.Errorf("kept %v, %v", list, err)
	}
	if _, err := RubricOf(b, strings.Repeat("0", 64)); err == nil || !strings.Contains(err.Error(), "000000000000") {
		t.Errorf("an unknown one: %v", err)
	}
}
