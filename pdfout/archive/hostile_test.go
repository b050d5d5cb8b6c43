package archive_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
	"wornwood/pdfout/attacktest"
)

// peakMiB bounds the memory of a process that files hostile files, in MiB of
// its resident set at its largest, with two files checked at the same time and
// the memory limit of the verb. make bench holds the verb itself to it
// (archive-hostile).
const peakMiB = 480

// copies is how often each attack is filed, each time with other bytes behind
// it, which make another file of it.
const copies = 4

// hostile writes attacks on two reports into a folder, and gives how many
// different files there are and how many of them are whole in themselves.
func hostile(t *testing.T, in string) (different, whole int) {
	t.Helper()
	stranger, err := archivetest.NewKey("A. Stranger")
	must(t, err)
	seen := map[string]bool{}
	for _, b := range made()[:2] {
		seen[hash(b)] = true
	}
	for r, report := range made()[:2] {
		attacks, err := attacktest.All(report, stranger)
		must(t, err)
		for i, k := range attacks {
			for c := range copies {
				data := k.Data
				if c > 0 {
					data = fmt.Appendf(bytes.Clone(data), "\n%% copy %d of attack %d on report %d\n", c, i, r)
				}
				if h := hash(data); !seen[h] {
					seen[h] = true
					different++
					if k.Explained && c == 0 {
						whole++
					}
				}
				write(t, filepath.Join(in, fmt.Sprintf("%d-%03d-%d.pdf", r, i, c)), data)
			}
		}
	}
	return different, whole
}

// More than a thousand hostile files and twenty good ones, in one folder, filed
// by a process of its own into an archive that holds others: the good ones are
// filed, the hostile ones refused with a reason (but for those that are whole in
// themselves, such as one signed anew by a stranger), nothing else changes, and
// the process stays within its memory.
func TestThousandHostileFiles(t *testing.T) {
	a, dir := newArchive(t)
	file(t, a, folderOf(t, 2))
	must(t, a.Close())
	before := listing(t, filepath.Join(dir, "files"))
	in := t.TempDir()
	different, whole := hostile(t, in)
	good := map[string]bool{}
	largest := int64(0)
	for n := range 20 {
		b, err := archivetest.Report(dealer(), 100+n)
		must(t, err)
		good[hash(b)] = true
		write(t, filepath.Join(in, fmt.Sprintf("%d-%03d-good.pdf", n%2, n*7)), b) // between the others
	}
	must(t, filepath.WalkDir(in, func(p string, d fs.DirEntry, err error) error {
		if st, err := d.Info(); err == nil && !d.IsDir() {
			largest = max(largest, st.Size())
		}
		return err
	}))
	if different < 1000 {
		t.Fatalf("only %d hostile files", different)
	}
	told, peak := fileElsewhere(t, dir, in)
	if told["filed"] != len(good)+whole || told["refused"] != different-whole || told["left"] != 0 {
		t.Errorf("%v, of %d hostile files, %d of them whole in themselves", told, different, whole)
	}
	if peak > peakMiB {
		t.Errorf("%d MiB of memory, more than %d", peak, peakMiB)
	}
	t.Logf("%d hostile files and %d good ones: at most %d MiB of memory", different, len(good), peak)

	b := reopen(t, dir, archive.Options{})
	r := clean(t, b)
	if r.Reports != 2+len(good)+whole || r.Refused != different-whole {
		t.Errorf("%d reports, %d refused", r.Reports, r.Refused)
	}
	for h := range good {
		if s, err := b.Show(h); err != nil || !s.Verdict.OK {
			t.Errorf("%s is not there as a good one (%v)", h, err)
		}
	}
	after := listing(t, filepath.Join(dir, "files"))
	for l := range strings.Lines(before) { // folders hold more now, files are as they were
		if strings.Contains(l, ".pdf ") && !strings.Contains(after, l) {
			t.Errorf("no longer as it was: %s", l)
		}
	}
	refusedWithReasons(t, dir, different-whole)
	// Nothing grew out of what came in: no file is larger than the largest that
	// was given, or than a verdict may be.
	must(t, filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if st, err2 := d.Info(); err2 == nil && d.Type().IsRegular() && st.Size() > max(largest, 8<<20) {
			t.Errorf("%s has %d bytes", p, st.Size())
		}
		return err
	}))
	if list, err := os.ReadDir(filepath.Join(dir, "incoming")); err != nil || len(list) != 0 {
		t.Errorf("left in incoming: %v (%v)", list, err)
	}
}

