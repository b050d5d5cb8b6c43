package jobtest

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
)

// now is the time of every job. It lies after every date of the photos but
// those of two cameras whose clocks were plainly wrong.
func now() time.Time { return time.Date(2026, 11, 14, 16, 5, 0, 0, time.FixedZone("", 3600)) }

const passphrase = "moss and walnut, for a test"

// larkfoot is the invented instrument of every job.
func larkfoot() record.Instrument {
	return record.Instrument{Class: outline.Classes()[0], Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: "41873",
		ScaleLength: 648, Frets: 22, Strings: 6}
}

// job is one examination on a bench of its own.
type job struct {
	t    *testing.T
	b    *bench.Bench
	ex   *bench.Exam
	s    *annotate.Session
	from map[string]string // paths of what was offered, by SHA-256
}

func begin(t *testing.T) *job {
	t.Helper()
	b, err := bench.Open(filepath.Join(t.TempDir(), "bench"), bench.Options{Now: now, Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := b.SetSettings(bench.Settings{Shop: "Fen Street Instruments", Examiner: "R. Calloway", Paper: "A4", Units: "mm"}); err != nil {
		t.Fatal(err)
	}
	return beginOn(t, b)
}

// beginOn begins an examination of a further instrument on a bench.
func beginOn(t *testing.T, b *bench.Bench) *job {
	t.Helper()
	ex, err := b.Begin("", record.Intake, larkfoot())
	if err != nil {
		t.Fatal(err)
	}
	s, err := annotate.Open(ex, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	return &job{t: t, b: b, ex: ex, s: s, from: map[string]string{}}
}

// take imports and remembers which file each photo came from.
func (j *job) take(sources ...string) *bench.ImportResult {
	j.t.Helper()
	calls, last, total := 0, 0, 0
	res, err := j.b.Import(context.Background(), j.ex, sources, func(done, all int, _ string) { calls, last, total = calls+1, done, all })
	if err != nil {
		j.t.Fatal(err)
	}
	if calls != total || last != total {
		j.t.Errorf("progress was told %d times, up to %d of %d", calls, last, total)
	}
	j.s.Refresh()
	for _, src := range sources {
		for _, f := range filesIn(j.t, src) {
			if isRegular(f) {
				j.from[sumOf(j.t, f)] = f
			}
		}
	}
	return res
}

// filesIn lists a source as it is: itself, or everything in the folder.
func filesIn(t *testing.T, src string) (files []string) {
	t.Helper()
	if st, err := os.Stat(src); err == nil && st.IsDir() {
		src += "/" // also when it is a link to one
	}
	err := filepath.WalkDir(src, func(p string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			files = append(files, p)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// isRegular leaves out pipes and what is too large to be a photo.
func isRegular(path string) bool {
	st, err := os.Stat(path)
	return err == nil && st.Mode().IsRegular() && st.Size() < 1<<30
}

// record enters what an examiner finds: three marks on the outline, one of
// each shape, one more on each photo, every part, and how it plays.
func (j *job) record() {
	j.t.Helper()
	do := func(err error) {
		j.t.Helper()
		if err != nil {
			j.t.Fatal(err)
		}
	}
	front := annotate.Surface{Side: outline.Front}
	for _, m := range []struct {
		kind  record.Kind
		shape record.Shape
		pts   []record.Point
	}{
		{"ding", record.PointShape, []record.Point{{X: -60, Y: 690}}},
		{"scratch", record.LineShape, []record.Point{{X: -80, Y: 640}, {X: -60, Y: 660}}},
		{"wear-through", record.AreaShape, []record.Point{{X: -110, Y: 640}, {X: -70, Y: 640}, {X: -70, Y: 690}, {X: -110, Y: 680}}},
	} {
		n, err := j.s.AddMark(front, m.shape, m.pts)
		do(err)
		do(j.s.SetKind(n, m.kind))
		do(j.s.EditMark(n, "Depth", func(r *record.Mark) { r.Depth = record.Through }))
	}
	for i, p := range j.s.Scene().Record.Photos {
		at := record.Point{X: math.Floor(float64(p.Width) / 2), Y: math.Floor(float64(p.Height) / 3)}
		if i == 0 { // the first mark of the outline is on the first photo too
			do(j.s.AddPlace(1, annotate.Surface{Photo: p.ID}, record.PointShape, []record.Point{at}))
			continue
		}
		_, err := j.s.AddMark(annotate.Surface{Photo: p.ID}, record.PointShape, []record.Point{at})
		do(err)
	}
	do(j.s.SetPart(record.Binding, "State", func(p *record.Part) { p.State = record.NotFitted }))
	do(j.s.SetPart(record.Tuners, "State", func(p *record.Part) { p.State, p.Inspected = record.LaterReplacement, true }))
	do(j.s.SetAllParts(record.Original, true))
	do(j.s.SetOtherSounds(record.Clean))
	do(j.s.SetSound(1, 19, record.Buzz))
}

// issue signs the report and checks it as whoever receives it would.
func (j *job) issue() *pdfout.Issued {
	j.t.Helper()
	id, err := pdfout.OpenIdentity(j.b, j.ex.Record(), passphrase, now())
	if err != nil {
		j.t.Fatal(err)
	}
	is, err := pdfout.Issue(context.Background(), j.b, j.ex, id, pdfout.IssueOptions{Now: now()}, nil)
	if err != nil {
		j.t.Fatal(err)
	}
	j.s.Refresh()
	return is
}

// whole says that Check finds nothing on the bench.
func (j *job) whole() {
	j.t.Helper()
	found, err := j.b.Check(context.Background(), nil)
	if err != nil || len(found) > 0 {
		j.t.Errorf("check of the bench: %v, %v", found, err)
	}
}
