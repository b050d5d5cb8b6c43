package annotate

import (
	"testing"

	"wornwood/capture/record"
)

func TestEvidence(t *testing.T) {
	s, _ := open(t)
	list := func() []record.Evidence { return s.Scene().Record.Evidence }
	id, err := s.AddEvidence(record.Evidence{ID: "mine", Kind: record.DocumentEvidence, What: "  receipt ", From: 1975})
	if err != nil || id != "e1" {
		t.Fatalf("first is %q, %v", id, err)
	}
	// A dated paper shows that the instrument was there by then; its one year
	// stands where the bound looks for it.
	if e := list()[0]; e.What != "receipt" || e.Bound != record.InOrBefore || e.From != 0 || e.To != 1975 {
		t.Errorf("kept as %+v", e)
	}
	if undo := s.Scene().Undo; undo != "Add evidence: receipt" {
		t.Errorf("undo is called %q", undo)
	}
	id2, err := s.AddEvidence(record.Evidence{Kind: record.CodeEvidence, Code: "137634"})
	if err != nil || id2 != "e2" {
		t.Fatalf("second is %q, %v", id2, err)
	}
	if err := s.SetAside("e1", "another instrument's"); err != nil {
		t.Fatal(err)
	}
	if e := list()[0]; e.SetAside != "another instrument's" || s.Scene().Undo != "Setting aside of receipt" {
		t.Errorf("set aside: %+v, undo %q", e, s.Scene().Undo)
	}
	if err := s.SetEvidence("e2", "Code", func(e *record.Evidence) { e.Code, e.ID = "137-6634", "other" }); err != nil {
		t.Fatal(err)
	}
	if e := list()[1]; e.ID != "e2" || e.Code != "137-6634" {
		t.Errorf("changed to %+v", e)
	}
	before := s.Scene()
	if err := s.SetEvidence("e2", "Code", func(e *record.Evidence) { e.Code = " 137-6634 " }); err != nil || s.Scene() != before {
		t.Errorf("a change of nothing made an entry, %v", err)
	}
	if err := s.SetEvidence("e2", "Files", func(e *record.Evidence) { e.Files = append(e.Files, "p") }); err != nil || len(list()[1].Files) != 1 {
		t.Errorf("files %v, %v", list()[1].Files, err)
	}
	if err := s.RemoveEvidence("e2"); err != nil || len(list()) != 1 {
		t.Fatalf("removed: %d left, %v", len(list()), err)
	}
	if _, err := s.Undo(); err != nil || len(list()) != 2 {
		t.Fatalf("undone: %d, %v", len(list()), err)
	}
	if id, err := s.AddEvidence(record.Evidence{Kind: record.FeatureEvidence, What: "guard"}); err != nil || id != "e3" {
		t.Errorf("third is %q, %v", id, err)
	}
	// A feature without years leaves open what they will allow.
	if e := list()[2]; e.Bound != "" {
		t.Errorf("a feature without years allows %q", e.Bound)
	}
}

func TestEvidenceRefuses(t *testing.T) {
	s, _ := open(t)
	for name, f := range map[string]func() error{
		"no kind":        func() error { _, err := s.AddEvidence(record.Evidence{What: "x"}); return err },
		"set unknown":    func() error { return s.SetEvidence("e9", "Note", func(*record.Evidence) {}) },
		"set aside it":   func() error { return s.SetAside("e9", "x") },
		"remove unknown": func() error { return s.RemoveEvidence("e9") },
		"nothing":        func() error { _, err := s.AddEvidence(record.Evidence{}); return err },
	} {
		if err := f(); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	if n := len(s.Scene().Record.Evidence); n != 0 {
		t.Errorf("%d pieces are listed", n)
	}
}
