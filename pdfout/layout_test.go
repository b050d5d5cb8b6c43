package pdfout

import (
	"encoding/xml"
	"fmt"
	"image"
	_ "image/png"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// word is a word on a page as pdftotext -bbox reports it, in points from the
// top left corner.
type word struct {
	X0   float64 `xml:"xMin,attr"`
	Y0   float64 `xml:"yMin,attr"`
	X1   float64 `xml:"xMax,attr"`
	Y1   float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

type sheetOfWords struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []word  `xml:"word"`
}

func readWords(t *testing.T, path string) []sheetOfWords {
	t.Helper()
	out := pdfxtest.Output(t, "pdftotext", "-bbox", path, "-")
	var doc struct {
		Pages []sheetOfWords `xml:"body>doc>page"`
	}
	if err := xml.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Pages) == 0 {
		t.Fatal("pdftotext -bbox gives no pages")
	}
	return doc.Pages
}

func longNames(photos int) *record.Record {
	r := reporttest.Demo(photos)
	long := strings.Repeat("Larkfootstandardextraordinary", 4)
	r.Instrument.Model = "The Larkfoot Standard of the Second Series with the Larger Headstock and " + long
	r.Instrument.Maker = "Halden, Rowe, Østergård & Successors, Makers of Fretted Instruments " + long
	r.Instrument.Serial = strings.Repeat("0123456789", 8)
	r.Instrument.Electronics = strings.Repeat("two passive pickups, a switch and a "+long+"; ", 6)
	r.Examination.Examiner = "Maximiliane-Alexandra von Østergård-Łuczak-Merriweather " + long
	r.Examination.Shop = "Fen Street Instruments and Sons, Incorporating the House of Wain " + long
	r.Examination.Summary = strings.Repeat("A summary that goes on and on. ", 30)
	r.Marks[2].Note = strings.Repeat("A note that tells the whole story of the mark. ", 120)
	r.Marks[3].Note = long + long + long
	r.Claims[0].Support = strings.Repeat(long+" ", 5)
	r.NotExamined = append(r.NotExamined, strings.Repeat("Something else that was not looked at, ", 20))
	for i := range r.Parts {
		r.Parts[i].Note = strings.Repeat("long remark ", 10)
	}
	if photos > 0 {
		r.Photos[0].Name = long + long + ".jpg"
		r.Photos[0].Caption = strings.Repeat("caption ", 40)
		r.Photos[0].Remarks = []string{strings.Repeat("a remark on where the file comes from, ", 40)}
	}
	return r
}

// Whatever the number of marks and photos and the length of names, no word
// stands outside the margins, none lies over another, and every page holds
// more than its foot.
func TestLayouts(t *testing.T) {
	cases := map[string]*record.Record{
		"empty": {Schema: record.Schema, Instrument: record.Instrument{Class: "solid-body double-cutaway"}}, "demo": reporttest.Demo(12),
		"0 marks 0 photos": reporttest.Many(0, 0), "200 marks 300 photos": reporttest.Many(200, 300),
		"200 marks 0 photos": reporttest.Many(200, 0), "long names": longNames(5), "40 photos": reporttest.Demo(40),
	}
	for name, rec := range cases {
		for _, paper := range []string{"A4", "Letter"} {
			t.Run(strings.ReplaceAll(name, " ", "-")+" "+paper, func(t *testing.T) {
				for i, p := range readWords(t, build(t, rec, func(in *Input) { in.Paper = paper })) {
					checkSheet(t, i+1, p)
				}
			})
		}
	}
}

