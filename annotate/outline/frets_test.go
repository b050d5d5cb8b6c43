package outline

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"wornwood/capture/record"
)

// Source: twelve-tone equal temperament, d(n) = S (1 - 2^(-n/12)), the table
// computed outside this project: the factor of each fret to six decimals and
// its place on a scale of 650 mm to a micrometre.
func TestFretPositionsAgainstTable(t *testing.T) {
	f, err := os.Open("testdata/frets.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 25 {
		t.Fatalf("%d rows, want a heading and 24 frets", len(rows))
	}
	for _, row := range rows[1:] {
		n, err1 := strconv.Atoi(row[0])
		factor, err2 := strconv.ParseFloat(row[1], 64)
		mm, err3 := strconv.ParseFloat(row[2], 64)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatalf("row %v is not three numbers", row)
		}
		if got := FretPosition(1, n); math.Abs(got-factor) > 0.6e-6 {
			t.Errorf("fret %d: factor %.7f, table %.6f", n, got, factor)
		}
		if got := FretPosition(650, n); math.Abs(got-mm) > 0.6e-3 {
			t.Errorf("fret %d: %.4f mm, table %.3f mm", n, got, mm)
		}
	}
}

// The rule of 18 in its exact form: the first fret lies at the scale length
// over 17.817154 (same source), the twelfth at half of it.
func TestFretPositionRules(t *testing.T) {
	if got := 648 / FretPosition(648, 1); math.Abs(got-17.817154) > 1e-6 {
		t.Errorf("scale over first fret %.7f, want 17.817154", got)
	}
	if got := FretPosition(648, 12); math.Abs(got-324) > 1e-9 {
		t.Errorf("twelfth fret at %.9f, want 324", got)
	}
	if got := FretPosition(648, 0); got != 0 {
		t.Errorf("the nut is at %g", got)
	}
}

// The fret regions sit where the rule puts them, the fret's middle counted.
func TestFretRegions(t *testing.T) {
	d := drawing(t, Params{ScaleLength: 628, Frets: 24})
	for n := 1; n <= 24; n++ {
		r, ok := d.Region(slugOf("front/fret", n))
		if !ok {
			t.Fatalf("fret %d has no region", n)
		}
		b := r.Path.Bounds()
		if got, want := b.Center().Y, FretPosition(628, n); math.Abs(got-want) > 1e-6 {
			t.Errorf("fret %d at %.4f, want %.4f", n, got, want)
		}
		if r.Part != record.Frets || r.Piece != n {
			t.Errorf("fret %d is piece %d of %s", n, r.Piece, r.Part)
		}
	}
	if d := drawing(t, Params{Fretless: true}); pieces(d, record.Frets) != 0 {
		t.Error("a fretless drawing has frets")
	}
}
