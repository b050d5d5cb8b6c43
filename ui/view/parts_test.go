package view

import (
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

func partRow(t *testing.T, v *Parts, id record.PartID) PartRow {
	t.Helper()
	rows := v.Rows()
	i := slices.IndexFunc(rows, func(r PartRow) bool { return r.Part == id })
	if i < 0 {
		t.Fatalf("no row for %s", id)
	}
	return rows[i]
}

func TestPartRowsFollow(t *testing.T) {
	s := opened(t)
	v := NewParts(s)
	if v.Selected() != record.FrontFinish || !v.Rows()[0].Selected {
		t.Errorf("first selected: %q", v.Selected())
	}
	list := s.PartSigns(record.FrontFinish)
	must(t, v.SetState(record.FrontFinish, record.Original))
	must(t, v.SetSign(record.FrontFinish, list[0].ID, "not seen"))
	if r := partRow(t, v, record.FrontFinish); r.SignWords() != "1 of 12" || r.Against || !r.Inspected {
		t.Errorf("%q, %+v", r.SignWords(), r)
	}
	must(t, v.SetSign(record.FrontFinish, list[1].ID, "seen"))
	if r := partRow(t, v, record.FrontFinish); r.SignWords() != "1 seen" || !r.Against {
		t.Errorf("%q, %+v", r.SignWords(), r)
	}
	if got := v.Summary(); !strings.HasSuffix(got, "; signs contradict 1 part") {
		t.Errorf("summary %q", got)
	}
	if g := NewReport(s, func() bool { return false }).Gaps(); !slices.ContainsFunc(g, func(g Gap) bool {
		return g.Screen == PartsScreen && !g.Stops && strings.HasSuffix(g.Text, "what is stated of 1 part.")
	}) {
		t.Errorf("the report's gaps do not name it: %+v", g)
	}
	// The answer that is given already is taken back.
	must(t, v.SetSign(record.FrontFinish, list[1].ID, "seen"))
	if r := partRow(t, v, record.FrontFinish); r.Seen != 0 || r.Against {
		t.Errorf("%+v", r)
	}
}

func TestPartDetail(t *testing.T) {
	s := opened(t)
	v := NewParts(s)
	v.Select(record.Tuners)
	d := v.Detail()
	if d.Title != "Tuners" || d.State != record.NotSeen || d.AsksReversible || d.Reversible != 2 || d.Answered != "0 of 8 answered" || len(d.Says) != 0 {
		t.Errorf("%+v", d)
	}
	if d.ShortCautions() != "Strings under tension · Decaying celluloid" {
		t.Errorf("cautions %q", d.ShortCautions())
	}
	heads := 0
	for i, r := range d.Signs {
		if r.Heading != "" {
			heads++
		}
		if r.Answer != -1 || (i == 0) != (r.Heading == "Signs of a replacement") {
			t.Errorf("%d: %+v", i, r)
		}
	}
	if heads != 3 {
		t.Errorf("%d headings", heads)
	}
	must(t, v.SetState(record.Tuners, record.LaterReplacement))
	must(t, v.SetReversible(record.Tuners, ReversibleAnswer(0)))
	must(t, v.SetSign(record.Tuners, d.Signs[0].ID, "seen"))
	must(t, v.TogglePhoto(record.Tuners, s.Scene().Record.Photos[1].ID))
	d = v.Detail()
	if !d.AsksReversible || d.Reversible != 0 || d.Signs[0].Answer != 0 || len(d.Says) != 1 || d.Says[0].Against || d.Answered != "1 of 8 answered" {
		t.Errorf("%+v", d)
	}
	if p := v.Photos(); len(p) != 2 || p[0].Tied || !p[1].Tied || p[0].Caption != "a.jpg" || p[1].Caption != "back" {
		t.Errorf("%+v", p)
	}
	// Another class has other parts: the selection falls back to its first.
	must(t, s.SetInstrument("class", func(in *record.Instrument) { in.Class = "violin" }))
	if v.Selected() != record.Belly {
		t.Errorf("on a violin %q is selected", v.Selected())
	}
}

// Marks on a part are listed with it and with no other.
func TestPartDetailMarks(t *testing.T) {
	s := opened(t)
	n, err := NewMarks(s).Draw(false, record.PointShape, []record.Point{{X: -60, Y: 690}})
	must(t, err)
	v := NewParts(s)
	for _, id := range []record.PartID{record.FrontFinish, record.BackFinish} {
		v.Select(id)
		d := v.Detail()
		if (len(d.Marks) == 1 && d.Marks[0].Number == n) != (id == record.FrontFinish) {
			t.Errorf("%s lists %+v", id, d.Marks)
		}
	}
	v.Select(record.FrontFinish)
	if d := v.Detail(); !strings.HasPrefix(d.Beside, "18 % of the whole, 1 mark costs ") {
		t.Errorf("beside %q", d.Beside)
	}
}

// Every state has a letter of its own.
func TestStateKeys(t *testing.T) {
	seen := map[rune]bool{'i': true} // i is for the inspection
	var states []record.State
	for _, k := range StateKeys() {
		if seen[k.Key] {
			t.Errorf("%c is given twice", k.Key)
		}
		seen[k.Key] = true
		states = append(states, k.State)
		if st, ok := StateForKey(k.Key); !ok || st != k.State {
			t.Errorf("%c gives %q", k.Key, st)
		}
	}
	if !slices.Equal(states, record.States()) {
		t.Errorf("letters for %q", states)
	}
	if _, ok := StateForKey('z'); ok {
		t.Error("z gives a state")
	}
}

// A part that not every instrument of the class has counts as not fitted until
// something is said of it, and the list says so.
func TestOptionalPart(t *testing.T) {
	s := opened(t)
	must(t, s.SetInstrument("class", func(in *record.Instrument) { in.Class = "flat-top auditorium" }))
	v := NewParts(s)
	if r := partRow(t, v, record.Electronics); r.State != record.NotFitted {
		t.Errorf("said to be %q", r.State)
	}
	must(t, v.RestOriginal())
	if r := partRow(t, v, record.Electronics); r.State != record.NotFitted {
		t.Errorf("after the rest was called original: %q", r.State)
	}
	must(t, v.SetState(record.Electronics, record.LaterReplacement))
	if r := partRow(t, v, record.Electronics); r.State != record.LaterReplacement {
		t.Errorf("said to be %q", r.State)
	}
}

// Every class has rows, and signs to each, whatever was selected before.
func TestPartsOfEveryClass(t *testing.T) {
	s := opened(t)
	v := NewParts(s)
	for _, c := range outline.Classes() {
		must(t, s.SetInstrument("class", func(in *record.Instrument) {
			in.Class, in.ScaleLength, in.Frets, in.Strings = c, 0, 0, 0
		}))
		for _, r := range v.Rows() {
			v.Select(r.Part)
			if d := v.Detail(); len(d.Signs) < 3 || d.Part != r.Part {
				t.Errorf("%s, %s: %d signs", c, r.Part, len(d.Signs))
			}
		}
	}
}

func TestExtrasList(t *testing.T) {
	s := opened(t)
	v := NewExtras(s)
	if v.Selected() != "" || v.Detail() != nil || v.Tab() != "Comes with it" {
		t.Error("an empty list has something selected")
	}
	must(t, v.SetWhat("nothing"))
	must(t, v.Remove())
	must(t, v.Add())
	must(t, v.SetKind("tools"))
	must(t, v.SetWhat("truss-rod key"))
	must(t, v.SetNumber("2"))
	must(t, v.Add())
	if d := v.Detail(); d == nil || d.ID != "2" || d.Kind != "tools" || d.Number != "1" || v.Tab() != "Comes with it · 2" {
		t.Errorf("%+v, %q", d, v.Tab())
	}
	must(t, v.SetState("original"))
	must(t, v.ToggleFile(s.Scene().Record.Photos[0].ID))
	if d := v.Detail(); d.State != "original" || d.Files != 1 || !v.Photos()[0].Tied {
		t.Errorf("%+v", d)
	}
	must(t, v.ToggleFile(s.Scene().Record.Photos[0].ID))
	must(t, v.SetState(StateNotJudged))
	if d := v.Detail(); d.State != "" || d.Files != 0 {
		t.Errorf("%+v", d)
	}
	for text, want := range map[string]int{"": 0, "1": 0, " 3 ": 3} {
		if n, err := ExtraNumber(text); err != nil || n != want {
			t.Errorf("%q reads as %d, %v", text, n, err)
		}
	}
	for _, text := range []string{"0", "-2", "many", "1.5"} {
		if v.SetNumber(text) == nil {
			t.Errorf("%q is taken as a number", text)
		}
	}
	v.Select("1")
	must(t, v.Remove())
	if v.Selected() != "2" {
		t.Errorf("after the first went, %q is selected", v.Selected())
	}
	for _, st := range ExtraStates()[1:] {
		must(t, v.SetState(st))
	}
}
