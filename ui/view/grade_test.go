package view

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// marked is an examination with everything but the electronics inspected, a
// ding on the front and a break of the headstock.
func marked(t *testing.T) *annotate.Session {
	t.Helper()
	s := opened(t)
	must(t, s.SetAllParts(record.Original, true))
	must(t, s.SetPart(record.Electronics, "State", func(p *record.Part) { p.Inspected = false }))
	must(t, s.SetPart(record.Tuners, "State", func(p *record.Part) { p.State = record.LaterReplacement }))
	share := 0.3
	for n, m := range map[int]record.Mark{1: {Number: 1, Kind: "ding", Depth: record.IntoWood, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: -60, Y: 690}}}}},
		2: {Number: 2, Kind: "headstock break", Depth: record.Through, On: []record.Place{{Part: record.Headstock, Coverage: &share}}}} {
		c, err := record.Set(record.MarkTarget(n), m)
		must(t, err)
		must(t, s.Do("Mark", c))
	}
	return s
}

func TestGradeExplainsALine(t *testing.T) {
	s := marked(t)
	v := NewGrade(s)
	if _, ok := v.Detail(); ok || v.Chosen() != -1 {
		t.Error("a line is explained before one was chosen")
	}
	v.Choose(1)
	d, ok := v.Detail()
	if !ok || d.Mark != 2 || d.Title != "Mark 2: headstock break, glued and sound" {
		t.Fatalf("%+v", d)
	}
	how := strings.Join(d.How, " ")
	for _, want := range []string{"Importance 2 (structure or function lost) and intensity 1 make score 5, factor 1.70.", "30 % of the headstock, whose share is 7 %: by itself it adds 0.2100", "points lost."} {
		if !strings.Contains(how, want) {
			t.Errorf("%q is missing in %q", want, how)
		}
	}
	if len(d.If) != 3 || d.If[0].Words != "Without it" || !strings.Contains(d.If[0].Figures, "honestly worn → clean") || d.If[1].Words != "As “hairline”" {
		t.Errorf("%+v", d.If)
	}
	// The same question is not computed twice, and an edit asks anew.
	first := v.outcome(grade.Supposition{Without: 2})
	if v.outcome(grade.Supposition{Without: 2}) != first {
		t.Error("an outcome is computed twice")
	}
	must(t, s.SetPart(record.Nut, "Note", func(p *record.Part) { p.Note = "bone" }))
	if v.outcome(grade.Supposition{Without: 2}) == first {
		t.Error("an outcome outlives an edit")
	}
	rows := v.Ledger()
	if last := rows[len(rows)-1]; last.Mark == 0 {
		v.Choose(len(rows) - 1)
		if d, ok := v.Detail(); !ok || d.Mark != 0 || len(d.If) != 1 {
			t.Errorf("the cap's line: %+v", d)
		}
	}
}

func TestGradeNotesAndBar(t *testing.T) {
	s := marked(t)
	v := NewGrade(s)
	if h := v.Headline(); !strings.Contains(h, "class 3 of 6: honestly worn. Range ") {
		t.Errorf("%q", h)
	}
	n := v.Notes()
	if len(n) != 1 || !strings.Contains(n[0], "Mark 2, a structural flaw on 30 % of the headstock, holds the instrument to class 3, an index of at most 80.0. Without it: ") {
		t.Errorf("%q", n)
	}
	b := v.Bar()
	if b.Index == nil || !b.Range || b.Class != 3 || b.Limit >= 100 || len(b.Classes) != 6 || b.Low >= b.High {
		t.Errorf("%+v", b)
	}
	u := v.Unseen()
	if len(u) != 1 || u[0].Part != record.Electronics || u[0].Sound == "–" || !strings.Contains(u[0].WornOut, "heavily worn") && !strings.Contains(u[0].WornOut, ".") {
		t.Errorf("%+v", u)
	}
	must(t, s.SetPart(record.FrontFinish, "Inspection", func(p *record.Part) { p.Inspected = false }))
	must(t, s.SetPart(record.BackFinish, "Inspection", func(p *record.Part) { p.Inspected = false }))
	if n = v.Notes(); len(n) != 2 || !strings.Contains(n[1], "Provisional: 76 % of the whole was inspected, 4.0 % more is needed for 80 %. Not inspected: back finish 12 %, electronics 12 %.") {
		t.Errorf("%q", n)
	}
}

func TestOriginalityLineByLine(t *testing.T) {
	v := NewGrade(marked(t))
	sum := 0.0
	for _, r := range v.States() {
		if r.Part == record.Tuners && (r.State != "later replacement" || r.Takes != "−3.0") {
			t.Errorf("%+v", r)
		}
		sum++
	}
	if sum != 13 || !strings.HasPrefix(v.OriginalityWords(), "97.0 of 100") {
		t.Errorf("%v parts, %q", sum, v.OriginalityWords())
	}
	if v.IfStates() != nil {
		t.Error("states of no part")
	}
	v.ChoosePart(record.Tuners)
	if ifs := v.IfStates(); len(ifs) != 6 || ifs[0] != (WhatIf{"Original", "100.0"}) {
		t.Errorf("%+v", ifs)
	}
}

func TestGradeByAnotherRubric(t *testing.T) {
	b, err := bench.Open(t.TempDir(), bench.Options{Create: true})
	must(t, err)
	t.Cleanup(func() { b.Close() })
	ex, err := b.Begin("", record.Intake, record.Instrument{Class: "violin"})
	must(t, err)
	s, err := annotate.OpenFor(ex, b)
	must(t, err)
	v := NewGrade(s)
	if r := v.Rubric(); r.Origin != "" || !r.Usual || r.Hash != grade.Default().Hash() {
		t.Errorf("%+v", r)
	}
	data, err := v.CopyOfRubric()
	must(t, err)
	file := filepath.Join(t.TempDir(), "house.json")
	must(t, SaveRubric(file, data))
	if err := SaveRubric(file, data); err == nil {
		t.Error("a file is written over")
	}
	data, err = ReadRubric(file)
	must(t, err)
	r, err := v.UseRubric(b, bytes.Replace(data, []byte(`"haloMM": 10`), []byte(`"haloMM": 12`), 1), true)
	must(t, err)
	if s.Rubric().Hash() != r.Hash() || b.ChosenRubric() != r.Hash() || !strings.Contains(strings.Join(v.RubricWords(), " "), "Changed by the shop from "+grade.Default().Name) {
		t.Errorf("graded by %s, chosen %s", s.Rubric().Title(), b.ChosenRubric())
	}
	must(t, v.UseUsual())
	if s.Rubric() != grade.Default() {
		t.Error("not back to the newest")
	}
	if err := os.WriteFile(file, bytes.Repeat([]byte{' '}, grade.MaxTable+9), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadRubric(file); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a huge file: %v", err)
	}
	if _, err := ReadRubric(t.TempDir()); err == nil {
		t.Error("a folder was read")
	}
}

// The table that people see has every kind, every class and every share.
func TestRubricTable(t *testing.T) {
	r := grade.Default()
	parts := RubricTable(r, "violin")
	if len(parts) != 4 || len(parts[0].Rows) != len(r.Kinds()) || len(parts[2].Rows) != 11 || len(parts[3].Rows) != 6 {
		t.Fatalf("%d parts", len(parts))
	}
	for _, p := range parts {
		for _, row := range p.Rows {
			if len(row) != len(p.Head) || row[0] == "" || row[1] == "" {
				t.Errorf("%s: %q", p.Name, row)
			}
		}
	}
}
