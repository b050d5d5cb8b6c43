package archive_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/archive/servicetest"
)

func backup(t *testing.T, from, to string) *archive.BackupReport {
	t.Helper()
	r, err := archive.Backup(context.Background(), from, to, archive.BackupOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func whole(t *testing.T, r *archive.BackupReport) {
	t.Helper()
	for _, f := range r.Findings {
		t.Errorf("backup: %v line %d: %s", f.Ref, f.Line, f.Text)
	}
}

// sums is what sha256sum (GNU coreutils) says of all files of an archive; the
// index and the lock are none of them.
func sums(t *testing.T, dir string) string {
	t.Helper()
	cmd := exec.Command("sh", "-c", "find . -type f ! -name 'index.db*' ! -name lock | LC_ALL=C sort | xargs sha256sum")
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v", out, err)
	}
	return string(out)
}

// filledArchive holds 6 reports and a refused file, and has one reading.
func filledArchive(t *testing.T) (*archive.Archive, string) {
	t.Helper()
	a, dir := newArchive(t)
	in := folderOf(t, 6)
	write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
	file(t, a, in)
	if err := a.Reading("R. Calloway", archive.ReadReport, "", hash(made()[0])); err != nil {
		t.Fatal(err)
	}
	return a, dir
}

// The archive is lost; copied back it is the same, file for file by sha256sum,
// and finds the same.
func TestBackupAndRestore(t *testing.T) {
	a, dir := filledArchive(t)
	to := filepath.Join(t.TempDir(), "copy")
	r := backup(t, dir, to)
	whole(t, r)
	if r.Head != a.Head() || r.Lines != 7 || r.Files != 6*3+2 || r.Readings != 1 {
		t.Errorf("%+v", r)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	want, found := sums(t, dir), rowsOf(t, dir)
	if got := sums(t, to); got != want {
		t.Errorf("the copy differs:\n%s\n%s", got, want)
	}
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	whole(t, backup(t, to, dir))
	if got := sums(t, dir); got != want {
		t.Errorf("what came back differs:\n%s\n%s", got, want)
	}
	if got := rowsOf(t, dir); got != found {
		t.Errorf("found now:\n%s\nbefore:\n%s", got, found)
	}
	b := reopen(t, dir, archive.Options{})
	if n, err := b.Rebuild(context.Background()); err != nil || n.Reports != 6 || len(n.Damaged) > 0 {
		t.Errorf("rebuilt %+v (%v)", n, err)
	}
	clean(t, b)
	if tally, _ := file(t, b, folderOf(t, 7)); tally.Filed != 1 || tally.There != 6 {
		t.Errorf("filing goes on with %+v", tally)
	}
}

// rowsOf is what several queries find.
func rowsOf(t *testing.T, dir string) string {
	t.Helper()
	a := reopen(t, dir, archive.Options{})
	defer a.Close()
	return rowsOfOpen(t, a)
}

func rowsOfOpen(t *testing.T, a *archive.Archive) string {
	t.Helper()
	var out strings.Builder
	for _, line := range []string{"", "halden", "serial:41002", "kind:ding", "-has:countersignature", "sort:index"} {
		q, err := archive.ParseQuery(line)
		if err != nil {
			t.Fatal(err)
		}
		f, err := a.Find(q, 0, 100)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&out, "%s:\n", line)
		if err := archive.WriteLines(&out, f.Rows); err != nil {
			t.Fatal(err)
		}
	}
	return out.String()
}

// A second backup copies only what is new; one in an object store comes back as
// the same bytes.
func TestBackupGoesOnAndThroughS3(t *testing.T) {
	srv := servicetest.S3(t)
	at := bucketOf(t, srv, srv.Endpoint, "copies/one/").String()
	a, dir := filledArchive(t)
	whole(t, backup(t, dir, at))
	later, err := archivetest.Report(dealer(), 20)
	if err != nil {
		t.Fatal(err)
	}
	in := t.TempDir()
	write(t, filepath.Join(in, "later.pdf"), later)
	file(t, a, in)
	r := backup(t, dir, at)
	whole(t, r)
	if r.Lines != 1 || r.Files != 3 || r.Filled != 0 || r.Readings != 0 || r.Before.Seq != 7 || r.Head != a.Head() {
		t.Errorf("the second time: %+v", r)
	}
	if r = backup(t, dir, at); r.Lines != 0 || r.Files != 0 {
		t.Errorf("nothing new: %+v", r)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	back := filepath.Join(t.TempDir(), "back")
	whole(t, backup(t, at, back))
	if got, want := sums(t, back), sums(t, dir); got != want {
		t.Errorf("by way of the store:\n%s\n%s", got, want)
	}
	clean(t, reopen(t, back, archive.Options{}))
}

// What is damaged is told and not copied; what the copy has stays; mended from
// the copy, the next backup fills the gap.
func TestBackupOfDamage(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	to := filepath.Join(t.TempDir(), "copy")
	whole(t, backup(t, dir, to))
	good := sums(t, to)
	old := archive.Ref{Area: archive.Files, Hash: hash(made()[0])}
	fresh := []archive.Ref{{Area: archive.Files, Hash: hash(made()[2])}, {Area: archive.Verdicts, Hash: hash(made()[3])}}
	if err := damage(dir, old); err != nil {
		t.Fatal(err)
	}
	if r := backup(t, dir, to); len(r.Findings) != 0 || sums(t, to) != good {
		t.Errorf("damage of what was copied before changed the copy: %+v", r)
	}
	other := filepath.Join(t.TempDir(), "other")
	if r := backup(t, dir, other); len(r.Findings) != 1 || *r.Findings[0].Ref != old {
		t.Errorf("%+v", r.Findings)
	}
	file(t, a, folderOf(t, 4))
	if err := errors.Join(damage(dir, fresh[0]), os.Remove(path(dir, fresh[1]))); err != nil {
		t.Fatal(err)
	}
	r := backup(t, dir, to)
	if len(r.Findings) != 2 || r.Lines != 2 || r.Files != 4 || !strings.Contains(r.Findings[0].Text+r.Findings[1].Text, "the file is missing; it is not copied") {
		t.Errorf("%+v", r)
	}
	for _, ref := range fresh {
		if _, err := os.Stat(path(to, ref)); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("%v is in the copy (%v)", ref, err)
		}
	}
	c, err := a.Check(context.Background(), archive.CheckOptions{Copy: to})
	if err != nil || len(c.Restored) != 1 || len(c.Findings) != 2 {
		t.Errorf("mended from the copy: %+v (%v)", c, err)
	}
	// The two come from elsewhere, here from where they were made.
	s, err := archive.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Restore(fresh[0], strings.NewReader(string(made()[2]))); err != nil {
		t.Fatal(err)
	}
	if r = backup(t, dir, to); r.Filled != 1 || len(r.Findings) != 1 {
		t.Errorf("filled: %+v", r)
	}
}

func TestBackupRefuses(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	refused := func(from, to, want string) {
		t.Helper()
		if _, err := archive.Backup(context.Background(), from, to, archive.BackupOptions{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s to %s: %v, want %q", from, to, err, want)
		}
	}
	b, theirs := newArchive(t)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(theirs, "archive.json")); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(theirs, "archive.json"), []byte(`{"made":"2020-01-01T00:00:00Z","name":"x","schema":"wornwood.archive/1","strict":false}`+"\n"))
	refused(dir, theirs, "another archive")
	full := t.TempDir()
	write(t, filepath.Join(full, "letter.txt"), []byte("mine"))
	refused(dir, full, "not empty")
	refused(dir, filepath.Join(dir, "copy"), "lie in the archive")
	refused(dir, dir, "lie in the archive")
	refused(filepath.Join(full, "none"), filepath.Join(full, "to"), "is no archive")
	to := filepath.Join(t.TempDir(), "copy")
	whole(t, backup(t, dir, to))
	c := reopen(t, to, archive.Options{})
	refused(dir, to, "somebody is at work")
	file(t, c, folderOf(t, 3)) // somebody files into the copy
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	kept := sums(t, to)
	refused(dir, to, "the copy was filed into")
	file(t, a, folderOf(t, 4))
	refused(dir, to, "one of the two was altered")
	if sums(t, to) != kept {
		t.Error("a refused backup changed the copy")
	}
}

