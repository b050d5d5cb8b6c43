package measure

import (
	"bytes"
	"encoding/json"
	"image"
	"io/fs"
	"math"
	"testing"

	"github.com/disintegration/imaging"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/testdata"
)

// demoTruth is what testdata/demo/truth.json knows of one rendered photo. The
// pictures and their truth come out of the renderer, which traces rays and knows nothing of this package.
type demoTruth struct {
	File   string         `json:"file"`
	Size   [2]int         `json:"size"`
	Height float64        `json:"height_mm"`
	Map    *[3][3]float64 `json:"mm_to_px"`
	PxPer  float64        `json:"px_per_mm"`
	Card   struct {
		Corners [4]record.Point `json:"corners_px"`
	} `json:"card"`
	Marks []struct {
		Number int            `json:"number"`
		Points []record.Point `json:"points_px"`
	} `json:"marks"`
}

// demoMark is a mark of the demo instrument, in millimetres.
type demoMark struct {
	Side   string         `json:"side"`
	Shape  record.Shape   `json:"shape"`
	Points []record.Point `json:"points_mm"`
}

var demoAll struct {
	Marks  []demoMark  `json:"marks"`
	Photos []demoTruth `json:"photos"`
}

func demoPhotos(t testing.TB) map[string]demoTruth {
	t.Helper()
	data, err := fs.ReadFile(testdata.DemoPhotos(), "truth.json")
	if err != nil {
		t.Fatal(err)
	}
	all := &demoAll
	if err := json.Unmarshal(data, all); err != nil {
		t.Fatal(err)
	}
	out := map[string]demoTruth{}
	for _, p := range all.Photos {
		out[p.File] = p
	}
	return out
}

// demoGray is a demo photo, upright, in grey.
func demoGray(t testing.TB, file string) *image.Gray {
	t.Helper()
	data, err := fs.ReadFile(testdata.DemoPhotos(), file)
	if err != nil {
		t.Fatal(err)
	}
	img, err := imaging.Decode(bytes.NewReader(data), imaging.AutoOrientation(true))
	if err != nil {
		t.Fatal(err)
	}
	g := image.NewGray(img.Bounds())
	for y := range g.Rect.Dy() {
		for x := range g.Rect.Dx() {
			g.Set(x, y, img.At(x, y))
		}
	}
	return g
}

// demoCamera is the camera of a rendered photo, recovered from its exact
// homography: a pinhole with the axis in the middle, so the images of the two directions
// of the plane are square to each other, which gives the focal length.
type demoCamera struct {
	f, cx, cy float64
	a, b, o   [3]float64 // the plane's directions for 1 mm, and its origin
	n         [3]float64 // 1 mm towards the camera
	base      float64    // height of the plane over the body's face
}

func (d demoTruth) camera() demoCamera {
	c := demoCamera{cx: float64(d.Size[0]) / 2, cy: float64(d.Size[1]) / 2, base: d.Height}
	col := func(j int) [3]float64 {
		h := d.Map
		return [3]float64{h[0][j] - c.cx*h[2][j], h[1][j] - c.cy*h[2][j], h[2][j]}
	}
	a, b, o := col(0), col(1), col(2)
	c.f = math.Sqrt(-(a[0]*b[0] + a[1]*b[1]) / (a[2] * b[2]))
	for _, v := range []*[3]float64{&a, &b, &o} {
		v[0], v[1] = v[0]/c.f, v[1]/c.f
	}
	k := 1 / math.Sqrt(dot3(a, a))
	for i := range a {
		a[i], b[i], o[i] = k*a[i], k*b[i], k*o[i]
	}
	c.a, c.b, c.o, c.n = a, b, o, cross3(b, a)
	return c
}

// see is the pixel of a point of the front sheet z mm over the body's face.
func (c demoCamera) see(p shape.Pt, z float64) shape.Pt {
	var q [3]float64
	for i := range q {
		q[i] = c.o[i] + p.X*c.a[i] + p.Y*c.b[i] + (z-c.base)*c.n[i]
	}
	return shape.Pt{X: c.cx + c.f*q[0]/q[2], Y: c.cy + c.f*q[1]/q[2]}
}
