package grade

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"wornwood/capture/record"
)

// ownTable is a shop's copy of the newest rubric with one text replaced.
func ownTable(t testing.TB, from, to string) []byte {
	t.Helper()
	b, err := Default().Copy("Halden bench rubric")
	if err != nil {
		t.Fatal(err)
	}
	if from == "" {
		return b
	}
	out := bytes.Replace(b, []byte(from), []byte(to), 1)
	if bytes.Equal(out, b) {
		t.Fatalf("the table has no %q", from)
	}
	return out
}

func TestCopyOfARubric(t *testing.T) {
	for _, from := range Known()[2:] {
		b, err := from.Copy("Halden bench rubric")
		if err != nil {
			t.Fatal(err)
		}
		r, err := Load(b)
		if err != nil {
			t.Fatal(err)
		}
		if r.Name != "Halden bench rubric" || r.Shipped() || r.Hash() == from.Hash() || r.Origin() != "changed by the shop from "+from.Name {
			t.Errorf("%q, %q", r.Title(), r.Origin())
		}
		rec := inspectedRecord(t, handRows()[5].stated...)
		a, err := Grade(rec, testDrawing(), r)
		if err != nil {
			t.Fatal(err)
		}
		if c := mustGrade(t, rec, testDrawing()); *a.Index != *c.Index || a.RubricHash == c.RubricHash {
			t.Errorf("a copy of the same numbers gives %v, not %v", *a.Index, *c.Index)
		}
		again, err := Load(r.Table())
		if err != nil || again.Hash() != r.Hash() {
			t.Errorf("the canonical table is another: %v", err)
		}
		if n := bytes.Count(b, []byte("\n")); n < 200 {
			t.Errorf("the copy has %d lines, too few to be edited by a person", n)
		}
	}
	if _, err := Default().Copy("Wornwood condition rubric 9"); err == nil {
		t.Error("a copy may be called one of Wornwood's")
	}
	if n := Default().CopyName("Merrow & Finch"); n != "Merrow & Finch rubric" {
		t.Errorf("offered name %q", n)
	}
}

// What a table says of itself does not make it one of the program's.
func TestOriginOfARubric(t *testing.T) {
	for to, want := range map[string]string{
		Known()[1].Hash():       "changed by the shop from Wornwood condition rubric 2",
		strings.Repeat("0", 64): "a rubric of the shop's own, not one of Wornwood's",
	} {
		r, err := Load(ownTable(t, `"basedOn": "`+Default().Hash(), `"basedOn": "`+to))
		if err != nil || r.Origin() != want || r.Shipped() || !strings.Contains(r.Title(), want) {
			t.Errorf("%v, %v", r, err)
		}
	}
	for _, own := range Known() {
		if r, err := Load(own.Table()); err != nil || r != own || own.Origin() != "" {
			t.Errorf("%s read again is another: %v", own.Name, err)
		}
	}
}

