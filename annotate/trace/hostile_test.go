package trace

import (
	"context"
	"errors"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"wornwood/annotate/shape"
)

// endless is a picture of any size that takes no memory.
type endless struct{ w, h int }

func (e endless) ColorModel() color.Model { return color.RGBAModel }
func (e endless) Bounds() image.Rectangle { return image.Rect(-7, 3, e.w-7, e.h+3) }
func (e endless) At(x, y int) color.Color {
	if u, v := float64(x)/float64(e.w)-0.5, float64(y)/float64(e.h)-0.5; 9*u*u+5*v*v < 0.4 {
		return color.RGBA{120, 60, 20, 255}
	}
	return color.RGBA{200, 200, 205, 255}
}

// Sizes that cannot be traced are refused before anything is read; the rest is traced right.
func TestSilhouetteOfOddPictures(t *testing.T) {
	ctx := context.Background()
	for _, s := range [][2]int{{0, 0}, {1, 1}, {1, 5000}, {5000, 1}, {8, 9}, {23, 900}, {60_000, 60_000}, {1 << 40, 1 << 40}, {1_000_000, 300}} {
		if r, err := Silhouette(ctx, endless{s[0], s[1]}, Options{}); err == nil {
			t.Errorf("%d x %d pixels give a ring of %d points", s[0], s[1], len(r.Ring))
		}
	}
	if _, err := Silhouette(ctx, nil, Options{}); err == nil {
		t.Error("no picture gives a silhouette")
	}
	for _, s := range [][2]int{{24, 24}, {25, 2000}, {3000, 31}, {18_000, 20_000}} {
		r, err := Silhouette(ctx, endless{s[0], s[1]}, Options{})
		if err != nil {
			t.Errorf("%d x %d pixels: %v", s[0], s[1], err)
			continue
		}
		// An ellipse with the half axes sqrt(0.4/9) w and sqrt(0.4/5) h.
		want := math.Pi * math.Sqrt(0.4/9) * math.Sqrt(0.4/5) * float64(s[0]) * float64(s[1])
		if got := shape.PolygonArea(r.Ring); math.Abs(got/want-1) > 0.05 {
			t.Errorf("%d x %d pixels: area %.0f, true %.0f", s[0], s[1], got, want)
		}
	}
	for _, c := range []color.RGBA{{}, {255, 255, 255, 255}, {90, 20, 200, 255}} {
		img := image.NewRGBA(image.Rect(0, 0, 300, 200))
		for i := range 300 * 200 {
			img.SetRGBA(i%300, i/300, c)
		}
		if _, err := Silhouette(ctx, img, Options{}); !errors.Is(err, ErrNothing) {
			t.Errorf("a picture all %v gives %v", c, err)
		}
	}
}

func TestSilhouetteStopsWhenAsked(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Silhouette(ctx, endless{3000, 2000}, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("after cancelling: %v", err)
	}
	// Cancelled while it works: the picture does it itself when it is read.
	ctx, cancel = context.WithCancel(context.Background())
	if _, err := Silhouette(ctx, &trap{endless{3000, 2000}, cancel}, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled under way: %v", err)
	}
}

type trap struct {
	endless
	spring func()
}

func (p *trap) At(x, y int) color.Color { p.spring(); return p.endless.At(x, y) }

