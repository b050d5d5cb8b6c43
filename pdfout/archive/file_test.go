package archive_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/sign"
)

// dealer signs the reports of all tests here.
var dealer = sync.OnceValue(func() *sign.Identity {
	id, err := archivetest.NewKey("R. Calloway")
	if err != nil {
		panic(err)
	}
	return id
})

var made = sync.OnceValue(func() [][]byte {
	var out [][]byte
	for i := range 8 {
		b, err := archivetest.Report(dealer(), i)
		if err != nil {
			panic(err)
		}
		out = append(out, b)
	}
	return out
})

// folderOf writes the first n reports into a new folder.
func folderOf(t *testing.T, n int) string {
	t.Helper()
	dir := t.TempDir()
	for i, b := range made()[:n] {
		write(t, filepath.Join(dir, fmt.Sprintf("report-%d.pdf", i)), b)
	}
	return dir
}

func write(t *testing.T, path string, b []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b, 0o644); err != nil {
		t.Fatal(err)
	}
}

// newArchive makes and opens an archive.
func newArchive(t *testing.T) (*archive.Archive, string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	return reopen(t, dir, archive.Options{}), dir
}

func reopen(t *testing.T, dir string, opt archive.Options) *archive.Archive {
	t.Helper()
	a, err := archive.Open(context.Background(), dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { a.Close() })
	return a
}

func file(t *testing.T, a *archive.Archive, paths ...string) (archive.Tally, []archive.Outcome) {
	t.Helper()
	var out []archive.Outcome
	tally, err := a.File(context.Background(), paths, archive.FileOptions{Done: func(o archive.Outcome) { out = append(out, o) }})
	if err != nil {
		t.Fatal(err)
	}
	return tally, out
}

