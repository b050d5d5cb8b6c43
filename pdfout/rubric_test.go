package pdfout

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"wornwood/annotate"
	"wornwood/annotate/grade"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// house is a copy of the newest rubric with another factor.
func house(t testing.TB, factors string) *grade.Rubric {
	t.Helper()
	b, err := grade.Default().Copy("Fen Street rubric")
	if err != nil {
		t.Fatal(err)
	}
	r, err := grade.Load(bytes.Replace(b, []byte("1.02,1.1,"), []byte(factors), 1))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A report graded by a shop's own rubric says so on page 1, in the ledger and
// beside the words for checking, and carries the rubric, so that anybody can
// compute the grade again.
func TestReportByAShopsOwnRubric(t *testing.T) {
	b, ex := desk(t, 0)
	r, err := annotate.KeepRubric(b, house(t, "1.05,1.1,").Table())
	if err != nil {
		t.Fatal(err)
	}
	s, err := annotate.OpenFor(ex, b)
	if err != nil || s.UseRubric(r) != nil {
		t.Fatal(err)
	}
	is, err := Issue(context.Background(), b, ex, examiner(t), IssueOptions{Now: issuedAt}, nil)
	if err != nil {
		t.Fatal(err)
	}
	v := is.Verdict
	if !v.OK || !v.Has(GradeFollows) || !v.Has(RubricOwn) || v.Grade.RubricHash != r.Hash() || is.Rubric != r.Hash() || ex.Record().Examination.Rubric != r.Hash() {
		t.Errorf("%+v", v.Lines)
	}
	for _, l := range v.Lines {
		if l.Code == RubricOwn && (!strings.Contains(l.Text, "recomputed by the rubric inside the report, which is not one of Wornwood's") || !strings.Contains(l.Text, "changed by the shop from "+grade.Default().Name)) {
			t.Errorf("it says %q", l.Text)
		}
	}
	first := flat(pdfxtest.Output(t, "pdftotext", "-l", "1", is.Path, "-"))
	whole := flat(pdfxtest.Output(t, "pdftotext", is.Path, "-"))
	mark := "Graded by “Fen Street rubric”, sha-256 " + grade.ShortHash(r.Hash()) + " …, changed by the shop from " + grade.Default().Name + "; its table is inside this file."
	if !strings.Contains(first, mark) || strings.Count(whole, mark) != 2 || !strings.Contains(whole, "is not one of Wornwood’s") || !strings.Contains(whole, r.Hash()) {
		t.Errorf("page 1 reads:\n%s", first)
	}
	if got := pdfxtest.Output(t, "pdfdetach", "-list", is.Path); !strings.Contains(got, RubricName) {
		t.Errorf("attached:\n%s", got)
	}
}

func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

// A report by a rubric of the program carries none and names it and its hash.
func TestReportByAShippedRubric(t *testing.T) {
	b, ex := desk(t, 0)
	is, err := Issue(context.Background(), b, ex, examiner(t), IssueOptions{Now: issuedAt}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if is.Verdict.Has(RubricOwn) || is.Rubric != grade.Default().Hash() || is.Verdict.Record.Examination.Rubric != is.Rubric {
		t.Errorf("%+v", is.Verdict.Lines)
	}
	first := flat(pdfxtest.Output(t, "pdftotext", "-l", "1", is.Path, "-"))
	if want := "Graded by “" + grade.Default().Name + "”, sha-256 " + grade.ShortHash(is.Rubric); !strings.Contains(first, want) || strings.Contains(first, "by the shop") {
		t.Errorf("page 1 reads:\n%s", first)
	}
	if got := pdfxtest.Output(t, "pdfdetach", "-list", is.Path); strings.Contains(got, RubricName) {
		t.Errorf("attached:\n%s", got)
	}
}

// What Verify must say of rubrics inside that are not what they should be.
func TestVerifyRubricInside(t *testing.T) {
	r, cheap := house(t, "1.05,1.1,"), house(t, "1,1.01,")
	rec := reporttest.Demo(1)
	by := func(r *grade.Rubric) (*grade.Result, []byte) {
		in := Input{Record: rec, Rubric: r}
		if err := in.judge(); err != nil {
			t.Fatal(err)
		}
		return in.Grade, mustJSON(t, in.Grade)
	}
	g, own := by(r)
	_, usual := by(nil)
	loose := bytes.Replace(r.Table(), []byte(`"cellMM":0.5`), []byte(`"cellMM":0.50`), 1)
	looseGrade := *g
	looseGrade.RubricHash = hexSum(loose)
	disguised := bytes.Replace(r.Table(), []byte(`"Fen Street rubric"`), []byte(`"Wornwood condition rubric 2"`), 1)
	named := *g
	named.Rubric, named.RubricHash = "Wornwood condition rubric 2", hexSum(disguised)
	claims := *g
	claims.RubricHash = grade.FirstNamed
	other := reporttest.Demo(1)
	other.Examination.Rubric = grade.Default().Hash()
	f := func(record, grd []byte) forgery { return forgery{rec, g, record, grd} }
	honest := mustJSON(t, rec)
	for name, c := range map[string]struct {
		report []byte
		ok     bool
		code   sign.Code
	}{
		"honest":                             {f(honest, own).makeBy(t, r, r.Table()), true, RubricOwn},
		"taken out":                          {f(honest, own).makeBy(t, r, nil), false, RubricUnknown},
		"another one inside":                 {f(honest, own).makeBy(t, r, cheap.Table()), false, RubricOther},
		"not in canonical form":              {f(honest, mustJSON(t, looseGrade)).makeBy(t, r, loose), false, RubricOther},
		"called one of Wornwood's":           {f(honest, mustJSON(t, named)).makeBy(t, r, disguised), false, RubricUnknown},
		"not a rubric":                       {f(honest, mustJSON(t, withHash(g, []byte("{}")))).makeBy(t, r, []byte("{}")), false, RubricUnknown},
		"one of Wornwood's by the hash":      {f(honest, mustJSON(t, claims)).makeBy(t, r, r.Table()), false, GradeNotFollowing},
		"beside a grade by Wornwood's":       {forgery{rec, nil, honest, usual}.makeBy(t, nil, cheap.Table()), true, GradeFollows},
		"the record asks for another rubric": {forgery{other, g, mustJSON(t, other), own}.makeBy(t, r, r.Table()), false, RubricOther},
	} {
		t.Run(name, func(t *testing.T) {
			v := verify(t, c.report, nil)
			if v.OK != c.ok || !v.Has(c.code) {
				t.Errorf("ok %v, want %v and %s: %+v", v.OK, c.ok, c.code, v.Lines)
			}
		})
	}
	if v := verify(t, forgery{rec, nil, honest, usual}.makeBy(t, nil, cheap.Table()), nil); v.Has(RubricOwn) || v.Grade.RubricHash != grade.Default().Hash() {
		t.Errorf("a table that nobody asked for was used: %+v", v.Lines)
	}
}

func withHash(g *grade.Result, table []byte) *grade.Result {
	out := *g
	out.RubricHash = hexSum(table)
	return &out
}