// All that a photo of 24 megapixels makes the tracer allocate is an upper bound of what it holds at once.
func TestSilhouetteBoundsItsMemory(t *testing.T) {
	img := image.NewYCbCr(image.Rect(0, 0, 6000, 4000), image.YCbCrSubsampleRatio420)
	rnd := rand.New(rand.NewPCG(1, 1))
	for y := range 4000 {
		for x := range 6000 {
			v := 190 + rnd.IntN(6)
			if math.Hypot(float64(x-3000)/2000, float64(y-2000)/1200) < 1 {
				v = 60 + rnd.IntN(30)
			}
			img.Y[img.YOffset(x, y)] = uint8(v)
		}
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = 120, 135
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	r, err := Silhouette(context.Background(), img, Options{})
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	mb := float64(after.TotalAlloc-before.TotalAlloc) / (1 << 20)
	t.Logf("%.0f MiB allocated in all", mb)
	if mb > 300 {
		t.Errorf("%.0f MiB allocated", mb)
	}
	if got, want := shape.PolygonArea(r.Ring), math.Pi*2000*1200; math.Abs(got/want-1) > 0.01 {
		t.Errorf("area %.0f, true %.0f", got, want)
	}
}

// Strokes of any kind do no harm.
func TestStrangeStrokes(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	strange := []Stroke{{}, {Points: []shape.Pt{{X: nan, Y: 3}}, Radius: 5}, {Points: []shape.Pt{{X: 40, Y: 50}, {X: inf, Y: 2}}, Radius: 9},
		{Points: []shape.Pt{{X: 1e300, Y: -1e300}, {X: 4, Y: 4}}, Radius: 1}, {Points: []shape.Pt{{X: 80, Y: 80}}, Radius: nan},
		{Points: []shape.Pt{{X: 10, Y: 10}}, Radius: -4}, {Points: []shape.Pt{{X: -900, Y: 10}}, Radius: 3}}
	for _, o := range []Options{{Add: strange}, {Erase: strange}, {Add: strange, Erase: strange}} {
		if _, err := Silhouette(context.Background(), endless{200, 160}, o); err != nil {
			t.Error(err)
		}
	}
	// All of it painted in or out.
	all := []Stroke{{Points: []shape.Pt{{X: 0, Y: 0}, {X: 200, Y: 160}}, Radius: inf}}
	if _, err := Silhouette(context.Background(), endless{200, 160}, Options{Erase: all}); !errors.Is(err, ErrNothing) {
		t.Errorf("all erased: %v", err)
	}
	if r, err := Silhouette(context.Background(), endless{200, 160}, Options{Add: all}); err == nil && r.Reliable {
		t.Error("all of the photo painted in is called reliable")
	}
}

// Any small picture gives an answer or an error, and the same one twice.
func FuzzSilhouette(f *testing.F) {
	f.Add([]byte{1, 2, 3, 200, 100, 50}, uint8(40), uint8(30))
	f.Add([]byte{}, uint8(255), uint8(24))
	f.Add([]byte("a guitar on a table"), uint8(60), uint8(60))
	f.Fuzz(func(t *testing.T, data []byte, w, h uint8) {
		img := image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
		for i := range img.Pix {
			img.Pix[i] = 255
			if i%4 < 3 && len(data) > 0 {
				img.Pix[i] = data[(i/4/5+i%4)%len(data)]
			}
		}
		o := Options{}
		if len(data) > 4 {
			s := Stroke{Points: []shape.Pt{{X: float64(data[0]), Y: float64(data[1])}, {X: float64(data[2]), Y: float64(data[3])}}, Radius: float64(data[4])}
			if data[0]%2 == 0 {
				o.Add = []Stroke{s}
			} else {
				o.Erase = []Stroke{s}
			}
		}
		r, err := Silhouette(context.Background(), img, o)
		again, err2 := Silhouette(context.Background(), img, o)
		if (err == nil) != (err2 == nil) {
			t.Fatalf("once %v, once %v", err, err2)
		}
		if err != nil {
			return
		}
		if len(r.Ring) < 3 || len(again.Ring) != len(r.Ring) || r.Ring[0] != again.Ring[0] {
			t.Fatalf("rings of %d and %d points", len(r.Ring), len(again.Ring))
		}
		for _, p := range r.Ring {
			if p.X < -1 || p.Y < -1 || p.X > float64(w)+1 || p.Y > float64(h)+1 {
				t.Fatalf("the ring leaves the photo at %v", p)
			}
		}
		FitCurve(r.Ring, 1)
	})
}