// refusedWithReasons sees that the refused pile holds so many files, each with
// its reason in plain words beside it.
func refusedWithReasons(t *testing.T, dir string, n int) {
	t.Helper()
	reasons, err := filepath.Glob(filepath.Join(dir, "refused", "*.txt"))
	must(t, err)
	if len(reasons) != n {
		t.Errorf("%d reasons for %d refused files", len(reasons), n)
	}
	for _, p := range reasons {
		text, err := os.ReadFile(p)
		must(t, err)
		first, _, _ := strings.Cut(string(text), "\n")
		why := strings.TrimPrefix(first, "Not filed: ")
		if why == first || len(why) < 15 || strings.ContainsAny(why, "\x00\x1b") {
			t.Errorf("%s gives as a reason %q", p, first)
		}
		if _, err := os.Stat(strings.TrimSuffix(p, ".txt") + ".pdf"); err != nil {
			t.Error(err)
		}
	}
}

// fileElsewhere files in another process and gives how often each result was
// told, and the largest resident set of the process in MiB.
func fileElsewhere(t *testing.T, dir, in string) (told map[string]int, peak int) {
	t.Helper()
	cmd, out := start(t, dir, in, "GOMAXPROCS=2", "GOMEMLIMIT=256MiB")
	told = map[string]int{}
	for out.Scan() {
		what, rest, _ := strings.Cut(out.Text(), " ")
		switch what {
		case "failed:":
			t.Fatal(out.Text())
		case "peak":
			_, err := fmt.Sscan(rest, &peak)
			must(t, err)
		default:
			told[what]++
		}
	}
	must(t, cmd.Wait())
	if peak /= 1024; peak == 0 {
		t.Error("the process did not say what memory it took")
	}
	return told, peak
}

// mailHead begins a message of parts.
const mailHead = "From: a@example.org\r\nTo: b@example.org\r\nSubject: reports\r\nMIME-Version: 1.0\r\nContent-Type: multipart/mixed; boundary=BB\r\n\r\n"

// part is a part with a PDF attached.
func part(name string, data []byte) string {
	var b strings.Builder
	fmt.Fprintf(&b, "--BB\r\nContent-Type: application/pdf; name=\"%s\"\r\nContent-Transfer-Encoding: base64\r\n\r\n", name)
	enc := base64.StdEncoding.EncodeToString(data)
	for len(enc) > 76 {
		b.WriteString(enc[:76] + "\r\n")
		enc = enc[76:]
	}
	b.WriteString(enc + "\r\n")
	return b.String()
}

// hostileMail are messages made to do harm, by what they are.
func hostileMail() map[string]string {
	deep := strings.Builder{}
	for i := range 5000 {
		fmt.Fprintf(&deep, "Content-Type: multipart/mixed; boundary=b%d\r\n\r\n--b%d\r\n", i, i)
	}
	inMail := strings.Repeat("Content-Type: message/rfc822\r\n\r\n", 20_000)
	many := mailHead + strings.Repeat("--BB\r\nContent-Type: text/plain\r\n\r\nx\r\n", 5000) + "--BB--\r\n"
	blanks := string(bytes.Repeat([]byte(" "), 48<<20))
	return map[string]string{
		"deep.eml":          deep.String(),
		"mail in mail.eml":  inMail,
		"many parts.eml":    many,
		"long header.eml":   "Subject: " + strings.Repeat("x", 64<<20) + "\r\n\r\nbody",
		"many headers.eml":  strings.Repeat("X-A: b\r\n", 8<<20) + "\r\nbody",
		"folded header.eml": "Subject: a\r\n" + strings.Repeat(" b\r\n", 8<<20) + "\r\nbody",
		"part header.eml":   mailHead + "--BB\r\nContent-Type: application/pdf\r\nX: " + strings.Repeat("x", 64<<20) + "\r\n\r\nx\r\n--BB--\r\n",
		"boundary.eml":      "Content-Type: multipart/mixed; boundary=\"" + strings.Repeat("b", 200_000) + "\"\r\n\r\n--b\r\n\r\nx",
		"no boundary.eml":   "Content-Type: multipart/mixed\r\n\r\n--\r\n",
		"zip.eml":           mailHead + "--BB\r\nContent-Type: application/zip; name=\"x.zip\"\r\nContent-Transfer-Encoding: base64\r\n\r\n" + base64.StdEncoding.EncodeToString(append([]byte("PK\x05\x06"), make([]byte, 18)...)) + "\r\n--BB--\r\n", // a zip of nothing
		"named pdf.eml":     mailHead + "--BB\r\nContent-Type: application/zip; name=\"x.pdf\"\r\nContent-Transfer-Encoding: base64\r\n\r\n" + base64.StdEncoding.EncodeToString(append([]byte("PK\x05\x06"), make([]byte, 18)...)) + "\r\n--BB--\r\n",
		"too large.eml":     mailHead + "--BB\r\nContent-Type: application/pdf\r\n\r\n" + blanks + blanks + blanks + "\r\n--BB--\r\n",
		"several large.eml": mailHead + strings.Repeat("--BB\r\nContent-Type: application/pdf\r\n\r\n"+blanks+"\r\n", 1) + "--BB\r\nContent-Type: application/pdf\r\n\r\nx" + blanks + "\r\n--BB\r\nContent-Type: application/pdf\r\n\r\ny" + blanks + "\r\n--BB--\r\n",
		"cut off.eml":       mailHead + part("a.pdf", []byte("%PDF-1.7"))[:100],
		"names.eml":         mailHead + part("../../../../etc/passwd.pdf", []byte("%PDF-1.7 a")) + part("=?utf-8?q?=00=0d=0aX:y?=.pdf", []byte("%PDF-1.7 b")) + part(strings.Repeat("n", 100_000)+".pdf", []byte("%PDF-1.7 c")) + "--BB--\r\n",
		"box.mbox":          "From x\r\n" + strings.Repeat("From ", 4<<20),
		"empty box.mbox":    strings.Repeat("From x\n\n", 200_000),
		"nul.mbox":          "From x\n\n" + string(make([]byte, 16<<20)),
	}
}

