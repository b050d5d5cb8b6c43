package jobtest

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/pdfout"
	"wornwood/ui/cli"
)

// verbs runs command lines in this process.
type verbs struct {
	t    *testing.T
	home string
}

// run runs one command line, which must end with the code, and returns what it
// printed on standard output and on standard error.
func (v verbs) run(code int, args ...string) (out, said string) {
	v.t.Helper()
	var o, e bytes.Buffer
	got := cli.Run(context.Background(), args, cli.Env{Stdin: strings.NewReader(""), Stdout: &o, Stderr: &e, Now: now,
		Getenv: func(k string) string { return map[string]string{"HOME": v.home}[k] }})
	if got != code {
		v.t.Fatalf("wornwood %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), got, code, &o, &e)
	}
	if strings.Contains(o.String()+e.String(), passphrase) {
		v.t.Fatalf("wornwood %s prints the passphrase", args[0])
	}
	return o.String(), e.String()
}

// decode runs a verb that prints JSON.
func (v verbs) decode(into any, args ...string) {
	v.t.Helper()
	out, _ := v.run(cli.OK, args...)
	decodeJSON(v.t, []byte(out), into)
}

// TestVerbsOnRealFiles carries the main job out by command lines on the whole
// camera files, a phone photo and the photographed instruments.
func TestVerbsOnRealFiles(t *testing.T) {
	home := t.TempDir()
	sources := append([]string{filepath.Dir(samples(t)[0]), largest(t, npmPhotos(t))}, instruments(t)...)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(home, "config"))
	v := verbs{t, home}
	dir := filepath.Join(home, "the bench")
	v.run(cli.OK, "new", dir, "--maker", "Halden & Rowe", "--model", "Larkfoot Standard", "--serial", "41873", "--examiner", "R. Calloway", "--shop", "Fen Street Instruments")
	rec := v.importAll(dir, sources)
	change := filepath.Join(home, "changes.json")
	writeJSON(t, change, changes(t, rec))
	v.run(cli.OK, "change", dir, change, "--name", "Findings")
	v.run(cli.OK, "undo", dir)
	v.run(cli.OK, "redo", dir)
	var graded struct {
		Index  float64
		Ledger []struct{ Points float64 }
	}
	v.decode(&graded, "grade", dir, "--json")
	for _, l := range graded.Ledger {
		graded.Index += l.Points
	}
	if graded.Index < 100-1e-6 || graded.Index > 100+1e-6 || len(graded.Ledger) == 0 {
		t.Errorf("index and ledger add up to %v", graded.Index)
	}
	pass := filepath.Join(home, "pass")
	if err := os.WriteFile(pass, []byte(passphrase+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var issued struct{ Number, Path, SHA256, RecordHash string }
	v.decode(&issued, "issue", dir, "--passphrase-file", pass, "--json")
	if issued.Number != "CR-2026-0001" || sumOf(t, issued.Path) != issued.SHA256 {
		t.Errorf("issued %+v, the file's digest is %s", issued, sumOf(t, issued.Path))
	}
	v.checkIssued(dir, issued.Path)
	v.checkDamage(dir, issued.Path, rec.Photos[len(rec.Photos)/2].ID)
}

// importAll imports camera files, one phone photo and the instruments, most of
// the camera files being cut off and refused, and returns the record.
func (v verbs) importAll(dir string, sources []string) *record.Record {
	v.t.Helper()
	out, _ := v.run(cli.AnswerNo, append([]string{"import", dir, "--json"}, sources...)...)
	var res bench.ImportResult
	decodeJSON(v.t, []byte(out), &res)
	if len(res.Added) != 10+1+6 || len(res.Refused) != 58-10 || len(res.Known) != 0 {
		v.t.Fatalf("%d added, %d refused, %d known", len(res.Added), len(res.Refused), len(res.Known))
	}
	plain, _ := v.run(cli.AnswerNo, "import", dir, sources[0], sources[1])
	if !strings.Contains(plain, "0 added, 11 known already, 48 refused") {
		v.t.Errorf("imported again: %.300s", plain)
	}
	var rec record.Record
	v.decode(&rec, "show", dir)
	if len(rec.Photos) != len(res.Added) {
		v.t.Fatalf("%d photos in the record", len(rec.Photos))
	}
	return &rec
}

// changes enters a mark on the outline, one on each photo, all parts and the
// playing.
func changes(t *testing.T, rec *record.Record) (list []record.Change) {
	t.Helper()
	set := func(target string, v any) {
		c, err := record.Set(target, v)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, c)
	}
	set(record.MarkTarget(1), record.Mark{Number: 1, Kind: "ding", Depth: record.Through,
		On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: -60, Y: 690}}}}})
	for i, p := range rec.Photos {
		set(record.MarkTarget(i+2), record.Mark{Number: i + 2, Kind: "chip", Depth: record.InFinish,
			Photos: []record.PhotoPlace{{Photo: p.ID, Shape: record.PointShape, Points: []record.Point{{X: float64(p.Width) / 2, Y: float64(p.Height) / 2}}}}})
	}
	for _, id := range []record.PartID{record.FrontFinish, record.BackFinish, record.SidesFinish, record.Neck, record.Headstock, record.Fingerboard,
		record.Frets, record.Nut, record.Bridge, record.Tuners, record.Guard, record.Electronics} {
		set(record.PartTarget(id), record.Part{ID: id, State: record.Original, Inspected: true})
	}
	set(record.PartTarget(record.Binding), record.Part{ID: record.Binding, State: record.NotFitted})
	set("playing", record.Playing{Others: record.Clean})
	return list
}

