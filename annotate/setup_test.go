package annotate

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// Whatever is changed, undone or made again, in whatever order, a scene's grade
// is the one that grading its record from scratch gives: the short way for
// playing is a saving and nothing else.
func TestShortWayGivesTheSameGrade(t *testing.T) {
	short := 0
	rapid.Check(t, func(t *rapid.T) {
		s, _ := open(t)
		var last *record.Record
		string6, fret22 := rapid.IntRange(1, 6), rapid.IntRange(1, 22)
		sound := rapid.SampledFrom(record.Sounds())
		ids := rapid.SampledFrom([]string{"relief", "string height, bass, fret 12", "fret crown height", "my own"})
		t.Repeat(map[string]func(*rapid.T){
			"sound":  func(t *rapid.T) { must(t, s.SetSound(string6.Draw(t, "s"), fret22.Draw(t, "f"), sound.Draw(t, "snd"))) },
			"others": func(t *rapid.T) { must(t, s.SetOtherSounds(sound.Draw(t, "snd"))) },
			"reading": func(t *rapid.T) {
				must(t, s.SetReading(record.Reading{ID: ids.Draw(t, "id"), Unit: "mm", Value: record.Quantity{Value: rapid.Float64Range(0, 3).Draw(t, "v")}}))
			},
			"no reading": func(t *rapid.T) { must(t, s.RemoveReading(ids.Draw(t, "id"))) },
			"answer": func(t *rapid.T) {
				must(t, s.SetSetup("truss rod", func(p *record.Setup) { p.TrussRod = rapid.SampledFrom(record.TrussRodAnswers()).Draw(t, "rod") }))
			},
			"tuner": func(t *rapid.T) {
				must(t, s.SetTuner(string6.Draw(t, "s"), func(q *record.Tuner) { q.Feel = rapid.SampledFrom([]string{"", "stiff"}).Draw(t, "feel") }))
			},
			"mark": func(t *rapid.T) {
				_, err := s.AddMark(front, record.PointShape, []record.Point{onFront})
				must(t, err)
			},
			"part": func(t *rapid.T) {
				must(t, s.SetPart(record.Tuners, "state", func(p *record.Part) { p.State = rapid.SampledFrom(record.States()).Draw(t, "state") }))
			},
			"scale length": func(t *rapid.T) {
				must(t, s.SetInstrument("scale", func(i *record.Instrument) { i.ScaleLength = rapid.Float64Range(628, 650).Draw(t, "mm") }))
			},
			"examination": func(t *rapid.T) {
				must(t, s.SetExamination("note", func(e *record.Examination) { e.Note += "." }))
			},
			"undo": func(t *rapid.T) {
				if s.Scene().Undo != "" {
					_, err := s.Undo()
					must(t, err)
				}
			},
			"redo": func(t *rapid.T) {
				if s.Scene().Redo != "" {
					_, err := s.Redo()
					must(t, err)
				}
			},
			"": func(t *rapid.T) {
				sc := s.Scene()
				want, err := grade.Grade(sc.Record, sc.Drawing, s.Rubric())
				must(t, err)
				if !reflect.DeepEqual(sc.Grade, want) {
					t.Fatalf("the scene's grade is %+v, from scratch %+v", sc.Grade, want)
				}
				if last != nil && !reflect.DeepEqual(last, sc.Record) && onlyPlayingDiffers(last, sc.Record) {
					short++
				}
				last = sc.Record
			},
		})
	})
	if short == 0 {
		t.Error("the short way was never open")
	}
}

func must(t interface{ Fatal(...any) }, err error) {
	if err != nil {
		t.Fatal(err)
	}
}

// Only the three targets of playing leave the way open.
func TestWhenTheShortWayIsOpen(t *testing.T) {
	s, _ := open(t)
	try := func(name string, want bool, do func() error) {
		t.Helper()
		a := s.Scene().Record
		must(t, do())
		if got := onlyPlayingDiffers(a, s.Scene().Record); got != want {
			t.Errorf("%s: %v", name, got)
		}
	}
	try("sound", true, func() error { return s.SetSound(1, 3, record.Buzz) })
	try("reading", true, func() error { return s.SetReading(record.Reading{ID: "relief", Unit: "mm"}) })
	try("setup", true, func() error { return s.SetSetup("nut", func(p *record.Setup) { p.Nut = record.NutAnswers()[0] }) })
	try("mark", false, func() error {
		_, err := s.AddMark(front, record.PointShape, []record.Point{onFront})
		return err
	})
	try("part", false, func() error { return s.SetAllParts(record.Original, true) })
	try("instrument", false, func() error { return s.SetInstrument("serial", func(i *record.Instrument) { i.Serial = "4" }) })
	try("examination", false, func() error {
		return s.SetExamination("rubric", func(e *record.Examination) { e.Rubric = strings.Repeat("0", 64) })
	})
}

