package grade

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"wornwood/capture/record"
)

func readTable(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(rows), err)
	}
	return rows[1:]
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Source: NEN 2767-1, as two independent public implementations have it.
func TestDefectMatrix(t *testing.T) {
	importance := map[string]int{"minor": 0, "serious": 1, "critical": 2}
	intensity := map[string]int{"initial": 0, "advanced": 1, "end": 2}
	rows := readTable(t, "defect_matrix.csv")
	if len(rows) != 9 {
		t.Fatalf("%d rows, want 9", len(rows))
	}
	for _, row := range rows {
		i, okI := importance[row[0]]
		n, okN := intensity[row[1]]
		if !okI || !okN {
			t.Fatalf("unknown row %v", row)
		}
		for e, want := range row[2:] {
			if got := flawClass(i, n, e); float64(got) != num(t, want) {
				t.Errorf("%v column %d: class %d, want %s", row[:2], e, got, want)
			}
		}
		if got, want := score(i, n), row[6]; float64(got) != num(t, want) {
			t.Errorf("%v over the whole part: score %d, want %s", row[:2], got, want)
		}
	}
}

// Source: NEN 2767-1: limits belong to the upper column.
func TestExtentLimits(t *testing.T) {
	for share, want := range map[float64]int{0: 0, 0.0199: 0, 0.02: 1, 0.0999: 1, 0.1: 2, 0.2999: 2, 0.3: 3, 0.6999: 3, 0.7: 4, 1: 4} {
		if got := Default().extent(share); got != want {
			t.Errorf("%v: column %d, want %d", share, got, want)
		}
	}
	tenth := num(t, "0.1") // 1 - 0.3 is a hair below 0.7 in binary
	if got := Default().extent(1 - 3*tenth); got != 4 {
		t.Errorf("0.7 by subtraction: column %d, want 4", got)
	}
}

