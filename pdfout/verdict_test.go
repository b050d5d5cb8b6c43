package pdfout

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"wornwood/annotate/grade"
	"wornwood/pdfout/reporttest"
)

// verdictJudge compiles the schema of a verdict, and those of what is in it.
func verdictJudge(t testing.TB) func(v *Verdict) error {
	t.Helper()
	compile := func(b []byte) *jsonschema.Schema {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		c := jsonschema.NewCompiler()
		c.AssertFormat()
		if err := c.AddResource("schema.json", doc); err != nil {
			t.Fatal(err)
		}
		s, err := c.Compile("schema.json")
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	whole, rec, grd := compile(SchemaOfVerdict()), compile(grade.Schema()), compile(grade.ResultSchema())
	return func(v *Verdict) error {
		b, err := json.Marshal(v)
		if err != nil {
			return err
		}
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
		if err != nil {
			return err
		}
		if err := whole.Validate(doc); err != nil {
			return err
		}
		m := doc.(map[string]any)
		for key, s := range map[string]*jsonschema.Schema{"record": rec, "grade": grd} {
			if m[key] == nil {
				continue
			}
			if err := s.Validate(m[key]); err != nil {
				return err
			}
		}
		return nil
	}
}

// A verdict has the shape of its schema, whatever the report is like, and the
// schema refuses what contradicts itself.
func TestVerdictSchema(t *testing.T) {
	judge := verdictJudge(t)
	honest := reporttest.Demo(2)
	report := forgery{drawn: honest, record: mustJSON(t, honest), grade: mustJSON(t, gradeOf(t, honest))}.make(t)
	good := verify(t, report, nil)
	for name, b := range map[string][]byte{"good": report, "cut": report[:len(report)/2], "empty": nil, "more behind": append(bytes.Clone(report), 'x'), "kept": readFixture(t)} {
		for _, strict := range []bool{false, true} {
			v, err := VerifyReader(t.Context(), bytes.NewReader(b), int64(len(b)), VerifyOptions{Strict: strict})
			if err != nil {
				t.Fatal(err)
			}
			if err := judge(v); err != nil {
				t.Errorf("%s, strict %v: %v", name, strict, err)
			}
		}
	}
	for name, change := range map[string]func(v *Verdict){
		"good with a bad line":     func(v *Verdict) { v.Lines = append(v.Lines, Line{"after-end", Bad, "x"}) },
		"good without a signature": func(v *Verdict) { v.Signatures = []Signed{} },
		"good without a record":    func(v *Verdict) { v.Record = nil },
		"another schema":           func(v *Verdict) { v.Schema = "wornwood.verdict/2" },
		"a line without words":     func(v *Verdict) { v.Lines = []Line{{"after-end", Good, ""}} },
		"a standing nobody knows":  func(v *Verdict) { v.Lines = []Line{{"after-end", "fine", "x"}} },
		"a digest that is none":    func(v *Verdict) { v.RecordHash = "12" },
		"strict and missed":        func(v *Verdict) { v.Strict = StrictMissed },
	} {
		v := *good
		v.Lines = append([]Line{}, good.Lines...)
		change(&v)
		if judge(&v) == nil {
			t.Errorf("%s: the schema takes it", name)
		}
	}
}

// VERDICT.md lists every code that the program can say, and none besides.
func TestVerdictCodesListed(t *testing.T) {
	b, err := os.ReadFile("VERDICT.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, ok := strings.Cut(string(b), "| code | standing | says |")
	if !ok {
		t.Fatal("no table of codes")
	}
	table, _, _ = strings.Cut(table, "\n\n")
	listed := map[string]bool{}
	for _, row := range strings.Split(table, "\n") {
		if f := strings.Split(row, "|"); len(f) > 2 {
			for _, c := range strings.Split(f[1], ",") {
				listed[strings.TrimSpace(c)] = true
			}
		}
	}
	delete(listed, "---")
	delete(listed, "")
	said := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^\s+\w+\s+(?:sign\.)?Code\s+= "([a-z-]+)"`)
	for _, f := range []string{"verdict.go", filepath.Join("sign", "report.go")} {
		src, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, m := range declared.FindAllStringSubmatch(string(src), -1) {
			said[m[1]] = true
			n++
		}
		if n < 20 {
			t.Errorf("%s declares %d codes only", f, n)
		}
	}
	for c := range said {
		if !listed[c] {
			t.Errorf("VERDICT.md does not list %s", c)
		}
	}
	for c := range listed {
		if !said[c] {
			t.Errorf("VERDICT.md lists %s, which nothing says", c)
		}
	}
}
