package grade

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// Every class has a list of readings of its own: string heights on both sides
// at two places at least, each with a group and a reason, none twice.
func TestEveryClassHasReadings(t *testing.T) {
	for _, class := range outline.Classes() {
		seen, heights := map[string]bool{}, 0
		for _, s := range Default().Setup(class) {
			if seen[s.Reading] || s.Group == "" || s.Why == "" || s.Usual == "" || (s.Unit != "mm" && s.Unit != "fret") {
				t.Errorf("%s: %+v", class, s)
			}
			seen[s.Reading] = true
			if strings.HasPrefix(s.Reading, "string height, ") {
				heights++
			}
			if s.Judged && (s.High <= s.Low || s.Low < 0) {
				t.Errorf("%s: %s usual from %v to %v", class, s.Reading, s.Low, s.High)
			}
			if !s.Judged && (s.Usual != "recorded, not judged" || s.Outside(1e6)) {
				t.Errorf("%s: %s is recorded only, but %q", class, s.Reading, s.Usual)
			}
		}
		place := ", fret 12"
		d, err := DrawingFor(record.Instrument{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case d.Fretless && class != "lap steel":
			place = ", end of fingerboard"
		case strings.Contains(class, "bass"):
			place = ", fret 17"
		}
		for _, side := range []string{"bass", "treble"} {
			if !seen["string height, "+side+place] {
				t.Errorf("%s has no string height, %s%s", class, side, place)
			}
		}
		if heights != 4 || !seen["relief"] || !seen["string height at the bridge"] {
			t.Errorf("%s: %d string heights, relief %v, bridge %v", class, heights, seen["relief"], seen["string height at the bridge"])
		}
		if frets := seen["fret crown height"] && seen["nut gap, bass, fret 1"] && seen["relief, largest at fret"]; frets == d.Fretless && class != "lap steel" {
			t.Errorf("%s: fretless %v, but readings of frets %v", class, d.Fretless, frets)
		}
	}
}

// The middle of each range of string height is the gauge sheet's figure to a
// tenth of it. Source: a lutherie supply house's string-action gauge sheet
// (read; mm at the 12th fret, basses at the 17th). Crowns: a luthier's page
// (read): 1.1 mm a medium height new, at or under 0.9 mm hard to play.
func TestRangesLieAboutTheFacts(t *testing.T) {
	for _, f := range []struct {
		class, place string
		bass, treble float64
	}{
		{"flat-top auditorium", "fret 12", 2.29, 1.78}, {"nylon-string", "fret 12", 3.96, 3.18}, {"solid-body double-cutaway", "fret 12", 1.98, 1.60},
		{"electric bass long-horn", "fret 17", 2.67, 2.39}, {"mandolin scrolled", "fret 12", 1.91, 1.65},
	} {
		for side, mm := range map[string]float64{"bass": f.bass, "treble": f.treble} {
			s, _, ok := Default().SetupReading(f.class, "string height, "+side+", "+f.place)
			if mid := (s.Low + s.High) / 2; !ok || mid < 0.9*mm || mid > 1.1*mm || s.Low > 0.8*mm || s.High < 1.2*mm {
				t.Errorf("%s, %s: %v to %v, the sheet says %v", f.class, side, s.Low, s.High, mm)
			}
		}
	}
	s, piece, ok := Default().SetupReading("flat-top parlour", "fret crown, fret 7")
	if !ok || piece != 7 || s.Reading != "fret crown height" || !s.Outside(0.9) || s.Outside(0.91) || s.Outside(1.1) || !s.Fine {
		t.Errorf("%+v of piece %d", s, piece)
	}
	// A published answer for cellists (read): 6.5 and 4.0 mm with steel, 8.0 and
	// 5.5 with gut; a string dealer's page (read): projections 26 to 28, 31 to
	// 33, 79 to 81 mm. All of them are usual here.
	for id, mms := range map[string][]float64{"string height, bass, end of fingerboard": {6.5, 8}, "string height, treble, end of fingerboard": {4, 5.5}, "fingerboard projection at the bridge": {79, 81}} {
		s, _, ok := Default().SetupReading("cello", id)
		for _, mm := range mms {
			if !ok || s.Outside(mm) {
				t.Errorf("%s of %v mm: %+v", id, mm, s)
			}
		}
	}
	// A page on banjo setup (read) asks for 20 thousandths of an inch at least.
	if s, _, ok := Default().SetupReading("banjo", "string height, bass, fret 1"); !ok || s.Outside(0.020*25.4) || !s.Outside(0.018*25.4) {
		t.Errorf("%+v", s)
	}
	if _, _, ok := Default().SetupReading("violin", "fret crown, fret 7"); ok {
		t.Error("a violin has a fret")
	}
	for _, id := range []string{"fret crown, fret", "fret crown, fret 0", "fret crown, fret -1", "fret crown, fret 07", "fret crown, fret 7a", "fret crown, fret 99999999999999999999"} {
		if _, _, ok := Default().SetupReading("flat-top", id); ok {
			t.Errorf("%q is a reading", id)
		}
	}
}

func TestCrownsByFret(t *testing.T) {
	rec := inspectedRecord(t)
	for id, v := range map[string]float64{"fret crown, fret 12": 0.8, "fret crown, fret 5": 1.0, "fret crown, fret 1": 1.1} {
		rec.Readings = append(rec.Readings, record.Reading{ID: id, Value: record.Quantity{Value: v}, Unit: "mm"})
	}
	var got []string
	for _, r := range mustGrade(t, rec, testDrawing()).Playing.Readings {
		got = append(got, r.Reading)
		if r.Usual != "above 0.9, up to 1.5 mm" || r.Outside != (r.Value < 0.9) {
			t.Errorf("%+v", r)
		}
	}
	if !slices.Equal(got, []string{"fret crown, fret 1", "fret crown, fret 5", "fret crown, fret 12"}) {
		t.Errorf("in the order %q", got)
	}
}

// Replay is Grade, whatever the record, when only playing, readings and setup
// differ; and it leaves the old result alone.
func TestReplayIsGrade(t *testing.T) {
	d := testDrawing()
	rapid.Check(t, func(t *rapid.T) {
		rec := drawWhole(t)
		old := mustGrade(t, rec, d)
		before := *old
		next := *rec
		next.Playing = record.Playing{Others: rapid.SampledFrom(record.Sounds()).Draw(t, "others now"),
			Positions: []record.Position{{String: rapid.IntRange(1, 8).Draw(t, "string"), Fret: rapid.IntRange(1, 24).Draw(t, "fret"), Sound: record.Dead}}}
		next.Readings = []record.Reading{{ID: "fret crown, fret 3", Value: record.Quantity{Value: rapid.Float64Range(0, 2).Draw(t, "crown")}, Unit: "mm"}}
		next.Setup = nil
		got, err := Replay(old, &next, d, Default())
		if err != nil {
			t.Fatal(err)
		}
		if want := mustGrade(t, &next, d); !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v, want %+v", got, want)
		}
		if !reflect.DeepEqual(*old, before) {
			t.Fatal("the old result was changed")
		}
	})
	bad := &record.Record{Playing: record.Playing{Others: "loud"}}
	if _, err := Replay(mustGrade(t, &record.Record{}, d), bad, d, Default()); err == nil {
		t.Error("an impossible record is graded")
	}
	if _, err := Replay(nil, bad, d, Default()); err == nil {
		t.Error("there is nothing to go on from")
	}
}
