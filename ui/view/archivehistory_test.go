package view_test

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/ui/view"
)

func historyOf(t *testing.T) (*view.ArchiveHistory, *archive.Archive, []string) {
	t.Helper()
	work := t.TempDir()
	paths, err := archivetest.Years(work, nil)
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(work, "archive")
	if err := archive.Make(dir, "Fen Street", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: func() time.Time { return archivetest.When }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	by := map[string]string{}
	if _, err := a.File(context.Background(), paths, archive.FileOptions{Done: func(o archive.Outcome) { by[o.Source] = o.Hash }}); err != nil {
		t.Fatal(err)
	}
	var hashes []string
	for _, p := range paths {
		hashes = append(hashes, by[filepath.Base(p)])
	}
	m, err := view.NewArchiveHistory(a, hashes[0])
	if err != nil {
		t.Fatal(err)
	}
	return m, a, hashes
}

// TestArchiveHistory walks the model as the window does: proposals, joining,
// selecting, views.
func TestArchiveHistory(t *testing.T) {
	m, a, h := historyOf(t)
	if m.Count() != 2 || m.Selected() != 0 || m.Second() != "serial 41873, 2 examinations by 1 dealer, 2018-05-02 to 2022-09-08" {
		t.Errorf("%d, selected %d: %s", m.Count(), m.Selected(), m.Second())
	}
	list, words, err := m.Propose(context.Background(), m.Hash())
	if err != nil || len(list) != 2 || list[0].Strength != "Strong" || !strings.HasSuffix(words, "compared.") {
		t.Fatalf("proposed %+v: %s (%v)", list, words, err)
	}
	for _, p := range list {
		if err := m.Join(a, "R. Calloway", "serial number", p.Hash); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.Read(); err != nil {
		t.Fatal(err)
	}
	if m.Count() != 4 || m.Hash() != h[0] || len(m.Decisions()) != 2 {
		t.Errorf("after joining %d examinations, %+v", m.Count(), m.Decisions())
	}
	if got := m.Changes(); len(got) != 1 || got[0] != "The first examination that is filed; it lists 3 marks." {
		t.Errorf("first: %q", got)
	}
	m.Select(99)
	if m.Selected() != 3 || !slices.ContainsFunc(m.Changes(), func(s string) bool { return strings.HasPrefix(s, "New: ding") }) {
		t.Errorf("last: %d, %q", m.Selected(), m.Changes())
	}
	if here, others := m.Contradictions(); len(here) != 0 || len(others) != 1 {
		t.Errorf("contradictions here %q, others %q", here, others)
	}
	marks := m.Marks()
	if len(marks) != 5 || marks[0].Cells[2] != (view.HistoryCell{Text: "grown, 5.5 ± 0.3 mm", Tone: view.CellNews, Words: "3.2 to 5.5 mm"}) || marks[1].Cells[1].Text != "gone with the part" || marks[1].Cells[2].Text != "" {
		t.Errorf("marks %+v", marks)
	}
	if parts := m.Parts(false); len(parts) != 2 || parts[0].Part != "Front finish" {
		t.Errorf("parts %+v", parts)
	}
	photosOfHistory(t, m)
	if err := m.Part(a, "R. Calloway", "another neck"); err != nil {
		t.Fatal(err)
	}
	m.Stay(h[3])
	if err := m.Read(); err != nil || m.Count() != 1 || m.CanPart() {
		t.Errorf("after parting %d (%v)", m.Count(), err)
	}
}

func photosOfHistory(t *testing.T, m *view.ArchiveHistory) {
	t.Helper()
	if !slices.Equal(m.Views(), []string{"front", "back"}) || m.Pair() != [2]int{0, 3} {
		t.Errorf("views %q, pair %v", m.Views(), m.Pair())
	}
	m.SetView(1)
	m.SetPair(0, 2)
	p := m.Photo(m.Pair()[0])
	img, err := m.Picture(context.Background(), p, 200)
	if err != nil || img == nil || img.Bounds().Dx() != 200 {
		t.Errorf("photo %+v: %v (%v)", p, img, err)
	}
	if p := m.Photo(17); p.ID != "" {
		t.Errorf("photo of no examination: %+v", p)
	}
}

// TestHistoryChart: days lie in proportion, figures within the scale, ranges
// about their figures.
func TestHistoryChart(t *testing.T) {
	m, a, h := historyOf(t)
	if err := a.Join("R. Calloway", "serial number", h[0], h[1], h[3]); err != nil {
		t.Fatal(err)
	}
	if err := m.Read(); err != nil {
		t.Fatal(err)
	}
	c := m.Chart()
	if len(c.Points) != 4 || c.Points[0].At != 0 || c.Points[3].At != 1 || !c.Points[0].Selected {
		t.Fatalf("%+v", c.Points)
	}
	// 2018-05-02 to 2020-03-17 are 685 of the 2981 days to 2026-06-30.
	if at := c.Points[1].At; at < 684.9/2981 || at > 685.1/2981 {
		t.Errorf("the second lies at %v", at)
	}
	if len(c.Years) != 8 || c.Years[0].Label != "2019" {
		t.Errorf("years %+v", c.Years)
	}
	for _, p := range c.Points {
		for _, b := range []view.HistoryBar{p.Index, p.Original} {
			if !b.Known || b.Low > b.Is || b.Is > b.High || b.Low < 0 || b.High > 1 {
				t.Errorf("%s: %+v", p.Date, b)
			}
		}
	}
	if !c.Points[1].Index.Ranged || c.Points[0].Index.Ranged {
		t.Error("the range is not that of what was not looked at")
	}
}

// TestSpread: places keep their order, stand far enough apart where there is
// room, and stay within the ends.
func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.SliceOfN(rapid.Float64Range(0, 1000), 1, 20).Draw(t, "at")
		slices.Sort(at)
		least := rapid.Float64Range(0, 100).Draw(t, "least")
		got := view.Spread(at, least, 0, 1000)
		room := min(least, 1000/float64(max(1, len(at)-1)))
		for i, x := range got {
			if x < -1e-6 || x > 1000+1e-6 {
				t.Errorf("%v lies outside", x)
			}
			if i > 0 && x-got[i-1] < room-1e-6 {
				t.Errorf("%v and %v are closer than %v", got[i-1], x, room)
			}
		}
	})
}
