package outline

import (
	"crypto/sha256"
	"fmt"
	"io"
	"strings"
	"testing"

	"wornwood/annotate/shape"
)

// The first class's drawing is what photographs of the demonstration, reports
// already issued and marks already placed were made on. It must not move: the
// sums are over every coordinate to a millionth of a millimetre, every name
// and every line weight.
func TestFirstClassDoesNotMove(t *testing.T) {
	for name, c := range map[string]struct {
		p    Params
		want string
	}{
		"usual":       {Params{}, "75e3b2e5a5ce841a141f38d9"},
		"left-handed": {Params{LeftHanded: true}, "b3414e753753db9871adb232"},
		"short":       {Params{ScaleLength: 500, Frets: 27, Strings: 12}, "9a8f0a88ccab23a229623512"},
		"long":        {Params{ScaleLength: 900, Frets: 12, Strings: 4}, "f445c040764e5f3cd4655c58"},
		"large":       {Params{BodyScale: 1.2, Frets: 24}, "419ea13572b75db57585656a"},
		"fretless":    {Params{Fretless: true, ScaleLength: 864, Strings: 5}, "8a29a00cf865a32beb3c20a5"},
	} {
		if got := digest(drawing(t, c.p)); got != c.want {
			t.Errorf("%s: the drawing's sum is %s, was %s", name, got, c.want)
		}
	}
}

func digest(d *Drawing) string {
	h := sha256.New()
	for _, s := range d.Sides {
		fmt.Fprintln(h, s.Side)
		for _, r := range s.Regions {
			fmt.Fprintln(h, r.ID, r.Name, r.Part, r.Side, r.Piece)
			writePath(h, r.Path)
		}
		for _, k := range s.Detail {
			fmt.Fprintln(h, "stroke", k.Weight, k.Dash, k.Filled)
			writePath(h, k.Path)
		}
		writePath(h, s.Silhouette)
	}
	for _, v := range d.Views() {
		fmt.Fprintln(h, v.ID, v.Name, v.Group, v.Side)
		writePath(h, shape.Polyline(v.Bounds.Min, v.Bounds.Max))
	}
	return fmt.Sprintf("%.12x", h.Sum(nil))
}

func writePath(w io.Writer, a shape.Path) {
	for _, s := range a.Segs {
		line := fmt.Sprint(s.Op)
		for _, p := range s.P {
			line += fmt.Sprintf(" %.6f %.6f", p.X, p.Y)
		}
		// A zero's sign is nobody's coordinate.
		fmt.Fprintln(w, strings.ReplaceAll(line, "-0.000000", "0.000000"))
	}
}
