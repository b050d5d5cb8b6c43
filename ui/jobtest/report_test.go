package jobtest

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout"
)

// checkRecord holds the examination to what was entered by job.record.
func (j *job) checkRecord(photos int) {
	j.t.Helper()
	sc := j.s.Scene()
	if sc.GradeError != nil {
		j.t.Fatal(sc.GradeError)
	}
	if n := len(sc.Record.Photos); n != photos {
		j.t.Errorf("%d photos in the record, want %d", n, photos)
	}
	// Three on the outline, the first of them on the first photo too, and one
	// on each further photo.
	if want := 3 + max(0, photos-1); len(sc.Record.Marks) != want {
		j.t.Errorf("%d marks, want %d", len(sc.Record.Marks), want)
	}
	on := map[string]int{}
	for _, m := range sc.Record.Marks {
		for _, p := range m.Photos {
			on[p.Photo]++
		}
	}
	for _, p := range sc.Record.Photos {
		if on[p.ID] != 1 {
			j.t.Errorf("%s has %d marks, want one", p.Name, on[p.ID])
		}
	}
	checkLedger(j.t, sc.Grade)
}

// checkLedger adds the ledger up: the exact points to the exact index, the
// printed tenths to a whole number of tenths near it.
func checkLedger(t *testing.T, g *grade.Result) {
	t.Helper()
	if g.Index == nil || g.Provisional || *g.Index >= 100 {
		t.Fatalf("three marks on inspected parts give the index %v, provisional %v", g.Index, g.Provisional)
	}
	exact, shown, lines := 0.0, 0.0, map[int]bool{}
	for _, l := range g.Ledger {
		exact, shown = exact+l.Points, shown+l.Shown
		lines[l.Mark] = true
	}
	if math.Abs(100-exact-*g.Index) > 1e-6 {
		t.Errorf("the ledger takes %.9f points, the index is %.9f", exact, *g.Index)
	}
	if math.Abs(100-shown-*g.Index) > 0.05+1e-9 {
		t.Errorf("the printed ledger takes %.1f points, the index is %.3f", shown, *g.Index)
	}
	for n := 1; n <= 3; n++ {
		if !lines[n] || g.MarkPoints(n) <= 0 {
			t.Errorf("mark %d on the outline costs %v, in the ledger: %v", n, g.MarkPoints(n), lines[n])
		}
	}
	// 22 frets times 6 strings, one buzzes.
	if g.Playing.Total != 132 || g.Playing.Clean != 131 {
		t.Errorf("plays clean at %d of %d, want 131 of 132", g.Playing.Clean, g.Playing.Total)
	}
	if g.Originality == nil || *g.Originality >= 100 || len(g.NotOriginal) != 1 || g.NotOriginal[0].Part != record.Tuners {
		t.Errorf("originality %v, not original %v", g.Originality, g.NotOriginal)
	}
}

// checkReport opens the issued report with this program and with other
// people's (pdftotext, pdfdetach of poppler; qpdf) and compares all with the
// examination. It returns the report's text.
func (j *job) checkReport(is *pdfout.Issued) string {
	j.t.Helper()
	v, err := pdfout.Verify(context.Background(), is.Path, pdfout.VerifyOptions{})
	if err != nil {
		j.t.Fatal(err)
	}
	if !v.OK || v.Record == nil || v.Grade == nil {
		j.t.Fatalf("the report does not verify: %s", v.Worst())
	}
	want, err := pdfout.Canonical(j.ex.Record())
	if err != nil {
		j.t.Fatal(err)
	}
	got, err := pdfout.Canonical(v.Record)
	if err != nil || !bytes.Equal(got, want) {
		j.t.Errorf("the record read from the report is not the examination's (%v)", err)
	}
	saved := filepath.Join(j.t.TempDir(), "record.json")
	output(j.t, "poppler-utils", "pdfdetach", "-savefile", pdfout.RecordName, "-o", saved, is.Path)
	if got, err := os.ReadFile(saved); err != nil || !bytes.Equal(got, want) {
		j.t.Errorf("pdfdetach gets another record out of the report (%v)", err)
	}
	if out := string(output(j.t, "qpdf", "qpdf", "--check", is.Path)); strings.Contains(out, "WARNING") {
		j.t.Errorf("qpdf: %s", out)
	}
	text := string(output(j.t, "poppler-utils", "pdftotext", "-enc", "UTF-8", "-raw", is.Path, "-"))
	j.checkText(text, v.Grade)
	return text
}

// checkText looks for what a reader looks for: title, the three answers with
// their figures, and the digest of every original.
func (j *job) checkText(text string, g *grade.Result) {
	j.t.Helper()
	shown := 0.0
	for _, l := range g.Ledger {
		shown += l.Shown
	}
	for _, want := range []string{
		"CONDITION REPORT", "Larkfoot Standard", "Halden & Rowe, said to be 1974", "SERIAL 41873", j.number(),
		fmt.Sprintf("CONDITION: %s %.1f of 100", strings.ToUpper(g.Word), 100-shown),
		fmt.Sprintf("ORIGINALITY %s of 100", strings.TrimSuffix(fmt.Sprintf("%.1f", *g.Originality), ".0")),
		fmt.Sprintf("PLAYS CLEAN %d of %d positions", g.Playing.Clean, g.Playing.Total),
	} {
		if !strings.Contains(squeeze(text), want) {
			j.t.Errorf("the report's text lacks %q", want)
		}
	}
	for _, p := range j.ex.Record().Photos {
		if strings.Count(text, p.ID) != 1 {
			j.t.Errorf("the report prints the digest of %s %d times", p.Name, strings.Count(text, p.ID))
		}
	}
}

// number is the number the examination was issued under.
func (j *job) number() string {
	j.t.Helper()
	is, ok := j.ex.Issued()
	if !ok || is.Number == "" {
		j.t.Fatal("the examination is not issued")
	}
	return is.Number
}

func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

// checkTampering changes one byte of an original in the store behind the
// program's back. Check must name the file, reading must refuse it, and putting
// the byte back must make all whole again.
func (j *job) checkTampering(id string) {
	j.t.Helper()
	j.whole()
	path := j.b.OriginalPath(id)
	data, err := os.ReadFile(path)
	if err != nil {
		j.t.Fatal(err)
	}
	put := func(data []byte) {
		j.t.Helper()
		if err := os.Chmod(path, 0o644); err != nil {
			j.t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			j.t.Fatal(err)
		}
	}
	bad := bytes.Clone(data)
	bad[len(bad)/2] ^= 1
	put(bad)
	found, err := j.b.Check(context.Background(), nil)
	if err != nil || len(found) != 1 || !strings.Contains(found[0].Text, id) || !strings.Contains(found[0].Text, "damaged") {
		j.t.Errorf("one flipped bit in an original: %v, %v", found, err)
	}
	if _, err := j.b.OriginalBytes(id); err == nil {
		j.t.Error("an altered original is handed out as if it were whole")
	}
	put(data)
	j.whole()
}

// decodeJSON reads a tool's JSON.
func decodeJSON(t *testing.T, data []byte, v any) {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	if err := d.Decode(v); err != nil {
		t.Fatalf("%v in %.200s", err, data)
	}
}
