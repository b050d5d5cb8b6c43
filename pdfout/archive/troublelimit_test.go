package archive_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// limitKey is how large any file of the child may get, in bytes.
const limitKey = "WORNWOOD_ARCHIVE_CHILD_LIMIT"

// limitFiles has the kernel refuse whatever would make a file of this process
// larger than the limit, as a full disk does: what still fits is written.
func limitFiles() error {
	s := os.Getenv(limitKey)
	if s == "" {
		return nil
	}
	n, err := strconv.ParseUint(s, 10, 64)
	if err != nil {
		return err
	}
	signal.Ignore(syscall.SIGXFSZ) // the write fails instead of the process
	return syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n})
}

// printPeak says the largest resident set of this process.
func printPeak() error {
	b, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return err
	}
	_, rest, _ := strings.Cut(string(b), "VmHWM:")
	var kib int
	if _, err := fmt.Sscan(rest, &kib); err != nil {
		return err
	}
	fmt.Println("peak", kib)
	return nil
}

// size of a file of the archive, 0 where it is not there.
func size(t *testing.T, dir, name string) int64 {
	t.Helper()
	st, err := os.Stat(filepath.Join(dir, name))
	if errors.Is(err, os.ErrNotExist) {
		return 0
	}
	must(t, err)
	return st.Size()
}

// The kernel cuts a write off in the middle: of the log, at every place of a
// line; of the index, while its own log of changes grows. The process says so,
// what it told stays, and with room again filing goes on.
func TestFileLimitWhileLogAndIndexAreWritten(t *testing.T) {
	in := folderOf(t, 6)
	// One note takes the log beyond the size of a report, and one more the index,
	// so that each can be what the limit is met by.
	long := strings.Repeat("a long reason, ", 2000)
	for _, what := range []string{"log", "index"} {
		cut := 0
		for _, room := range []int64{0, 1, 70, 700, 2500, 3 << 10, 9 << 10, 30 << 10} {
			dir := filepath.Join(t.TempDir(), "archive")
			must(t, archive.Make(dir, "Test", false, archivetest.When))
			a := reopen(t, dir, archive.Options{})
			for size(t, dir, "log.jsonl") < 400<<10 {
				must(t, a.Note(archive.Entry{Kind: archive.Checked, Summary: long}))
			}
			must(t, a.Close())
			limit := size(t, dir, "log.jsonl") + room
			if what == "index" {
				limit = max(size(t, dir, "index.db"), size(t, dir, "log.jsonl")+40<<10) + room
			}
			cmd, out := start(t, dir, in, fmt.Sprintf("%s=%d", limitKey, limit))
			told, said := map[string]bool{}, ""
			for out.Scan() {
				if word, h, _ := strings.Cut(out.Text(), " "); word == "filed" {
					told[h] = true
				} else if word == "failed:" {
					said = out.Text()
				}
			}
			err := cmd.Wait()
			if err != nil {
				if cut++; !strings.Contains(said, "file too large") && !strings.Contains(said, "full") && !strings.Contains(said, "disk I/O") {
					t.Errorf("%s with %d bytes of room: %q (%v)", what, room, said, err)
				}
			}
			aliveAndWhole(t, dir, told)
			b := reopen(t, dir, archive.Options{})
			if tally, _ := file(t, b, in); tally.Filed+tally.There != 6 {
				t.Errorf("%s with %d bytes of room: afterwards %+v", what, room, tally)
			}
			clean(t, b)
			must(t, b.Close())
		}
		t.Logf("%s: %d of 8 cut off", what, cut)
		if cut < 3 {
			t.Errorf("%s: only %d were cut off", what, cut)
		}
	}
}

// failing is an index that takes in so many events and then no more.
type failing struct {
	archive.Index
	left int
}

func (f *failing) Apply(events []archive.Event, at archive.Position) error {
	if f.left--; f.left < 0 {
		return fmt.Errorf("write index: %w", syscall.ENOSPC)
	}
	return f.Index.Apply(events, at)
}

// When the index cannot be written any more, what is in the log is filed all
// the same, and the next who opens the archive finds it.
func TestIndexFailsAfterTheLog(t *testing.T) {
	for n := range 3 {
		dir := filepath.Join(t.TempDir(), "archive")
		must(t, archive.Make(dir, "Test", false, archivetest.When))
		s, err := archive.OpenFolder(dir)
		must(t, err)
		x, err := archive.OpenSQLite(filepath.Join(dir, "index.db"), false)
		must(t, err)
		a, err := archive.Open(context.Background(), dir, archive.Options{Store: s, Index: &failing{x, n}, Lock: s.(archive.Locker)})
		must(t, err)
		told, failed := 0, false
		for i := range 4 {
			one := t.TempDir()
			write(t, filepath.Join(one, "r.pdf"), made()[i])
			_, err := a.File(context.Background(), []string{one}, archive.FileOptions{Done: func(archive.Outcome) { told++ }})
			if failed = failed || err != nil; err != nil && !errors.Is(err, syscall.ENOSPC) {
				t.Error(err)
			}
		}
		must(t, a.Close())
		b := reopen(t, dir, archive.Options{})
		if r := clean(t, b); r.Reports < told || told <= n || !failed {
			t.Errorf("after %d: %d told, %d there, failed %t", n, told, r.Reports, failed)
		}
		if len(find(t, b, "")) < told {
			t.Errorf("after %d: not all is found", n)
		}
		must(t, b.Close())
	}
}

// A clock that was set back changes neither the order nor the proof; the log
// says the times as the clock said them.
func TestClockWentBackwards(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	now := archivetest.When
	must(t, archive.Make(dir, "Test", false, now))
	a := reopen(t, dir, archive.Options{Now: func() time.Time { return now }})
	var heads []archive.Head
	for i, day := range []int{0, -400, 30, -3000} {
		now = archivetest.When.AddDate(0, 0, day)
		one := t.TempDir()
		write(t, filepath.Join(one, "r.pdf"), made()[i])
		if tally, _ := file(t, a, one); tally.Filed != 1 {
			t.Fatalf("%+v", tally)
		}
		must(t, a.Note(archive.Entry{Kind: archive.Checked, Summary: "a look"}))
		heads = append(heads, a.Head())
	}
	rows := find(t, a, "")
	for i, r := range rows { // the newest filed come first, whatever the clock said
		if r.Hash != hash(made()[3-i]) {
			t.Errorf("place %d holds another", i)
		}
	}
	for _, h := range heads {
		if p, err := a.Prove(h, 0); err != nil || !p.Holds {
			t.Errorf("%+v (%v)", p, err)
		}
	}
	// Which day a policy holds on is said in its line and not by when that was written.
	must(t, a.Insure("P. Adler", archive.Policy{Number: "W 1", Holder: "M. Okafor", Items: itemsOf(t, a, rows[0].Hash), From: "2026-01-01", To: "2026-12-31"}))
	same(t, "insured", insuredOn(t, a, "2026-12-31"), "W 1 41003 2026-11-14")
	clean(t, a)
	must(t, a.Close())
	must(t, os.Remove(filepath.Join(dir, "index.db")))
	b := reopen(t, dir, archive.Options{})
	clean(t, b)
	if got := find(t, b, ""); len(got) != 4 || got[0].Hash != rows[0].Hash || got[3].Hash != rows[3].Hash {
		t.Error("a new index has another order")
	}
}
