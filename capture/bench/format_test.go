package bench

import (
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"wornwood/capture/record"
)

// full is an open bench that has one of everything.
func full(t *testing.T) *Bench {
	t.Helper()
	b := open(t, filepath.Join(t.TempDir(), "bench"))
	torn := begin(t, b)
	id := torn.ID()
	must(t, torn.Close())
	f, err := os.OpenFile(b.examPath(id), os.O_APPEND|os.O_WRONLY, 0)
	must(t, err)
	_, err = f.WriteString(`{"sum":"12`)
	must(t, err)
	must(t, f.Close())
	torn, err = b.OpenExam(id)
	must(t, err)
	if n := torn.Notes(); len(n) != 1 || !strings.Contains(n[0], "cut off") {
		t.Errorf("notes %q", n)
	}
	must(t, torn.Do("one", mark(t, 1)))
	ex := begin(t, b)
	mustImport(t, b, ex, writePhotos(t, 3))
	rel, sum, err := b.WriteReport("CR-2026-0001", writes("%PDF-1.7"))
	must(t, err)
	must(t, ex.SetIssued(record.Issued{Number: "CR-2026-0001", File: rel, SHA256: sum}))
	_, _, err = b.KeepCountersigned("CR-2026-0001", strings.NewReader("%PDF-1.7 and more"))
	must(t, err)
	for _, ext := range []string{".pdf", ".json"} {
		_, _, err = b.KeepReceipt("CR-2026-0001", ext, []byte("received"))
		must(t, err)
	}
	_, err = b.StoreAttachmentBytes([]byte("Sold to Mr Merrow, one guitar."), "bill.txt", "")
	must(t, err)
	write(t, b.KeyPath(), []byte("key"))
	write(t, b.CertificatePath(), []byte("certificate"))
	write(t, filepath.Join(filepath.Dir(b.KeyPath()), "examiner-"+strings.Repeat("0a", 32)+".p12"), []byte("older key"))
	for _, k := range TableKinds() {
		for _, ext := range tableExts() {
			_, err := b.SetTable(k, ext, []byte("[]"))
			must(t, err)
		}
	}
	_, err = b.SetTable(SerialTable, ".csv", []byte("pattern,from year\n"))
	must(t, err)
	must(t, b.KeepListing(ex.ID(), []byte("{}")))
	_, err = b.AddRubric([]byte("{}"))
	must(t, err)
	return b
}

// Every file of a bench is one that FORMAT.md lists, and every line of its list
// is met.
func TestFormatDocumentLayout(t *testing.T) {
	doc, err := os.ReadFile("FORMAT.md")
	must(t, err)
	_, rest, ok := strings.Cut(string(doc), "\n```\n")
	list, _, ok2 := strings.Cut(rest, "\n```\n")
	if !ok || !ok2 {
		t.Fatal("FORMAT.md has no list of files")
	}
	hash := "[0-9a-f]{64}"
	var patterns []*regexp.Regexp
	for _, line := range strings.Split(list, "\n") {
		p := strings.Fields(line)[0]
		p = strings.NewReplacer(".", `\.`, "*", ".+", "HASH", hash, "ID", "[a-z2-7]{26}", "NUMBER", `CR-[0-9]{4}-[0-9]{4}`).Replace(p)
		patterns = append(patterns, regexp.MustCompile("^"+p+"$"))
	}
	met := make([]bool, len(patterns))
	b := full(t)
	err = filepath.WalkDir(b.dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, listed := b.rel(p), false
		for i, re := range patterns {
			if re.MatchString(rel) {
				met[i], listed = true, true
			}
		}
		if !listed {
			t.Errorf("%s is not in FORMAT.md", rel)
		}
		return nil
	})
	must(t, err)
	for i, m := range met {
		if !m {
			t.Errorf("FORMAT.md lists %s, which a bench does not have", patterns[i])
		}
	}
}

// The names of originals are what sha256sum (GNU coreutils) says of them.
func TestNamesAgainstSha256sum(t *testing.T) {
	b := full(t)
	ids, _, err := b.blobs.List()
	must(t, err)
	if len(ids) != 3 {
		t.Fatalf("%d originals", len(ids))
	}
	for _, id := range ids {
		out, err := exec.Command("sha256sum", b.blobs.Path(id)).Output()
		if err != nil || !strings.HasPrefix(string(out), id+" ") {
			t.Errorf("%s: %s %v", id, out, err)
		}
	}
}

// The lock is one that flock (util-linux) respects and sees.
func TestLockAgainstFlock(t *testing.T) {
	b := full(t)
	p := filepath.Join(b.dir, lockName)
	try := func() error { return exec.Command("flock", "-n", "-E", "9", p, "true").Run() }
	if _, err := exec.LookPath("flock"); err != nil {
		t.Fatal(err)
	}
	var exit *exec.ExitError
	if err := try(); err == nil || !errors.As(err, &exit) || exit.ExitCode() != 9 {
		t.Errorf("flock got the lock of an open bench: %v", err)
	}
	must(t, b.Close())
	if err := try(); err != nil {
		t.Errorf("flock does not get the lock of a closed bench: %v", err)
	}
}

// The index is a sound SQLite database to sqlite3, SQLite's own shell.
func TestIndexAgainstSqlite3(t *testing.T) {
	b := full(t)
	must(t, b.Close())
	out, err := exec.Command("sqlite3", b.indexPath(), `PRAGMA integrity_check; SELECT count(*) FROM examination; SELECT count(*) FROM words WHERE words MATCH 'halden';`).CombinedOutput()
	if err != nil || string(out) != "ok\n2\n2\n" {
		t.Errorf("%q %v", out, err)
	}
}
