package view

import (
	"math"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/outline"
	"wornwood/annotate/units"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// shelf keeps the settings of a bench in memory.
type shelf struct{ set bench.Settings }

func (s *shelf) Settings() bench.Settings           { return s.set }
func (s *shelf) SetSettings(n bench.Settings) error { s.set = n; return nil }

func rowOf(t *testing.T, v *Setup, id string) ReadingRow {
	t.Helper()
	i := slices.IndexFunc(v.Rows(), func(r ReadingRow) bool { return r.ID == id })
	if i < 0 {
		t.Fatalf("there is no reading %q", id)
	}
	return v.Rows()[i]
}

func savedReading(t *testing.T, s *annotate.Session, id string) record.Reading {
	t.Helper()
	i := slices.IndexFunc(s.Scene().Record.Readings, func(r record.Reading) bool { return r.ID == id })
	if i < 0 {
		t.Fatalf("the record has no %q", id)
	}
	return s.Scene().Record.Readings[i]
}

const bass12 = "string height, bass, fret 12"

func TestReadingIsKeptInMillimetres(t *testing.T) {
	s := opened(t)
	v := NewSetup(s, &shelf{})
	v.Gauge = "string height gauge"
	must(t, v.Set(bass12, "5/64"))
	// 5/64 in is 1.984375 mm; reading to a 64th of an inch has a standard
	// uncertainty of 0.396875 / sqrt(12) mm = 0.1146.
	r := savedReading(t, s, bass12)
	if r.Unit != "mm" || r.Value.Value != 1.984375 || math.Abs(r.Value.Uncertainty-0.1146) > 5e-5 || r.Value.How != "string height gauge; read 5/64 in" {
		t.Errorf("%+v", r)
	}
	row := rowOf(t, v, bass12)
	if row.Text != "1.98" || row.Unit != "mm" || row.Usual != "1.5 to 2.5 mm" || row.Outside || row.Gauge != "string height gauge" || row.Typed != "read 5/64 in" || row.Label != "Bass, fret 12" {
		t.Errorf("%+v", row)
	}
	v.Gauge = ""
	must(t, v.Set(bass12, "2,6 ± 0.05"))
	if r = savedReading(t, s, bass12); r.Value != (record.Quantity{Value: 2.6, Uncertainty: 0.05}) {
		t.Errorf("%+v", r)
	}
	if !rowOf(t, v, bass12).Outside {
		t.Error("2.6 mm is usual")
	}
	undo := s.Scene().Undo
	must(t, v.Set(bass12, "2.60 ± 0.05"))
	must(t, v.Set("relief", " "))
	if s.Scene().Undo != undo || len(s.Scene().Record.Readings) != 1 {
		t.Error("the same reading, or none where none was, made an entry")
	}
	must(t, v.Set(bass12, ""))
	if len(s.Scene().Record.Readings) != 0 {
		t.Error("an emptied field left its reading")
	}
}

func TestUnitsFollowTheBench(t *testing.T) {
	s, keep := opened(t), &shelf{}
	v := NewSetup(s, keep)
	must(t, v.Set(bass12, "1.6"))
	must(t, v.Set("relief", "-0.05"))
	must(t, v.SetUnit(units.Inch))
	if keep.set.Units != "in" || v.Unit() != units.Inch {
		t.Errorf("%+v", keep.set)
	}
	// 1.6 mm is .0630 in, half a thousandth from 4/64.
	for id, want := range map[string]ReadingRow{bass12: {Text: "4/64", Unit: "in", Usual: ".060 to .098 in"}, "relief": {Text: "-.002", Unit: "in", Usual: "recorded, not judged"},
		"fret crown height": {Unit: "in", Usual: "above .035, up to .059 in"}} {
		if r := rowOf(t, v, id); r.Text != want.Text || r.Unit != want.Unit || r.Usual != want.Usual {
			t.Errorf("%s: %+v", id, r)
		}
	}
	if r := savedReading(t, s, bass12); r.Value.Value != 1.6 {
		t.Errorf("the record follows the bench's unit: %+v", r)
	}
	must(t, v.Set("nut gap, bass, fret 1", ".008"))
	if r := savedReading(t, s, "nut gap, bass, fret 1"); math.Abs(r.Value.Value-0.2032) > 1e-9 || r.Value.How != "read .008 in" {
		t.Errorf("%+v", r)
	}
	v.UseUnit(units.MM)
	if v.Unit() != units.MM || keep.set.Units != "in" {
		t.Error("a list in another unit changed the bench's")
	}
}

// In inches no length outside a range is written like one inside it.
func TestRangesInInchesAreTrue(t *testing.T) {
	s := opened(t)
	v := NewSetup(s, &shelf{})
	for _, class := range outline.Classes() {
		must(t, NewIdentity(s).class().Set(class))
		for _, known := range v.known() {
			if !known.Judged || known.Unit != "mm" {
				continue
			}
			v.UseUnit(units.Inch)
			text := strings.NewReplacer("above ", "", "up to ", "", ",", " to").Replace(strings.TrimSuffix(v.usual(known), " in"))
			ends := strings.Split(text, " to ")
			if len(ends) != 2 {
				t.Fatalf("%s: %q", class, v.usual(known))
			}
			for i, end := range ends {
				l, err := units.Parse(end, units.Inch)
				must(t, err)
				if i == 1 && known.Outside(l.MM) || i == 0 && known.Outside(l.MM) != known.Outside(known.Low) {
					t.Errorf("%s, %s: %q, but %v mm outside is %v", class, known.Reading, v.usual(known), l.MM, known.Outside(l.MM))
				}
			}
		}
	}
}

func TestReadingsAreRefusedInASentence(t *testing.T) {
	v := NewSetup(opened(t), &shelf{})
	for _, c := range [][3]string{{bass12, "low", "no length"}, {bass12, "-1", "below nothing"}, {"string hight", "1", "no such reading"}, {"relief, largest at fret", "30", "no fret"},
		{"relief, largest at fret", "x", "no fret"}, {"string height, bass, fret 17", "2", "no such reading"}, {bass12, "1.6 kg", "unit"}} {
		if err := v.Set(c[0], c[1]); err == nil || !strings.Contains(err.Error(), c[2]) {
			t.Errorf("%s of %q: %v", c[0], c[1], err)
		}
	}
	must(t, v.Set("relief, largest at fret", "7"))
	if r := rowOf(t, v, "relief, largest at fret"); r.Text != "7" || r.Unit != "fret" {
		t.Errorf("%+v", r)
	}
	if err := v.Remove("relief"); err == nil {
		t.Error("what was never read is removed")
	}
}

// A record made elsewhere may hold inches, and readings that no class has.
func TestReadingsFromElsewhere(t *testing.T) {
	s := opened(t)
	v := NewSetup(s, &shelf{})
	must(t, s.SetReading(record.Reading{ID: bass12, Value: record.Quantity{Value: 0.078125, How: "rule"}, Unit: "in"}))
	must(t, s.SetReading(record.Reading{ID: "neck pickup resistance", Value: record.Quantity{Value: 7.4}, Unit: "kΩ"}))
	if r := rowOf(t, v, bass12); r.Text != "1.98" || r.Unit != "mm" || r.Gauge != "rule" {
		t.Errorf("%+v", r)
	}
	if r := rowOf(t, v, "neck pickup resistance"); r.Group != "Others" || r.Text != "7.4" || r.Unit != "kΩ" {
		t.Errorf("%+v", r)
	}
	must(t, v.Remove("neck pickup resistance"))
}

func TestCrowns(t *testing.T) {
	s := opened(t)
	v := NewSetup(s, &shelf{})
	frets := func(rows []ReadingRow) (out []string) {
		for _, r := range rows {
			out = append(out, r.Label)
		}
		return out
	}
	if got := frets(v.Crowns(false)); !slices.Equal(got, []string{"1", "5", "7", "12", "22"}) {
		t.Errorf("the sample is %v", got)
	}
	id, err := v.CrownID(3)
	must(t, err)
	must(t, v.Set(id, "0.9"))
	if got := v.Crowns(false); len(got) != 6 || got[1].Label != "3" || !got[1].Outside || got[0].Outside {
		t.Errorf("%+v", got)
	}
	if n := len(v.Crowns(true)); n != 22 {
		t.Errorf("every fret is %d", n)
	}
	if _, err := v.CrownID(23); err == nil {
		t.Error("there is a fret 23")
	}
	must(t, NewIdentity(s).class().Set("violin"))
	if len(v.Crowns(true)) != 0 || v.UsualCrown() != "" {
		t.Error("a violin has crowns")
	}
}

func TestAnswersAndTuners(t *testing.T) {
	s := opened(t)
	v := NewSetup(s, &shelf{})
	fields := map[string]Field{}
	for _, f := range v.Answers() {
		fields[f.Label] = f
		if f.Get() != "" {
			t.Errorf("%s says %q before anything was said", f.Label, f.Get())
		}
	}
	must(t, fields["Truss rod"].Set("works both ways"))
	must(t, fields["Tuning, string 1 first"].Set("d4 b3 g3 d3 a2 d2"))
	must(t, fields["Pitch of A4"].Set("442"))
	must(t, fields["String set"].Set(" .010 to .046 "))
	p := s.Setup()
	if p.TrussRod != "works both ways" || p.Tuning != "D4 B3 G3 D3 A2 D2" || p.A4 != 442 || p.StringSet != ".010 to .046" {
		t.Errorf("%+v", p)
	}
	if got := v.Notes(); !slices.Equal(got, []string{"D4", "B3", "G3", "D3", "A2", "D2"}) {
		t.Errorf("notes %v", got)
	}
	must(t, fields["Truss rod"].Set("–"))
	must(t, fields["Tuning, string 1 first"].Set(""))
	if got := v.Notes(); s.Setup().TrussRod != "" || got[0] != "E4" {
		t.Errorf("%+v, %v", s.Setup(), got)
	}
	for label, bad := range map[string]string{"Truss rod": "fine", "Nut": "bone", "Tuning, string 1 first": "E4 B3", "Pitch of A4": "44"} {
		if fields[label].Set(bad) == nil {
			t.Errorf("%s takes %q", label, bad)
		}
	}
	must(t, v.SetFeel(3, "stiff"))
	must(t, v.SetBacklash(3, "7.5°"))
	if r := v.Tuners()[2]; r != (TunerRow{3, "G3", "7.5", "stiff"}) {
		t.Errorf("%+v", r)
	}
	undo := s.Scene().Undo
	must(t, v.SetBacklash(3, "7.5"))
	if s.Scene().Undo != undo {
		t.Error("the same backlash made an entry")
	}
	must(t, v.SetBacklash(3, ""))
	must(t, v.SetFeel(3, "–"))
	if r := v.Tuners()[2]; r != (TunerRow{3, "G3", "", ""}) || len(s.Setup().Tuners) != 0 {
		t.Errorf("%+v", r)
	}
	must(t, v.SetFeel(5, "stiff"))
	must(t, v.SetBacklash(2, "4"))
	must(t, v.RestSmooth())
	for i, r := range v.Tuners() {
		if want := map[int]string{4: "stiff"}[i]; r.Feel != want && (want != "" || r.Feel != "smooth") {
			t.Errorf("with the rest smooth, tuner %d is %q", i+1, r.Feel)
		}
	}
	undo = s.Scene().Undo
	must(t, v.RestSmooth())
	if s.Scene().Undo != undo || v.Tuners()[1].Backlash != "4" {
		t.Error("saying it again made an entry, or a backlash went")
	}
	if v.SetBacklash(3, "wide") == nil || v.SetFeel(3, "good") == nil || v.SetFeel(7, "stiff") == nil {
		t.Error("nonsense about tuners is taken")
	}
}

// The rail's dot says what is missing, and nothing where nothing is.
func TestSetupOfTheRail(t *testing.T) {
	s := opened(t)
	item := func() RailItem {
		for _, it := range NewShell(s).Rail() {
			if it.Screen == SetupScreen {
				return it
			}
		}
		t.Fatal("the rail has no Setup")
		return RailItem{}
	}
	if it := item(); it.Progress != NotStarted {
		t.Errorf("%+v", it)
	}
	v := NewSetup(s, &shelf{})
	must(t, v.Set(bass12, "1.8"))
	if it := item(); it.Progress != SomethingMissing || it.Why != "not said: string heights, relief, fret crowns, truss rod, tuners; 132 positions not tried" {
		t.Errorf("%+v", it)
	}
	must(t, v.Set("string height, treble, fret 12", "1.5"))
	must(t, v.Set("relief", "0.2"))
	must(t, v.Set("fret crown, fret 5", "1.1"))
	must(t, v.Answers()[0].Set("works"))
	must(t, v.SetFeel(1, "smooth"))
	if it := item(); it.Progress != SomethingMissing || it.Why != "132 positions not tried" {
		t.Errorf("%+v", it)
	}
	must(t, NewPlay(s).RestClean())
	if it := item(); it.Progress != Complete {
		t.Errorf("%+v", it)
	}
}