func writeJSON(t *testing.T, path string, v any) {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

// checkIssued verifies by verb and compares the record inside with what show
// prints.
func (v verbs) checkIssued(dir, report string) {
	v.t.Helper()
	var verdict pdfout.Verdict
	v.decode(&verdict, "verify", report, "--json")
	var rows []bench.Row
	v.decode(&rows, "list", dir, "larkfoot", "--json")
	if len(rows) != 1 || !rows[0].Issued || rows[0].Photos != 17 || rows[0].Marks != 18 {
		v.t.Fatalf("listed: %+v", rows)
	}
	var now record.Record
	v.decode(&now, "show", dir, "--exam", rows[0].Exam)
	want, err := pdfout.RecordHash(&now)
	if err != nil || !verdict.OK || verdict.RecordHash != want {
		v.t.Errorf("verdict %v on the record %s, the examination's is %s, %v", verdict.OK, verdict.RecordHash, want, err)
	}
	text := squeeze(string(output(v.t, "poppler-utils", "pdftotext", "-enc", "UTF-8", "-raw", report, "-")))
	for _, p := range now.Photos {
		if !strings.Contains(text, p.ID) {
			v.t.Errorf("the report does not print the digest of %s", p.Name)
		}
	}
	for _, want := range []string{"Larkfoot Standard", "CONDITION: CLEAN 9", "ORIGINALITY 100 of 100", "PLAYS CLEAN 132 of 132 positions"} {
		if !strings.Contains(text, want) {
			v.t.Errorf("the report lacks %q", want)
		}
	}
	if out, _ := v.run(cli.OK, "check", dir); out != "every file is whole\n" {
		v.t.Errorf("check: %s", out)
	}
}

// checkDamage flips a bit of a copied report and of an original in the store:
// both are answered with no.
func (v verbs) checkDamage(dir, report, photo string) {
	v.t.Helper()
	data, err := os.ReadFile(report)
	if err != nil {
		v.t.Fatal(err)
	}
	data[len(data)/3] ^= 4
	bad := filepath.Join(v.home, "bad.pdf")
	if err := os.WriteFile(bad, data, 0o644); err != nil {
		v.t.Fatal(err)
	}
	if out, _ := v.run(cli.AnswerNo, "verify", bad); !strings.HasPrefix(out, "Do not rely on this report") {
		v.t.Errorf("an altered report: %s", out)
	}
	b, err := bench.Open(dir, bench.Options{Now: now})
	if err != nil {
		v.t.Fatal(err)
	}
	path := b.OriginalPath(photo)
	if err := b.Close(); err != nil {
		v.t.Fatal(err)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		if err = os.Chmod(path, 0o644); err == nil {
			f, err = os.OpenFile(path, os.O_RDWR, 0)
		}
	}
	if err != nil {
		v.t.Fatal(err)
	}
	defer f.Close()
	one := make([]byte, 1)
	if _, err := f.ReadAt(one, 100); err != nil && err != io.EOF {
		v.t.Fatal(err)
	}
	one[0] ^= 1
	if _, err := f.WriteAt(one, 100); err != nil {
		v.t.Fatal(err)
	}
	if out, _ := v.run(cli.AnswerNo, "check", dir); strings.Count(out, "\n") != 1 || !strings.Contains(out, photo) {
		v.t.Errorf("check of an altered original: %s", out)
	}
}
