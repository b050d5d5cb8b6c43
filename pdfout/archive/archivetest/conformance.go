package archivetest

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/iotest"

	"wornwood/pdfout/archive"
)

// Backend is a new, empty store and index under test.
type Backend struct {
	Store archive.Store
	Index archive.Index
	Lock  archive.Locker
	// Damage changes a byte of a published file behind the store's back; nil
	// where that cannot be done.
	Damage func(archive.Ref) error
}

// Run holds a store and an index to what the archive relies on. open makes new
// ones for each check.
func Run(t *testing.T, open func(t *testing.T) Backend) {
	for name, check := range map[string]func(*testing.T, Backend){
		"stage and publish": stagePublish, "refuse": refuse, "limits and failures": failures, "remove": remove, "several writers": writers, "log": logLines, "lock": locked, "restore": restore,
		"index position": positions, "index fields": fieldsFound, "index order": ordered, "index counts": counted, "index versions": versions, "index notes": notes, "index removal": removal, "index suggestions": suggestions,
	} {
		t.Run(name, func(t *testing.T) { check(t, open(t)) })
	}
}

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func yes(string) bool { return true }

func read(t *testing.T, s archive.Store, ref archive.Ref) []byte {
	t.Helper()
	f, err := s.Open(ref)
	must(t, err)
	defer f.Close()
	b, err := io.ReadAll(f)
	must(t, err)
	if f.Size() != int64(len(b)) {
		t.Errorf("%v: size %d of %d bytes", ref, f.Size(), len(b))
	}
	return b
}

func listed(t *testing.T, s archive.Store, area archive.Area) []string {
	t.Helper()
	var out []string
	must(t, s.List(area, func(hash string, _ int64, stranger string) error {
		out = append(out, hash+stranger)
		return nil
	}))
	slices.Sort(out)
	return out
}

func stagePublish(t *testing.T, b Backend) {
	data := []byte("a report")
	h, n, err := b.Store.Stage(bytes.NewReader(data), 100, yes)
	must(t, err)
	if h != sum(data) || n != int64(len(data)) {
		t.Fatalf("staged as %s of %d bytes", h, n)
	}
	must(t, b.Store.Put(archive.Ref{Area: archive.Records, Hash: h}, []byte("record")))
	must(t, b.Store.Put(archive.Ref{Area: archive.Verdicts, Hash: h}, []byte("verdict")))
	if _, err := b.Store.Open(archive.Ref{Area: archive.Files, Hash: h}); !errors.Is(err, archive.ErrMissing) {
		t.Errorf("what is staged is open to all: %v", err)
	}
	f, err := b.Store.Staged(h)
	must(t, err)
	part := make([]byte, 6)
	if _, err := f.ReadAt(part, 2); err != nil || string(part) != "report" {
		t.Errorf("read %q (%v)", part, err)
	}
	must(t, f.Close())
	left, err := b.Store.Leftover()
	if must(t, err); !slices.Equal(left, []string{h}) {
		t.Errorf("staged: %v", left)
	}
	for range 2 { // a crash in the middle makes it happen twice
		must(t, b.Store.Publish(h, archive.Files))
	}
	must(t, b.Store.Settle())
	for area, want := range map[archive.Area]string{archive.Files: "a report", archive.Records: "record", archive.Verdicts: "verdict"} {
		if got := read(t, b.Store, archive.Ref{Area: area, Hash: h}); string(got) != want {
			t.Errorf("%s: %q", area, got)
		}
		if got := listed(t, b.Store, area); !slices.Equal(got, []string{h}) {
			t.Errorf("%s lists %v", area, got)
		}
	}
	if left, err := b.Store.Leftover(); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
}