func checkSheet(t *testing.T, n int, p sheetOfWords) {
	t.Helper()
	const pt = 72 / 25.4
	left := (p.Width - 178*pt) / 2
	body := 0
	for i, w := range p.Words {
		// Half a millimetre is the rounding of the file's coordinates and the
		// reader's boxes, which include the side bearings of large type.
		if w.X0 < left-1.5 || w.X1 > p.Width-left+1.5 || w.Y0 < 8*pt || w.Y1 > p.Height-5*pt {
			t.Errorf("page %d: %q stands at %.0f..%.0f, %.0f..%.0f, outside the margins", n, w.Text, w.X0, w.X1, w.Y0, w.Y1)
		}
		if w.Y1 < p.Height-16*pt {
			body++
		} else if w.Y0 < p.Height-16*pt {
			t.Errorf("page %d: %q runs into the foot", n, w.Text)
		}
		for _, v := range p.Words[i+1:] {
			if o := overlap(w, v); o > 0.25 {
				t.Errorf("page %d: %q and %q lie over one another (%.0f %%)", n, w.Text, v.Text, o*100)
			}
		}
	}
	if body < 3 {
		t.Errorf("page %d is empty but for its foot", n)
	}
}

// overlap is the share of the smaller word's box that the other covers. The
// boxes reach from ascender to descender, so lines set close touch a little.
func overlap(a, b word) float64 {
	w := min(a.X1, b.X1) - max(a.X0, b.X0)
	h := min(a.Y1, b.Y1) - max(a.Y0, b.Y0)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h / min((a.X1-a.X0)*(a.Y1-a.Y0), (b.X1-b.X0)*(b.Y1-b.Y0))
}

// A heading never stands last on a page: below each there is at least a line
// of what it heads.
func TestNoOrphanedHeadings(t *testing.T) {
	heads := []string{"Marks", "Close-ups", "Ledger", "Parts", "Photos", "Cautions", "Signatures"}
	for photos := range 9 {
		for i, p := range readWords(t, build(t, reporttest.Many(photos*5, photos), nil)) {
			foot := p.Height - 16*72/25.4
			for _, w := range p.Words {
				if w.Y1-w.Y0 < 16 || !contains(heads, w.Text) {
					continue // section heads are the only words of that size
				}
				below := 0
				for _, v := range p.Words {
					if v.Y0 > w.Y1 && v.Y1 < foot {
						below++
					}
				}
				if below < 2 && w.Y1 > foot-80 {
					t.Errorf("%d photos, page %d: the heading %q stands last", photos, i+1, w.Text)
				}
			}
		}
	}
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// In black and white the three depths of pins are told apart: rendered in grey,
// the discs of marks 1 (light), 2 (middle) and 4 (deep) in the table of marks
// are white, grey and black beside their figures.
func TestPinsInGrey(t *testing.T) {
	path := build(t, reporttest.Demo(0), nil)
	const dpi = 200.0
	for i, p := range readWords(t, path) {
		at := map[string]word{}
		marks := false
		for _, w := range p.Words {
			marks = marks || (w.Text == "Marks" && w.Y1-w.Y0 > 16)
			if _, known := at[w.Text]; marks && !known && len(w.Text) == 1 && w.X0 < p.Width/2-240 {
				at[w.Text] = w
			}
		}
		if !marks {
			continue
		}
		grey := render(t, path, i+1, dpi)
		for text, want := range map[string][2]int{"1": {245, 255}, "2": {150, 220}, "4": {0, 60}} {
			w, ok := at[text]
			if !ok {
				t.Fatalf("no pin %s on page %d", text, i+1)
			}
			// A millimetre and a half left of the figure's middle is inside the
			// disc and beside the figure.
			x, y := (w.X0+w.X1)/2-1.45*72/25.4, (w.Y0+w.Y1)/2
			got := int(grey(x*dpi/72, y*dpi/72))
			if got < want[0] || got > want[1] {
				t.Errorf("pin %s has the grey %d, want %d to %d", text, got, want[0], want[1])
			}
		}
		return
	}
	t.Fatal("no page with the table of marks")
}

// render gives the grey of a page's pixels.
func render(t *testing.T, path string, page int, dpi float64) func(x, y float64) uint8 {
	t.Helper()
	out := filepath.Join(t.TempDir(), "page")
	n := strconv.Itoa(page)
	pdfxtest.Output(t, "pdftoppm", "-gray", "-png", "-singlefile", "-r", fmt.Sprint(dpi), "-f", n, "-l", n, path, out)
	f, err := os.Open(out + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return func(x, y float64) uint8 {
		r, _, _, _ := img.At(int(x), int(y)).RGBA()
		return uint8(r >> 8)
	}
}