// exampleRubric is the default table with other shares.
func exampleRubric(t *testing.T, shares []Share) *Rubric {
	t.Helper()
	var table map[string]any
	if err := json.Unmarshal(RubricTable(), &table); err != nil {
		t.Fatal(err)
	}
	table["profiles"] = []profile{{Name: "example", Classes: []string{"example"}, Shares: shares}}
	b, err := json.Marshal(table)
	if err != nil {
		t.Fatal(err)
	}
	r, err := parseRubric(b)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// gradeShares grades an undrawn object of the shares given, one mark on each.
func gradeShares(t *testing.T, values []float64, marks []record.Mark) *Result {
	t.Helper()
	var shares []Share
	rec := &record.Record{}
	for i, v := range values {
		id := record.PartID(fmt.Sprintf("element %d", i+1))
		shares = append(shares, Share{Part: id, Share: v})
		rec.Parts = append(rec.Parts, record.Part{ID: id, Inspected: true})
		m := marks[i]
		m.Number = i + 1
		for j := range m.On {
			m.On[j].Part = id
		}
		rec.Marks = append(rec.Marks, m)
	}
	d := testDrawing()
	d.Class, d.Sides = "example", nil
	res, err := Grade(rec, d, exampleRubric(t, shares))
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// Source: NEN 2767 annex B, a school building of six elements: 1134.0/920 =
// 1.2326, class 4.
func TestWorkedExampleOfTheStandard(t *testing.T) {
	values := []float64{300, 150, 250, 120, 90, 10}
	whole := func(k record.Kind, d record.Depth) record.Mark { return at(k, d, statedOn("", 1)) }
	// Scores 4 5 2 3 2 2, factors 1.3 1.7 1.02 1.1 1.02 1.02.
	marks := []record.Mark{whole("ding", record.IntoWood), whole("wear-through", record.IntoWood), whole("ding", record.InFinish),
		whole("ding", record.Through), whole("ding", record.InFinish), whole("ding", record.InFinish)}
	res := gradeShares(t, values, marks)
	near(t, "R", res.Ratio, 1134.0/920, 1e-12)
	near(t, "R as printed", res.Ratio, 1.2326, 0.00005)
	if res.Class != 4 {
		t.Errorf("class %d, want 4", res.Class)
	}
	// What the method must not be: the mean of the scores is 3.27, class 3.
	sum, weight := 0.0, 0.0
	for i, s := range []float64{4, 5, 2, 3, 2, 2} {
		sum, weight = sum+values[i]*s, weight+values[i]
	}
	near(t, "mean of the scores", sum/weight, 3.27, 0.005)
	if res.Class == int(math.Round(sum/weight)) {
		t.Error("the class is the mean of the scores")
	}
}

// Source: an explanation by the standard's rapporteur. A critical end-stage
// defect on 5 % is scored as if it covered the part (6, factor 2) and then
// weighted: R = 1.05, class 3. Scored at its extent (3, factor 1.10) and then
// weighted it would be diluted twice: R = 1.005, class 1.
func TestNotDilutedTwice(t *testing.T) {
	res := gradeShares(t, []float64{100}, []record.Mark{at("open crack", record.IntoWood, statedOn("", 0.05))})
	near(t, "R", res.Ratio, 1.05, 1e-12)
	if res.Class != 3 {
		t.Errorf("class %d, want 3", res.Class)
	}
	twice := 1 + 0.05*(Default().Factors[flawClass(2, 2, 1)-1]-1)
	if c := Default().Class(twice); c != 1 {
		t.Errorf("the trap gives class %d, want 1: it would not be noticed", c)
	}
}

// Source: NEN 2767-1: ratio up to 1.01 class 1, 1.04 2, 1.15 3, 1.40 4, 1.78 5,
// else 6. The indices are those of the product's description.
func TestClassLimits(t *testing.T) {
	r := Default()
	for i, lim := range []float64{1.01, 1.04, 1.15, 1.40, 1.78} {
		if c := r.Class(lim); c != i+1 {
			t.Errorf("R %v: class %d, want %d", lim, c, i+1)
		}
		if c := r.Class(lim + 1e-6); c != i+2 {
			t.Errorf("R just over %v: class %d, want %d", lim, c, i+2)
		}
		near(t, "index at the limit", Index(lim), []float64{90, 80, 61.3, 36.8, 11.7}[i], 0.05)
		near(t, "top of the next class", r.Top(i+2), Index(lim), 1e-12)
	}
	near(t, "top of class 4", r.Top(4), 100*(1-math.Sqrt(0.15)), 1e-12)
	near(t, "top of class 1", r.Top(1), 100, 0)
	near(t, "top of class 0", r.Top(0), 100, 0)
	near(t, "index of a sound one", Index(1), 100, 0)
	near(t, "index of a worn-out one", Index(2), 0, 0)
	scale := r.Scale()
	words := []string{"clean", "lightly worn", "honestly worn", "heavily worn", "in need of repair", "project"}
	for i, row := range scale {
		if row.Word != words[i] || row.Class != i+1 || (i > 0 && row.To != scale[i-1].From) {
			t.Errorf("row %d of the scale is %+v", i, row)
		}
	}
	if len(scale) != 6 || scale[5].From != 0 || r.Words(0) != "" || r.Words(7) != "" {
		t.Errorf("scale %+v", scale)
	}
}

// A structural flaw whose kind reaches further than what shows counts for that
// much of its part in the cap, and for what it covers in the index.
func TestReachOfAFlaw(t *testing.T) {
	rec := inspectedRecord(t, at("neck-joint gap", record.Through, statedOn(record.Neck, 0.01)))
	res := mustGrade(t, rec, testDrawing())
	old, err := Grade(rec, testDrawing(), ByHash(FirstNamed))
	if err != nil {
		t.Fatal(err)
	}
	if c := res.Cap; c == nil || c.Extent != 0.01 || c.CountedAs != 0.3 || c.FlawClass != 4 || math.Abs(*res.Index-80) > 1e-9 {
		t.Errorf("cap %+v", c)
	}
	if old.Cap != nil || *old.BeforeCap != *res.BeforeCap {
		t.Errorf("before: %+v, %v and %v", old.Cap, *old.BeforeCap, *res.BeforeCap)
	}
	for _, k := range Default().Kinds() {
		if k.Reach > 0 && k.Importance != 2 {
			t.Errorf("%s reaches and does not cap", k.Kind)
		}
	}
}

// A cap holds the instrument at best one class better than the flaw.
func TestCapByClassOfTheFlaw(t *testing.T) {
	for _, c := range []struct {
		depth  record.Depth
		extent float64
		limit  float64 // highest index; 100 for no cap
	}{
		{record.InFinish, 0.01, 100}, {record.IntoWood, 0.01, 100}, // flaw class 2
		{record.IntoWood, 0.02, 90}, {record.InFinish, 0.3, 90}, // class 3
		{record.Through, 0.3, 80}, {record.InFinish, 0.7, 80}, // class 4
		{record.IntoWood, 0.3, 100 * (1 - math.Sqrt(0.15))}, // class 5
		{record.IntoWood, 0.7, 100 * (1 - math.Sqrt(0.40))}, // class 6
	} {
		// A share of a millionth, so that the cap alone decides.
		res := gradeShares(t, []float64{1e-6, 100}, []record.Mark{at("twist", c.depth, statedOn("", c.extent)), {Kind: "ding", Depth: record.InFinish}})
		near(t, fmt.Sprintf("%v on %v", c.depth, c.extent), *res.Index, min(*res.BeforeCap, c.limit), 1e-9)
		near(t, "high", res.High, *res.Index, 1e-9)
		if (res.Cap != nil) != (c.limit < 100) {
			t.Errorf("%v on %v: cap %+v", c.depth, c.extent, res.Cap)
		}
	}
}
