package suggest

import (
	"encoding/json"
	"image"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// photoTruth is what the demo's truth.json says about a photo.
type photoTruth struct {
	File   string         `json:"file"`
	MMToPx *[3][3]float64 `json:"mm_to_px"`
	Marks  []struct {
		Kind   record.Kind `json:"kind"`
		Points []shape.Pt  `json:"points_px"`
	} `json:"marks"`
}

func truthOf(t *testing.T, file string) photoTruth {
	t.Helper()
	var all struct {
		Photos []photoTruth `json:"photos"`
	}
	readJSON(t, filepath.Join(demoDir, "truth.json"), &all)
	for _, p := range all.Photos {
		if p.File == file {
			return p
		}
	}
	t.Fatalf("truth.json knows no %s", file)
	return photoTruth{}
}

func readJSON(t *testing.T, file string, into any) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
}

// renderedChecks are the cracks of the demo's checked area in a photo, from the
// lines in millimetres that package render grew when the photos were made.
func renderedChecks(t *testing.T, file string) []painted {
	var mm [][]shape.Pt
	readJSON(t, "testdata/checks-mm.json", &mm)
	h := truthOf(t, file).MMToPx
	var out []painted
	for _, l := range mm {
		var px []shape.Pt
		for _, p := range l {
			w := h[2][0]*p.X + h[2][1]*p.Y + h[2][2]
			px = append(px, shape.Pt{X: (h[0][0]*p.X + h[0][1]*p.Y + h[0][2]) / w, Y: (h[1][0]*p.X + h[1][1]*p.Y + h[1][2]) / w})
		}
		out = append(out, painted{kind: Check, line: px})
	}
	return out
}

func save(t *testing.T, name string, img image.Image, ghosts []Ghost, marks []painted) {
	if d := os.Getenv("WORNWOOD_PICTURES"); d != "" {
		overlay(t, filepath.Join(d, name), img, ghosts, marks)
	}
}

// TestRenderedChecks finds the demo's own checks, in the close-up and from
// where they are 5 px to the millimetre. A look at both pictures finds no other
// line in these areas.
func TestRenderedChecks(t *testing.T) {
	for _, c := range []struct {
		file  string
		ring  []shape.Pt
		found float64
	}{
		{"close-checks.jpg", []shape.Pt{{X: 1050, Y: 480}, {X: 2100, Y: 480}, {X: 2100, Y: 1280}, {X: 1050, Y: 1280}}, 0.9},
		{"front.jpg", []shape.Pt{{X: 570, Y: 960}, {X: 920, Y: 960}, {X: 920, Y: 1430}, {X: 660, Y: 1430}, {X: 600, Y: 1300}}, 0.8},
	} {
		marks := renderedChecks(t, c.file)
		img := readPicture(t, filepath.Join(demoDir, c.file), "")
		res, err := Find(t.Context(), img, c.ring, Options{Sensitivity: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		f := match(Check, res.Ghosts, marks)
		t.Logf("%s: %d of %d checks, %d of %d ghosts right; %s", c.file, f.hits, f.truth, f.right, f.ghosts, res.Note)
		if f.truth < 15 || f.recall() < c.found || f.precision() < 0.9 {
			t.Errorf("%s: %d checks, %.2f found at %.2f right", c.file, f.truth, f.recall(), f.precision())
		}
		save(t, "suggest-"+c.file+".png", img, res.Ghosts, marks)
	}
}

// TestRenderedDing finds the demo's shallow ding, 17 px across, and little else
// on the finish round it.
func TestRenderedDing(t *testing.T) {
	img := readPicture(t, demoDir+"/front.jpg", "")
	ring := square(600, 600, 800, 950)
	res, err := Find(t.Context(), img, ring, Options{Sensitivity: 0.5})
	if err != nil {
		t.Fatal(err)
	}
	var marks []painted
	for _, m := range truthOf(t, "front.jpg").Marks {
		if m.Kind == Ding && shape.PointInPolygon(m.Points[0], ring) {
			marks = append(marks, painted{kind: Ding, centre: m.Points[0], radius: 8.5})
		}
	}
	f := match(Ding, res.Ghosts, marks)
	if f.truth != 1 || f.hits != 1 || f.ghosts > 2 {
		t.Errorf("%d dings in the area, %d found, %d suggested: %v", f.truth, f.hits, f.ghosts, res.Ghosts)
	}
}

// TestEdgesAreNoChecks searches finish together with what bounds it. Strings,
// guard, body edge, glare and backdrop are long or stepped; nearly all of what
// they show has to be left out.
func TestEdgesAreNoChecks(t *testing.T) {
	for _, c := range []struct {
		name string
		file string
		ring []shape.Pt
		most int // suggestions of both kinds
	}{
		{"body edge and backdrop", "back.jpg", square(1050, 300, 1900, 700), 2},
		{"waist with glare", "front.jpg", square(1150, 230, 2150, 700), 3},
		{"strings over finish", "front.jpg", square(1370, 860, 1700, 1080), 3},
		{"guard edge", "front.jpg", []shape.Pt{{X: 1180, Y: 1180}, {X: 1320, Y: 1190}, {X: 1320, Y: 1400}, {X: 1180, Y: 1400}}, 3},
	} {
		img := readPicture(t, filepath.Join(demoDir, c.file), "")
		res, err := Find(t.Context(), img, c.ring, Options{Sensitivity: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d suggestions; %s", c.name, len(res.Ghosts), res.Note)
		if len(res.Ghosts) > c.most {
			t.Errorf("%s: %d suggestions, at most %d expected: %v", c.name, len(res.Ghosts), c.most, res.Ghosts)
		}
		save(t, "suggest-edge-"+c.name+".png", img, res.Ghosts, nil)
	}
}
