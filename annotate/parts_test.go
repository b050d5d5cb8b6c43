package annotate

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/signs"
	"wornwood/capture/record"
)

func partOf(t *testing.T, s *Session, id record.PartID) record.Part {
	t.Helper()
	p := s.Scene().Record.PartByID(id)
	if p == nil {
		t.Fatalf("nothing is said of %s", id)
	}
	return *p
}

func TestSetSign(t *testing.T) {
	s, j := open(t)
	id := s.PartSigns(record.Nut)[0].ID
	if err := s.SetSign(record.Nut, id, "seen"); err != nil {
		t.Fatal(err)
	}
	if p := partOf(t, s, record.Nut); !slices.Equal(p.Signs, []record.Sign{{ID: id, Answer: "seen"}}) || p.State != "" || p.Inspected {
		t.Fatalf("an answer says more than itself: %+v", p)
	}
	if s.Scene().Undo != "Sign of nut" {
		t.Errorf("undo calls it %q", s.Scene().Undo)
	}
	n := len(j.undo)
	for name, err := range map[string]error{
		"the same again":  s.SetSign(record.Nut, id, "seen"),
		"nothing to take": s.SetSign(record.Tuners, "tuners-holes", ""),
	} {
		if err != nil || len(j.undo) != n {
			t.Errorf("%s: %v, %d entries", name, err, len(j.undo)-n)
		}
	}
	for name, err := range map[string]error{
		"unknown answer":        s.SetSign(record.Nut, id, "perhaps"),
		"sign of another part":  s.SetSign(record.Nut, "tuners-holes", "seen"),
		"sign of another class": s.SetSign(record.Fingerboard, "vboard-planed", "seen"),
	} {
		if err == nil || len(j.undo) != n {
			t.Errorf("%s: accepted", name)
		}
	}
	if err := s.SetSign(record.Nut, id, ""); err != nil || len(partOf(t, s, record.Nut).Signs) != 0 {
		t.Errorf("the answer stays: %v", err)
	}
}

// An answer to a sign that the list no longer has, as after the class was
// changed, is kept and can be taken back.
func TestSignOfAnotherListStays(t *testing.T) {
	s, _ := open(t)
	if err := s.SetPart(record.Nut, "State", func(p *record.Part) { p.Signs = []record.Sign{{ID: "gone", Answer: "seen"}} }); err != nil {
		t.Fatal(err)
	}
	if got := signs.Weigh(partOf(t, s, record.Nut), s.PartSigns(record.Nut)); len(got) != 1 || !strings.Contains(got[0].Text, "kept, not weighed") {
		t.Errorf("%+v", got)
	}
	if err := s.SetSign(record.Nut, "gone", ""); err != nil || len(partOf(t, s, record.Nut).Signs) != 0 {
		t.Errorf("%v", err)
	}
}

func TestReversible(t *testing.T) {
	s, _ := open(t)
	if err := s.SetReversible(record.Tuners, "yes"); err == nil || !strings.Contains(err.Error(), "stated as not seen") {
		t.Errorf("of a part nobody judged: %v", err)
	}
	state := func(st record.State) {
		t.Helper()
		if err := s.SetPart(record.Tuners, "State", func(p *record.Part) { p.State = st }); err != nil {
			t.Fatal(err)
		}
	}
	state(record.LaterReplacement)
	if err := s.SetReversible(record.Tuners, "yes"); err != nil || partOf(t, s, record.Tuners).Reversible != "yes" {
		t.Fatalf("%v", err)
	}
	if err := s.SetReversible(record.Tuners, "often"); err == nil {
		t.Error("often is accepted")
	}
	// Another kind of work keeps the answer, an original part has none.
	state(record.Altered)
	if partOf(t, s, record.Tuners).Reversible != "yes" {
		t.Error("the answer is lost between two states")
	}
	state(record.Original)
	if partOf(t, s, record.Tuners).Reversible != "" {
		t.Error("an original part is called reversible")
	}
}

