package bench

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/capture/index"
	"wornwood/capture/record"
)

// writes is a writer of a report for tests.
func writes(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func TestOpenRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		files  map[string]string
		create bool
		want   error // nil: a *DamagedError or the text
		text   string
	}{
		"empty folder":          {nil, false, ErrNotBench, ""},
		"other files":           {map[string]string{"x.txt": "x"}, true, ErrNotBench, "not empty"},
		"another program's":     {map[string]string{fileName: `{"format":"cookbook","version":1}`}, true, ErrNotBench, "cookbook"},
		"broken settings":       {map[string]string{fileName: `{"format":"wornwo`}, true, nil, "is damaged"},
		"no ID":                 {map[string]string{fileName: `{"format":"wornwood bench","version":1}`}, true, nil, "is damaged"},
		"from a newer program":  {map[string]string{fileName: `{"format":"wornwood bench","version":2}`}, true, nil, "use the newer program"},
		"zeroed by a power cut": {map[string]string{fileName: string(make([]byte, 200))}, true, nil, "is damaged"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			for f, s := range c.files {
				write(t, filepath.Join(dir, f), []byte(s))
			}
			_, err := Open(dir, Options{Create: c.create})
			if err == nil || c.want != nil && !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.text) {
				t.Fatal(err)
			}
			for f, s := range c.files {
				if got, err := os.ReadFile(filepath.Join(dir, f)); err != nil || string(got) != s {
					t.Errorf("%s was changed: %v", f, err)
				}
			}
		})
	}
}

// A bench whose making was cut short is made anew.
func TestMakingCutShort(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, lockName), nil)
	write(t, filepath.Join(dir, "incoming-77"), []byte(`{"for`))
	b := open(t, dir)
	begin(t, b)
	clean(t, b)
}

func TestSettings(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	id := b.ID()
	s := Settings{Shop: "Alder Row", Examiner: "E. Quill", Place: "Upper Mill", Paper: "Letter", Units: "in"}
	must(t, b.SetSettings(s))
	for _, bad := range []Settings{{Paper: "A5"}, {Units: "furlong"}} {
		if b.SetSettings(bad) == nil {
			t.Errorf("%+v accepted", bad)
		}
	}
	must(t, b.Close())
	if b.SetSettings(s) == nil {
		t.Error("settings were written to a closed bench")
	}
	b = open(t, dir)
	if b.Settings() != s || b.ID() != id || !validID(id) {
		t.Errorf("%+v %s", b.Settings(), b.ID())
	}
}

func TestReports(t *testing.T) {
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	at := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	for want := 1; want <= 3; want++ {
		n, err := b.NextNumber(at)
		if err != nil || n != fmt.Sprintf("CR-2026-%04d", want) {
			t.Fatalf("%s %v", n, err)
		}
		rel, sum, err := b.WriteReport(n, writes("abc"))
		// The SHA-256 of "abc", FIPS 180-2 appendix B.1.
		if err != nil || rel != "reports/"+n+".pdf" || sum != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
			t.Fatalf("%s %s %v", rel, sum, err)
		}
		if _, _, err := b.WriteReport(n, writes("other")); !errors.Is(err, ErrReportExists) {
			t.Error(err)
		}
		if got, err := os.ReadFile(b.ReportPath(rel)); err != nil || string(got) != "abc" {
			t.Errorf("%q %v", got, err)
		}
	}
	// A number in a journal is taken even when its file is lost.
	ex := begin(t, b)
	must(t, ex.SetIssued(record.Issued{Number: "CR-2026-0041", File: "reports/CR-2026-0041.pdf"}))
	if n, err := b.NextNumber(at); err != nil || n != "CR-2026-0042" {
		t.Error(n, err)
	}
	if n, err := b.NextNumber(at.AddDate(1, 0, 0)); err != nil || n != "CR-2027-0001" {
		t.Error(n, err)
	}
	failed := errors.New("no room")
	if _, _, err := b.WriteReport("CR-2026-0050", func(w io.Writer) error { _, _ = io.WriteString(w, "ha"); return failed }); !errors.Is(err, failed) {
		t.Error(err)
	}
	for _, bad := range []string{"", "../x", "CR-2026-0001/..", "CR-2026-1", "cr-2026-0001", "CR-2026-0001.pdf"} {
		if _, _, err := b.WriteReport(bad, writes("")); err == nil || errors.Is(err, ErrReportExists) {
			t.Errorf("%q: %v", bad, err)
		}
	}
	list, err := os.ReadDir(filepath.Join(b.dir, reportsDir))
	if err != nil || len(list) != 3 {
		t.Errorf("%v %v", list, err)
	}
	for _, rel := range []string{"../../etc/passwd", "/etc/passwd", `..\..\x`, "", ".."} {
		if p := b.ReportPath(rel); !strings.HasPrefix(p, filepath.Join(b.dir, reportsDir)) {
			t.Errorf("%q leads to %s", rel, p)
		}
	}
	if b.KeyPath() != filepath.Join(b.dir, "keys", "examiner.p12") {
		t.Error(b.KeyPath())
	}
	if st, err := os.Stat(filepath.Dir(b.KeyPath())); err != nil || st.Mode().Perm() != 0o700 {
		t.Errorf("%v %v", st, err)
	}
}

