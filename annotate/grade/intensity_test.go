package grade

import (
	"strings"
	"testing"

	"wornwood/capture/record"
)

// Source: ISO 105-A02 (EN 20105-A02:1994) section 2.4. Each step's own
// difference must be read as that step, and so must the ends of its tolerance
// where they lie nearer to it than to its neighbour.
func TestGreyScale(t *testing.T) {
	rows := readTable(t, "grey_scale.csv")
	if len(rows) != 9 {
		t.Fatalf("%d steps, want 9", len(rows))
	}
	for _, row := range rows {
		dE, tol := num(t, row[1]), num(t, row[2])
		for _, v := range []float64{dE, max(0, dE-tol), dE + tol} {
			if got := GreyStep(v); got != row[0] {
				t.Errorf("ΔE %v: step %s, want %s", v, got, row[0])
			}
		}
	}
	// Half-step limits after ISO 105-A05, from memory of the standard.
	for v, want := range map[float64]string{0.39: "5", 0.40: "4-5", 1.25: "4", 2.10: "3-4", 2.95: "3", 4.10: "2-3", 5.80: "2", 8.20: "1-2", 11.60: "1", 100: "1"} {
		if got := GreyStep(v); got != want {
			t.Errorf("ΔE %v: step %s, want %s", v, got, want)
		}
	}
}

// Source: ASTM D610-08(2012) table 1.
func TestRustGrades(t *testing.T) {
	rows := readTable(t, "rust_area.csv")
	if len(rows) != 11 {
		t.Fatalf("%d grades, want 11", len(rows))
	}
	for _, row := range rows {
		grade, over, upTo := int(num(t, row[0])), num(t, row[1]), num(t, row[2])
		if got := RustGrade(upTo); got != grade {
			t.Errorf("%v %%: grade %d, want %d", upTo, got, grade)
		}
		if got := RustGrade(over + 1e-6); got != grade {
			t.Errorf("just over %v %%: grade %d, want %d", over, got, grade)
		}
	}
}

// The intensities of the product's description follow from step and grade.
func TestReadingScales(t *testing.T) {
	r := Default()
	fade, rust := r.scale(record.FadeReading), r.scale(record.RustReading)
	byStep := map[string]int{"5": 0, "4-5": 0, "4": 0, "3-4": 1, "3": 1, "2-3": 1, "2": 2, "1-2": 2, "1": 2}
	for i := range 2000 {
		v := float64(i) / 100
		if got, want := fade.Intensity(v), byStep[GreyStep(v)]; got != want {
			t.Errorf("ΔE %v, step %s: intensity %d, want %d", v, GreyStep(v), got, want)
		}
		want := 2
		switch g := RustGrade(v); {
		case g >= 7:
			want = 0
		case g >= 5:
			want = 1
		}
		if got := rust.Intensity(v); got != want {
			t.Errorf("%v %% rusted: intensity %d, want %d", v, got, want)
		}
	}
	for v, want := range map[float64]int{0: 0, 3: 0, 3.01: 1, 10: 1, 10.01: 2} {
		if got := r.scale(record.FlakeReading).Intensity(v); got != want {
			t.Errorf("flake %v mm: intensity %d, want %d", v, got, want)
		}
	}
	// Source: a luthier's page, practice: 1.1 mm new, at or under 0.9 mm hard to play.
	for v, want := range map[float64]int{1.1: 0, 1.01: 0, 1.0: 1, 0.91: 1, 0.9: 2, 0.5: 2, 0: 2} {
		if got := r.scale(record.CrownReading).Intensity(v); got != want {
			t.Errorf("crown %v mm: intensity %d, want %d", v, got, want)
		}
	}
}