func TestSoundsAreSaidOnce(t *testing.T) {
	s, j := open(t)
	block := func(from, to int, snd record.Sound) (ps []record.Position) {
		for f := from; f <= to; f++ {
			ps = append(ps, record.Position{String: 2, Fret: f, Sound: snd})
		}
		return ps
	}
	must(t, s.SetSounds(block(3, 7, record.Buzz)))
	if len(j.undo) != 1 || s.Scene().Undo != "5 positions: buzz" {
		t.Errorf("%d entries, undo %q", len(j.undo), s.Scene().Undo)
	}
	must(t, s.SetSounds(block(3, 7, record.Buzz)))
	must(t, s.SetSound(1, 1, record.NotTried))
	must(t, s.SetOtherSounds(record.NotTried))
	if len(j.undo) != 1 {
		t.Errorf("what was said already made %d entries", len(j.undo)-1)
	}
	must(t, s.SetOtherSounds(record.Clean))
	must(t, s.SetSounds(append(block(4, 5, record.Clean), record.Position{String: 1, Fret: 9, Sound: record.Dead})))
	want := record.Playing{Others: record.Clean, Positions: []record.Position{{String: 1, Fret: 9, Sound: record.Dead}, {String: 2, Fret: 3, Sound: record.Buzz},
		{String: 2, Fret: 6, Sound: record.Buzz}, {String: 2, Fret: 7, Sound: record.Buzz}}}
	if got := s.Scene().Record.Playing; !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
	for _, bad := range []record.Position{{String: 7, Fret: 1, Sound: record.Buzz}, {String: 1, Fret: 23, Sound: record.Buzz}, {String: 1, Fret: 1, Sound: "loud"}} {
		if err := s.SetSounds([]record.Position{bad}); err == nil {
			t.Errorf("%+v is taken", bad)
		}
	}
}

func TestSetupIsSaidAndTakenBack(t *testing.T) {
	s, j := open(t)
	must(t, s.SetTuner(3, func(q *record.Tuner) { q.Feel, q.Backlash = "stiff", &record.Quantity{Value: 8} }))
	must(t, s.SetTuner(1, func(q *record.Tuner) { q.Feel = "smooth" }))
	must(t, s.SetSetup("truss rod", func(p *record.Setup) { p.TrussRod = "works" }))
	p := s.Setup()
	if len(p.Tuners) != 2 || p.Tuners[0].String != 1 || p.Tuners[1].Backlash.Value != 8 || p.TrussRod != "works" {
		t.Errorf("%+v", p)
	}
	p.Tuners[0].Feel = "seized" // a copy
	if s.Setup().Tuners[0].Feel != "smooth" {
		t.Error("the record's own tuners were handed out")
	}
	n := len(j.undo)
	must(t, s.SetSetup("truss rod", func(p *record.Setup) { p.TrussRod = "works" }))
	if len(j.undo) != n {
		t.Error("the same answer made an entry")
	}
	if err := s.SetTuner(9, func(*record.Tuner) {}); err == nil {
		t.Error("a ninth tuner")
	}
	must(t, s.SetTuner(1, func(q *record.Tuner) { q.Feel = "" }))
	must(t, s.SetTuner(3, func(q *record.Tuner) { q.Feel, q.Backlash = "", nil }))
	must(t, s.SetSetup("truss rod", func(p *record.Setup) { p.TrussRod = "" }))
	if s.Scene().Record.Setup != nil {
		t.Errorf("nothing is said any more, but there is %+v", s.Scene().Record.Setup)
	}
	must(t, s.SetReading(record.Reading{ID: "relief", Unit: "mm", Value: record.Quantity{Value: 0.2}}))
	must(t, s.RemoveReading("relief"))
	must(t, s.RemoveReading("relief"))
	if s.Scene().Undo != "Remove reading relief" || slices.ContainsFunc(s.Scene().Record.Readings, func(r record.Reading) bool { return r.ID == "relief" }) {
		t.Errorf("undo %q, readings %+v", s.Scene().Undo, s.Scene().Record.Readings)
	}
}
