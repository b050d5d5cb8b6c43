package sign

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"wornwood/pdfout/pdfxtest"
)

// The lines of a visible signature stay inside their box at any size.
func TestAppearanceStaysInside(t *testing.T) {
	lines := []string{"Signed by Anselm Tarry", "A line that is far too long for a narrow box and has to be made smaller", "Ünïcode ✓ and kerning: AVATAR"}
	for _, box := range [][2]float64{{200, 50}, {60, 50}, {300, 12}, {40, 10}} {
		commands, err := drawLines(goregular.TTF, lines, box[0], box[1])
		if err != nil {
			t.Fatal(err)
		}
		var x, y float64
		n := 0
		for _, l := range strings.Split(string(commands), "\n") {
			if _, err := fmt.Sscanf(l, "%g %g m", &x, &y); err != nil {
				continue
			}
			n++
			if x < 0 || x > box[0] || y < 0 || y > box[1] {
				t.Errorf("box %v: a glyph starts at %g %g", box, x, y)
			}
		}
		if n < 50 {
			t.Errorf("box %v: only %d outlines", box, n)
		}
	}
	if _, err := drawLines(goregular.TTF, lines, 2, 2); err == nil {
		t.Error("a box without room is accepted")
	}
	empty, err := drawLines(nil, nil, 100, 20)
	if err != nil || len(empty) != 0 {
		t.Errorf("no lines: %q, %v", empty, err)
	}
}

// The drawn signature can be read on the page: poppler renders dark pixels
// inside the field and nowhere else on a page that is otherwise empty there.
func TestAppearanceIsRendered(t *testing.T) {
	to := filepath.Join(t.TempDir(), "page")
	path := pdfxtest.Write(t, "report.pdf", signedSample(t))
	// The field stands at 60..260 points from the left and 60..110 from below
	// on a page 842 points high; at 72 dpi a point is a pixel.
	dark := func(x, y, w, h int) int {
		out := to + fmt.Sprint(x, y)
		pdfxtest.Output(t, "pdftoppm", "-r", "72", "-gray", "-singlefile", "-x", fmt.Sprint(x), "-y", fmt.Sprint(y), "-W", fmt.Sprint(w), "-H", fmt.Sprint(h), path, out)
		return darkPixels(t, out+".pgm")
	}
	if n := dark(60, 732, 200, 50); n < 100 {
		t.Errorf("%d dark pixels in the signed field", n)
	}
	if n := dark(300, 732, 200, 50); n != 0 {
		t.Errorf("%d dark pixels in the empty field", n)
	}
}