// Mail made to do harm costs no more memory than the bound, tells what is wrong
// with it, and keeps nothing good from being filed.
func TestHostileMail(t *testing.T) {
	a, dir := newArchive(t)
	must(t, a.Close())
	in := t.TempDir()
	for name, text := range hostileMail() {
		write(t, filepath.Join(in, name), []byte(text))
	}
	// Good ones among them, also behind harm in one message and in one box.
	write(t, filepath.Join(in, "good.eml"), []byte(mailHead+part("one.pdf", made()[0])+"--BB--\r\n"))
	write(t, filepath.Join(in, "mixed.eml"), []byte(mailHead+"--BB\r\nContent-Type: application/pdf\r\n\r\n"+strings.Repeat(" ", 140<<20)+"\r\n"+part("two.pdf", made()[1])+"--BB--\r\n"))
	write(t, filepath.Join(in, "mixed.mbox"), []byte("From x\n"+strings.ReplaceAll("Subject: "+strings.Repeat("y", 2<<20)+"\r\n\r\nbody", "\r\n", "\n")+"\n\nFrom y\n"+strings.ReplaceAll(mailHead+part("three.pdf", made()[2])+"--BB--\r\n", "\r\n", "\n")+"\n"))
	told, peak := fileElsewhere(t, dir, in)
	t.Logf("%v, at most %d MiB of memory", told, peak)
	if told["filed"] != 3 || told["left"] < 14 {
		t.Errorf("%v", told)
	}
	if peak > peakMiB {
		t.Errorf("%d MiB of memory, more than %d", peak, peakMiB)
	}
	b := reopen(t, dir, archive.Options{})
	if r := clean(t, b); r.Reports != 3 {
		t.Errorf("%d reports", r.Reports)
	}
	var why []string
	tally, err := b.File(context.Background(), []string{in}, archive.FileOptions{Done: func(o archive.Outcome) {
		if o.Result == archive.IsLeft {
			why = append(why, o.Source+": "+o.Why)
		}
		if strings.ContainsAny(o.Source, "/\\\n\r\x00") || len([]rune(o.Source)) > 240 {
			t.Errorf("the name %q", o.Source)
		}
	}})
	if err != nil || tally.Filed != 0 || tally.There != 3 {
		t.Errorf("again: %+v (%v)", tally, err)
	}
	said := strings.Join(why, "\n")
	for _, want := range []string{"deep.eml: it cannot be read: the mail is damaged: it has more than 2000 parts, or they are nested deeper than 8", "long header.eml: it cannot be read: the mail is damaged: its header is longer than 1024 KiB", "many headers.eml: it cannot be read: the mail is damaged: its header is longer", "folded header.eml: it cannot be read: the mail is damaged: its header is longer", "too large.eml, attachment 1: it cannot be read: more than 128 MiB: it is larger than the archive takes"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said:\n%s", want, said)
		}
	}
}
