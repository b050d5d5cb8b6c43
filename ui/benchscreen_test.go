//go:build ci

package ui

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/pdfout/sign"
)

// stocked adds invented instruments with dates to a bench: batteries, next
// examinations, reports sent out.
func stocked(t *testing.T, b *bench.Bench) {
	t.Helper()
	if err := b.SetSettings(bench.Settings{Shop: "Fen Street Instruments", Examiner: "R. Calloway", ExamineEvery: 24}); err != nil {
		t.Fatal(err)
	}
	begin := func(in record.Instrument, p record.Purpose, cs ...record.Change) *bench.Exam {
		t.Helper()
		ex, err := b.Begin("", p, in)
		if err != nil {
			t.Fatal(err)
		}
		if len(cs) > 0 {
			if err := ex.Do("entries", cs...); err != nil {
				t.Fatal(err)
			}
		}
		return ex
	}
	set := func(target string, v any) record.Change {
		c, err := record.Set(target, v)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	battery := func(place, fitted, expires string) record.Change {
		return set("component/"+place, record.Component{ID: place, Kind: record.BatteryComponent, Place: place, Battery: &record.Battery{Type: "9 V block", Fitted: fitted, Every: 12, Expires: expires}})
	}
	seen := func(id record.PartID, s record.State) record.Change {
		return set("part/"+string(id), record.Part{ID: id, State: s, Inspected: true})
	}
	begin(record.Instrument{Class: "flat-top auditorium", Maker: "Merrow & Finch", Model: "No. 3", Year: "1962", Serial: "MF 318"}, record.Periodic,
		battery("preamplifier", "2025-10-02", ""), seen(record.Top, record.Original), seen(record.Neck, record.LaterReplacement))
	sent := begin(record.Instrument{Class: "electric bass rounded", Maker: "Halden & Rowe", Model: "Greyling", Year: "1979", Serial: "B-2207"}, record.BeforeDispatch,
		battery("back cavity", "2026-06-20", "2026-12"), seen(record.FrontFinish, record.Refinished), seen(record.Tuners, record.Original),
		set(record.MarkTarget(1), record.Mark{Number: 1, Kind: "ding", Depth: record.Depths()[1], On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: 20, Y: 700}}}}}))
	if err := sent.SetIssued(record.Issued{Number: "CR-2026-0007", At: clock().AddDate(0, -2, 0), File: "reports/CR-2026-0007.pdf"}); err != nil {
		t.Fatal(err)
	}
	long := begin(record.Instrument{Class: "violin", Maker: "labelled “Anselm Tarry, in the yard behind the old granary”", Model: "after a pattern of an earlier workshop", Year: "1921"}, record.BeforeListing)
	e := long.Record().Examination
	e.NextDue = "2027-03-01"
	if err := long.Do("date", set("examination", e)); err != nil {
		t.Fatal(err)
	}
}

// stockedWindow is a window on a bench with several instruments.
func stockedWindow(t *testing.T, size fyne.Size, dark bool) *Window {
	t.Helper()
	w := newWindow(t, size, dark)
	dir, _ := demoBench(t)
	b, err := bench.Open(dir, bench.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	stocked(t, b)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if err := w.OpenBench(dir, false); err != nil {
		t.Fatal(err)
	}
	return w
}

// TestBenchStands renders the list of instruments and what is due.
func TestBenchStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := stockedWindow(t, v.size, v.dark)
			look := func(name string, want ...string) {
				t.Helper()
				img := capture(t, w, name+"-"+v.name)
				if b := img.Bounds(); b.Dx() != int(v.size.Width) {
					t.Errorf("the picture is %v", b)
				}
				s := lookAt(w)
				for _, f := range s.faults() {
					t.Errorf("%s: %s", name, f)
				}
				for _, text := range want {
					if !s.has(text) {
						t.Errorf("%s does not say %q", name, text)
					}
				}
			}
			capture(t, w, "bench-rows-"+v.name) // asks for the answers of the rows in sight
			look("bench-rows", "Condition", "Next due", "Merrow & Finch No. 3, 1962", "Battery change", "overdue since 2026-10-02", "Countersignature", "2027-03-01",
				"CR-2026-0007", "Fen Street Instruments", "Due · 6", "2 overdue", "130", "of 132", "2 parts changed")
			w.listed.which.Set(1)
			w.listed.choose(1)
			look("bench-due", "Day", "Export calendar…", "overdue", "Merrow & Finch No. 3, 1962, No. MF 318", "9 V block, preamplifier: fitted 2025-10-02, changed every 12 months.",
				"Examination", "2027-03-01")
		})
	}
}

