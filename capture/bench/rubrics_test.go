package bench

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/record"
)

func TestRubricsOfAShop(t *testing.T) {
	b := open(t, t.TempDir())
	if list, err := b.Rubrics(); err != nil || len(list) != 0 || b.ChosenRubric() != "" {
		t.Fatal(list, err)
	}
	data := []byte(`{"name":"House rubric"}`)
	hash, err := b.AddRubric(data)
	if err != nil {
		t.Fatal(err)
	}
	if again, err := b.AddRubric(data); err != nil || again != hash {
		t.Errorf("kept twice: %s, %v", again, err)
	}
	if got, err := b.Rubric(hash); err != nil || string(got) != string(data) {
		t.Errorf("%q, %v", got, err)
	}
	if err := b.ChooseRubric(hash); err != nil || b.Settings().Rubric != hash {
		t.Fatal(err)
	}
	ex, err := b.Begin("", record.Intake, record.Instrument{Maker: "Halden & Rowe"})
	if err != nil || ex.Record().Examination.Rubric != hash {
		t.Fatalf("a new examination is not graded by the chosen rubric: %v", err)
	}
	// An issued examination keeps the rubric that its report was graded by.
	other := strings.Repeat("ab", 32)
	if err := ex.SetIssued(record.Issued{Number: "CR-2026-0001", File: "reports/CR-2026-0001.pdf", Rubric: other}); err != nil || ex.Record().Examination.Rubric != other {
		t.Errorf("issued by %q, %v", ex.Record().Examination.Rubric, err)
	}
	for _, bad := range []string{"x", "../bench", strings.ToUpper(hash)} {
		if _, err := b.Rubric(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
		if b.ChooseRubric(bad) == nil {
			t.Errorf("%q was chosen", bad)
		}
	}
	if _, err := b.Rubric(other); !errors.Is(err, ErrNoRubric) {
		t.Errorf("an unknown one: %v", err)
	}
	if _, err := b.AddRubric(make([]byte, maxRubric+1)); err == nil {
		t.Error("a rubric of any size is kept")
	}
}

func TestDamagedRubricIsFound(t *testing.T) {
	b := open(t, t.TempDir())
	hash, err := b.AddRubric([]byte(`{"name":"House rubric"}`))
	if err != nil {
		t.Fatal(err)
	}
	p := filepath.Join(b.Dir(), "rubrics", hash+".json")
	if err := errors.Join(os.Chmod(p, 0o644), os.WriteFile(p, []byte(`{"name":"Another"}`), 0o644)); err != nil {
		t.Fatal(err)
	}
	var d *DamagedError
	if _, err := b.Rubric(hash); !errors.As(err, &d) || d.File != p {
		t.Errorf("read: %v", err)
	}
	found, err := b.Check(context.Background(), nil)
	if err != nil || len(found) != 1 || found[0].File != "rubrics/"+hash+".json" || !strings.Contains(found[0].Text, "not that of its name") || strings.Contains(found[0].Text, "nothing was changed") {
		t.Errorf("%+v, %v", found, err)
	}
	// Kept anew, it is whole again.
	if _, err := b.AddRubric([]byte(`{"name":"House rubric"}`)); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Rubric(hash); err != nil {
		t.Error(err)
	}
}
