package archive_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"wornwood/pdfout/archive"
)

// The test binary copies an archive as another process when this is set.
const backupKey = "WORNWOOD_BACKUP_CHILD"

func init() {
	if from := os.Getenv(backupKey); from != "" {
		_, err := archive.Backup(context.Background(), from, os.Args[1], archive.BackupOptions{Progress: func(line, _ int64, _ int, _ int64) { fmt.Println(line) }})
		if err != nil {
			fmt.Println("failed:", err)
			os.Exit(3)
		}
		os.Exit(0)
	}
}

// Killed at any moment, a backup leaves a copy that is whole as far as it goes,
// and goes on the next time to the same bytes.
func TestBackupKilledAtAnyMoment(t *testing.T) {
	in := t.TempDir()
	for i, b := range many()[:100] {
		write(t, filepath.Join(in, fmt.Sprintf("report-%d.pdf", i)), b)
	}
	a, dir := newArchive(t)
	file(t, a, in)
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	want := sums(t, dir)
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	kills, partly := 0, 0
	for round := range 3 {
		to := filepath.Join(t.TempDir(), "copy")
		for i := range 4 {
			// After so many lines looked at, some of them from an earlier try.
			killed := copyUntil(t, self, dir, to, 7+11*round+25*i)
			kills += killed
			if _, err := os.Stat(filepath.Join(to, "archive.json")); err != nil {
				continue // killed before it began
			}
			s, err := archive.OpenFolder(to)
			if err != nil {
				t.Fatal(err)
			}
			if _, end, err := s.Tail(archive.MainLog, false); err != nil {
				t.Fatal(err)
			} else if end > 0 {
				partly++
			}
			// Ended as any opening to write ends it, its files are those of its log.
			b, err := archive.Open(context.Background(), to, archive.Options{})
			if err != nil {
				t.Fatal(err)
			}
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			sound(t, to)
		}
		r := backup(t, dir, to)
		if whole(t, r); sums(t, to) != want {
			t.Errorf("round %d ends with another copy: %+v", round, r)
		}
	}
	if t.Logf("%d killed, %d copies met in the middle", kills, partly); kills == 0 || partly == 0 {
		t.Error("nothing was cut short, so nothing was shown")
	}
}

// copyUntil has another process copy, and kills it when it came to a line.
func copyUntil(t *testing.T, self, from, to string, line int) (killed int) {
	t.Helper()
	cmd := exec.Command(self, to)
	cmd.Env = append(os.Environ(), backupKey+"="+from)
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	for lines := bufio.NewScanner(out); lines.Scan(); {
		var n int
		if _, err := fmt.Sscan(lines.Text(), &n); err != nil {
			t.Error(lines.Text())
		}
		if n >= line {
			_ = cmd.Process.Kill() // it may have ended by itself
		}
	}
	if err := cmd.Wait(); err != nil {
		return 1
	}
	return 0
}

// A place that cannot be written to is told in a sentence, and so is one that
// goes away.
func TestBackupIntoNothing(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 1))
	for _, to := range []string{"/proc/copy", filepath.Join(dir, "archive.json", "copy"), "s3://", "s3://nobody/x?endpoint=http://127.0.0.1:1"} {
		t.Setenv("AWS_ACCESS_KEY_ID", "x")
		t.Setenv("AWS_SECRET_ACCESS_KEY", "y")
		began := time.Now()
		_, err := archive.Backup(context.Background(), dir, to, archive.BackupOptions{})
		if err == nil || time.Since(began) > 30*time.Second {
			t.Errorf("%s: %v after %v", to, err, time.Since(began))
		}
		t.Logf("%v", err)
	}
}