// TestBenchFinds types words: both lists show what they are found on.
func TestBenchFinds(t *testing.T) {
	w := stockedWindow(t, large, false)
	s := w.listed
	if len(s.rows) != 4 {
		t.Fatalf("%d rows", len(s.rows))
	}
	test.Type(s.search.Entry(), "greyling")
	if len(s.rows) != 1 || s.rows[0].Title != "Halden & Rowe Greyling, 1979" {
		t.Errorf("%+v", s.rows)
	}
	s.choose(1)
	if len(s.dues) != 3 {
		t.Errorf("%d things due on it", len(s.dues))
	}
	for _, d := range s.dues {
		if !strings.Contains(d.Name, "Greyling") {
			t.Errorf("%s is shown", d.Name)
		}
	}
	s.search.Entry().SetText("nowhere")
	settle(w)
	if !lookAt(w).has("Nothing is due on an instrument that holds these words.") {
		t.Error("an empty list says nothing")
	}
	s.search.Entry().SetText("")
	s.due.Select(0)
	if w.exam == nil || w.exam.ex.ID() != s.dues[0].Exam {
		t.Error("choosing a thing due does not open its examination")
	}
}

// TestAnswersAreKept looks at a bench twice: the second look finds the answers
// kept, and grading anew is needed for what changed only.
func TestAnswersAreKept(t *testing.T) {
	w := stockedWindow(t, large, false)
	capture(t, w, "bench-again")
	capture(t, w, "bench-again")
	w.ShowBench()
	for _, r := range w.listed.rows {
		if r.Answers == "" {
			t.Errorf("the answers of %s were not kept", r.Title)
		}
	}
	for _, r := range w.listed.rows {
		if !r.Issued && w.exam == nil {
			if err := w.OpenExam(r.Exam); err != nil {
				t.Fatal(err)
			}
		}
	}
	changed := w.exam.ex.ID()
	if err := w.exam.s.SetExamination("Note", func(e *record.Examination) { e.Note = "seen again" }); err != nil {
		t.Fatal(err)
	}
	w.toBench()
	for _, r := range w.listed.rows {
		if (r.Answers == "") != (r.Exam == changed) {
			t.Errorf("%s: answers %q", r.Title, r.Answers)
		}
	}
}

