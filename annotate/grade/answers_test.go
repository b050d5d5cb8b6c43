package grade

import (
	"math"
	"slices"
	"strings"
	"testing"

	"wornwood/capture/record"
)

func TestNothingInspected(t *testing.T) {
	res := mustGrade(t, &record.Record{}, testDrawing())
	if res.Index != nil || res.BeforeCap != nil || res.Class != 0 || res.Word != "" || res.Low != 0 || res.High != 100 || !res.Provisional || res.Inspected != 0 {
		t.Errorf("%+v", res)
	}
	if res.Originality != nil || res.OriginalityLow != 0 || res.OriginalityHigh != 100 {
		t.Errorf("originality %v", res.Originality)
	}
	if len(res.NotInspected) != 13 || len(res.UnknownState) != 13 {
		t.Errorf("not inspected %v", res.NotInspected)
	}
}

// A part not inspected is scored once as sound and once as R = 2.
func TestRange(t *testing.T) {
	rec := inspectedRecord(t, at("ding", record.IntoWood, statedOn(record.FrontFinish, 0.5)))
	setPart(rec, record.Part{ID: record.Electronics, State: record.Original})
	setPart(rec, record.Part{ID: record.Frets, State: record.Original})
	res := mustGrade(t, rec, testDrawing())
	const cost = 0.18 * 0.5 * 0.3
	near(t, "index", *res.Index, 100*(1-math.Sqrt(cost/0.78)), 1e-9)
	near(t, "low", res.Low, 100*(1-math.Sqrt(cost+0.22)), 1e-9)
	near(t, "high", res.High, 100*(1-math.Sqrt(cost)), 1e-9)
	near(t, "inspected", res.Inspected, 0.78, 1e-12)
	if !res.Provisional || !slices.Equal(res.NotInspected, []record.PartID{record.Frets, record.Electronics}) {
		t.Errorf("%v %v", res.Provisional, res.NotInspected)
	}
	// Exactly 80 % is enough, and a mark on a part makes it inspected.
	setPart(rec, record.Part{ID: record.Frets, State: record.Original, Inspected: true})
	for _, p := range []record.PartID{record.Guard, record.Bridge} {
		setPart(rec, record.Part{ID: p, State: record.Original})
	}
	if res = mustGrade(t, rec, testDrawing()); res.Provisional || math.Abs(res.Inspected-0.80) > 1e-12 {
		t.Errorf("at %v provisional: %v", res.Inspected, res.Provisional)
	}
	setPart(rec, record.Part{ID: record.Tuners, State: record.Original})
	if res = mustGrade(t, rec, testDrawing()); !res.Provisional {
		t.Errorf("at %v not provisional", res.Inspected)
	}
	m := at("tarnish", record.InFinish, piecesOn(record.Tuners, 1, 1))
	m.Number = 2
	rec.Marks = append(rec.Marks, m)
	if res = mustGrade(t, rec, testDrawing()); res.Provisional {
		t.Error("a mark on the tuners does not make them inspected")
	}
}

// A part that is not fitted leaves every sum.
func TestNotFitted(t *testing.T) {
	rec := inspectedRecord(t, at("ding", record.IntoWood, statedOn(record.FrontFinish, 1)))
	setPart(rec, record.Part{ID: record.Binding, State: record.NotFitted, Inspected: true})
	setPart(rec, record.Part{ID: record.Tuners, State: record.LaterReplacement, Inspected: true})
	res := mustGrade(t, rec, testDrawing())
	near(t, "R", res.Ratio, 1+18*0.3/98, 1e-12)
	near(t, "inspected", res.Inspected, 1, 0)
	near(t, "originality", *res.Originality, 100*(93+5*0.4)/98, 1e-9)
	for _, p := range record.States() {
		if p == record.NotFitted {
			for i := range rec.Parts {
				rec.Parts[i].State = p
			}
		}
	}
	if res = mustGrade(t, rec, testDrawing()); res.Index != nil || res.Low != 0 || res.High != 100 || res.MarkPoints(1) != 0 {
		t.Errorf("nothing is fitted: %+v", res)
	}
}

// Originality after the product's description: sum(share x o) / sum(share).
func TestOriginality(t *testing.T) {
	rec := inspectedRecord(t)
	for id, s := range map[record.PartID]record.State{record.Nut: record.PeriodReplacement, record.Tuners: record.LaterReplacement, record.FrontFinish: record.Refinished,
		record.Bridge: record.Altered, record.Guard: record.Missing, record.Electronics: record.NotSeen, record.Frets: ""} {
		setPart(rec, record.Part{ID: id, State: s, Inspected: true})
	}
	res := mustGrade(t, rec, testDrawing())
	sum := 46.0 + 1*0.7 + 5*0.4 + 18*0.3 + 6*0.3 + 2*0
	near(t, "originality", *res.Originality, 100*sum/78, 1e-9)
	near(t, "low", res.OriginalityLow, sum, 1e-9)
	near(t, "high", res.OriginalityHigh, sum+22, 1e-9)
	near(t, "condition", *res.Index, 100, 0) // never mixed
	want := []PartState{{record.FrontFinish, record.Refinished}, {record.Nut, record.PeriodReplacement}, {record.Bridge, record.Altered}, {record.Tuners, record.LaterReplacement}, {record.Guard, record.Missing}}
	if !slices.Equal(res.NotOriginal, want) {
		t.Errorf("not original %v", res.NotOriginal)
	}
	if !slices.Equal(res.UnknownState, []record.PartID{record.Frets, record.Electronics}) {
		t.Errorf("unknown %v", res.UnknownState)
	}
}

