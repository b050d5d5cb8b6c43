package view

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
)

// onDay is a clock that stands still on a day.
func onDay(day string) func() time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err)
	}
	return func() time.Time { return t.Add(15 * time.Hour) }
}

// dueBench is a bench with a draft whose battery is due, and an examination
// issued before dispatch.
func dueBench(t *testing.T) *bench.Bench {
	t.Helper()
	b, err := bench.Open(filepath.Join(t.TempDir(), "bench"), bench.Options{Now: onDay("2026-11-14"), Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	first, err := b.Begin("", record.Intake, record.Instrument{Class: "thinline", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873"})
	if err == nil {
		var c record.Change
		if c, err = record.Set("component/b", record.Component{ID: "b", Kind: record.BatteryComponent, Place: "case", Battery: &record.Battery{Type: "AA", Fitted: "2026-01-31", Every: 1}}); err == nil {
			err = first.Do("battery", c)
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	second, err := b.Begin("", record.BeforeDispatch, record.Instrument{Class: "violin", Maker: "Anselm Tarry"})
	if err == nil {
		err = second.SetIssued(record.Issued{Number: "CR-2026-0001", At: onDay("2026-11-10")(), File: "reports/CR-2026-0001.pdf"})
	}
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestBenchRowsSayWhatIsDue(t *testing.T) {
	v, err := NewBench(dueBench(t), onDay("2026-11-14"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := v.Rows()
	if err != nil || len(rows) != 2 {
		t.Fatal(rows, err)
	}
	got := map[string]string{}
	for _, r := range rows {
		got[r.Title] = r.Due + "|" + r.On + "|" + r.State
	}
	want := map[string]string{"Halden & Rowe Larkfoot Standard, 1974": "Battery change|overdue since 2026-02-28|draft", "Anselm Tarry": "Countersignature|2026-12-10|CR-2026-0001"}
	for k, w := range want {
		if got[k] != w {
			t.Errorf("%s: %q, not %q", k, got[k], w)
		}
	}
	if all, late := v.DueCount(); all != 2 || late != 1 {
		t.Errorf("%d due, %d overdue", all, late)
	}
	v.Query = "tarry"
	due, err := v.DueRows()
	if err != nil || len(due) != 1 || due[0].Name != "Anselm Tarry" || due[0].Late != "" || due[0].When != "2026-12-10" || due[0].Job != "Countersignature" {
		t.Errorf("%+v %v", due, err)
	}
}

// What is due follows the bench's own rule, read anew.
func TestBenchRule(t *testing.T) {
	b := dueBench(t)
	v, err := NewBench(b, onDay("2026-11-14"))
	if err != nil {
		t.Fatal(err)
	}
	if err := b.SetSettings(bench.Settings{ExamineEvery: 12}); err != nil {
		t.Fatal(err)
	}
	if err := v.Reckon(); err != nil {
		t.Fatal(err)
	}
	due, err := v.DueRows()
	if err != nil || len(due) != 3 || due[2].Job != "Examination" || due[2].When != "2027-11-14" {
		t.Errorf("%+v %v", due, err)
	}
}

// Answers are found once, kept, and found anew after a change and under another
// rubric. An examination that cannot be graded says so.
func TestGrader(t *testing.T) {
	b := dueBench(t)
	row := func(title string) bench.Row {
		t.Helper()
		rows, err := b.Instruments()
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			if strings.HasPrefix(r.Title, title) {
				return r
			}
		}
		t.Fatalf("no %s", title)
		return bench.Row{}
	}
	g := NewGrader(b)
	if _, ok := g.Known(row("Halden")); ok {
		t.Error("answers are known before they were found")
	}
	a, err := g.Find(row("Halden"))
	if err != nil || a[0].Text() != "– (nothing inspected)" || a[2].Text() != "– (not tried)" {
		t.Errorf("%+v %v", a, err)
	}
	if k, ok := g.Known(row("Halden")); !ok || k != a {
		t.Errorf("kept %+v %v", k, ok)
	}
	if _, ok := (&Grader{b, "another"}).Known(row("Halden")); ok {
		t.Error("answers by another rubric are taken")
	}
	ex, err := b.OpenExam(row("Halden").Exam)
	if err != nil {
		t.Fatal(err)
	}
	part, err := record.Set("part/neck", record.Part{ID: record.Neck, State: record.Original, Inspected: true})
	if err == nil {
		err = ex.Do("neck", part)
	}
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := g.Known(row("Halden")); ok {
		t.Error("the answers outlived a change")
	}
	if a, err = g.Find(row("Halden")); err != nil || a[0].Text() != "100 (provisional)" || a[1].Text() != "100 (0 parts changed)" {
		t.Errorf("%+v %v", a, err)
	}
	odd, err := record.Set("instrument", record.Instrument{Class: "no such class", Maker: "Halden"})
	if err == nil {
		err = ex.Do("class", odd)
	}
	if err != nil {
		t.Fatal(err)
	}
	if a, err = g.Find(row("Halden")); err != nil || a[0].Text() != "– (not graded)" {
		t.Errorf("%+v %v", a, err)
	}
	if _, err = g.Find(bench.Row{Exam: "none"}); err == nil {
		t.Error("an examination that is not there was graded")
	}
}

func TestRowAnswerText(t *testing.T) {
	for want, a := range map[string]RowAnswer{"130 of 132": {"130", "of 132"}, "78 (honestly worn)": {"78", "honestly worn"}, "–": {"–", ""}} {
		if got := a.Text(); got != want {
			t.Errorf("%q, not %q", got, want)
		}
	}
}

// A calendar is replaced, nothing else is; names and folders that cannot be are
// refused.
func TestSaveCalendar(t *testing.T) {
	v, err := NewBench(dueBench(t), onDay("2026-11-14"))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "due.ICS")
	for range 2 {
		if err := v.SaveCalendar(file); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(file)
	if err != nil || strings.Count(string(data), "BEGIN:VEVENT") != 2 {
		t.Errorf("%v: %s", err, data)
	}
	for name, content := range map[string]string{"letter.ics": "Dear buyer", "short.ics": "BEG", "empty.ics": ""} {
		other := filepath.Join(dir, name)
		if err := os.WriteFile(other, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := v.SaveCalendar(other); err == nil || !strings.Contains(err.Error(), "give another name") {
			t.Errorf("%s: %v", name, err)
		}
		if got, _ := os.ReadFile(other); string(got) != content {
			t.Errorf("%s was changed", name)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "folder.ics"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"folder.ics", "due", "due.txt", filepath.Join("none", "due.ics")} {
		if err := v.SaveCalendar(filepath.Join(dir, bad)); err == nil {
			t.Errorf("%s was written", bad)
		}
	}
}
