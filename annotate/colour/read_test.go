package colour

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/icc"
	"wornwood/capture/reduce"
)

func box(x0, y0, x1, y1 float64) []shape.Pt {
	return []shape.Pt{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

// flat is a raster of one colour with a little noise.
func flat(w, h int, c Linear) *raster {
	r := rand.New(rand.NewPCG(2, 3))
	p := &raster{w: w, h: h, px: make([]Linear, w*h)}
	for i := range p.px {
		p.px[i] = c.times(1 + 0.01*r.NormFloat64())
	}
	return p
}

// A pixel belongs to a patch when its centre is inside the ring.
func TestPixelCentresDecide(t *testing.T) {
	m := flat(40, 40, Linear{0.2, 0.1, 0.05}).sixteen()
	for _, c := range []struct {
		ring []shape.Pt
		want int
	}{
		{box(5, 5, 20, 20), 225},
		{box(5.4, 5.4, 20.4, 20.4), 225},
		{box(5.6, 5.6, 20.6, 20.6), 225},
		{box(5.6, 5.4, 20.4, 20.4), 14 * 15},
		{box(-10, -10, 12, 12), 144},
		{box(30, 10, 90, 30), 200},
	} {
		r, err := Read(m, c.ring)
		if err != nil || r.Pixels != c.want || r.Clipped != 0 {
			t.Errorf("%v: %d pixels, %d clipped, %v, want %d", c.ring, r.Pixels, r.Clipped, err, c.want)
		}
		if r.Used+r.Outliers+r.Glare > r.Pixels || r.Used < r.Pixels/2 {
			t.Errorf("%v: %+v", c.ring, r)
		}
	}
}

func TestReadRefusals(t *testing.T) {
	m := flat(40, 40, Linear{0.2, 0.1, 0.05}).eight()
	bright := flat(40, 40, Linear{1.2, 0.4, 0.2}).eight()
	nan := math.NaN()
	for name, c := range map[string]struct {
		m    *Image
		ring []shape.Pt
		want string
	}{
		"two corners":    {m, box(0, 0, 9, 9)[:2], "three corners"},
		"no number":      {m, []shape.Pt{{X: nan}, {X: 3}, {Y: 3}}, "three corners"},
		"far away":       {m, box(0, 0, 1e9, 1e9), "three corners"},
		"outside":        {m, box(50, 50, 90, 90), "outside the photo"},
		"left of it":     {m, box(-50, 0, -20, 30), "outside the photo"},
		"few pixels":     {m, box(5, 5, 10, 10), "only 25 usable pixels and needs 100"},
		"no area":        {m, box(5, 5, 5, 30), "outside the photo"},
		"all too bright": {bright, box(5, 5, 30, 30), "are clipped"},
	} {
		_, err := Read(c.m, c.ring)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

// A large patch is read on a lattice, with the same answer.
func TestLargePatchesAreReadOnALattice(t *testing.T) {
	m := flat(700, 500, Linear{0.2, 0.1, 0.05}).sixteen()
	whole, err := Read(m, box(0, 0, 700, 500))
	if err != nil || whole.Step < 2 || whole.Pixels > maxSamples+2000 {
		t.Fatalf("step %d, %d pixels, %v", whole.Step, whole.Pixels, err)
	}
	part, err := Read(m, box(100, 100, 300, 300))
	if err != nil || part.Step != 1 || part.Pixels != 40000 {
		t.Fatalf("step %d, %d pixels, %v", part.Step, part.Pixels, err)
	}
	if d := DE2000(whole.Lab, part.Lab); d > 0.03 {
		t.Errorf("%.3f apart", d)
	}
}

// The stated repeatability is the spread of many readings of one surface, with
// and without grain that goes on from block to block.
func TestRepeatabilityIsHonest(t *testing.T) {
	for _, g := range grains[:2] {
		r := rand.New(rand.NewPCG(21, 5))
		var at []Lab
		stated := 0.0
		const n = 30
		for range n {
			s := &surface{base: woods[3].was, grain: g.grain, seed: 77}
			k := camera{ev: -0.5, noise: 0.03}
			m := read(t, k.shoot(s.light(), r).sixteen())
			at, stated = append(at, m.Lab), stated+m.Repeatability*m.Repeatability/n
		}
		mid := medianLab(at)
		met := 0.0
		for _, l := range at {
			met += DEab(l, mid) * DEab(l, mid) / n
		}
		met, stated = math.Sqrt(met), math.Sqrt(stated)
		t.Logf("%s: %.3f met, %.3f stated", g.name, met, stated)
		// Grain counts in what is stated: another patch of this wood would have other grain.
		if stated < 0.8*met || g.grain == 0 && stated > 1.5*met {
			t.Errorf("%s: readings spread by %.3f, and %.3f is stated", g.name, met, stated)
		}
	}
}

// The same picture in every form that a file can have, with one ring.
func TestFormatsAgree(t *testing.T) {
	w, h := 48, 40
	gradient := func(x, y int) color.NRGBA {
		return color.NRGBA{uint8(100 + x), uint8(60 + y), uint8(40 + (x+y)%7), 255}
	}
	eight, deep := image.NewNRGBA(image.Rect(0, 0, w, h)), image.NewNRGBA64(image.Rect(0, 0, w, h))
	pal := image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{color.NRGBA{120, 80, 45, 255}, color.NRGBA{124, 80, 45, 255}})
	gray := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := gradient(x, y)
			eight.SetNRGBA(x, y, c)
			deep.Set(x, y, c)
			pal.SetColorIndex(x, y, uint8((x+y)%2))
			gray.SetGray(x, y, color.Gray{uint8(90 + x%3)})
		}
	}
	enc := func(img image.Image) []byte {
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	ring := box(8, 8, 40, 32)
	get := func(data []byte) (Reading, *Image) {
		m := open(t, data)
		r, err := Read(m, ring)
		if err != nil {
			t.Fatal(err)
		}
		return r, m
	}
	a, ma := get(enc(eight))
	b, mb := get(enc(deep))
	if DEab(a.Lab, b.Lab) > 1e-6 || ma.Deep || !mb.Deep {
		t.Errorf("8 bits %v, 16 bits %v, deep %v %v", a.Lab, b.Lab, ma.Deep, mb.Deep)
	}
	var j bytes.Buffer
	if err := jpeg.Encode(&j, eight, &jpeg.Options{Quality: 97}); err != nil {
		t.Fatal(err)
	}
	if c, _ := get(j.Bytes()); DE2000(a.Lab, c.Lab) > 0.3 {
		t.Errorf("PNG %v, JPEG %v", a.Lab, c.Lab)
	}
	mean := Linear{(Decode(120./255) + Decode(124./255)) / 2, Decode(80. / 255), Decode(45. / 255)}
	if c, _ := get(enc(pal)); DEab(c.Lab, mean.Lab()) > 0.2 {
		t.Errorf("palette %v, want %v", c.Lab, mean.Lab())
	}
	if c, _ := get(enc(gray)); math.Abs(c.Lab.A)+math.Abs(c.Lab.B) > 1e-9 {
		t.Errorf("grey %v", c.Lab)
	}
}

// A ring means the same place of the upright photo in all orientations.
func TestOrientations(t *testing.T) {
	w, h := 40, 30
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetNRGBA(x, y, color.NRGBA{uint8(20 + 5*x), uint8(20 + 7*y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	for o := 0; o <= 8; o++ {
		up := reduce.Upright(img, o)
		m, err := Open(b.Bytes(), o, reduce.Limits{})
		if err != nil || m.Width != up.Bounds().Dx() || m.Height != up.Bounds().Dy() {
			t.Fatalf("orientation %d: %d x %d, %v", o, m.Width, m.Height, err)
		}
		for _, p := range [][2]int{{0, 0}, {3, 17}, {m.Width - 1, 5}, {7, m.Height - 1}} {
			got, ok := m.At(p[0], p[1])
			c := color.NRGBAModel.Convert(up.At(p[0], p[1])).(color.NRGBA)
			want := sRGB(float64(c.R), float64(c.G), float64(c.B))
			if !ok || math.Abs(got[0]-want[0])+math.Abs(got[1]-want[1])+math.Abs(got[2]-want[2]) > 1e-9 {
				t.Errorf("orientation %d at %v: %v, want %v", o, p, got, want)
			}
		}
		if _, ok := m.At(m.Width, 0); ok {
			t.Errorf("orientation %d: a pixel outside has a colour", o)
		}
	}
}

func TestUnusablePixels(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 4, 1))
	for i, c := range []color.NRGBA{{255, 9, 9, 255}, {9, 0, 9, 255}, {9, 9, 9, 254}, {254, 1, 9, 255}} {
		img.SetNRGBA(i, 0, c)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	m := open(t, b.Bytes())
	for x, want := range []bool{false, false, false, true} {
		if _, ok := m.At(x, 0); ok != want {
			t.Errorf("pixel %d: usable %v", x, ok)
		}
	}
	if _, err := Open([]byte("no picture"), 1, reduce.Limits{}); !errors.Is(err, reduce.ErrFormat) {
		t.Errorf("no picture: %v", err)
	}
	var large *reduce.TooLargeError
	if _, err := Open(b.Bytes(), 1, reduce.Limits{Pixels: 3}); !errors.As(err, &large) {
		t.Errorf("beyond the limit: %v", err)
	}
}

// A JPEG that breaks off has colours as far as it goes.
func TestBrokenOffFile(t *testing.T) {
	data := flat(256, 256, Linear{0.2, 0.1, 0.05}).jpeg(t)
	m := open(t, data[:len(data)*2/3])
	if len(m.Remarks) == 0 || !strings.Contains(m.Remarks[0], "breaks off") {
		t.Fatalf("remarks %q", m.Remarks)
	}
	if _, ok := m.At(5, 2); !ok {
		t.Error("the first rows have no colour")
	}
	if _, ok := m.At(5, 255); ok {
		t.Error("the last row has a colour")
	}
	if _, err := Read(m, box(0, 240, 256, 256)); err == nil {
		t.Error("a patch that was not read has a colour")
	}
}

// The profile counts: the same numbers as sRGB and as Display P3 are other
// colours, and the remarks of a file come with the reading.
func TestProfileCounts(t *testing.T) {
	p := flat(30, 30, Linear{0.4, 0.1, 0.05})
	plain, err := Read(open(t, p.jpeg(t)), box(2, 2, 28, 28))
	if err != nil || plain.Profile != "sRGB" || len(plain.Remarks) != 1 || plain.Remarks[0] != icc.NoProfile {
		t.Fatalf("%q, remarks %q, %v", plain.Profile, plain.Remarks, err)
	}
	linear, err := Read(open(t, p.linearPNG(t)), box(2, 2, 28, 28))
	if err != nil || !linear.Linear || len(linear.Remarks) != 0 {
		t.Fatalf("linear %v, remarks %q, %v", linear.Linear, linear.Remarks, err)
	}
	// An even patch hides in the rounding of 8 bits; noise and grain bring it out.
	if d := DE2000(plain.Lab, linear.Lab); d > 0.8 {
		t.Errorf("the same light is %.2f apart in a linear file and in one of sRGB", d)
	}
}