// Every kind of harm to the files is found by Check, and the file is named.
func TestCheckFinds(t *testing.T) {
	type thing struct{ original, journal, report, attached string }
	rewrite := func(p string, change func([]byte) []byte) {
		t.Helper()
		data, err := os.ReadFile(p)
		must(t, err)
		must(t, os.Chmod(p, 0o644))
		must(t, os.WriteFile(p, change(data), 0o644))
	}
	flip := func(data []byte) []byte { data[len(data)/3] ^= 1; return data }
	for name, c := range map[string]struct {
		harm func(b *Bench, x thing)
		want []string
	}{
		"nothing":            {func(*Bench, thing) {}, nil},
		"original altered":   {func(_ *Bench, x thing) { rewrite(x.original, flip) }, []string{"originals/"}},
		"original gone":      {func(_ *Bench, x thing) { must(t, os.Remove(x.original)) }, []string{"examinations/"}},
		"stranger":           {func(b *Bench, _ thing) { write(t, filepath.Join(b.dir, originalsDir, "cat.jpg"), []byte("x")) }, []string{"originals/cat.jpg"}},
		"journal altered":    {func(_ *Bench, x thing) { rewrite(x.journal, flip) }, []string{"examinations/", "reports/"}},
		"report altered":     {func(_ *Bench, x thing) { rewrite(x.report, flip) }, []string{"reports/"}},
		"report gone":        {func(_ *Bench, x thing) { must(t, os.Remove(x.report)) }, []string{"examinations/"}},
		"stray report":       {func(b *Bench, _ thing) { write(t, b.ReportPath("CR-2026-0009.pdf"), []byte("x")) }, []string{"reports/CR-2026-0009.pdf"}},
		"attachment altered": {func(_ *Bench, x thing) { rewrite(x.attached, flip) }, []string{"attachments/"}},
		"attachment cut off": {func(_ *Bench, x thing) { rewrite(x.attached, func(d []byte) []byte { return d[:9] }) }, []string{"attachments/"}},
		"attachment gone":    {func(_ *Bench, x thing) { must(t, os.Remove(x.attached)) }, []string{"examinations/"}},
		"another stranger":   {func(b *Bench, _ thing) { write(t, filepath.Join(b.dir, attachDir, "dog.pdf"), []byte("x")) }, []string{"attachments/dog.pdf"}},
		"previews gone":      {func(b *Bench, _ thing) { must(t, os.RemoveAll(filepath.Join(b.dir, previewsDir))) }, nil},
	} {
		t.Run(name, func(t *testing.T) {
			b := open(t, filepath.Join(t.TempDir(), "bench"))
			ex := begin(t, b)
			id := mustImport(t, b, ex, writePhotos(t, 1)).Added[0].ID
			a, err := b.StoreAttachmentBytes([]byte("%PDF-1.7 a letter %%EOF"), "letter.pdf", "")
			must(t, err)
			must(t, ex.Do("Attach letter.pdf", set(t, record.AttachmentTarget(a.ID), a.Attachment)))
			rel, sum, err := b.WriteReport("CR-2026-0001", writes("%PDF-1.7 and more"))
			must(t, err)
			must(t, ex.SetIssued(record.Issued{Number: "CR-2026-0001", File: rel, SHA256: sum}))
			c.harm(b, thing{b.blobs.Path(id), b.examPath(ex.ID()), b.ReportPath(rel), b.AttachmentPath(a.ID)})
			last := 0
			found, err := b.Check(context.Background(), func(done, total int, _ string) {
				if last++; done != last || total < done {
					t.Errorf("progress %d of %d", done, total)
				}
			})
			if err != nil || len(found) != len(c.want) {
				t.Fatalf("%v %v", found, err)
			}
			for i, f := range found {
				if !strings.HasPrefix(f.File, c.want[i]) || !strings.HasPrefix(f.Text, f.File+" ") || !strings.HasSuffix(f.Text, ".") {
					t.Errorf("%+v, want %s", f, c.want[i])
				}
			}
		})
	}
}

