package bench

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/record"
)

// issued is a bench with one issued report.
func issued(t *testing.T, content string) (*Bench, *Exam) {
	t.Helper()
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	rel, sum, err := b.WriteReport("CR-2026-0001", writes(content))
	must(t, err)
	must(t, ex.SetIssued(record.Issued{Number: "CR-2026-0001", File: rel, SHA256: sum, At: newClock().t}))
	return b, ex
}

func TestKeepCountersigned(t *testing.T) {
	report := "%PDF-1.7 " + strings.Repeat("a long report ", 9000)
	for name, x := range map[string]struct {
		number, copy string
		want         error
	}{
		"countersigned":   {"CR-2026-0001", report + "and more", nil},
		"other number":    {"CR-2026-0002", report + "and more", ErrNoSuchReport},
		"nothing added":   {"CR-2026-0001", report, ErrNotOurReport},
		"cut off":         {"CR-2026-0001", report[:40], ErrNotOurReport},
		"empty":           {"CR-2026-0001", "", ErrNotOurReport},
		"first byte":      {"CR-2026-0001", "X" + report[1:] + "and more", ErrNotOurReport},
		"last byte":       {"CR-2026-0001", report[:len(report)-1] + "X and more", ErrNotOurReport},
		"something else":  {"CR-2026-0001", "%PDF-1.7 another", ErrNotOurReport},
		"in another file": {"CR-2026-0001", "x" + report + "and more", ErrNotOurReport},
	} {
		t.Run(name, func(t *testing.T) {
			b, ex := issued(t, report)
			rel, known, err := b.KeepCountersigned(x.number, strings.NewReader(x.copy))
			if !errors.Is(err, x.want) || known {
				t.Fatalf("%q %v %v", rel, known, err)
			}
			is, _ := ex.Issued()
			if got, err := os.ReadFile(b.ReportPath(is.File)); err != nil || string(got) != report {
				t.Errorf("the report itself was changed: %v", err)
			}
			_, there := b.Countersigned("CR-2026-0001")
			if list, _ := os.ReadDir(filepath.Join(b.dir, reportsDir)); there != (x.want == nil) || len(list) != map[bool]int{true: 2, false: 1}[there] {
				t.Errorf("kept %v, %d files", there, len(list))
			}
			if x.want == nil {
				got, err := os.ReadFile(b.ReportPath(rel))
				if err != nil || !bytes.Equal(got, []byte(x.copy)) || rel != "reports/CR-2026-0001-countersigned.pdf" {
					t.Errorf("%s %v", rel, err)
				}
			}
		})
	}
}

// A copy that is kept is never replaced; the same one again is known.
func TestCountersignedOnce(t *testing.T) {
	b, _ := issued(t, "report")
	for i, x := range []struct {
		copy  string
		known bool
		want  error
	}{{"report by A", false, nil}, {"report by A", true, nil}, {"report by B", false, ErrCountersigned}, {"report by A and B", false, ErrCountersigned}, {"report", false, ErrCountersigned}} {
		_, known, err := b.KeepCountersigned("CR-2026-0001", strings.NewReader(x.copy))
		if known != x.known || !errors.Is(err, x.want) {
			t.Errorf("step %d: %v %v", i, known, err)
		}
	}
	if got, err := os.ReadFile(b.ReportPath("CR-2026-0001-countersigned.pdf")); string(got) != "report by A" {
		t.Errorf("%q %v", got, err)
	}
	for _, bad := range []string{"", "../x", "CR-2026-0001/..", "cr-2026-0001"} {
		if _, ok := b.Countersigned(bad); ok {
			t.Errorf("%q is kept", bad)
		}
		if _, _, err := b.KeepCountersigned(bad, strings.NewReader("report!")); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
	if n, err := b.NextNumber(newClock().t); err != nil || n != "CR-2026-0002" {
		t.Errorf("the next number is %s, %v", n, err)
	}
}

// Check names a countersigned copy that is damaged or belongs to nothing, and
// passes a sound one.
func TestCheckCountersigned(t *testing.T) {
	b, _ := issued(t, "report")
	check := func() string {
		t.Helper()
		found, err := b.Check(context.Background(), nil)
		must(t, err)
		var s []string
		for _, f := range found {
			s = append(s, f.Text)
		}
		return strings.Join(s, "\n")
	}
	rel, _, err := b.KeepCountersigned("CR-2026-0001", strings.NewReader("report by A"))
	must(t, err)
	if got := check(); got != "" {
		t.Error(got)
	}
	must(t, os.Chmod(b.ReportPath(rel), 0o644))
	must(t, os.WriteFile(b.ReportPath(rel), []byte("rep0rt by A"), 0o644))
	must(t, os.WriteFile(b.ReportPath("CR-2026-0009-countersigned.pdf"), []byte("what"), 0o644))
	got := check()
	for _, want := range []string{rel + " does not begin with the report as it was issued", "CR-2026-0009-countersigned.pdf belongs to no issued report"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %q", want, got)
		}
	}
}

