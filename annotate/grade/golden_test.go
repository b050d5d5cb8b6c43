package grade

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/capture/record"
)

// The hashes of the tables that came with the program, oldest first. A report
// names one of them; a table that changed afterwards would leave its reports
// without the rubric they were graded by. A new table is a further line; the
// newest may change, and its line with it, until the program is released.
var shippedHashes = []string{
	"17e5e711b5e2a48557fa832d5f25072e3a53a2b5712a9603bb999241f5d87676", // Wornwood condition rubric 1
	"63c063543b988b19854d4c42e03854d90fecf0b11f346ef0d8acf5fa14c7d69c", // 2
	"071338f17a8d710772c8488cdc919bc411baa8a52ae2ef15e8dd3a6c605d34f8", // 3
}

func TestShippedRubricsStayAsTheyWere(t *testing.T) {
	if len(Known()) != len(shippedHashes) {
		t.Fatalf("%d rubrics are known, %d listed here", len(Known()), len(shippedHashes))
	}
	for i, want := range shippedHashes {
		r := Known()[i]
		if r.Hash() != want || ByHash(want) != r {
			t.Errorf("%s has become %s, it was %s", r.Name, r.Hash(), want)
		}
	}
	if FirstNamed != shippedHashes[1] {
		t.Errorf("reports from before rubrics were named are graded by %s", FirstNamed)
	}
	names := map[string]bool{}
	for _, r := range Known() {
		if names[r.Name] {
			t.Errorf("two rubrics are called %s", r.Name)
		}
		names[r.Name] = true
	}
	if Default() != Known()[len(Known())-1] || ByHash("") != nil || ByHash(strings.Repeat("0", 64)) != nil {
		t.Error("the newest is not the usual one, or an unknown hash is known")
	}
}

// goldenRubric is the short name of a shipped rubric, "rubric-2".
func goldenRubric(r *Rubric) string {
	words := strings.Fields(r.Name)
	return "rubric-" + words[len(words)-1]
}

// Every record of the golden set is graded by every rubric that was shipped and
// gives what it gave when that rubric was the newest, to the last digit of
// every figure. Those of rubrics 1 and 2 were made by the program of that time.
// WORNWOOD_WRITE_FIXTURE=1 adds the results of a new rubric; it overwrites none.
func TestOldGradesAreComputedAgainBitForBit(t *testing.T) {
	files, err := filepath.Glob("testdata/golden/*.record.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("the golden records are missing: %v, %v", files, err)
	}
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := record.Read(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		d, err := DrawingFor(rec.Instrument)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range Known() {
			var got []byte
			if res, err := Grade(rec, d, r); err != nil {
				got = []byte(err.Error() + "\n")
			} else if got, err = json.MarshalIndent(res, "", " "); err != nil {
				t.Fatal(err)
			} else {
				got = append(got, '\n')
			}
			golden(t, strings.Replace(file, ".record.", "."+goldenRubric(r)+".", 1), got)
		}
	}
}

func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	want, err := os.ReadFile(file)
	if os.IsNotExist(err) && os.Getenv("WORNWOOD_WRITE_FIXTURE") != "" {
		want, err = got, os.WriteFile(file, got, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Equal(got, want) {
		return
	}
	g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range w {
		if i >= len(g) || g[i] != w[i] {
			t.Errorf("%s, line %d: %q, it was %q", file, i+1, g[min(i, len(g)-1)], w[i])
			return
		}
	}
	t.Errorf("%s: it has grown", file)
}
