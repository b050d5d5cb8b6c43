package annotate

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

func TestComponentsGetIdentities(t *testing.T) {
	s, _ := open(t)
	id, err := s.AddComponent(electronics.New(record.PotComponent))
	if err != nil || id != "pot-1" {
		t.Fatalf("%q, %v", id, err)
	}
	_, set := electronics.UsualSet("solid-body double-cutaway")
	ids, err := s.AddComponents("Add the usual components", set)
	if err != nil || strings.Join(ids, " ") != "pickup-1 pickup-2 pot-2 pot-3 pot-4 pot-5 cap-1 cap-2 switch-1 jack-1" {
		t.Fatalf("%v, %v", ids, err)
	}
	if err := s.RemoveComponent("pot-3"); err != nil {
		t.Fatal(err)
	}
	// A number that was given once is not given again while a later one stands.
	if id, _ := s.AddComponent(electronics.New(record.PotComponent)); id != "pot-6" {
		t.Errorf("the next potentiometer is %q", id)
	}
	if name, _ := s.Undo(); name != "Add potentiometer 6" {
		t.Errorf("undo calls it %q", name)
	}
	if name, _ := s.Undo(); name != "Remove bridge volume potentiometer" {
		t.Errorf("undo calls it %q", name)
	}
	if _, ok := s.Component("pot-3"); !ok {
		t.Error("pot-3 is not back")
	}
	if name, _ := s.Undo(); name != "Add the usual components" || len(s.Scene().Record.Components) != 1 {
		t.Errorf("undo of the set: %q, %d left", name, len(s.Scene().Record.Components))
	}
}

// An edit makes one change, names it, and leaves the scene that was shown
// before as it was.
func TestSetComponent(t *testing.T) {
	s, _ := open(t)
	c := electronics.New(record.PickupComponent)
	c.Place = "neck"
	id, err := s.AddComponent(c)
	if err != nil {
		t.Fatal(err)
	}
	before := s.Scene().Record
	err = s.SetComponent(id, "Resistance", func(c *record.Component) {
		c.Pickup.Resistance = &record.Quantity{Value: 7.4}
		c.ID, c.Kind = "other", record.JackComponent
	})
	if err != nil {
		t.Fatal(err)
	}
	after, ok := s.Component(id)
	if !ok || after.Kind != record.PickupComponent || after.Pickup.Resistance.Value != 7.4 {
		t.Errorf("%+v", after)
	}
	if before.Components[0].Pickup.Resistance != nil {
		t.Error("the scene shown before has changed")
	}
	after.Pickup.Resistance.Value = 1
	if now, _ := s.Component(id); now.Pickup.Resistance.Value != 7.4 {
		t.Error("a copy that was handed out changes the record")
	}
	if got := s.Scene().Undo; got != "Resistance of neck pickup" {
		t.Errorf("undo calls it %q", got)
	}
	for _, err := range []error{s.SetComponent("pot-9", "Code", func(*record.Component) {}), s.RemoveComponent("pot-9"), s.SetComponents("All", []string{"pot-9"}, func(*record.Component) {})} {
		if err == nil || !strings.Contains(err.Error(), `"pot-9"`) {
			t.Errorf("a component that is not there: %v", err)
		}
	}
	if _, err := s.AddComponent(record.Component{Kind: "gadget"}); err == nil {
		t.Error("a kind that is none is listed")
	}
}

func TestSetWiring(t *testing.T) {
	s, _ := open(t)
	if err := s.SetWiring("State", func(w *record.Wiring) { w.Seen, w.Files = "seen", []string{"aa"} }); err != nil {
		t.Fatal(err)
	}
	before := s.Scene().Record.Wiring
	if err := s.SetWiring("File", func(w *record.Wiring) { w.Files[0] = "bb" }); err != nil {
		t.Fatal(err)
	}
	if before.Files[0] != "aa" || s.Scene().Record.Wiring.Files[0] != "bb" || s.Scene().Undo != "File of the wiring" {
		t.Errorf("%v, %v, %q", before.Files, s.Scene().Record.Wiring.Files, s.Scene().Undo)
	}
	for range 2 {
		if _, err := s.Undo(); err != nil {
			t.Fatal(err)
		}
	}
	if s.Scene().Record.Wiring != nil {
		t.Error("the wiring is not gone")
	}
}

func TestComponentsAreBounded(t *testing.T) {
	s, _ := open(t)
	many := make([]record.Component, record.MaxComponents)
	for i := range many {
		many[i] = electronics.New(record.OtherComponent)
	}
	if _, err := s.AddComponents("Add many", many); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddComponent(electronics.New(record.OtherComponent)); err == nil || !strings.Contains(err.Error(), "200") {
		t.Errorf("one too many: %v", err)
	}
}

// Whatever is done, undone back to the start and done again, comes out the same
// but for the order, which has no meaning.
func TestComponentsUndo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, _ := open(t)
		steps := 0
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			list := s.Scene().Record.Components
			what := rapid.IntRange(0, 2).Draw(t, "what")
			var err error
			switch {
			case what == 0 || len(list) == 0:
				_, err = s.AddComponent(electronics.New(rapid.SampledFrom(record.ComponentKinds()).Draw(t, "kind")))
			case what == 1:
				err = s.RemoveComponent(rapid.SampledFrom(list).Draw(t, "c").ID)
			default:
				note := rapid.StringMatching(`[a-z]{1,5}`).Draw(t, "note")
				err = s.SetComponent(rapid.SampledFrom(list).Draw(t, "c").ID, "Note", func(c *record.Component) { c.Note = note })
			}
			if err != nil {
				t.Fatal(err)
			}
			steps++
		}
		done := electronics.Sorted(s.Scene().Record.Components)
		for range steps {
			if _, err := s.Undo(); err != nil {
				t.Fatal(err)
			}
		}
		if n := len(s.Scene().Record.Components); n != 0 {
			t.Fatalf("%d are left", n)
		}
		for range steps {
			if _, err := s.Redo(); err != nil {
				t.Fatal(err)
			}
		}
		if again := electronics.Sorted(s.Scene().Record.Components); len(again)+len(done) > 0 && !reflect.DeepEqual(again, done) {
			t.Fatalf("%+v, then %+v", done, again)
		}
	})
}