func TestPartPhotosAndExtrasLoseARemovedPhoto(t *testing.T) {
	s, _ := open(t)
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(s.TogglePartPhoto(record.Nut, "aa"))
	must(s.TogglePartPhoto(record.Nut, "bb"))
	must(s.TogglePartPhoto(record.Nut, "aa"))
	if p := partOf(t, s, record.Nut); !slices.Equal(p.Photos, []string{"bb"}) {
		t.Fatalf("tied to %q", p.Photos)
	}
	if s.TogglePartPhoto(record.Nut, "cc") == nil {
		t.Error("a photo that is none of the examination's is tied")
	}
	id, err := s.AddExtra(record.Extra{Kind: "case", What: "hard case", Files: []string{"bb", "aa"}})
	must(err)
	must(s.RemovePhoto("bb"))
	if p, e := partOf(t, s, record.Nut), s.Extra(id); len(p.Photos) != 0 || !slices.Equal(e.Files, []string{"aa"}) {
		t.Errorf("after the photo went: part %q, extra %q", p.Photos, e.Files)
	}
	_, err = s.Undo()
	must(err)
	if p, e := partOf(t, s, record.Nut), s.Extra(id); !slices.Equal(p.Photos, []string{"bb"}) || !slices.Equal(e.Files, []string{"bb", "aa"}) {
		t.Errorf("after undo: part %q, extra %q", p.Photos, e.Files)
	}
}

func TestExtras(t *testing.T) {
	s, j := open(t)
	add := func(e record.Extra) string {
		t.Helper()
		id, err := s.AddExtra(e)
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	if a, b := add(record.Extra{Kind: "case", What: " hard case "}), add(record.Extra{Kind: "tools", What: "truss-rod key", Number: 2}); a != "1" || b != "2" {
		t.Fatalf("identities %s and %s", a, b)
	}
	if s.Extra("1").What != "hard case" || s.Scene().Undo != "Add truss-rod key" {
		t.Errorf("%+v, undo %q", s.Extra("1"), s.Scene().Undo)
	}
	n := len(j.undo)
	for name, err := range map[string]error{
		"nothing":      second(s.AddExtra(record.Extra{})),
		"unknown kind": second(s.AddExtra(record.Extra{Kind: "amplifier", What: "x"})),
		"state":        s.SetExtra("1", "State", func(e *record.Extra) { e.State = "nearly" }),
		"number":       s.SetExtra("1", "Number", func(e *record.Extra) { e.Number = -1 }),
		"file":         s.SetExtra("1", "File", func(e *record.Extra) { e.Files = []string{"zz"} }),
		"none such":    s.SetExtra("9", "State", func(*record.Extra) {}),
		"none to take": s.RemoveExtra("9"),
	} {
		if err == nil || len(j.undo) != n {
			t.Errorf("%s: accepted", name)
		}
	}
	if err := s.SetExtra("1", "State", func(e *record.Extra) { e.State = "" }); err != nil || len(j.undo) != n {
		t.Errorf("no change makes an entry: %v", err)
	}
	// A removal undone puts it back where it stood.
	if err := s.RemoveExtra("1"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Undo(); err != nil {
		t.Fatal(err)
	}
	if l := s.Extras(); len(l) != 2 || l[0].ID != "1" || l[1].ID != "2" {
		t.Errorf("%+v", l)
	}
}

func second(_ string, err error) error { return err }

// Whatever is said of parts and extras, undo takes it all back and redo brings
// it again.
func TestPartsUndoRestores(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, j := open(t)
		states := []string{look(t, s)}
		parts := []record.PartID{record.FrontFinish, record.Tuners, record.Nut}
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			id := rapid.SampledFrom(parts).Draw(t, "part")
			n := len(j.undo)
			switch rapid.IntRange(0, 6).Draw(t, "what") {
			case 0:
				st := rapid.SampledFrom(record.States()).Draw(t, "state")
				_ = s.SetPart(id, "State", func(p *record.Part) { p.State = st })
			case 1:
				_ = s.SetSign(id, rapid.SampledFrom(s.PartSigns(id)).Draw(t, "sign").ID, rapid.SampledFrom(append(record.SignAnswers(), "", "no")).Draw(t, "answer"))
			case 2:
				_ = s.SetReversible(id, rapid.SampledFrom([]string{"yes", "no", ""}).Draw(t, "reversible"))
			case 3:
				_ = s.TogglePartPhoto(id, rapid.SampledFrom([]string{"aa", "bb", "cc"}).Draw(t, "photo"))
			case 4:
				_, _ = s.AddExtra(record.Extra{Kind: rapid.SampledFrom(record.ExtraKinds()).Draw(t, "kind"), What: "a thing", Files: []string{"aa"}})
			case 5:
				_ = s.RemoveExtra(rapid.SampledFrom([]string{"1", "2", "3"}).Draw(t, "extra"))
			case 6:
				if len(s.Scene().Record.Photos) > 1 {
					_ = s.RemovePhoto("aa")
				}
			}
			if len(j.undo) > n+1 {
				t.Fatal("one command made two entries")
			}
			if len(j.undo) == n+1 {
				states = append(states, look(t, s))
			} else if look(t, s) != states[len(states)-1] {
				t.Fatal("a change without an entry")
			}
			for _, p := range s.Scene().Record.Parts {
				if p.Reversible != "" && !Reversible(p.State) {
					t.Fatalf("%s is %s and reversible %q", p.ID, p.State, p.Reversible)
				}
			}
		}
		for i := len(states) - 2; i >= 0; i-- {
			if _, err := s.Undo(); err != nil {
				t.Fatal(err)
			}
			if got := look(t, s); got != states[i] {
				t.Fatalf("undo to step %d:\n%s\nwant\n%s", i, got, states[i])
			}
		}
		for _, want := range states[1:] {
			if _, err := s.Redo(); err != nil {
				t.Fatal(err)
			}
			if got := look(t, s); got != want {
				t.Fatalf("redo:\n%s\nwant\n%s", got, want)
			}
		}
	})
}