// Everything that a table must hold, and the words that say what is wrong.
func TestRubricsThatAreRefused(t *testing.T) {
	for want, change := range map[string][2]string{
		"its name":                                   {`"Halden bench rubric"`, `""`},
		"line breaks":                                {`"Halden bench rubric"`, `"Halden\nrubric"`},
		"give it a name of your own":                 {`"Halden bench rubric"`, `"wornwood  Condition rubric 2"`},
		`has the entry "halo"`:                       {`"haloMM"`, `"halo"`},
		`has the entry "Name"`:                       {`"name"`, `"Name"`},
		`kinds, entry 1 has the entry "colour"`:      {`{"kind":"finish check",`, `{"kind":"finish check","colour":"red",`},
		"Duplicate key":                              {`"haloMM": 10`, `"haloMM": 10, "haloMM": 11`},
		"the halo of 0 mm":                           {`"haloMM": 10`, `"haloMM": 0`},
		"the halo of 1e+300 mm":                      {`"haloMM": 10`, `"haloMM": 1e300`},
		"the cell of 0.01 mm":                        {`"cellMM": 0.5`, `"cellMM": 0.01`},
		"factors has 5 values, it needs 6":           {`"factors": [1,`, `"factors": [`},
		"factor 3, 1.02, is below":                   {`1.02,1.1,`, `1.03,1.02,`},
		"factor 6, 2.5":                              {`1.7,2]`, `1.7,2.5]`},
		"class limit 2, 1.01,":                       {`[1.01,1.04,`, `[1.01,1.01,`},
		"extent limit 4, 1.7":                        {`0.3,0.7]`, `0.3,1.7]`},
		"at least the highest factor":                {`"uninspectedR": 2`, `"uninspectedR": 1.5`},
		"provisionalBelow":                           {`"provisionalBelow": 0.8`, `"provisionalBelow": 80`},
		"stands for two classes":                     {`"honestly worn"`, `"lightly worn"`},
		`"refinished" is missing or outside`:         {`"refinished": 0.3`, `"refinished": 3`},
		`"varnished", which is no state`:             {`"refinished": 0.3`, `"refinished": 0.3, "varnished": 0.2`},
		"of an original part must be 1":              {`"original": 1`, `"original": 0.9`},
		`is taken in mm, not in "in"`:                {`"largest flake","unit":"mm"`, `"largest flake","unit":"in"`},
		`there is no reading "smell"`:                {`{"kind":"largest flake"`, `{"kind":"smell","unit":"","limits":[1,2],"atLimit":"","after":""},{"kind":"largest flake"`},
		"are not in order":                           {`"limits":[3,10]`, `"limits":[10,3]`},
		"neither better nor worse":                   {`"atLimit":"better"`, `"atLimit":"equal"`},
		"the wrong way round":                        {`"falling":true`, `"falling":false`},
		`the unknown depths "smell"`:                 {`"depths":"finish"`, `"depths":"smell"`},
		`the unknown places "moon"`:                  {`"on":"frets"`, `"on":"moon"`},
		"importance outside 0..2":                    {`"importance":2`, `"importance":3`},
		`the unknown reading "colour of"`:            {`"reading":"colour difference"`, `"reading":"colour of"`},
		"listed twice":                               {`"kind":"dent"`, `"kind":"ding"`},
		"neither point, line nor area":               {`"shape":"line"`, `"shape":"blob"`},
		"the reason for the importance":              {`"why":"The coating has split`, `"why":" The coating has split`},
		`name "bellows", a part that no profile has`: {`"fingerboard": ["fingerboard"]`, `"fingerboard": ["bellows"]`},
		"sum to 101, not to 100":                     {`{"part":"nut","share":1}`, `{"part":"nut","share":2}`},
		"gives the nut no share, or two":             {`{"part":"nut","share":1}`, `{"part":"nut","share":0}`},
		`counts the frets by the "piano"`:            {`"per":"fret"`, `"per":"piano"`},
		`no profile is for the class "banjo"`:        {`"classes": ["banjo"]`, `"classes": ["spinet"]`},
		"for which its profile has no share":         {`"part":"binding","share":3`, `"part":"skin","share":3`},
		"is none":                                    {`"low":1.5,"high":2.5`, `"low":2.5,"high":1.5`},
		"not a hash":                                 {`"basedOn": "`, `"basedOn": "x`},
		"a number into":                              {`"haloMM": 10`, `"haloMM": "10"`},
		"unexpected EOF":                             {"\n}\n", "\n"},
		"something follows its end":                  {"\n}\n", "\n} {}"},
	} {
		_, err := Load(ownTable(t, change[0], change[1]))
		if want == "a number into" {
			want = "cannot unmarshal"
		}
		if err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "the rubric ") {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	for name, b := range map[string][]byte{"huge": make([]byte, MaxTable+1), "empty": nil, "a list": []byte("[]"), "null": []byte("null"),
		"deep": bytes.Repeat([]byte(`{"name":`), MaxTable/8-1), "deep lists": []byte(`{"kinds":` + strings.Repeat("[", 500000))} {
		if _, err := Load(b); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}

var drawnCopy = sync.OnceValues(func() ([]byte, error) { return Default().Copy("Drawn rubric") })

// drawRubric is a random rubric that Load takes.
func drawRubric(t *rapid.T) *Rubric {
	var table map[string]any
	b, err := drawnCopy()
	if err == nil {
		err = json.Unmarshal(b, &table)
	}
	if err != nil {
		t.Fatal(err)
	}
	ascending := func(n int, lo, hi float64, label string) []float64 {
		out := make([]float64, n)
		for i := range out {
			// Each within its own part of the range, so that no two are the same.
			step := (hi - lo) / float64(n)
			out[i] = lo + step*float64(i) + step*rapid.Float64Range(0.05, 0.95).Draw(t, label)
		}
		return out
	}
	f := ascending(6, 1, 2, "factors")
	if rapid.Bool().Draw(t, "equal factors") {
		f[1], f[4] = f[0], f[3]
	}
	table["factors"], table["uninspectedR"] = f, f[5]+(2-f[5])*rapid.Float64Range(0, 1).Draw(t, "uninspected")
	table["classLimits"], table["extentLimits"] = ascending(5, 1, 2, "classes"), ascending(4, 0, 1, "extents")
	table["haloMM"], table["provisionalBelow"] = rapid.Float64Range(1, 30).Draw(t, "halo"), rapid.Float64Range(0.01, 1).Draw(t, "provisional")
	for s := range table["originality"].(map[string]any) {
		if s != string(record.Original) {
			table["originality"].(map[string]any)[s] = rapid.Float64Range(0, 1).Draw(t, s)
		}
	}
	for _, k := range table["kinds"].([]any) {
		k.(map[string]any)["importance"] = rapid.IntRange(0, 2).Draw(t, "importance")
	}
	for _, p := range table["profiles"].([]any) {
		list := p.(map[string]any)["shares"].([]any)
		left := 100.0
		for i, s := range list {
			share := left
			if i < len(list)-1 {
				share = math.Round(left / float64(len(list)-i) * rapid.Float64Range(0.2, 1.5).Draw(t, "share"))
				share = max(1, min(share, left-float64(len(list)-i-1)))
			}
			left -= share
			s.(map[string]any)["share"] = share
		}
	}
	if b, err = json.Marshal(table); err != nil {
		t.Fatal(err)
	}
	r, err := Load(b)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The promises hold for any rubric that Load takes.
func TestAnyRubric(t *testing.T) {
	d := testDrawing()
	by := func(t *rapid.T, rec *record.Record, r *Rubric) *Result {
		res, err := Grade(rec, d, r)
		if err != nil {
			t.Fatal(err)
		}
		checkResultBy(t, res, r)
		return res
	}
	rapid.Check(t, func(t *rapid.T) {
		r := drawRubric(t)
		by(t, drawRecord(t, false), r)
		rec := drawRecord(t, true)
		rec.Marks = append(rec.Marks, drawMark(t, len(rec.Marks)+1))
		before := by(t, rec, r)
		i := rapid.IntRange(0, len(rec.Marks)-1).Draw(t, "which")
		for what, change := range map[string]func() record.Mark{
			"a deeper mark": func() record.Mark { return deepen(t, rec.Marks[i]) }, "a larger mark": func() record.Mark { return enlarge(t, rec.Marks[i]) }} {
			other := *rec
			other.Marks = append([]record.Mark(nil), rec.Marks...)
			other.Marks[i] = change()
			notAbove(t, what, before, by(t, &other, r))
		}
		rec.Marks = append(rec.Marks, drawMark(t, len(rec.Marks)+1))
		notAbove(t, "a further mark", before, by(t, rec, r))
	})
}

// FuzzLoad reads any bytes as a rubric: never a panic, and what Load takes
// grades a record with the promises kept and reads again as the same.
func FuzzLoad(f *testing.F) {
	seeds, err := filepath.Glob("testdata/rubrics/*.json")
	if err != nil || len(seeds) < 3 {
		f.Fatalf("the seeds are missing: %v, %v", seeds, err)
	}
	for _, name := range seeds {
		b, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	rec, d := inspectedRecord(f, handRows()[4].stated...), testDrawing()
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := Load(b)
		if err != nil {
			return
		}
		if again, err := Load(r.Table()); err != nil || again.Hash() != r.Hash() {
			t.Fatalf("read again it is another: %v", err)
		}
		if res, err := Grade(rec, d, r); err == nil {
			checkResultBy(t, res, r)
		}
		if r.Title() == "" || fmt.Sprint(r.Scale()) == "" {
			t.Fatal("a rubric without a name")
		}
	})
}
