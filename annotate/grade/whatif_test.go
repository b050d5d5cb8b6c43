package grade

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// sameResult compares two results to the last digit.
func sameResult(t fataler, what string, got, want *Result) {
	a, errA := json.Marshal(got)
	b, errB := json.Marshal(want)
	if errA != nil || errB != nil || string(a) != string(b) {
		t.Fatal(what, string(a), string(b))
	}
}

// A what-if is the grade of the record that says so, to the last digit.
func TestWhatIfIsTheGradeOfTheOtherRecord(t *testing.T) {
	d := testDrawing()
	rapid.Check(t, func(t *rapid.T) {
		rec := drawRecord(t, rapid.Bool().Draw(t, "all inspected"))
		rec.Marks = append(rec.Marks, drawMark(t, len(rec.Marks)+1))
		c, err := NewCase(rec, d, Default())
		if err != nil {
			t.Fatal(err)
		}
		sameResult(t, "the case itself", c.Result(), mustGrade(t, rec, d))
		n := rapid.IntRange(1, len(rec.Marks)).Draw(t, "mark")
		other := *rec
		other.Marks, other.Parts = slices.Clone(rec.Marks), slices.Clone(rec.Parts)
		var sup Supposition
		switch rapid.IntRange(0, 4).Draw(t, "what") {
		case 0:
			sup.Without = n
			for _, p := range c.Result().Line(n).Parts { // they were looked at
				i := slices.IndexFunc(other.Parts, func(q record.Part) bool { return q.ID == p })
				other.Parts[i].Inspected = true
			}
			other.Marks = slices.Delete(other.Marks, n-1, n)
		case 1:
			sup.Mark, sup.Depth = n, rapid.SampledFrom(record.Depths()).Draw(t, "depth")
			other.Marks[n-1].Depth, other.Marks[n-1].Reading = sup.Depth, nil
		case 2:
			sup.Mark, sup.Kind = n, rapid.SampledFrom(Default().Kinds()).Draw(t, "kind").Kind
			other.Marks[n-1].Kind = sup.Kind
		case 3:
			i := rapid.IntRange(0, len(other.Parts)-1).Draw(t, "part")
			sup.Part, sup.State = other.Parts[i].ID, rapid.SampledFrom(record.States()).Draw(t, "state")
			if other.Parts[i].State == record.NotFitted || sup.State == record.NotFitted {
				return // remarks of marks on it differ
			}
			other.Parts[i].State = sup.State
		case 4:
			if len(c.Result().NotInspected) == 0 {
				return
			}
			sup.Part, sup.Sound = c.Result().NotInspected[0], true
			i := slices.IndexFunc(other.Parts, func(q record.Part) bool { return q.ID == sup.Part })
			other.Parts[i].Inspected = true
		}
		o, err := c.WhatIf(sup)
		if err != nil {
			t.Fatal(err)
		}
		sameResult(t, sup.String(), o.Result, mustGrade(t, &other, d))
		checkResult(t, o.Result)
		sameResult(t, "the case afterwards", c.Result(), mustGrade(t, rec, d))
	})
}

// A part not inspected that turns out worn out gives the low end of the range
// when it was the only one, and the ledger says where the points went.
func TestWhatIfWornOut(t *testing.T) {
	rec := inspectedRecord(t, handRows()[4].stated...)
	setPart(rec, record.Part{ID: record.Electronics, State: record.Original})
	d := testDrawing()
	o, err := WhatIf(rec, d, Default(), Supposition{Part: record.Electronics, WornOut: true})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "worn out", *o.Result.Index, o.Now.Low, 1e-9)
	if l := o.Result.Ledger[len(o.Result.Ledger)-1]; l.Mark != 0 || !strings.Contains(l.Text, "electronics, supposed to be worn out") || l.Points <= 0 {
		t.Errorf("line %+v", l)
	}
	checkResult(t, o.Result)
	if s := strings.Join(o.Differences(), " "); !strings.Contains(s, "Condition: ") || !strings.Contains(s, "Range: ") || o.Words != "if the electronics were worn out" {
		t.Errorf("%q %q", o.Words, s)
	}
	o, err = WhatIf(rec, d, Default(), Supposition{Part: record.Electronics, Sound: true})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sound", *o.Result.Index, o.Now.High, 1e-9)
}

// The headstock break holds the instrument to class 3; without it nothing does.
func TestWhatIfWithoutTheBreak(t *testing.T) {
	rec := inspectedRecord(t, handRows()[5].stated...)
	o, err := WhatIf(rec, testDrawing(), Default(), Supposition{Without: 1})
	if err != nil {
		t.Fatal(err)
	}
	s := strings.Join(o.Differences(), " ")
	if !o.CapChanges() || !o.ClassChanges() || o.Gain() <= 10 || !strings.HasSuffix(o.Figures(), ", honestly worn → clean") || !strings.Contains(s, "Nothing would hold the index; mark 1 holds it now.") {
		t.Errorf("%s; %s", o.Figures(), s)
	}
	// Hairline instead: a class 3 flaw, so class 2 at best.
	if o, err = WhatIf(rec, testDrawing(), Default(), Supposition{Mark: 1, Depth: record.InFinish}); err != nil || o.Result.Class != 2 || o.Gain() <= 0 {
		t.Errorf("%+v, %v", o, err)
	}
	// Two things at once, and nothing at all.
	if o, err = WhatIf(rec, testDrawing(), Default(), Supposition{Without: 1}, Supposition{Part: record.Nut, State: record.Missing}); err != nil || o.Words != "without mark 1 and if the nut were missing" || *o.Result.Originality >= *o.Now.Originality {
		t.Errorf("%+v, %v", o, err)
	}
	if o, err = WhatIf(rec, testDrawing(), Default()); err != nil || o.Gain() != 0 || o.Differences()[0] != "Nothing that is printed would change." {
		t.Errorf("%+v, %v", o, err)
	}
}

func TestWhatIfRefuses(t *testing.T) {
	rec := inspectedRecord(t, handRows()[5].stated...)
	for want, s := range map[string]Supposition{
		"there is no mark 9":           {Without: 9},
		"there is no mark 8":           {Mark: 8, Depth: record.Through},
		"there is no mark 7":           {Mark: 7, Kind: "ding"},
		`cannot be "bottomless"`:       {Mark: 1, Depth: "bottomless"},
		`does not know`:                {Mark: 1, Kind: "gnawing"},
		`no part "bellows"`:            {Part: "bellows", Sound: true},
		`no state "fine"`:              {Part: record.Nut, State: "fine"},
		"there are marks on the frets": {Part: record.Frets, Sound: true},
	} {
		if o, err := WhatIf(rec, testDrawing(), Default(), s); err == nil || o != nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if _, err := WhatIf(rec, testDrawing(), Default(), Supposition{Without: 1}, Supposition{Without: 1}); err == nil {
		t.Error("a mark was left out twice")
	}
}