// look is what a record says, lists in an order of their own.
func look(t *rapid.T, s *Session) string {
	r := *s.Scene().Record
	r.Extras = s.Extras()
	r.Photos, r.Parts = slices.Clone(r.Photos), slices.Clone(r.Parts)
	slices.SortFunc(r.Photos, func(a, b record.Photo) int { return strings.Compare(a.ID, b.ID) })
	slices.SortFunc(r.Parts, func(a, b record.Part) int { return strings.Compare(string(a.ID), string(b.ID)) })
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Several things are said in one change, all or none.
func TestEditPart(t *testing.T) {
	s, j := open(t)
	yes, no, st, note := "yes", false, record.LaterReplacement, "in a bag"
	edit := PartEdit{State: &st, Reversible: &yes, Note: &note, Judged: &[]string{"seen", "code"}, Signs: []record.Sign{{ID: "tuners-holes", Answer: "seen"}}, Tie: []string{"aa", "bb", "aa"}}
	if err := s.EditPart(record.Tuners, edit); err != nil {
		t.Fatal(err)
	}
	p := partOf(t, s, record.Tuners)
	if p.State != st || !p.Inspected || p.Reversible != "yes" || p.Note != note || len(p.Judged) != 2 || len(p.Signs) != 1 || !slices.Equal(p.Photos, []string{"aa", "bb"}) || len(j.undo) != 1 {
		t.Fatalf("%+v, %d entries", p, len(j.undo))
	}
	if err := s.EditPart(record.Tuners, PartEdit{Inspected: &no, Untie: []string{"aa"}, Signs: []record.Sign{{ID: "tuners-holes"}}}); err != nil {
		t.Fatal(err)
	}
	if p := partOf(t, s, record.Tuners); p.Inspected || len(p.Signs) != 0 || !slices.Equal(p.Photos, []string{"bb"}) {
		t.Errorf("%+v", p)
	}
	n, odd := len(j.undo), record.State("odd")
	original := record.Original
	for name, e := range map[string]PartEdit{
		"state": {State: &odd, Note: &note}, "method": {Judged: &[]string{"guess"}}, "photo": {Tie: []string{"zz"}}, "untie": {Untie: []string{"zz"}},
		"sign": {Signs: []record.Sign{{ID: "nut-slot", Answer: "seen"}}}, "answer": {Signs: []record.Sign{{ID: "tuners-holes", Answer: "maybe"}}},
		"reversible": {State: &original, Reversible: &yes},
	} {
		if err := s.EditPart(record.Tuners, e); err == nil || len(j.undo) != n {
			t.Errorf("%s: accepted", name)
		}
	}
}
