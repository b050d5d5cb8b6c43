package archive_test

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// filedYears is an archive with the reports of archivetest.Years in it; the
// hashes are in the order of the examinations.
func filedYears(t *testing.T) (*archive.Archive, []string) {
	t.Helper()
	a, out, _ := filedYearsIn(t)
	return a, out
}

// filedYearsIn also gives the archive's folder.
func filedYearsIn(t *testing.T) (*archive.Archive, []string, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: func() time.Time { return archivetest.When }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	return a, fileYears(t, a), dir
}

// fileYears files the reports of archivetest.Years.
func fileYears(t *testing.T, a *archive.Archive) []string {
	t.Helper()
	paths, err := archivetest.Years(t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]string{}
	tally, err := a.File(context.Background(), paths, archive.FileOptions{Done: func(o archive.Outcome) { by[o.Source] = o.Hash }})
	if err != nil || tally.Filed != len(paths) {
		t.Fatalf("filed %+v: %v", tally, err)
	}
	var out []string
	for _, p := range paths {
		out = append(out, by[filepath.Base(p)])
	}
	return out
}

func instrument(t *testing.T, a *archive.Archive, hash string) archive.Instrument {
	t.Helper()
	i, err := a.Instrument(hash)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

func dates(i archive.Instrument) string {
	var out []string
	for _, r := range i.Reports {
		out = append(out, r.Date)
	}
	return strings.Join(out, " ")
}

// TestFourExaminations has a made instrument over eight years tell exactly what
// was made to happen to it.
func TestFourExaminations(t *testing.T) {
	a, h := filedYears(t)
	// Of one bench and key: together by themselves. The others are not.
	if got := dates(instrument(t, a, h[0])); got != "2018-05-02 2022-09-08" {
		t.Errorf("by itself: %s", got)
	}
	if got := dates(instrument(t, a, h[1][:12])); got != "2020-03-17" {
		t.Errorf("the second: %s", got)
	}
	// The others are proposed, strongly.
	al, err := a.Alike(context.Background(), h[3], 10)
	if err != nil {
		t.Fatal(err)
	}
	if len(al.Proposals) != 2 || al.Proposals[0].Strength != archive.Strong || al.Proposals[1].Strength != archive.Strong {
		t.Errorf("proposed: %+v", al.Proposals)
	}
	if err := a.Join("R. Calloway", "serial number and three marks", h[3], h[1], h[2]); err != nil {
		t.Fatal(err)
	}
	hist, err := a.History(instrument(t, a, h[2]))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, l := range hist.Looks {
		if l.Trouble != "" {
			t.Errorf("%s: %s", l.Report.Date, l.Trouble)
		}
		got = append(got, l.Report.Date+" "+l.By())
		for _, c := range l.Changes {
			got = append(got, "  "+c.Text)
		}
	}
	compareLines(t, "changes", got, wantChanges)
	got = nil
	for _, m := range hist.Marks {
		line := m.Title + " |"
		for _, c := range m.Cells {
			line += " " + strings.TrimSpace(string(c.Fate)+" "+c.Size) + " |"
		}
		got = append(got, line)
	}
	compareLines(t, "marks", got, wantMarks)
	got = nil
	for _, c := range hist.Contradictions {
		got = append(got, c.Text)
	}
	compareLines(t, "contradictions", got, wantContradictions)
	got = nil
	for _, x := range hist.Held {
		got = append(got, strings.TrimSpace(x.Date+" "+x.Who+" "+x.How))
	}
	compareLines(t, "held", got, wantHeld)
	if len(hist.Decisions) != 1 || hist.Decisions[0].By != "R. Calloway" {
		t.Errorf("decisions %+v", hist.Decisions)
	}
	photosOf(t, a, hist)
}

var wantChanges = []string{
	"2018-05-02 Fen Street Instruments",
	"2020-03-17 Alder Lane Strings",
	"  Gone with the part: chip, through the finish, front, lower treble bout (front finish: refinished).",
	"  New: closed crack, through the finish, back, by the bridge (mark 3, 40.0 ± 0.3 mm).",
	"  Front finish: refinished, original before.",
	"  Index 97.3, 98.7 before. Not the same parts were inspected.",
	"  Originality 83.8 %, 100.0 % before. Not the same parts were judged.",
	"2022-09-08 Fen Street Instruments",
	"  Repaired: closed crack, through the finish, back, by the bridge (mark 1, mark 3 on 2020-03-17): now a repaired crack.",
	"  Grown: ding, in the finish, front, lower bass bout (mark 2, mark 1 on 2020-03-17): 3.2 to 5.5 mm.",
	"  Tuners: later replacement, original before.",
	"  Index 98.4, 97.3 before. Not the same parts were inspected.",
	"  Originality 84.4 %, 83.8 % before. Not the same parts were judged.",
	"2026-06-30 Old Quay Guitars",
	"  New: ding, through the finish, back, lower bass bout (mark 4, 2.0 ± 0.3 mm).",
	"  Index 98.3, 98.4 before.",
	"  Playing: 131 clean of 132; 132 clean of 132 before.",
}

var wantMarks = []string{
	"Ding, in the finish | 3.0 ± 0.3 mm | unchanged 3.2 ± 0.3 mm | grown 5.5 ± 0.3 mm | unchanged 5.4 ± 0.3 mm |",
	"Chip, through the finish | 5.0 ± 0.3 mm | gone with the part |  |  |",
	"Finish check, in the finish |  | unchanged | unchanged | unchanged |",
	"Repaired crack, in the finish |  | new 40.0 ± 0.3 mm | repaired 41.0 ± 0.3 mm | unchanged 40.5 ± 0.3 mm |",
	"Ding, through the finish |  |  |  | new 2.0 ± 0.3 mm |",
}

var wantContradictions = []string{
	"Front finish: Fen Street Instruments on 2018-05-02 says original, Alder Lane Strings on 2020-03-17 says refinished. Either work was done in between, or one of them is wrong. One mark of the old finish stands in both reports at the same place, which speaks against it.",
}

var wantHeld = []string{
	"2018-05-02 Fen Street Instruments had it on that day and examined it, intake",
	"2018-05-02  said of owners: One owner from new; by the seller (stated)",
	"2020-03-17 Alder Lane Strings had it on that day and examined it, on receipt",
	"2020-03-17  said of provenance: Bought from an estate; by the seller (stated)",
	"2022-09-08 Fen Street Instruments had it on that day and examined it, before dispatch",
	"2026-06-30 Old Quay Guitars had it on that day and examined it, periodic",
}

func compareLines(t *testing.T, what string, got, want []string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("%s:\n%s\nwant:\n%s", what, strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func photosOf(t *testing.T, a *archive.Archive, h *archive.History) {
	t.Helper()
	views := h.Views()
	if len(views) != 2 || views[0].View != "front" || slices.Contains(views[0].Photos, "") {
		t.Fatalf("views %+v", views)
	}
	for i, id := range views[0].Photos {
		m, err := a.Pictures(context.Background(), h.Looks[i].Report.Hash, []string{id, "nothing"}, 300)
		if err != nil || len(m) != 1 || m[id].Bounds().Dx() != 300 || m[id].Bounds().Dy() != 200 {
			t.Errorf("photo of %s: %v (%v)", h.Looks[i].Report.Date, m, err)
		}
	}
}