// TestExportCalendar exports what is due by the button and its sheet.
func TestExportCalendar(t *testing.T) {
	w := stockedWindow(t, small, false)
	w.listed.choose(1)
	w.askCalendar()
	capture(t, w, "sheet-calendar")
	if !lookAt(w).has("Export calendar") {
		t.Fatal("no sheet")
	}
	w.escape()
	path := filepath.Join(t.TempDir(), "due.ics")
	if err := w.listed.model.SaveCalendar(path); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil || bytes.Count(data, []byte("\r\nBEGIN:VEVENT\r\n")) != 6 { // with that of the demonstration, which names its next examination
		t.Errorf("%v, %s", err, data)
	}
	other := filepath.Join(t.TempDir(), "letter.ics")
	if err := os.WriteFile(other, []byte("Dear buyer"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := w.listed.model.SaveCalendar(other); err == nil {
		t.Error("another file was replaced")
	}
}

// TestDroppedCountersigned drops a report that came back countersigned: the
// window offers to keep it, keeps it, and it is no longer due.
func TestDroppedCountersigned(t *testing.T) {
	w := bareWindow(t, large, false)
	if err := w.exam.s.SetExamination("Purpose", func(e *record.Examination) { e.Purpose = record.BeforeDispatch }); err != nil {
		t.Fatal(err)
	}
	id, err := sign.NewKey(sign.Subject{Name: "R. Calloway"}, clock(), counting{})
	if err != nil {
		t.Fatal(err)
	}
	is, err := pdfout.Issue(context.Background(), w.bench, w.exam.ex, id, pdfout.IssueOptions{Now: clock()}, nil)
	if err != nil {
		t.Fatal(err)
	}
	w.toBench()
	if n, _ := w.listed.model.DueCount(); n != 1 {
		t.Fatalf("%d things due", n)
	}
	report, err := os.ReadFile(is.Path)
	if err != nil {
		t.Fatal(err)
	}
	var back bytes.Buffer
	if err := pdfout.Countersign(context.Background(), bytes.NewReader(report), int64(len(report)), &back, id, clock()); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "back.pdf")
	if err := os.WriteFile(path, back.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	w.dropped(fyne.NewPos(500, 400), []fyne.URI{storage.NewFileURI(path)})
	finish(t, w)
	capture(t, w, "sheet-returned")
	s := lookAt(w)
	if !s.has("Keep this countersigned copy") {
		t.Fatalf("the window says: %s", s.joined())
	}
	for _, f := range s.faults() {
		t.Error(f)
	}
	w.takeBack(path)
	finish(t, w)
	if _, ok := w.bench.Countersigned(is.Number); !ok {
		t.Error("it was not kept")
	}
	if n, _ := w.listed.model.DueCount(); n != 0 {
		t.Errorf("%d things are still due", n)
	}
	// The report itself is not offered.
	w.CheckReport(is.Path)
	finish(t, w)
	if lookAt(w).has("Keep this countersigned copy") {
		t.Error("a report that nobody countersigned is offered")
	}
}

// counting is randomness enough for a certificate's serial number.
type counting struct{}

func (counting) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(i*29 + 7)
	}
	return len(p), nil
}

// A bench of many instruments is shown quickly, however many there are.
func BenchmarkShowBench(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "bench")
	bn, err := bench.Open(dir, bench.Options{Create: true})
	if err != nil {
		b.Fatal(err)
	}
	for i := range 300 {
		ex, err := bn.Begin("", record.Intake, record.Instrument{Class: "thinline", Maker: "Halden & Rowe", Model: "Larkfoot", Serial: fmt.Sprint(i)})
		if err == nil {
			err = ex.Close()
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	w := New(context.Background(), test.NewTempApp(b), Options{Now: time.Now})
	w.win.Resize(large)
	w.bench = bn
	defer w.Close()
	for b.Loop() {
		w.ShowBench()
	}
}

// TestSettingsOfExaminingAgain looks at the sheet of settings, and reads months
// as they are typed.
func TestSettingsOfExaminingAgain(t *testing.T) {
	w := stockedWindow(t, small, false)
	w.askSettings()
	capture(t, w, "sheet-settings")
	s := lookAt(w)
	for _, f := range s.faults() {
		t.Error(f)
	}
	if !s.has("Examine again after, where an examination names no date") || !s.has("months") {
		t.Errorf("the sheet says: %s", s.joined())
	}
	for typed, want := range map[string]int{"": 0, " 12 ": 12, "0": 0, "a year": -1, "1.5": -1} {
		got, err := monthsOf(typed)
		if (err != nil) != (want < 0) || (err == nil && got != want) {
			t.Errorf("%q is read as %d, %v", typed, got, err)
		}
	}
}

// TestEmptyListsSpeak looks at a bench with nothing on it: both lists say so in
// whole sentences.
func TestEmptyListsSpeak(t *testing.T) {
	w := newWindow(t, small, false)
	if err := w.OpenBench(filepath.Join(t.TempDir(), "bench"), true); err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"Nothing on this bench yet. Drop photos on the window, or begin an examination.",
		"Nothing is due. Dates of batteries, of next examinations and of reports sent out are gathered here."} {
		w.listed.which.Set(i)
		w.listed.choose(i)
		capture(t, w, fmt.Sprintf("bench-empty-%d", i))
		s := lookAt(w)
		if !s.has(want) {
			t.Errorf("list %d does not say %q", i, want)
		}
		for _, f := range s.faults() {
			t.Error(f)
		}
	}
}