// What is dated comes from journals and files alone: it is the same after the
// index was thrown away.
func TestDated(t *testing.T) {
	b, ex := issued(t, "report")
	next, err := b.Begin(ex.Record().Examination.Instrument, record.Periodic, record.Instrument{})
	must(t, err)
	plain := begin(t, b)
	e := next.Record().Examination
	e.NextDue = "2027-04-01"
	battery := record.Component{ID: "b", Kind: record.BatteryComponent, Place: "preamplifier", Battery: &record.Battery{Type: "9 V block", Fitted: "2026-01-10", Every: 12}}
	gone := record.Component{ID: "g", Kind: record.BatteryComponent, State: record.Missing, Battery: &record.Battery{Expires: "2020-01"}}
	must(t, next.Do("dates", set(t, "examination", e), set(t, "component/b", battery), set(t, "component/g", gone)))
	look := func() string {
		t.Helper()
		list, err := b.Dated()
		must(t, err)
		var s []string
		for _, d := range list {
			if d.Exam == plain.ID() {
				t.Error("an examination without dates is listed")
			}
			line := strings.Join([]string{d.Exam, d.Title, d.Serial, d.Number, d.NextDue, string(d.Purpose), d.Date.Format("2006-01-02"), d.IssuedAt.Format("2006-01-02")}, "|")
			for _, bt := range d.Batteries {
				line += "|" + bt.Place + " " + bt.Type + " " + bt.Fitted
			}
			if d.Countersigned {
				line += "|countersigned"
			}
			s = append(s, line)
		}
		return strings.Join(s, "\n")
	}
	want := next.ID() + "|Halden & Rowe Larkfoot Standard|41873||2027-04-01|periodic|2026-03-14|0001-01-01|preamplifier 9 V block 2026-01-10\n" +
		ex.ID() + "|Halden & Rowe Larkfoot Standard|41873|CR-2026-0001||intake|2026-03-14|2026-03-14"
	if got := look(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	_, _, err = b.KeepCountersigned("CR-2026-0001", strings.NewReader("report by A"))
	must(t, err)
	want += "|countersigned"
	if got := look(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	_, err = b.Rebuild(context.Background())
	must(t, err)
	if got := look(); got != want {
		t.Errorf("after a rebuild\n%s\nwant\n%s", got, want)
	}
}

// Answers are kept for the state they were made of and no other.
func TestKeepAnswers(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	ex := begin(t, b)
	row := func() Row {
		t.Helper()
		rows, err := b.Instruments()
		if err != nil || len(rows) != 1 {
			t.Fatal(rows, err)
		}
		return rows[0]
	}
	old := row()
	must(t, b.KeepAnswers(old, "78"))
	if got := row().Answers; got != "78" {
		t.Errorf("kept %q", got)
	}
	must(t, ex.Do("mark", mark(t, 1)))
	if got := row().Answers; got != "" {
		t.Errorf("after a change still %q", got)
	}
	must(t, b.KeepAnswers(old, "78"))
	if got := row().Answers; got != "" {
		t.Errorf("an answer of an older state was kept: %q", got)
	}
}

func TestExamineEvery(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	for n, ok := range map[int]bool{0: true, 12: true, 600: true, -1: false, 601: false} {
		if err := b.SetSettings(Settings{ExamineEvery: n}); (err == nil) != ok {
			t.Errorf("%d months: %v", n, err)
		}
	}
}
