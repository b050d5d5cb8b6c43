//go:build window

package windowtest

import (
	"image"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"testing"

	"wornwood/testdata"
)

// The places to click for a complete examination, in pixels of the window at its
// first size, as in places_test.go.
var (
	makerField = image.Pt(250, 263)
	massField  = image.Pt(700, 432)
	claimsTab  = image.Pt(323, 108)
	addClaim   = image.Pt(970, 160)

	backTab     = image.Pt(181, 99)
	backThumb   = image.Pt(830, 824)
	lengthField = image.Pt(1180, 253)

	judgedSeen   = image.Pt(728, 209)
	judgedScrews = image.Pt(1019, 209)

	usualSet     = image.Pt(921, 115)
	pickupType   = image.Pt(1330, 157)
	ambientField = image.Pt(1310, 213)
	ambientToo   = image.Pt(1268, 521)
	wiringTab    = image.Pt(263, 540)
	wiringSeen   = image.Pt(228, 599)

	firstReading = image.Pt(420, 226)
	trussRod     = image.Pt(900, 207)
	reliefWith   = image.Pt(900, 265)
	firstCrown   = image.Pt(1112, 236)

	positionsTab = image.Pt(347, 108)
	deadBrush    = image.Pt(578, 201)
	restClean    = image.Pt(1178, 160)

	addFeature  = image.Pt(1372, 132)
	addDocument = image.Pt(1165, 168)
	ledgerLine  = image.Pt(300, 341)

	restSmooth = image.Pt(1350, 305)
)

func tunerFeel(str int) image.Point { return image.Pt(1360, 361+36*(str-1)) }

// component is a row of the list of components, from 0.
func component(i int) image.Point { return image.Pt(300, 186+27*i) }

// position is a string at a fret in the grid.
func position(str, fret int) image.Point { return image.Pt(172+54*fret-27, 250+60*str) }

// partRow is a row of the list of parts, from 0.
func partRow(i int) image.Point { return image.Pt(160, 183+33*i) }

// The marks to make.
var (
	frontFlaws = []flaw{
		{on: image.Pt(215, 800), photo: image.Pt(638, 373), typed: "ch3", kind: "chip", depth: "into the wood", length: "9.5"},
		{on: image.Pt(200, 640), photo: image.Pt(867, 351), typed: "de1", kind: "dent", depth: "in the finish", length: "4"},
		{on: image.Pt(370, 790), photo: image.Pt(653, 593), typed: "di2", kind: "ding", depth: "through the finish", length: "5.2"},
		{on: image.Pt(225, 700), photo: image.Pt(781, 387), typed: "fi2", kind: "finish check", depth: "through the finish"},
		{on: image.Pt(362, 600), photo: image.Pt(924, 581), typed: "sc1", kind: "scratch", depth: "in the finish"},
		{on: image.Pt(180, 750), photo: image.Pt(710, 323), typed: "we2", kind: "wear-through", depth: "through the finish"},
		{on: image.Pt(283, 325), typed: "fw2", kind: "fret wear", depth: "through the finish"},
	}
	backFlaws = []flaw{
		{on: image.Pt(297, 725), photo: image.Pt(835, 440), typed: "bu2", kind: "buckle rash", depth: "through the finish"},
		{on: image.Pt(240, 690), photo: image.Pt(786, 517), typed: "di1", kind: "ding", depth: "in the finish"},
		{on: image.Pt(370, 790), photo: image.Pt(928, 339), typed: "sc2", kind: "scratch", depth: "through the finish"},
		{on: image.Pt(290, 820), typed: "ch3", kind: "chip", depth: "into the wood"},
		{on: image.Pt(362, 600), photo: image.Pt(658, 350), typed: "de1", kind: "dent", depth: "in the finish"},
	}
)

// allPhotos makes a folder with all of the demonstration's photos and lists them.
func allPhotos(t *testing.T) (dir string, names []string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "prepared")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	names, err := fs.Glob(testdata.DemoPhotos(), "*.jpg")
	if err != nil || len(names) == 0 {
		t.Fatalf("no photos to import: %v", err)
	}
	for _, name := range names {
		b, err := fs.ReadFile(testdata.DemoPhotos(), name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, path.Base(name)), b, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir, names
}