func TestOneDamagedJournalHarmsNoOther(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	bad, good := begin(t, b), begin(t, b)
	must(t, bad.Do("one", mark(t, 1)))
	must(t, bad.Do("two", mark(t, 2)))
	p := b.examPath(bad.ID())
	must(t, b.Close())
	data, err := os.ReadFile(p)
	must(t, err)
	data[len(data)/2] ^= 1
	must(t, os.WriteFile(p, data, 0o644))
	b = open(t, dir)
	var damaged *DamagedError
	if _, err := b.OpenExam(bad.ID()); !errors.As(err, &damaged) || damaged.File != p {
		t.Error(err)
	}
	if _, err := b.OpenExam(good.ID()); err != nil {
		t.Error(err)
	}
	rows, err := b.Instruments()
	if err != nil || len(rows) != 1 || rows[0].Exam != good.ID() {
		t.Errorf("%+v %v", rows, err)
	}
	told := b.Damaged()
	if len(told) != 1 || told[0].File != b.rel(p) {
		t.Errorf("told of %v", told)
	}
	re, err := b.Rebuild(context.Background())
	if err != nil || re.Examinations != 1 || len(re.Damaged) != 1 || !strings.Contains(re.Damaged[0].Text, "line") {
		t.Errorf("%+v %v", re, err)
	}
	if got, _ := os.ReadFile(p); string(got) != string(data) {
		t.Error("the damaged journal was rewritten")
	}
}

// The index may be lost or damaged in any way, open or closed: the lists come
// back from the journals.
func TestIndexIsDisposable(t *testing.T) {
	for name, c := range map[string]struct {
		closed bool
		harm   func(b *Bench) error
	}{
		"deleted":                {true, func(b *Bench) error { return index.Remove(b.indexPath()) }},
		"overwritten":            {true, func(b *Bench) error { return os.WriteFile(b.indexPath(), []byte("no database"), 0o644) }},
		"cut":                    {true, func(b *Bench) error { return os.Truncate(b.indexPath(), 5000) }},
		"a restored older one":   {true, func(b *Bench) error { return nil }},
		"fails while open":       {false, func(b *Bench) error { return b.index.Close() }},
		"given up while open":    {false, func(b *Bench) error { b.dropIndex(); return nil }},
		"cannot be written to":   {false, func(b *Bench) error { return refuseWrites(b.indexPath()) }},
		"overwritten while open": {false, func(b *Bench) error { return overwrite(b.indexPath()) }},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "bench")
			b := open(t, dir)
			ex := begin(t, b)
			id := ex.ID()
			old, err := os.ReadFile(b.indexPath())
			must(t, err)
			must(t, ex.Do("one", mark(t, 1)))
			if c.closed {
				must(t, b.Close())
			}
			must(t, c.harm(b))
			if name == "a restored older one" {
				must(t, index.Remove(b.indexPath()))
				must(t, os.WriteFile(b.indexPath(), old, 0o644))
			}
			if c.closed {
				b = open(t, dir)
				ex, err = b.OpenExam(id)
				must(t, err)
			}
			must(t, ex.Do("two", mark(t, 2))) // saved, whatever the index does
			rows, err := b.Search("halden")
			if err != nil || len(rows) != 1 || rows[0].Marks != 2 {
				t.Errorf("%+v %v", rows, err)
			}
			must(t, b.Close())
			b = open(t, dir)
			rows, err = b.Search("41-873")
			if err != nil || len(rows) != 1 || rows[0].Marks != 2 {
				t.Errorf("opened again: %+v %v", rows, err)
			}
		})
	}
}

// refuseWrites makes an index answer as before but take no new row.
func refuseWrites(p string) error {
	db, err := sql.Open("sqlite", p)
	if err != nil {
		return err
	}
	_, err = db.Exec(`CREATE TRIGGER full BEFORE INSERT ON examination BEGIN SELECT RAISE(FAIL, 'no room'); END`)
	return errors.Join(err, db.Close())
}

func overwrite(p string) error {
	for _, f := range []string{p, p + "-wal"} {
		st, err := os.Stat(f)
		if err != nil {
			return err
		}
		if err := os.WriteFile(f, make([]byte, st.Size()), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// A journal put on the bench from a backup shows up, one taken away is gone.
func TestJournalsComeAndGo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	b := open(t, dir)
	one, two := begin(t, b), begin(t, b)
	p := b.examPath(one.ID())
	must(t, b.Close())
	must(t, os.Rename(p, p+".away"))
	b = open(t, dir)
	rows, err := b.Instruments()
	if err != nil || len(rows) != 1 || rows[0].Exam != two.ID() {
		t.Errorf("%+v %v", rows, err)
	}
	must(t, b.Close())
	must(t, os.Rename(p+".away", p))
	b = open(t, dir)
	if rows, err := b.Instruments(); err != nil || len(rows) != 2 {
		t.Errorf("%+v %v", rows, err)
	}
}
