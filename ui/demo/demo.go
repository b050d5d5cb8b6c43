// Package demo carries the main job out on an invented instrument: a bench is
// made, photos are imported, an examination is recorded and graded, and its
// report is issued and verified. Verb and window use it.
//
// Start with Run. Everything goes through the same session, bench and report
// code as real work; only the data are made up. The demonstration's key is
// protected by a published passphrase and so proves nothing about anybody.
package demo

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/annotate/render"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/testdata"
)

// Passphrase protects the demonstration's key. It is published on purpose.
const Passphrase = "demonstration key, proves nothing"

// Result says what the demonstration left where.
type Result struct {
	Bench   string          `json:"bench"`
	Exam    string          `json:"exam"`
	Report  string          `json:"report"` // path of the signed PDF
	Number  string          `json:"number"`
	Grade   *grade.Result   `json:"grade"`
	Verdict *pdfout.Verdict `json:"verdict"`
	Photos  []string        `json:"photos"` // paths of the originals in the bench
}

// Options of a run.
type Options struct {
	Now func() time.Time
	// Progress is told of long steps; nil for none.
	Progress func(done, total int, what string)
	// Draft leaves the examination open: no key, no report.
	Draft bool
}

// Run fills dir, which must be new or empty.
func Run(ctx context.Context, dir string, o Options) (*Result, error) {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Progress == nil {
		o.Progress = func(int, int, string) {}
	}
	if es, err := os.ReadDir(dir); err == nil && len(es) > 0 {
		return nil, fmt.Errorf("fill %s with the demonstration: the folder is not empty; name a new or empty one", dir)
	}
	b, err := bench.Open(dir, bench.Options{Now: o.Now, Create: true})
	if err != nil {
		return nil, err
	}
	defer b.Close()
	if err := b.SetSettings(bench.Settings{Shop: "Fen Street Instruments (demonstration)", Examiner: "R. Calloway", Paper: "A4", Units: "mm"}); err != nil {
		return nil, err
	}
	ex, err := b.Begin("", record.BeforeListing, instrument())
	if err != nil {
		return nil, err
	}
	defer ex.Close()
	res := &Result{Bench: dir, Exam: ex.ID()}
	if err := res.examine(ctx, b, ex, o); err != nil {
		return nil, err
	}
	if o.Draft {
		return res, nil
	}
	return res, res.issue(ctx, b, ex, o)
}

// examine imports the photos and records what the examiner found.
func (res *Result) examine(ctx context.Context, b *bench.Bench, ex *bench.Exam, o Options) error {
	ids, err := importPhotos(ctx, b, ex, o)
	if err != nil {
		return err
	}
	s, err := annotate.Open(ex, grade.Default())
	if err != nil {
		return err
	}
	seen, err := truths()
	if err != nil {
		return err
	}
	for _, step := range []func() error{
		func() error { return setViews(s, ids, seen) },
		func() error { return pinMarks(s, ids, seen) },
		func() error { return judge(s, ids) },
		func() error { return tell(b, s) },
		func() error { return openElectronics(s) },
		func() error { return setUp(s) },
		func() error { return comeBack(s) },
	} {
		if err := step(); err != nil {
			return fmt.Errorf("record the demonstration: %w", err)
		}
	}
	sc := s.Scene()
	if sc.GradeError != nil {
		return sc.GradeError
	}
	res.Grade = sc.Grade
	for _, p := range sc.Record.Photos {
		res.Photos = append(res.Photos, b.OriginalPath(p.ID))
	}
	return nil
}

// importPhotos unpacks the photos that the program carries into a folder of
// their own and imports that folder, as a dealer would import a card. It
// returns the IDs by file name.
func importPhotos(ctx context.Context, b *bench.Bench, ex *bench.Exam, o Options) (map[string]string, error) {
	tmp, err := os.MkdirTemp("", "wornwood-demo")
	if err != nil {
		return nil, fmt.Errorf("unpack demo photos: %w", err)
	}
	defer os.RemoveAll(tmp)
	src := testdata.DemoPhotos()
	names, err := fs.Glob(src, "*.jpg")
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("unpack demo photos: this build carries none (%v)", err)
	}
	for _, name := range names {
		if err := unpack(src, name, filepath.Join(tmp, path.Base(name))); err != nil {
			return nil, fmt.Errorf("unpack demo photos: %w", err)
		}
	}
	got, err := b.Import(ctx, ex, []string{tmp}, o.Progress)
	if err != nil {
		return nil, err
	}
	if len(got.Refused) > 0 {
		return nil, fmt.Errorf("import %s: %s", got.Refused[0].File, got.Refused[0].Why)
	}
	ids := map[string]string{}
	for _, p := range got.Added {
		ids[p.Name] = p.ID
	}
	return ids, nil
}

func unpack(src fs.FS, name, to string) error {
	in, err := src.Open(name)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	if _, err := io.Copy(out, in); err != nil {
		out.Close()
		return err
	}
	return out.Close()
}

// truths reads what the photos are known to show.
func truths() ([]render.Truth, error) {
	b, err := fs.ReadFile(testdata.DemoPhotos(), "truth.json")
	if err != nil {
		return nil, fmt.Errorf("read what the demo photos show: %w", err)
	}
	var file struct {
		Photos []render.Truth `json:"photos"`
	}
	if err := json.Unmarshal(b, &file); err != nil {
		return nil, fmt.Errorf("read what the demo photos show: %w", err)
	}
	return file.Photos, nil
}

// issue makes the demonstration's key, signs, and verifies what was filed.
func (res *Result) issue(ctx context.Context, b *bench.Bench, ex *bench.Exam, o Options) error {
	id, err := pdfout.OpenIdentity(b, ex.Record(), Passphrase, o.Now())
	if err != nil {
		return err
	}
	is, err := pdfout.Issue(ctx, b, ex, id, pdfout.IssueOptions{Now: o.Now()}, o.Progress)
	if err != nil {
		return err
	}
	res.Number, res.Report = is.Number, is.Path
	res.Verdict, err = pdfout.Verify(ctx, res.Report, pdfout.VerifyOptions{})
	if err != nil {
		return err
	}
	if !res.Verdict.OK {
		return fmt.Errorf("verify %s: the report just issued does not verify", res.Report)
	}
	return nil
}