// Sizes of the largest flake after ISO 4628-5, from memory of the standard:
// ratings 1 to 5 end at 1, 3, 10, 30 mm and begin above 30. Ratings 1 and 2 are
// intensity 0, rating 3 intensity 1, the others 2.
func TestFlakeSizes(t *testing.T) {
	flake := Default().scale(record.FlakeReading)
	for rating, upTo := range map[int]float64{1: 1, 2: 3, 3: 10, 4: 30, 5: 100} {
		want := max(0, min(2, rating-2))
		if got := flake.Intensity(upTo); got != want {
			t.Errorf("rating %d, %v mm: intensity %d, want %d", rating, upTo, got, want)
		}
		if got := flake.Intensity(upTo + 0.01); got != min(2, max(0, rating-1)) {
			t.Errorf("just over %v mm: intensity %d", upTo, got)
		}
	}
}

// Source: NEN 2767-1: the factors of scores 1 to 6, and back from a ratio: an
// object all of whose parts have one score falls into the class of that score.
func TestFactorsAndBack(t *testing.T) {
	for i, f := range []float64{1.00, 1.02, 1.10, 1.30, 1.70, 2.00} {
		if got := Default().Factors[i]; got != f {
			t.Errorf("factor of score %d is %v, want %v", i+1, got, f)
		}
		if c := Default().Class(f); c != i+1 {
			t.Errorf("a ratio of %v gives class %d, want %d", f, c, i+1)
		}
	}
}

func TestAReadingOverrulesTheDepth(t *testing.T) {
	d, place := testDrawing(), statedOn(record.FrontFinish, 0.5)
	grade := func(m record.Mark) *Result { return mustGrade(t, inspectedRecord(t, m), d) }
	fade := func(v float64) *record.MarkReading {
		return &record.MarkReading{Kind: record.FadeReading, Quantity: record.Quantity{Value: v}}
	}
	read := grade(record.Mark{Kind: "fade", Depth: record.IntoWood, Reading: fade(1.0), On: []record.Place{place}})
	judged := grade(record.Mark{Kind: "fade", Depth: record.InFinish, On: []record.Place{place}})
	near(t, "index by reading", *read.Index, *judged.Index, 0)
	if got := read.Ledger[0].Text; got != "Fade, colour difference ΔE*ab 1, grey-scale step 4-5" {
		t.Errorf("text %q", got)
	}
	if got := judged.Ledger[0].Text; got != "Fade, slight" {
		t.Errorf("text %q", got)
	}
	// A reading that the kind does not have judges nothing, and the line says so.
	other := grade(record.Mark{Kind: "ding", Depth: record.InFinish, Reading: fade(20), On: []record.Place{place}})
	near(t, "index of a ding", *other.Index, *judged.Index, 0)
	if !strings.Contains(other.Ledger[0].Remark, "does not judge this kind") {
		t.Errorf("remark %q", other.Ledger[0].Remark)
	}
	none := grade(record.Mark{Kind: "ding", On: []record.Place{place}})
	if !strings.Contains(none.Ledger[0].Remark, "its depth was not judged") {
		t.Errorf("remark %q", none.Ledger[0].Remark)
	}
}

func TestRefusals(t *testing.T) {
	d := testDrawing()
	reading := &record.MarkReading{Kind: "smell", Quantity: record.Quantity{Value: 1}}
	for want, m := range map[string]record.Mark{
		`mark 1 has the kind "gnawing"`:      {Kind: "gnawing"},
		`mark 1 carries the reading "smell"`: {Kind: "fade", Reading: reading},
		`mark 1: it lies on "bellows"`:       at("ding", record.InFinish, statedOn("bellows", 0.1)),
		`stated coverage is outside 0..1`:    at("ding", record.InFinish, statedOn(record.Neck, 2)),
		`unknown depth "bottomless"`:         at("ding", "bottomless"),
	} {
		res, err := Grade(inspectedRecord(t, m), d, Default())
		if err == nil || !strings.Contains(err.Error(), want) || res != nil {
			t.Errorf("want %q, got %v, %v", want, res, err)
		}
	}
	if _, err := Grade(nil, d, Default()); err == nil {
		t.Error("a grade of nothing")
	}
	d.Class = "hurdy-gurdy"
	if _, err := Grade(inspectedRecord(t), d, Default()); err == nil || !strings.Contains(err.Error(), "hurdy-gurdy") {
		t.Errorf("a class without shares: %v", err)
	}
}
