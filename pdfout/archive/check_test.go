package archive_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
)

func check(t *testing.T, a *archive.Archive, opt archive.CheckOptions) *archive.CheckReport {
	t.Helper()
	r, err := a.Check(context.Background(), opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Each kind of damage is found, named and, with a second copy, mended.
func TestDamageIsFoundAndMended(t *testing.T) {
	ref := func(area archive.Area) archive.Ref { return archive.Ref{Area: area, Hash: hash(made()[1])} }
	for name, c := range map[string]struct {
		harm func(dir string) error
		says string
	}{
		"report altered":  {func(dir string) error { return damage(dir, ref(archive.Files)) }, "the file was altered"},
		"verdict altered": {func(dir string) error { return damage(dir, ref(archive.Verdicts)) }, "the file was altered"},
		"record gone":     {func(dir string) error { return os.Remove(path(dir, ref(archive.Records))) }, "the file is missing"},
		"report cut": {func(dir string) error {
			p := path(dir, ref(archive.Files))
			if err := os.Chmod(p, 0o644); err != nil {
				return err
			}
			return os.Truncate(p, 1000)
		}, "has 1000 bytes and not"},
	} {
		t.Run(name, func(t *testing.T) {
			a, dir := newArchive(t)
			file(t, a, folderOf(t, 3))
			second := filepath.Join(t.TempDir(), "copy")
			if err := os.CopyFS(second, os.DirFS(dir)); err != nil {
				t.Fatal(err)
			}
			if err := c.harm(dir); err != nil {
				t.Fatal(err)
			}
			r := check(t, a, archive.CheckOptions{})
			if len(r.Findings) != 1 || r.Findings[0].Severity != archive.Grave || !strings.Contains(r.Findings[0].Text, c.says) || !strings.Contains(r.Findings[0].Do, "--copy") {
				t.Fatalf("%+v", r.Findings)
			}
			r = check(t, a, archive.CheckOptions{Copy: second})
			if len(r.Findings) > 0 || len(r.Restored) != 1 {
				t.Fatalf("with a copy: %+v", r)
			}
			clean(t, a)
			// A copy with the same damage mends nothing, and that is said.
			if err := c.harm(dir); err != nil {
				t.Fatal(err)
			}
			if err := c.harm(second); err != nil {
				t.Fatal(err)
			}
			if r = check(t, a, archive.CheckOptions{Copy: second}); len(r.Findings) != 1 || !strings.Contains(r.Findings[0].Text, "in the copy") {
				t.Errorf("with a bad copy: %+v", r.Findings)
			}
		})
	}
}

func TestStrangersAreFound(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 1))
	write(t, path(dir, archive.Ref{Area: archive.Files, Hash: hash(made()[3])}), made()[3])
	write(t, filepath.Join(dir, "files", "note.txt"), []byte("x"))
	r := check(t, a, archive.CheckOptions{})
	if len(r.Findings) != 2 || !strings.Contains(r.Findings[0].Text+r.Findings[1].Text, "no line of the log names this file") {
		t.Errorf("%+v", r.Findings)
	}
}

