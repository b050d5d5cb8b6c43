package view

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/dating"
	"wornwood/annotate/grade"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// datingBench is a bench with one examination of an instrument claimed to be of
// 1974, and the screen's model on it.
func datingBench(t *testing.T) (*bench.Bench, *annotate.Session, *Dating) {
	t.Helper()
	now := func() time.Time { return time.Date(2026, 11, 14, 12, 0, 0, 0, time.UTC) }
	b, err := bench.Open(filepath.Join(t.TempDir(), "bench"), bench.Options{Create: true, Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	ex, err := b.Begin("", record.Intake, record.Instrument{Class: "solid-body double-cutaway", Maker: "Halden & Rowe", Year: "1974", Serial: "41873"})
	if err != nil {
		t.Fatal(err)
	}
	s, err := annotate.Open(ex, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	return b, s, NewDating(s, func() []dating.Table { return dating.Load(b) }, now)
}

func fieldOf(t *testing.T, v *Dating, label string) Field {
	t.Helper()
	for _, f := range v.Fields() {
		if f.Label == label {
			return f
		}
	}
	t.Fatalf("the form has no field %q", label)
	return Field{}
}

func labels(v *Dating) string {
	var out []string
	for _, f := range v.Fields() {
		out = append(out, f.Label)
	}
	return strings.Join(out, ", ")
}

func TestDatingForm(t *testing.T) {
	_, s, v := datingBench(t)
	if v.Fields() != nil || v.Selected() != nil {
		t.Error("a form without a selected piece")
	}
	if err := v.Add(record.CodeEvidence); err != nil {
		t.Fatal(err)
	}
	if got := labels(v); got != "Kind, What, Code, Allows years, Year, Source, Note, Set aside, because" {
		t.Errorf("a new code asks for %s", got)
	}
	set := func(label, text string) {
		t.Helper()
		if err := fieldOf(t, v, label).Set(text); err != nil {
			t.Errorf("%s %q: %v", label, text, err)
		}
	}
	set("Code", "137634")
	set("What", "tone potentiometer")
	if got := labels(v); !strings.Contains(got, "Not before, Not after") {
		t.Errorf("a code that is entered asks for %s", got)
	}
	_, rows := v.Chart()
	if len(rows) != 1 || rows[0].Brief != "week 34 of 1956 or later" || !rows[0].Selected || !rows[0].Listed || rows[0].Name != "Tone potentiometer" {
		t.Fatalf("rows %+v", rows)
	}
	set("Not before", "1960")
	if got := v.Result().Allows.Words(); got != "week 34 of 1966 or later" {
		t.Errorf("with its decade known it allows %s", got)
	}
	for label, text := range map[string]string{"Not after": "74", "Not before": "soon"} {
		if err := fieldOf(t, v, label).Set(text); err == nil || !strings.Contains(err.Error(), "is not a year of four digits") {
			t.Errorf("%s %q: %v", label, text, err)
		}
	}
	undo := s.Scene().Undo
	set("What", " tone potentiometer ")
	if s.Scene().Undo != undo {
		t.Error("setting the same made an entry")
	}
}

// Another kind asks for other things and has another usual bound.
func TestDatingFormOfDocument(t *testing.T) {
	_, s, v := datingBench(t)
	if err := v.Add(record.CodeEvidence); err != nil {
		t.Fatal(err)
	}
	set := func(label, text string) {
		t.Helper()
		if err := fieldOf(t, v, label).Set(text); err != nil {
			t.Errorf("%s %q: %v", label, text, err)
		}
	}
	set("Kind", string(record.DocumentEvidence))
	if e := s.Scene().Record.Evidence[0]; e.Bound != record.InOrBefore {
		t.Errorf("a document allows %q", e.Bound)
	}
	set("Year", "1975")
	if e := s.Scene().Record.Evidence[0]; e.To != 1975 || e.From != 0 {
		t.Errorf("its year stands as %d to %d", e.From, e.To)
	}
	set("Allows years", string(record.Within))
	set("From", "1974")
	if got := v.Result().Allows.Words(); got != "1974 to 1975" {
		t.Errorf("within allows %s", got)
	}
	set("Set aside, because", "of another instrument")
	if _, rows := v.Chart(); rows[0].Sign != "–" || !strings.Contains(rows[0].SignWords, "of another instrument") || v.Result().Counted != 0 {
		t.Errorf("set aside: %+v", rows[0])
	}
	if err := v.Remove(); err != nil || v.Selected() != nil || len(s.Scene().Record.Evidence) != 0 {
		t.Errorf("removed: %v", err)
	}
	if err := v.Remove(); err == nil {
		t.Error("nothing was removed without an error")
	}
}

func TestDatingDecodesLive(t *testing.T) {
	_, _, v := datingBench(t)
	for _, c := range []struct {
		code, says string
		bad        bool
	}{
		{"", "as it stands on the part", false},
		{"1376", "5 to 8 digits", true},
		{"137634", "Source 137 (CTS), week 34 of 1956, 1966 or 1976. Week 34 lies about August.", false},
		{"137-6634", "Source 137 (CTS), week 34 of 1966.", false},
		{"137-6654", "no week of 01 to 53", true},
	} {
		if words, bad := v.Decode(c.code); !strings.Contains(words, c.says) || bad != c.bad {
			t.Errorf("%q: %q, bad %v", c.code, words, bad)
		}
	}
}

func TestDatingFilesAndFeatures(t *testing.T) {
	b, s, v := datingBench(t)
	if _, err := b.SetTable(bench.FeatureTable, ".csv", []byte("for,feature,in or after,in or before,source\nHalden,three-ply guard,1971,1978,day book\nMerrow,round soundhole,1950,,\n")); err != nil {
		t.Fatal(err)
	}
	c, err := record.Set(record.AttachmentTarget(strings.Repeat("a", 64)), record.Attachment{ID: strings.Repeat("a", 64), Name: "receipt.pdf", Kind: "document", Type: "application/pdf", Size: 1})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Do("Attach", c); err != nil {
		t.Fatal(err)
	}
	if err := v.ToggleFile("receipt.pdf"); err == nil {
		t.Error("a file was tied to nothing")
	}
	if err := v.Add(record.FeatureEvidence); err != nil {
		t.Fatal(err)
	}
	if got := v.Features(); len(got) != 1 || got[0] != "three-ply guard, 1971 to 1978" {
		t.Fatalf("offered %q", got)
	}
	if err := v.TakeFeature(v.Features()[0]); err != nil {
		t.Fatal(err)
	}
	if e := s.Scene().Record.Evidence[0]; e.What != "three-ply guard" || e.From != 1971 || e.To != 1978 || e.Source != "day book" || e.Bound != record.Within {
		t.Errorf("taken as %+v", e)
	}
	if err := v.TakeFeature("another"); err == nil {
		t.Error("a feature of no table was taken")
	}
	if err := v.ToggleFile("receipt.pdf"); err != nil || strings.Join(v.FileNames(), "") != "receipt.pdf" {
		t.Errorf("tied %q, %v", v.FileNames(), err)
	}
	if err := s.Do("Detach", record.Remove(c.Target)); err != nil {
		t.Fatal(err)
	}
	if got := v.FileNames(); len(got) != 1 || !strings.Contains(got[0], "not here any more") {
		t.Errorf("a file that went away is called %q", got)
	}
}

// The rail's dot says how far the dating is.
func TestDatingItem(t *testing.T) {
	_, s, v := datingBench(t)
	want := func(p Progress, why string) {
		t.Helper()
		if it := datingItem(s.Scene()); it.Progress != p || !strings.Contains(it.Why, why) {
			t.Errorf("%v %q, want %v %q", it.Progress, it.Why, p, why)
		}
	}
	want(NotStarted, "no dated thing")
	if err := v.Add(record.DocumentEvidence); err != nil {
		t.Fatal(err)
	}
	want(SomethingMissing, "1 piece of evidence has no date")
	if err := fieldOf(t, v, "Year").Set("1975"); err != nil {
		t.Fatal(err)
	}
	want(Complete, "")
	if err := fieldOf(t, v, "Year").Set("1970"); err != nil {
		t.Fatal(err)
	}
	want(SomethingMissing, "contradicts the claimed year")
	if _, err := s.AddEvidence(record.Evidence{Kind: record.FeatureEvidence, From: 1971}); err != nil {
		t.Fatal(err)
	}
	want(SomethingMissing, "contradicts itself")
}

func TestOwnTables(t *testing.T) {
	b, _, v := datingBench(t)
	m := NewOwnTables(b)
	if got := m.Tables(); len(got) != 1 || got[0].Title != "No table is there yet." {
		t.Errorf("%+v", got)
	}
	fields := m.NewLine()
	for label, text := range map[string]string{"Pattern": "#####", "First number": "40000", "Last number": "44999", "From": "1973", "To": "1975", "For": "Halden", "Source": "day book"} {
		for _, f := range fields {
			if f.Label == label {
				if err := f.Set(text); err != nil || f.Get() != text {
					t.Errorf("%s: %v", label, err)
				}
			}
		}
	}
	if err := m.AddLine(); err != nil {
		t.Fatal(err)
	}
	v.Reload()
	if got := v.Result().Allows.Words(); got != "1973 to 1975" {
		t.Errorf("the serial number allows %s", got)
	}
	if got := m.Tables(); len(got) != 1 || len(got[0].Lines) != 1 || got[0].Lines[0].Words != "##### from 40000 to 44999: 1973 to 1975 · Halden · day book" || !got[0].Lines[0].Editable {
		t.Errorf("%+v", got)
	}
	if err := m.Add(dating.Serial{Pattern: "no", From: 1970}); err == nil || !strings.Contains(err.Error(), "has no #") {
		t.Errorf("a line without #: %v", err)
	}
	// A table with a bad line is shown, and is not written over.
	path := filepath.Join(b.Dir(), "tables", "serials.csv")
	bad := "pattern,from year\n#####,1970\n#####,\n"
	if err := os.WriteFile(path, []byte(bad), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := m.Add(dating.Serial{Pattern: "##", From: 1970}); err == nil || !strings.Contains(err.Error(), "mend the table first: tables/serials.csv, line 3") {
		t.Errorf("adding to a bad table: %v", err)
	}
	if got := m.Tables()[0]; len(got.Bad) != 1 || got.Lines[0].Editable {
		t.Errorf("%+v", got)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != bad {
		t.Errorf("the table was written over: %q %v", data, err)
	}
	for _, name := range []string{"none.csv", "table.txt", "."} {
		if _, err := m.Import("serials", filepath.Join(t.TempDir(), name)); err == nil {
			t.Errorf("%s was brought in", name)
		}
	}
}
