package archive_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/attacktest"
)

// full is a store on a disk that takes only so many more writes.
type full struct {
	archive.Store
	left atomic.Int32
}

func (f *full) write() error {
	if f.left.Add(-1) < 0 {
		return fmt.Errorf("write: %w", syscall.ENOSPC)
	}
	return nil
}

func (f *full) Stage(r io.Reader, limit int64, keep func(string) bool) (string, int64, error) {
	if err := f.write(); err != nil {
		return "", 0, err
	}
	return f.Store.Stage(r, limit, keep)
}

func (f *full) Put(ref archive.Ref, b []byte) error {
	if err := f.write(); err != nil {
		return err
	}
	return f.Store.Put(ref, b)
}

func (f *full) Append(to archive.Ledger, at int64, lines [][]byte) error {
	if err := f.write(); err != nil {
		return err
	}
	return f.Store.Append(to, at, lines)
}

func (f *full) Publish(hash string, area archive.Area) error {
	if err := f.write(); err != nil {
		return err
	}
	return f.Store.Publish(hash, area)
}

// Whichever write fails, what was told stays, nothing is half done, and with
// room again filing goes on.
func TestDiskFullAtEveryWrite(t *testing.T) {
	in := folderOf(t, 2)
	write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
	failed := 0
	for n := range int32(40) {
		dir := filepath.Join(t.TempDir(), "archive")
		if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
			t.Fatal(err)
		}
		inner, err := archive.OpenFolder(dir)
		if err != nil {
			t.Fatal(err)
		}
		x, err := archive.OpenSQLite(filepath.Join(dir, "index.db"), false)
		if err != nil {
			t.Fatal(err)
		}
		s := &full{Store: inner}
		s.left.Store(n)
		a, err := archive.Open(context.Background(), dir, archive.Options{Store: s, Index: x, Lock: inner.(archive.Locker)})
		if err != nil {
			t.Fatal(err)
		}
		told := 0
		_, err = a.File(context.Background(), []string{in}, archive.FileOptions{Done: func(archive.Outcome) { told++ }})
		if err != nil {
			failed++
			if !errors.Is(err, syscall.ENOSPC) || !strings.Contains(err.Error(), "no space left") {
				t.Errorf("after %d writes: %v", n, err)
			}
		}
		if err := a.Close(); err != nil {
			t.Fatal(err)
		}
		b := reopen(t, dir, archive.Options{})
		r := clean(t, b)
		if r.Reports+r.Refused < told {
			t.Errorf("after %d writes: %d told, %d there", n, told, r.Reports+r.Refused)
		}
		if tally, _ := file(t, b, in); tally.Filed+tally.There != 2 || tally.Refused != 1 {
			t.Errorf("after %d writes, with room: %+v", n, tally)
		}
		clean(t, b)
		b.Close()
		if err == nil {
			break
		}
	}
	if failed < 5 {
		t.Errorf("only %d failures", failed)
	}
}

// A disk that is really full, where this user may make one.
func TestRealDiskFull(t *testing.T) {
	mount := t.TempDir()
	if err := syscall.Mount("tmpfs", mount, "tmpfs", 0, "size=1m"); err != nil {
		t.Logf("no small disk can be made here (%v); TestDiskFullAtEveryWrite shows the same on a store", err)
		return
	}
	defer syscall.Unmount(mount, 0)
	dir := filepath.Join(mount, "archive")
	if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	a := reopen(t, dir, archive.Options{})
	told := 0
	_, err := a.File(context.Background(), []string{folderOf(t, 8)}, archive.FileOptions{Done: func(archive.Outcome) { told++ }})
	if !errors.Is(err, syscall.ENOSPC) && (err == nil || !strings.Contains(err.Error(), "full")) {
		t.Fatalf("%v, want no space", err)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	b, err := archive.Open(context.Background(), dir, archive.Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	r, err := b.Check(context.Background(), archive.CheckOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings {
		if f.Severity == archive.Grave {
			t.Errorf("%v: %s", f.Ref, f.Text)
		}
	}
	if r.Reports < told {
		t.Errorf("%d told, %d there", told, r.Reports)
	}
}

// An archive that nobody can write to is found in, checked and proven.
func TestReadOnly(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	head := a.Head()
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	before := listing(t, dir)
	b := reopen(t, dir, archive.Options{ReadOnly: true})
	if len(find(t, b, "halden")) != 1 {
		t.Error("not found")
	}
	clean(t, b)
	if p, err := b.Prove(head, 10); err != nil || !p.Holds {
		t.Errorf("%+v (%v)", p, err)
	}
	if _, err := b.File(context.Background(), []string{dir}, archive.FileOptions{}); err == nil || !strings.Contains(err.Error(), "reading only") {
		t.Errorf("filing: %v", err)
	}
	if _, err := b.Rebuild(context.Background()); err == nil {
		t.Error("rebuilt")
	}
	if after := listing(t, dir); after != before {
		t.Errorf("looking changed the folder:\n%s\n%s", before, after)
	}
}

// listing is the names and sizes of everything in a folder.
func listing(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.Walk(dir, func(p string, st os.FileInfo, err error) error {
		if err == nil {
			fmt.Fprintln(&b, p, st.Size(), st.ModTime().UnixNano())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// All altered reports of the attacks at once: refused or, where the file is
// whole in itself, filed; what was there before is untouched.
func TestHostileFilesChangeNothingElse(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	before := listing(t, filepath.Join(dir, "files"))
	stranger, err := archivetest.NewKey("A. Stranger")
	if err != nil {
		t.Fatal(err)
	}
	attacks, err := attacktest.All(made()[0], stranger)
	if err != nil {
		t.Fatal(err)
	}
	in, explained, different := t.TempDir(), 0, map[string]bool{}
	for i, k := range attacks {
		write(t, filepath.Join(in, fmt.Sprintf("%03d.pdf", i)), k.Data)
		if h := hash(k.Data); !different[h] && !bytes.Equal(k.Data, made()[0]) {
			different[h] = true
			if k.Explained {
				explained++
			}
		}
	}
	tally, _ := file(t, a, in)
	if tally.Filed != explained || tally.Refused != len(different)-explained || tally.Left > 0 {
		t.Errorf("%+v of %d attacks, %d explained", tally, len(different), explained)
	}
	clean(t, a)
	if after := listing(t, filepath.Join(dir, "files")); explained == 0 && after != before {
		t.Error("the files changed")
	}
	for i := range 2 {
		if s, err := a.Show(hash(made()[i])); err != nil || !s.Verdict.OK || s.Row.Linked != "" {
			t.Errorf("report %d: %+v (%v)", i, s, err)
		}
	}
}