func refuse(t *testing.T, b Backend) {
	h, _, err := b.Store.Stage(strings.NewReader("bad"), 100, yes)
	must(t, err)
	must(t, b.Store.Put(archive.Ref{Area: archive.Reasons, Hash: h}, []byte("why")))
	must(t, b.Store.Publish(h, archive.Refused))
	must(t, b.Store.Settle())
	if got := read(t, b.Store, archive.Ref{Area: archive.Reasons, Hash: h}); string(got) != "why" {
		t.Errorf("reason %q", got)
	}
	if a, b := listed(t, b.Store, archive.Refused), listed(t, b.Store, archive.Reasons); len(a) != 1 || len(b) != 1 || a[0] != h || b[0] != h {
		t.Errorf("listed %v and %v", a, b)
	}
	if got := listed(t, b.Store, archive.Files); len(got) > 0 {
		t.Errorf("among the files: %v", got)
	}
}

func failures(t *testing.T, b Backend) {
	if _, _, err := b.Store.Stage(strings.NewReader("too long"), 4, yes); !errors.Is(err, archive.ErrTooLarge) {
		t.Errorf("too long: %v", err)
	}
	gone := errors.New("the line broke")
	if _, _, err := b.Store.Stage(io.MultiReader(strings.NewReader("half"), iotest.ErrReader(gone)), 100, yes); !errors.Is(err, gone) {
		t.Errorf("broken source: %v", err)
	}
	if h, _, err := b.Store.Stage(strings.NewReader("known"), 100, func(string) bool { return false }); err != nil || h != sum([]byte("known")) {
		t.Errorf("not wanted: %s, %v", h, err)
	}
	if left, err := b.Store.Leftover(); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
	h, _, err := b.Store.Stage(strings.NewReader("dropped"), 100, yes)
	must(t, err)
	must(t, b.Store.Discard(h))
	if _, err := b.Store.Staged(h); !errors.Is(err, archive.ErrMissing) {
		t.Errorf("discarded: %v", err)
	}
	for _, name := range []string{"", "../../etc/passwd", strings.Repeat("A", 64), strings.Repeat("a", 63)} {
		if err := b.Store.Put(archive.Ref{Area: archive.Records, Hash: name}, nil); err == nil {
			t.Errorf("%q is taken for a name", name)
		}
		if _, err := b.Store.Open(archive.Ref{Area: archive.Files, Hash: name}); !errors.Is(err, archive.ErrMissing) {
			t.Errorf("open %q: %v", name, err)
		}
	}
}

func logLines(t *testing.T, b Backend) {
	if line, end, err := b.Store.Tail(archive.MainLog, true); err != nil || line != nil || end != 0 {
		t.Errorf("an empty log ends with %q at %d (%v)", line, end, err)
	}
	must(t, b.Store.Append(archive.MainLog, 0, [][]byte{[]byte("one"), []byte("two")}))
	must(t, b.Store.Append(archive.MainLog, 8, nil))
	must(t, b.Store.Append(archive.MainLog, 8, [][]byte{[]byte("three")}))
	line, end, err := b.Store.Tail(archive.MainLog, true)
	if must(t, err); string(line) != "three" || end != 14 {
		t.Errorf("ends with %q at %d", line, end)
	}
	for from, want := range map[int64]string{0: "one 4 two 8 three 14 ", 4: "two 8 three 14 ", 14: ""} {
		got := ""
		must(t, b.Store.Log(archive.MainLog, from, func(line []byte, end int64) error { got += fmt.Sprintf("%s %d ", line, end); return nil }))
		if got != want {
			t.Errorf("from %d: %q, want %q", from, got, want)
		}
	}
	if err := b.Store.Append(archive.MainLog, 8, [][]byte{[]byte("late")}); !errors.Is(err, archive.ErrConflict) {
		t.Errorf("appended where the log does not end: %v", err)
	}
	// The other ledger is its own, and begins with its first line.
	if line, end, err := b.Store.Tail(archive.Readings, true); err != nil || line != nil || end != 0 {
		t.Errorf("readings of nobody end with %q at %d (%v)", line, end, err)
	}
	must(t, b.Store.Append(archive.Readings, 0, [][]byte{[]byte("read")}))
	if line, end, err := b.Store.Tail(archive.Readings, false); err != nil || string(line) != "read" || end != 5 {
		t.Errorf("readings end with %q at %d (%v)", line, end, err)
	}
	stop := errors.New("stop")
	if err := b.Store.Log(archive.MainLog, 0, func([]byte, int64) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("stopped with %v", err)
	}
	if s, err := b.Store.Settings(); err != nil || len(s) == 0 {
		t.Errorf("settings %q (%v)", s, err)
	}
}

