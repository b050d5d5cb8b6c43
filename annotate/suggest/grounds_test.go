package suggest

import (
	"image"
	"image/draw"
	_ "image/jpeg"
	_ "image/png"
	"os"
	"path/filepath"
	"testing"

	"wornwood/annotate/shape"
)

// surface is a picture into which marks are painted.
type surface struct {
	name   string
	smooth bool
	grainy bool // what Result.Grainy must say
	file   string
	pack   string          // the Debian package that brings the file; "" for the demo's
	cut    image.Rectangle // of the file's stored pixels
	ring   []shape.Pt      // in pixels of the cut; nil is all of it
	mirror int             // how many times a small cut is laid beside its mirror image, each way
}

const (
	demoDir  = "../../testdata/demo"
	boards   = "/usr/share/pychess/boards"
	phone    = "/usr/share/pychess/glade/background.jpg" // 16 megapixels of a phone
	skimages = "/usr/lib/python3/dist-packages/skimage/data"
)

// surfaces are the grounds of the figures. Photographs are read where their
// Debian packages put them.
var surfaces = []surface{
	{name: "rendered body, 5 px/mm", smooth: true, file: demoDir + "/front.jpg", cut: image.Rect(1150, 330, 1760, 770),
		ring: []shape.Pt{{X: 3, Y: 3}, {X: 300, Y: 3}, {X: 420, Y: 75}, {X: 606, Y: 80}, {X: 606, Y: 437}, {X: 3, Y: 437}}},
	{name: "rendered back with burst, 5 px/mm", smooth: true, file: demoDir + "/back.jpg", cut: image.Rect(1050, 290, 1900, 730),
		ring: []shape.Pt{{X: 3, Y: 145}, {X: 120, Y: 165}, {X: 260, Y: 165}, {X: 420, Y: 105}, {X: 570, Y: 25}, {X: 847, Y: 3}, {X: 847, Y: 437}, {X: 3, Y: 437}}},
	{name: "rendered close-up, 12 px/mm", smooth: true, file: demoDir + "/close-buckle.jpg", cut: image.Rect(1080, 1100, 1930, 1570)},
	{name: "pale cloth out of focus (phone)", smooth: true, file: phone, pack: "pychess", cut: image.Rect(3900, 150, 4700, 700)},
	{name: "lacquered board with glare (phone)", smooth: true, file: phone, pack: "pychess", cut: image.Rect(0, 2480, 1500, 2988),
		ring: []shape.Pt{{X: 40, Y: 70}, {X: 1380, Y: 185}, {X: 1480, Y: 480}, {X: 800, Y: 480}, {X: 40, Y: 360}}},
	{name: "maple, fine grain", file: boards + "/maple_d.png", pack: "pychess", cut: image.Rect(4, 4, 156, 156), mirror: 4},
	{name: "mahogany, open grain", grainy: true, file: boards + "/mahogony_d.png", pack: "pychess", cut: image.Rect(4, 4, 156, 156), mirror: 4},
	{name: "brazilwood, open grain", grainy: true, file: boards + "/brazilwood_d.png", pack: "pychess", cut: image.Rect(4, 4, 156, 156), mirror: 4},
	{name: "sandalwood, open grain", grainy: true, file: boards + "/sandlewood_d.png", pack: "pychess", cut: image.Rect(4, 4, 156, 156), mirror: 4},
	{name: "table with deep grain", grainy: true, file: skimages + "/coffee.png", pack: "python3-skimage", cut: image.Rect(484, 200, 596, 392), mirror: 4},
	{name: "brushed metal", grainy: true, file: boards + "/aluminium_d.png", pack: "pychess", cut: image.Rect(4, 4, 196, 196), mirror: 3},
}

// picture is the ground and the ring on it.
func (s surface) picture(t testing.TB) (*image.RGBA, []shape.Pt) {
	t.Helper()
	img := s.load(t)
	b := img.Rect
	ring := s.ring
	if ring == nil {
		ring = []shape.Pt{{X: 3, Y: 3}, {X: float64(b.Dx()) - 3, Y: 3}, {X: float64(b.Dx()) - 3, Y: float64(b.Dy()) - 3}, {X: 3, Y: float64(b.Dy()) - 3}}
	}
	return img, ring
}

func (s surface) load(t testing.TB) *image.RGBA {
	t.Helper()
	src := readPicture(t, s.file, s.pack)
	tile := image.NewRGBA(image.Rect(0, 0, s.cut.Dx(), s.cut.Dy()))
	if !s.cut.In(src.Bounds()) {
		t.Fatalf("%s has %v, wanted %v", s.file, src.Bounds(), s.cut)
	}
	draw.Draw(tile, tile.Rect, src, s.cut.Min, draw.Src)
	if s.mirror < 2 {
		return tile
	}
	w, h := s.cut.Dx(), s.cut.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w*s.mirror, h*s.mirror))
	fold := func(v, n int) int {
		if v/n%2 == 1 {
			return n - 1 - v%n
		}
		return v % n
	}
	for y := range h * s.mirror {
		for x := range w * s.mirror {
			out.SetRGBA(x, y, tile.RGBAAt(fold(x, w), fold(y, h)))
		}
	}
	return out
}

var pictureCache = map[string]image.Image{}

func readPicture(t testing.TB, file, pack string) image.Image {
	t.Helper()
	if img := pictureCache[file]; img != nil {
		return img
	}
	f, err := os.Open(file)
	if err != nil && pack != "" {
		t.Fatalf("%v; install it: apt-get install --no-install-recommends %s", err, pack)
	} else if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatalf("decode %s: %v", filepath.Base(file), err)
	}
	pictureCache[file] = img
	return img
}