// A log that was cut, altered, or written anew as a whole: the chain or a head
// noted elsewhere shows it.
func TestLogIsProven(t *testing.T) {
	a, dir := newArchive(t)
	heads := []archive.Head{a.Head()}
	for i := range 3 {
		file(t, a, filepath.Join(folderOf(t, 3), "report-"+string(rune('0'+i))+".pdf"))
		heads = append(heads, a.Head())
	}
	for _, h := range heads {
		p, err := a.Prove(h, 2)
		if err != nil || !p.Holds || p.After != 3-h.Seq || len(p.Lines) != int(min(2, 3-h.Seq)) {
			t.Errorf("%v: %+v (%v)", h, p, err)
		}
		if again, err := archive.ParseHead(h.String()); err != nil || again != h {
			t.Errorf("%v reads back as %v (%v)", h, again, err)
		}
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	log := filepath.Join(dir, "log.jsonl")
	whole, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(whole, []byte("\n"))
	for name, c := range map[string]struct {
		log    []byte
		broken bool // to be seen without a head
		says   string
	}{
		"a name altered":    {bytes.Replace(whole, []byte("report-1"), []byte("report-9"), 1), true, "line 3 of log.jsonl does not follow"},
		"a line taken out":  {bytes.Join([][]byte{lines[0], lines[2]}, nil), true, "has the number 3"},
		"the end taken off": {bytes.Join(lines[:2], nil), true, "ends with line 2"}, // the file of line 3 is a stranger
	} {
		write(t, log, c.log)
		b := reopen(t, dir, archive.Options{ReadOnly: true})
		p, err := b.Prove(heads[3], 0)
		if err != nil || p.Holds || !strings.Contains(p.Why, c.says) {
			t.Errorf("%s: %+v (%v)", name, p, err)
		}
		grave := 0
		for _, f := range check(t, b, archive.CheckOptions{}).Findings {
			if f.Severity == archive.Grave {
				grave++
			}
		}
		if (grave > 0) != c.broken {
			t.Errorf("%s: %d grave findings", name, grave)
		}
	}
	writtenAnew(t, dir, heads[3])
}

// writtenAnew puts another archive's log in place: it is whole in itself, and the
// noted head tells it apart.
func writtenAnew(t *testing.T, dir string, noted archive.Head) {
	t.Helper()
	other, otherDir := newArchive(t)
	for i := range 3 {
		file(t, other, filepath.Join(folderOf(t, 3), "report-"+string(rune('2'-i))+".pdf"))
	}
	anew, err := os.ReadFile(filepath.Join(otherDir, "log.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "log.jsonl"), anew)
	p, err := reopen(t, dir, archive.Options{ReadOnly: true}).Prove(noted, 0)
	if err != nil || p.Holds || !strings.Contains(p.Why, "line 3 is another") {
		t.Errorf("written anew: %+v (%v)", p, err)
	}
}

// A share by a seed is the same each time, and another by another seed.
func TestShare(t *testing.T) {
	a, _ := newArchive(t)
	file(t, a, folderOf(t, 8))
	n := func(seed string) int { return check(t, a, archive.CheckOptions{Share: 0.5, Seed: seed}).Read }
	if x, y := n("a"), n("a"); x != y || x%3 != 0 || x > 24 {
		t.Errorf("%d and %d files read", x, y)
	}
	all := 0
	for _, s := range strings.Split("bcdefghijklm", "") {
		all += n(s)
	}
	// 12 draws of 8 reports with 3 files: 144 of 288 are to be expected, and
	// six standard deviations are 15 reports.
	if all < 144-45 || all > 144+45 {
		t.Errorf("%d of 288 files read at a share of a half", all)
	}
}

// The index is thrown away: damaged, missing or beside the log, it is made anew.
func TestIndexIsDisposable(t *testing.T) {
	a, dir := newArchive(t)
	in := folderOf(t, 4)
	write(t, filepath.Join(in, "bad.pdf"), []byte("no report"))
	file(t, a, in)
	want := find(t, a, "sort:serial")
	a.Close()
	db := filepath.Join(dir, "index.db")
	for name, harm := range map[string]func() error{
		"missing":  func() error { return os.Remove(db) },
		"no index": func() error { return os.WriteFile(db, []byte("this is not a database at all, by any means"), 0o644) },
		"empty":    func() error { return os.Truncate(db, 0) },
	} {
		if err := harm(); err != nil {
			t.Fatal(err)
		}
		b := reopen(t, dir, archive.Options{})
		got, err := json.Marshal(find(t, b, "sort:serial"))
		was, err2 := json.Marshal(want)
		if err != nil || err2 != nil || !bytes.Equal(got, was) {
			t.Errorf("%s: other rows than before", name)
		}
		clean(t, b)
		b.Close()
	}
	b := reopen(t, dir, archive.Options{})
	if r, err := b.Rebuild(context.Background()); err != nil || r.Reports != 4 || len(r.Damaged) > 0 {
		t.Errorf("%+v (%v)", r, err)
	}
	clean(t, b)
}

// What a spreadsheet takes for a formula is defused (common practice; the form
// is RFC 4180's, and Go's own reader is the judge of that).
func TestExport(t *testing.T) {
	rows := []archive.Row{{Maker: "=1+1", Model: "+x", Serial: "-41873", Examiner: "@sum", Shop: "\tx", Number: "\rx", Class: `a "b", c` + "\nd", Source: "plain"}}
	var b bytes.Buffer
	if err := archive.WriteCSV(&b, rows); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(b.Bytes(), []byte("\r\n")) {
		t.Error("lines do not end with CR LF")
	}
	got, err := csv.NewReader(bytes.NewReader(b.Bytes())).ReadAll()
	if err != nil || len(got) != 2 {
		t.Fatal(got, err)
	}
	cell := map[string]string{}
	for i, name := range got[0] {
		cell[name] = got[1][i]
	}
	for name, want := range map[string]string{"maker": "'=1+1", "model": "'+x", "serial": "'-41873", "examiner": "'@sum", "shop": "'\tx", "class": "a \"b\", c\nd", "source": "plain", "index": ""} {
		if cell[name] != want {
			t.Errorf("%s: %q, want %q", name, cell[name], want)
		}
	}
	if !strings.HasPrefix(cell["number"], "'") {
		t.Errorf("number: %q", cell["number"])
	}
	b.Reset()
	if err := archive.WriteLines(&b, append(rows, rows...)); err != nil {
		t.Fatal(err)
	}
	var back archive.Row
	if list := bytes.Split(bytes.TrimSpace(b.Bytes()), []byte("\n")); len(list) != 2 || json.Unmarshal(list[1], &back) != nil || back.Maker != "=1+1" {
		t.Errorf("%s", b.String())
	}
}