func clean(t *testing.T, a *archive.Archive) *archive.CheckReport {
	t.Helper()
	r, err := a.Check(context.Background(), archive.CheckOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Findings {
		t.Errorf("%s: %v line %d: %s", f.Severity, f.Ref, f.Line, f.Text)
	}
	return r
}

func TestFileOnce(t *testing.T) {
	a, dir := newArchive(t)
	in := folderOf(t, 4)
	write(t, filepath.Join(in, "deeper", "again.pdf"), made()[0])
	write(t, filepath.Join(in, "notes.txt"), []byte("nothing"))
	tally, _ := file(t, a, in)
	if want := (archive.Tally{Filed: 4, There: 1, Passed: 1}); tally != want {
		t.Fatalf("%+v, want %+v", tally, want)
	}
	if tally, _ = file(t, a, in); tally != (archive.Tally{There: 5, Passed: 1}) {
		t.Errorf("the second time: %+v", tally)
	}
	r := clean(t, a)
	if r.Reports != 4 || r.Read != 12 {
		t.Errorf("%d reports, %d files read", r.Reports, r.Read)
	}
	// Write-once, byte for byte.
	s, err := a.Show(hash(made()[2])[:12])
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(s.Path)
	if err != nil || !bytes.Equal(got, made()[2]) {
		t.Errorf("the filed report differs (%v)", err)
	}
	if st, err := os.Stat(s.Path); err != nil || st.Mode().Perm() != 0o444 {
		t.Errorf("its mode is %v (%v)", st.Mode(), err)
	}
	if !s.Verdict.OK || s.Verdict.Record.Instrument.Serial != "41002" || s.Row.Verdict != archive.UnknownKey {
		t.Errorf("kept: %v, %+v", s.Verdict.OK, s.Row)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	b := reopen(t, dir, archive.Options{})
	if f := find(t, b, ""); len(f) != 4 {
		t.Errorf("%d found after opening again", len(f))
	}
}

// A key that is known is named in the row, and the verdict says so later.
func TestKnownKey(t *testing.T) {
	a, _ := newArchive(t)
	_, err := a.File(context.Background(), []string{folderOf(t, 1)}, archive.FileOptions{Verify: pdfout.VerifyOptions{Known: pdfout.KnownKeys{dealer().Fingerprint(): "Fen Street"}}})
	if err != nil {
		t.Fatal(err)
	}
	rows := find(t, a, "verdict:known key:"+string(dealer().Fingerprint())[:12])
	if len(rows) != 1 || rows[0].KeyName != "Fen Street" {
		t.Errorf("%+v", rows)
	}
	if rows := find(t, a, "-verdict:known"); len(rows) != 0 {
		t.Errorf("%+v", rows)
	}
}

func TestCountersignedIsLinked(t *testing.T) {
	buyer, err := archivetest.NewKey("B. Atherley")
	if err != nil {
		t.Fatal(err)
	}
	later, err := archivetest.Countersigned(made()[1], buyer)
	if err != nil {
		t.Fatal(err)
	}
	for _, together := range []bool{true, false} {
		a, _ := newArchive(t)
		in := t.TempDir()
		write(t, filepath.Join(in, "a.pdf"), made()[1])
		if !together {
			file(t, a, in)
		}
		write(t, filepath.Join(in, "b.pdf"), later)
		// One worker, so that the first comes first.
		if _, err := a.File(context.Background(), []string{in}, archive.FileOptions{Workers: 1}); err != nil {
			t.Fatal(err)
		}
		s, err := a.Show(hash(later))
		if err != nil {
			t.Fatal(err)
		}
		if s.Row.Linked != hash(made()[1]) || !s.Row.Countersigned || len(s.Versions) != 2 {
			t.Errorf("linked %q, countersigned %v, %d versions", s.Row.Linked, s.Row.Countersigned, len(s.Versions))
		}
		if len(find(t, a, "has:countersignature")) != 1 || len(find(t, a, "-has:countersignature")) != 1 {
			t.Error("has:countersignature finds another number than one")
		}
		clean(t, a)
	}
}

func TestRefusedAreKept(t *testing.T) {
	a, dir := newArchive(t)
	in := t.TempDir()
	bad := bytes.Clone(made()[0])
	bad[len(bad)/2] ^= 1
	write(t, filepath.Join(in, "bad.pdf"), bad)
	write(t, filepath.Join(in, "text.pdf"), []byte("=HYPERLINK\x1b[2J"))
	tally, out := file(t, a, in)
	if tally.Refused != 2 || tally.Filed != 0 {
		t.Fatalf("%+v", tally)
	}
	for _, o := range out {
		if o.Why == "" || o.Result != archive.IsRefused {
			t.Errorf("%+v", o)
		}
		kept, err := os.ReadFile(filepath.Join(dir, "refused", o.Hash+".pdf"))
		if err != nil || hash(kept) != o.Hash {
			t.Errorf("the refused file is not kept (%v)", err)
		}
		why, err := os.ReadFile(filepath.Join(dir, "refused", o.Hash+".txt"))
		if err != nil || !strings.Contains(string(why), "Not filed: "+o.Why) || !strings.Contains(string(why), o.Source) {
			t.Errorf("the reason is %q (%v)", why, err)
		}
	}
	if tally, out = file(t, a, in); tally.Refused != 2 || out[0].Result != archive.WasRefused {
		t.Errorf("the second time: %+v", tally)
	}
	if r := clean(t, a); r.Refused != 2 {
		t.Errorf("%d refused", r.Refused)
	}
}

// mailOf is a message with attachments (RFC 5322, 2045, 2046).
func mailOf(files map[string][]byte) []byte {
	var b bytes.Buffer
	b.WriteString("From: a@example.org\r\nSubject: reports\r\nMIME-Version: 1.0\r\nContent-Type: multipart/mixed; boundary=\"cut\"\r\n\r\n--cut\r\nContent-Type: text/plain\r\n\r\nFrom here on: see below.\r\n")
	for name, data := range files {
		enc := base64.StdEncoding.EncodeToString(data)
		fmt.Fprintf(&b, "--cut\r\nContent-Type: application/octet-stream\r\nContent-Disposition: attachment; filename=%q\r\nContent-Transfer-Encoding: base64\r\n\r\n", name)
		for len(enc) > 76 {
			b.WriteString(enc[:76] + "\r\n")
			enc = enc[76:]
		}
		b.WriteString(enc + "\r\n")
	}
	b.WriteString("--cut--\r\n")
	return b.Bytes()
}

func TestMail(t *testing.T) {
	a, _ := newArchive(t)
	in := t.TempDir()
	write(t, filepath.Join(in, "one.eml"), mailOf(map[string][]byte{`..\..\one.PDF`: made()[0], "picture.jpg": []byte("x")}))
	forwarded := fmt.Sprintf("From: c@example.org\r\nContent-Type: multipart/mixed; boundary=outer\r\n\r\n--outer\r\nContent-Type: message/rfc822\r\n\r\n%s\r\n--outer--\r\n", mailOf(map[string][]byte{"two.pdf": made()[1]}))
	var box bytes.Buffer
	for _, m := range []string{forwarded, string(mailOf(map[string][]byte{"three.pdf": made()[2]})), "Subject: none\r\n\r\nno file\r\n"} {
		// The ">" before lines of "From " is how boxes are written.
		fmt.Fprintf(&box, "From someone Sat Nov 14 16:05:00 2026\n%s\n\n", strings.ReplaceAll(strings.ReplaceAll(m, "\r\n", "\n"), "\nFrom ", "\n>From "))
	}
	write(t, filepath.Join(in, "in.mbox"), box.Bytes())
	write(t, filepath.Join(in, "broken.eml"), []byte("no mail at all"))
	write(t, filepath.Join(in, "deep.eml"), []byte(strings.Repeat("Content-Type: message/rfc822\r\n\r\n", 50)))
	tally, out := file(t, a, in)
	if want := (archive.Tally{Filed: 3, Passed: 1, Left: 2}); tally != want {
		t.Errorf("%+v, want %+v: %+v", tally, want, out)
	}
	names := ""
	for _, o := range out {
		names += o.Source + "\n"
	}
	for _, want := range []string{"one.eml, one.PDF\n", "in.mbox, message 1, two.pdf\n", "in.mbox, message 2, three.pdf\n"} {
		if !strings.Contains(names, want) {
			t.Errorf("no %q among\n%s", want, names)
		}
	}
	clean(t, a)
}

func TestCancelAndGoOn(t *testing.T) {
	a, dir := newArchive(t)
	in := folderOf(t, 8)
	ctx, stop := context.WithCancel(context.Background())
	told := map[string]bool{}
	_, err := a.File(ctx, []string{in}, archive.FileOptions{Workers: 1, Done: func(o archive.Outcome) { told[o.Hash] = true; stop() }})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("%v, want cancelled", err)
	}
	clean(t, a)
	if left, err := os.ReadDir(filepath.Join(dir, "incoming")); err != nil || len(left) > 0 {
		t.Errorf("%d files left half done (%v)", len(left), err)
	}
	rows := find(t, a, "")
	if len(rows) != len(told) || len(rows) == 0 || len(rows) == 8 {
		t.Errorf("%d filed, %d told", len(rows), len(told))
	}
	if tally, _ := file(t, a, in); tally.Filed+len(told) != 8 || tally.There != len(told) {
		t.Errorf("going on: %+v after %d", tally, len(told))
	}
	clean(t, a)
}

// The order is that of the lines, whatever the clock says.
func TestClockSetBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Test", false, archivetest.When); err != nil {
		t.Fatal(err)
	}
	now := archivetest.When
	a := reopen(t, dir, archive.Options{Now: func() time.Time { now = now.Add(-24 * time.Hour); return now }})
	for i := range 3 {
		file(t, a, filepath.Join(folderOf(t, 3), fmt.Sprintf("report-%d.pdf", i)))
	}
	clean(t, a)
	rows := find(t, a, "")
	if len(rows) != 3 || rows[0].Seq != 3 || !rows[0].Filed.Before(rows[2].Filed) {
		t.Errorf("%+v", rows)
	}
}
