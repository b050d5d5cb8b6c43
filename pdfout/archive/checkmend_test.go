package archive_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// copyOf copies an archive's folder as it stands.
func copyOf(t *testing.T, dir string) string {
	t.Helper()
	second := filepath.Join(t.TempDir(), "copy")
	if err := os.CopyFS(second, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	return second
}

func logOf(t *testing.T, dir string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "log.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// twoLogs is an archive with eight lines, one by one, and copies of it as it was
// with five and with all of them.
func twoLogs(t *testing.T) (dir, five, eight string) {
	t.Helper()
	a, dir := newArchive(t)
	in := folderOf(t, 8)
	for i := range 8 {
		file(t, a, filepath.Join(in, "report-"+string(rune('0'+i))+".pdf"))
		if i == 4 {
			five = copyOf(t, dir)
		}
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, five, copyOf(t, dir)
}

// Each damage that a copy proves is mended, byte for byte, the damaged log is
// kept, and the archive is whole.
func TestMendLog(t *testing.T) {
	dir, five, eight := twoLogs(t)
	whole := logOf(t, dir)
	lines := bytes.SplitAfter(whole, []byte("\n"))
	lines = lines[:8]
	join := func(l ...[]byte) []byte { return bytes.Join(l, nil) }
	altered := bytes.Replace(whole, []byte("report-2"), []byte("report-9"), 1)
	for name, c := range map[string]struct {
		log    []byte
		second string
		count  int64
	}{
		"a line altered":                        {altered, eight, 1},
		"a line altered, an older copy":         {altered, five, 1},
		"the first line altered":                {bytes.Replace(whole, []byte("report-0"), []byte("report-9"), 1), five, 1},
		"the last line unreadable":              {append(bytes.Clone(whole[:len(whole)-40]), "????\n"...), eight, 1},
		"lines taken out":                       {join(append(append([][]byte{}, lines[:2]...), lines[4:]...)...), five, 2},
		"the end taken off":                     {join(lines[:6]...), eight, 2},
		"a line put in":                         {join(lines[0], lines[0], lines[1], []byte("{}\n"), join(lines[2:]...)), five, 0},
		"a line of garbage in place of one":     {join(join(lines[:3]...), []byte("garbage\n"), join(lines[4:]...)), five, 1},
		"two lines unreadable":                  {join(join(lines[:2]...), []byte("{\"seq\":3}\n{\"seq\":4}\n"), join(lines[4:]...)), eight, 2},
		"empty":                                 {[]byte{}, eight, 8},
		"missing":                               {nil, eight, 8},
		"whole, an older copy":                  {whole, five, 0},
		"whole, the same copy":                  {whole, eight, 0},
		"the end cut within a line":             {whole[:len(whole)-20], eight, 1},
		"lines in another order":                {join(lines[0], lines[2], lines[1], join(lines[3:]...)), eight, 1},
		"the end taken off, as the copy has it": {join(lines[:5]...), five, 0},
	} {
		t.Run(name, func(t *testing.T) {
			want := whole
			if strings.HasSuffix(name, "as the copy has it") {
				want = c.log
			}
			mended(t, dir, c.second, c.log, want, c.count)
		})
	}
}

// mended puts a log, nil for none, in the place of an archive's and has it mended
// from a copy.
func mended(t *testing.T, dir, second string, log, want []byte, count int64) {
	t.Helper()
	d := copyOf(t, dir)
	path := filepath.Join(d, "log.jsonl")
	write(t, path, log)
	if log == nil {
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
	m, err := archive.MendLog(context.Background(), d, second, archivetest.When)
	if err != nil || m.Count != count || m.Changed != !bytes.Equal(log, want) {
		t.Fatalf("%+v (%v)", m, err)
	}
	if got := logOf(t, d); !bytes.Equal(got, want) {
		t.Error("it is another log than it was")
	}
	if m.Changed && log != nil {
		if kept, err := os.ReadFile(m.Aside); err != nil || !bytes.Equal(kept, log) {
			t.Errorf("the damaged log is not kept: %v", err)
		}
	}
	if !bytes.Equal(want, logOf(t, dir)) {
		return
	}
	a := reopen(t, d, archive.Options{})
	defer a.Close()
	if r := check(t, a, archive.CheckOptions{Mended: m}); len(r.Findings) > 0 || (r.Mended != nil) != m.Changed {
		t.Errorf("%+v", r)
	}
	notes, err := a.Notes(archive.Restored)
	if err != nil || (len(notes) == 1) != m.Changed {
		t.Errorf("%+v (%v)", notes, err)
	}
}

// What a copy does not prove is left as it is, with a sentence.
func TestMendLogLeavesAlone(t *testing.T) {
	dir, five, eight := twoLogs(t)
	whole := logOf(t, dir)
	lines := bytes.SplitAfter(whole, []byte("\n"))
	// Another archive that went on from the same fifth line.
	b := reopen(t, five, archive.Options{})
	file(t, b, folderOf(t, 8)+"/report-7.pdf", folderOf(t, 8)+"/report-6.pdf")
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	forked := logOf(t, five)
	other, otherDir := newArchive(t)
	other.Close()
	if err := os.Chmod(filepath.Join(otherDir, "archive.json"), 0o644); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(otherDir, "archive.json"), []byte(`{"made":"2020-01-01T00:00:00Z","name":"Other","schema":"wornwood.archive/1","strict":false}`+"\n"))
	for name, c := range map[string]struct {
		log    []byte
		second string
		harm   func(second string)
		fork   bool
		says   string
	}{
		"a fork":                   {forked, eight, nil, true, "from line 6 on"},
		"a fork of one line":       {bytes.Join(bytes.SplitAfter(forked, []byte("\n"))[:6], nil), eight, nil, true, "from line 6 on"},
		"a fork, the copy shorter": {whole, five, nil, true, "from line 6 on"},
		"damage behind the copy":   {bytes.Replace(whole, []byte("report-6"), []byte("report-9"), 1), "five", nil, false, "a newer copy is needed"},
		"the copy damaged": {bytes.Join(lines[:4], nil), eight, func(d string) {
			write(t, d+"/log.jsonl", bytes.Replace(whole, []byte("report-1"), []byte("report-9"), 1))
		}, false, "damaged as well"},
		"a copy of another archive": {whole, otherDir, nil, false, "another archive"},
		"no archive":                {whole, t.TempDir(), nil, false, "is no archive"},
	} {
		t.Run(name, func(t *testing.T) {
			d, second := copyOf(t, dir), c.second
			if second == "five" {
				second = copyOf(t, dir)
				write(t, second+"/log.jsonl", bytes.Join(lines[:5], nil))
			}
			if c.harm != nil {
				second = copyOf(t, second)
				c.harm(second)
			}
			write(t, filepath.Join(d, "log.jsonl"), c.log)
			_, err := archive.MendLog(context.Background(), d, second, archivetest.When)
			var fork *archive.ForkError
			if err == nil || errors.As(err, &fork) != c.fork || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v", err)
			}
			if got := logOf(t, d); !bytes.Equal(got, c.log) {
				t.Error("the log was changed")
			}
		})
	}
}