func remove(t *testing.T, b Backend) {
	h, _, err := b.Store.Stage(strings.NewReader("to be forgotten"), 100, yes)
	must(t, err)
	must(t, b.Store.Put(archive.Ref{Area: archive.Records, Hash: h}, []byte("record")))
	must(t, b.Store.Publish(h, archive.Files))
	must(t, b.Store.Settle())
	must(t, b.Store.Retire(h))
	left, err := b.Store.Leftover()
	if must(t, err); !slices.Equal(left, []string{h}) {
		t.Errorf("about to be removed: %v", left)
	}
	must(t, b.Store.Discard(h)) // thought better of
	if got := read(t, b.Store, archive.Ref{Area: archive.Files, Hash: h}); string(got) != "to be forgotten" {
		t.Errorf("still there: %q", got)
	}
	must(t, b.Store.Retire(h))
	for range 2 { // a crash in the middle makes it happen twice
		must(t, b.Store.Remove(h))
	}
	for _, area := range archive.Areas() {
		if got := listed(t, b.Store, area); len(got) > 0 {
			t.Errorf("%s lists %v", area, got)
		}
	}
	if left, err := b.Store.Leftover(); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v (%v)", left, err)
	}
	if err := b.Store.Retire("../x"); err == nil {
		t.Error("a path is taken for a name")
	}
}

// writers lets several append to one ledger: each that is too late looks again,
// and every line is there once.
func writers(t *testing.T, b Backend) {
	const each = 10
	var all sync.WaitGroup
	for w := range 3 {
		all.Go(func() {
			for i := 0; i < each; {
				_, end, err := b.Store.Tail(archive.Readings, false)
				if err == nil {
					err = b.Store.Append(archive.Readings, end, [][]byte{fmt.Appendf(nil, "writer %d line %d", w, i)})
				}
				switch {
				case err == nil:
					i++
				case !errors.Is(err, archive.ErrConflict):
					t.Error(err)
					return
				}
			}
		})
	}
	all.Wait()
	seen := map[string]int{}
	must(t, b.Store.Log(archive.Readings, 0, func(line []byte, _ int64) error { seen[string(line)]++; return nil }))
	if len(seen) != 3*each {
		t.Errorf("%d lines, want %d", len(seen), 3*each)
	}
	for line, n := range seen {
		if n != 1 {
			t.Errorf("%q stands there %d times", line, n)
		}
	}
}

func locked(t *testing.T, b Backend) {
	if b.Lock.AtWork() {
		t.Error("somebody is at work in a new archive")
	}
	release, err := b.Lock.Lock(When)
	must(t, err)
	var held *archive.HeldError
	if _, err := b.Lock.Lock(When); !errors.As(err, &held) || held.PID != os.Getpid() {
		t.Errorf("locked twice: %v", err)
	}
	if !b.Lock.AtWork() {
		t.Error("nobody is at work while it is locked")
	}
	must(t, release())
	if b.Lock.AtWork() {
		t.Error("somebody is at work after it was given back")
	}
	release, err = b.Lock.Lock(When)
	must(t, err)
	must(t, release())
}

func restore(t *testing.T, b Backend) {
	h, _, err := b.Store.Stage(strings.NewReader("the right bytes"), 100, yes)
	must(t, err)
	must(t, b.Store.Publish(h, archive.Files))
	must(t, b.Store.Settle())
	ref := archive.Ref{Area: archive.Files, Hash: h}
	if b.Damage != nil {
		must(t, b.Damage(ref))
		if sum(read(t, b.Store, ref)) == h {
			t.Fatal("the damage changed nothing")
		}
	}
	must(t, b.Store.Restore(ref, strings.NewReader("the right bytes")))
	if sum(read(t, b.Store, ref)) != h {
		t.Error("the file is not back")
	}
	if got := listed(t, b.Store, archive.Files); !slices.Equal(got, []string{h}) {
		t.Errorf("listed after restoring: %v", got)
	}
}