// While somebody files, the copy ends at a head of the log and is whole; ended
// at any moment, too, and it goes on.
func TestBackupWhileFiling(t *testing.T) {
	a, dir := newArchive(t)
	in, to := folderOf(t, 8), filepath.Join(t.TempDir(), "copy")
	done := make(chan error, 1)
	go func() {
		_, err := a.File(context.Background(), []string{in}, archive.FileOptions{Workers: 1})
		done <- err
	}()
	for filing := true; filing; {
		ctx, stop := context.WithCancel(context.Background())
		_, err := archive.Backup(ctx, dir, to, archive.BackupOptions{Progress: func(line, _ int64, _ int, _ int64) {
			if line%3 == 2 {
				stop()
			}
		}})
		stop()
		if err != nil && !errors.Is(err, context.Canceled) {
			t.Fatal(err)
		}
		select {
		case err := <-done:
			if filing = false; err != nil {
				t.Fatal(err)
			}
		case <-time.After(20 * time.Millisecond):
			whole(t, backup(t, dir, to))
		}
		sound(t, to)
	}
	r := backup(t, dir, to)
	whole(t, r)
	if r.Head != a.Head() || sums(t, dir) != sums(t, to) {
		t.Errorf("at the end: %+v", r)
	}
}

// sound checks a copy without writing to it; it has no index.
func sound(t *testing.T, dir string) {
	t.Helper()
	r, err := reopen(t, dir, archive.Options{ReadOnly: true}).Check(context.Background(), archive.CheckOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings {
		if f.Severity == archive.Grave {
			t.Errorf("%v line %d: %s", f.Ref, f.Line, f.Text)
		}
	}
}

// remove removes a report as FORMAT.md says.
func remove(t *testing.T, a *archive.Archive, dir, h string) {
	t.Helper()
	s, err := archive.OpenFolder(dir)
	if err == nil {
		err = s.Retire(h)
	}
	if err == nil {
		err = a.Note(archive.Entry{Kind: archive.Removed, File: h, By: "the keeper"})
	}
	if err == nil {
		err = s.Remove(h)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// What was removed from the archive goes out of the copy, too, and is not
// missed in one that is made after.
func TestBackupOfRemoved(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 3))
	early, late := filepath.Join(t.TempDir(), "early"), filepath.Join(t.TempDir(), "late")
	whole(t, backup(t, dir, early))
	gone := hash(made()[1])
	remove(t, a, dir, gone)
	r := backup(t, dir, early)
	if whole(t, r); r.Removed != 1 || r.Lines != 1 {
		t.Errorf("%+v", r)
	}
	whole(t, backup(t, dir, late))
	for _, to := range []string{early, late} {
		if got, want := sums(t, to), sums(t, dir); got != want || strings.Contains(got, gone) {
			t.Errorf("%s:\n%s\nwant\n%s", to, got, want)
		}
	}
}
