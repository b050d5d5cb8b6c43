package outline

import (
	"testing"

	"wornwood/annotate/shape"
)

func TestPlace(t *testing.T) {
	d := drawing(t, Params{})
	between := func(a, b int) float64 { return (FretPosition(648, a) + FretPosition(648, b)) / 2 }
	for _, c := range []struct {
		side Side
		x, y float64
		want string
	}{
		{Front, -115, 380, "front, bass horn"},
		{Front, 110, 420, "front, treble horn"},
		{Front, -120, 470, "front, upper bass bout"},
		{Front, -100, 530, "front, bass waist"},
		{Front, 130, 700, "front, lower treble bout"},
		{Front, -130, 640, "front, lower bass bout"},
		{Front, 0, 700, "front, below the bridge"},
		{Front, 0, 750, "front, bottom end"},
		{Front, -20, 560, "front, under the strings"},
		{Back, -60, 700, "back, lower treble bout"},
		{Back, 130, 640, "back, lower bass bout"},
		{Front, 8, between(9, 10), "fingerboard, frets 9–10"},
		{Front, 8, between(0, 1), "fingerboard, nut to fret 1"},
		{Front, 8, FretPosition(648, 22) + 5, "fingerboard, end, beyond fret 22"},
		{Front, 8, FretPosition(648, 7), "fret 7"},
		{Front, 0, -2, "nut"},
		{Front, 0, -120, "headstock front"},
		{Back, 0, -120, "headstock back"},
		{Back, 0, FretPosition(648, 6) + 2, "neck back, frets 5–7"},
		{Back, 0, 5, "neck back, behind the nut"},
		{Back, 0, 440, "neck back, heel"},
		{Front, 60, 560, "guard"},
		{Front, 0, 500, "neck pickup"},
		{Front, 0, 655, "bridge"},
		{Back, 0, 496, "heel plate"},
		{Front, 300, 0, ""},
		{BassSide, 0, 30, "bass side, cutaway"},
		{BassSide, 0, 136, "bass side, horn tip"},
		{BassSide, 0, 170, "bass side, horn"},
		{BassSide, 0, 310, "bass side, waist"},
		{BassSide, 0, 440, "bass side, lower bout"},
		{BassSide, 0, 655, "bass side, bottom end"},
		{TrebleSide, 5, 262, "treble side, waist"},
		{TrebleSide, 60, 262, ""},
	} {
		if got := d.Place(c.side, shape.Pt{X: c.x, Y: c.y}); got != c.want {
			t.Errorf("%s %g,%g: %q, want %q", c.side, c.x, c.y, got, c.want)
		}
	}
}

func TestSpan(t *testing.T) {
	d := drawing(t, Params{})
	at := func(x float64, n int) shape.Pt {
		return shape.Pt{X: x, Y: (FretPosition(648, n) + FretPosition(648, n+1)) / 2}
	}
	for name, c := range map[string]struct {
		side Side
		pts  []shape.Pt
		want string
	}{
		"frets 9 to 20":  {Front, []shape.Pt{at(-8, 9), at(8, 9), at(8, 19), at(-8, 19)}, "fingerboard, frets 9–20"},
		"neck back":      {Back, []shape.Pt{at(-8, 3), at(8, 5)}, "neck back, frets 3–6"},
		"mostly waist":   {Front, []shape.Pt{{X: -100, Y: 530}, {X: -90, Y: 540}, {X: -130, Y: 620}}, "front, bass waist"},
		"one point":      {Front, []shape.Pt{{X: -115, Y: 380}}, "front, bass horn"},
		"off the sheet":  {Front, []shape.Pt{{X: 400}}, ""},
		"nothing":        {Front, nil, ""},
		"a single fret":  {Front, []shape.Pt{{X: 3, Y: FretPosition(648, 4)}}, "fret 4"},
		"to the far end": {Front, []shape.Pt{at(0, 15), {X: 0, Y: FretPosition(648, 22) + 6}}, "fingerboard, fret 15 to the end"},
	} {
		if got := d.Span(c.side, c.pts); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