func TestPlaying(t *testing.T) {
	rec := inspectedRecord(t)
	rec.Playing = record.Playing{Others: record.Clean, Positions: []record.Position{{String: 1, Fret: 20, Sound: record.Buzz}, {String: 1, Fret: 19, Sound: record.Buzz},
		{String: 6, Fret: 1, Sound: record.NotTried}, {String: 6, Fret: 2, Sound: record.NotTried}, {String: 7, Fret: 1, Sound: record.Dead}, {String: 1, Fret: 21, Sound: record.Dead}}}
	p := mustGrade(t, rec, testDrawing()).Playing
	if p.Total != testStrings*testFrets || p.Tried != p.Total-2 || p.Clean != p.Total-4 || p.OffGrid != 2 {
		t.Errorf("%+v", p)
	}
	if !slices.Equal(p.Faults, []Fault{{1, 19, record.Buzz}, {1, 20, record.Buzz}}) {
		t.Errorf("faults %v", p.Faults)
	}
	if len(p.NotTried) != 1 || p.NotTried[0].String != 6 || !slices.Equal(p.NotTried[0].Frets, []int{1, 2}) {
		t.Errorf("not tried %v", p.NotTried)
	}
	rec.Playing = record.Playing{}
	if p = mustGrade(t, rec, testDrawing()).Playing; p.Tried != 0 || p.Clean != 0 || len(p.NotTried) != testStrings {
		t.Errorf("nobody played it: %+v", p)
	}
	d := testDrawing()
	d.Fretless = true
	if p = mustGrade(t, rec, d).Playing; p.Total != 0 {
		t.Errorf("a fretless one has %d positions", p.Total)
	}
}

// Source of the middle values: a supply house's string gauge sheet, electric
// 1.98 and 1.60 mm; the ranges about them are practice.
func TestReadingsBesideTheirRanges(t *testing.T) {
	rec := inspectedRecord(t)
	add := func(id string, v float64, unit string) {
		rec.Readings = append(rec.Readings, record.Reading{ID: id, Value: record.Quantity{Value: v}, Unit: unit})
	}
	add("string height, bass, fret 12", 2.6, "mm")
	add("string height, treble, fret 12", 0.063, "in") // 1.60 mm
	add("fret crown height", 0.9, "mm")
	add("relief", 0.9, "mm")
	add("neck pickup resistance", 7.2, "kΩ")
	want := map[string]ReadingLine{
		"string height, bass, fret 12":   {Usual: "1.5 to 2.5 mm", Outside: true},
		"string height, treble, fret 12": {Usual: "1.2 to 2 mm", Outside: false},
		"fret crown height":              {Usual: "above 0.9, up to 1.5 mm", Outside: true},
		"relief":                         {Usual: "recorded, not judged", Outside: false},
		"neck pickup resistance":         {Usual: "", Outside: false},
	}
	got := mustGrade(t, rec, testDrawing()).Playing.Readings
	if len(got) != len(want) {
		t.Fatalf("%d readings", len(got))
	}
	for _, r := range got {
		if w, ok := want[r.Reading]; !ok || r.Usual != w.Usual || r.Outside != w.Outside {
			t.Errorf("%+v, want %+v", r, w)
		}
	}
	rec.Readings = rec.Readings[:1]
	rec.Readings[0].Unit = "kg"
	if r := mustGrade(t, rec, testDrawing()).Playing.Readings[0]; r.Outside || !strings.Contains(r.Usual, "not compared") {
		t.Errorf("kilograms of string height: %+v", r)
	}
	for class, want := range map[string]string{"solid-body single-cutaway": "1.5 to 2.5 mm", "flat-top": "1.7 to 2.9 mm"} {
		if s := Default().Setup(class); s[0].Usual != want || !s[0].Judged || s[0].Why == "" {
			t.Errorf("%s: %+v", class, s[0])
		}
	}
}

func TestExplain(t *testing.T) {
	rec := inspectedRecord(t, handRows()[5].stated...)
	setPart(rec, record.Part{ID: record.Binding, State: record.NotFitted})
	setPart(rec, record.Part{ID: record.Electronics})
	setPart(rec, record.Part{ID: record.Nut, State: record.LaterReplacement, Inspected: true})
	rec.Playing = record.Playing{Others: record.Clean, Positions: []record.Position{{String: 1, Fret: 19, Sound: record.Buzz}}}
	text := strings.Join(mustGrade(t, rec, testDrawing()).Explain(), "\n")
	for _, want := range []string{
		"Not fitted, so left out of every sum: binding.",
		"not inspected: electronics.",
		"Headstock: marks cover 30 % of it and its R is 1.2100;",
		"Mark 1, headstock break, glued and sound: importance 2 and intensity 1 make score 5, factor 1.70; it covers 5 % of the neck and 30 % of the headstock; 13.3 points.",
		"Mark 1 is a structural flaw on 30 % of the headstock and of class 4 by itself; the instrument can be at most one class better, class 3, so the index is at most 80.0.",
		"Condition index 80.0, class 3 of 6: honestly worn.",
		"Nut: later replacement.",
		"119 of 120 positions speak cleanly; 120 were tried.",
		"String 1 at fret 19: buzz.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	empty := strings.Join(mustGrade(t, &record.Record{}, testDrawing()).Explain(), "\n")
	if !strings.Contains(empty, "No part was inspected") || !strings.Contains(empty, "nobody stated") {
		t.Error(empty)
	}
}
