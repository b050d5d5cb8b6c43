package archive_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

func clock() time.Time { return archivetest.When }

// TestSavedSearches keeps, replaces, renames and removes searches, which are
// lines of the log and so there again in an archive whose index is made anew.
func TestSavedSearches(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, clock()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	do := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	do(a.SaveSearch("R. Calloway", "Broken heads", `kind:"headstock break" sort:-index`))
	do(a.SaveSearch("R. Calloway", "Old ones", "year:..1959"))
	do(a.SaveSearch("M. Merrow", "OLD ones", "year:..1949"))
	do(a.RenameSearch("M. Merrow", "broken heads", "Heads"))
	do(a.SaveSearch("M. Merrow", "passing", ""))
	do(a.RemoveSearch("M. Merrow", "Passing"))
	for _, bad := range []error{
		a.SaveSearch("R. Calloway", "x", "colour:red"), a.SaveSearch("R. Calloway", " ", "crack"), a.SaveSearch("", "x", "crack"),
		a.SaveSearch("R. Calloway", "x", strings.Repeat("a", 1001)), a.RenameSearch("R. Calloway", "heads", "old ones"),
		a.RenameSearch("R. Calloway", "none", "x"), a.RemoveSearch("R. Calloway", "none"), a.SaveSearch("R. Calloway", "x", "a\u200bb"),
	} {
		if bad == nil {
			t.Error("something was kept that should not be")
		}
	}
	want := `Heads|kind:"headstock break" sort:-index|M. Merrow; OLD ones|year:..1949|M. Merrow; `
	look := func(a *archive.Archive) {
		t.Helper()
		list, err := a.SavedSearches()
		got := ""
		for _, s := range list {
			got += s.Name + "|" + s.Line + "|" + s.By + "; "
		}
		if err != nil || got != want {
			t.Errorf("kept %q, want %q (%v)", got, want, err)
		}
	}
	look(a)
	if _, err := a.Rebuild(context.Background()); err != nil {
		t.Fatal(err)
	}
	look(a)
}

// TestLineTerms takes lines apart as the query does, also half typed ones.
func TestLineTerms(t *testing.T) {
	for line, want := range map[string]string{
		"":                          "",
		"crack  maker:halden":       "[0,5) =crack; [7,19) maker=halden; ",
		`-kind:"headstock break" x`: "[0,23) not kind=headstock break; [24,25) =x; ",
		`maker:"Halden & R`:         `[0,17) maker=Halden & R open; `,
		`"two words" serial:`:       "[0,11) =two words quoted; [12,19) serial=; ",
		"- a":                       "[0,1) =-; [2,3) =a; ",
		"Grün maker:B":              "[0,4) =Grün; [5,12) maker=B; ",
	} {
		got := ""
		for _, m := range archive.LineTerms(line) {
			got += fmt.Sprintf("[%d,%d) ", m.From, m.To)
			if m.Not {
				got += "not "
			}
			got += m.Field + "=" + m.Value
			if m.Quoted {
				got += " quoted"
			}
			if m.Open {
				got += " open"
			}
			got += "; "
		}
		if got != want {
			t.Errorf("%q: %s, want %s", line, got, want)
		}
	}
}

// TestTermText: a term that was written is read as what it was written for, and
// every line is taken apart into pieces that cover all of it but blanks.
func TestTermText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		field := rapid.SampledFrom([]string{"", "maker", "shop"}).Draw(t, "field")
		value := rapid.StringMatching(`[-a-zA-Zü: &.]{1,20}`).Draw(t, "value")
		terms := archive.LineTerms("before " + archive.TermText(field, value) + " after")
		if len(terms) != 3 || terms[1].Field != field || terms[1].Value != value || terms[1].Not {
			t.Fatalf("%q read as %+v", archive.TermText(field, value), terms)
		}
		line := rapid.String().Draw(t, "line")
		at, all := 0, []rune(line)
		for _, m := range archive.LineTerms(line) {
			if m.From < at || m.To <= m.From || m.To > len(all) || strings.TrimSpace(string(all[at:m.From])) != "" {
				t.Fatalf("%q: %+v after %d", line, m, at)
			}
			at = m.To
		}
		if strings.TrimSpace(string(all[at:])) != "" {
			t.Fatalf("%q: the rest is in no term", line)
		}
	})
}

// TestPile lists what was refused with its reason, and gives it back as it came.
func TestPile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "archive")
	if err := archive.Make(dir, "Fen Street", false, clock()); err != nil {
		t.Fatal(err)
	}
	a, err := archive.Open(context.Background(), dir, archive.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	in := t.TempDir()
	for i := range 7 {
		if err := os.WriteFile(filepath.Join(in, fmt.Sprintf("letter-%d.pdf", i)), fmt.Appendf(nil, "%%PDF-1.7\nnothing %d\n%%%%EOF\n", i), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := a.File(context.Background(), []string{in}, archive.FileOptions{}); err != nil {
		t.Fatal(err)
	}
	list, all, err := a.Pile(context.Background(), 3)
	if err != nil || all != 7 || len(list) != 3 || list[0].Seq != 7 || list[2].Seq != 5 {
		t.Fatalf("%d of %d: %+v (%v)", len(list), all, list, err)
	}
	why, err := a.Reason(list[0].Hash)
	if err != nil || list[0].Why == "" || !strings.Contains(why, "Not filed: "+list[0].Why) || !strings.Contains(why, list[0].Source) {
		t.Errorf("%q does not tell %+v (%v)", why, list[0], err)
	}
	var out bytes.Buffer
	if err := a.CopyTo(&out, archive.Ref{Area: archive.Refused, Hash: list[0].Hash}); err != nil {
		t.Fatal(err)
	}
	if h := sha256.Sum256(out.Bytes()); hex.EncodeToString(h[:]) != list[0].Hash {
		t.Error("it is not given back as it came")
	}
	if b, err := os.ReadFile(a.PathOf(archive.Ref{Area: archive.Refused, Hash: list[0].Hash})); err != nil || !bytes.Equal(b, out.Bytes()) {
		t.Errorf("it does not lie where it is said to: %v", err)
	}
}
