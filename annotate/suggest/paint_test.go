package suggest

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// painted is a mark painted into a picture, in its pixels.
type painted struct {
	kind   record.Kind
	line   []shape.Pt // of a check, a point a pixel
	box    shape.Rect // round it
	centre shape.Pt   // of a ding
	radius float64
}

// brush paints marks of one contrast into a picture.
type brush struct {
	img      *image.RGBA
	ring     []shape.Pt
	contrast float64
	die      *rand.Rand
	marks    []painted
}

// paintMarks covers a copy of the picture with checks and dings inside the
// ring, then adds noise and sends it through JPEG, as a camera would.
func paintMarks(t *testing.T, ground *image.RGBA, ring []shape.Pt, contrast float64, seed uint64) (image.Image, []painted) {
	t.Helper()
	img := image.NewRGBA(ground.Rect)
	copy(img.Pix, ground.Pix)
	b := &brush{img: img, ring: ring, contrast: contrast, die: rand.New(rand.NewPCG(seed, 77))}
	n := max(4, int(shape.PolygonArea(ring)/30000))
	for range 40 * n {
		if b.count(Check) < n {
			b.check()
		}
		if b.count(Ding) < n {
			b.ding()
		}
	}
	if b.count(Check) < (n+1)/2 || b.count(Ding) < (n+1)/2 {
		t.Fatalf("painted %d checks and %d dings, wanted %d of each", b.count(Check), b.count(Ding), n)
	}
	return finish(t, img, b.die, 2, 90), b.marks
}

// finish adds noise of the standard deviation in grey values and compresses.
func finish(t *testing.T, img *image.RGBA, die *rand.Rand, noise float64, quality int) image.Image {
	t.Helper()
	for i := 0; i < len(img.Pix); i += 4 {
		e := die.NormFloat64() * noise
		for c := range 3 {
			img.Pix[i+c] = clip8(float64(img.Pix[i+c]) + e + 0.5*noise*die.NormFloat64())
		}
	}
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	out, err := jpeg.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func clip8(v float64) uint8 { return uint8(min(max(v+0.5, 0), 255)) }

func (b *brush) count(k record.Kind) (n int) {
	for _, m := range b.marks {
		if m.kind == k {
			n++
		}
	}
	return n
}

// place is a random point of the ring's box.
func (b *brush) place() shape.Pt {
	r := shape.RectAround(b.ring...)
	return shape.Pt{X: r.Min.X + b.die.Float64()*r.Dx(), Y: r.Min.Y + b.die.Float64()*r.Dy()}
}

// free says that a point is well inside the ring and away from other marks.
func (b *brush) free(p shape.Pt, gap float64) bool {
	closed := append(append([]shape.Pt{}, b.ring...), b.ring[0])
	if !shape.PointInPolygon(p, b.ring) || shape.DistToPolyline(p, closed) < 12 {
		return false
	}
	for _, m := range b.marks {
		if m.kind == Check && m.box.Grow(gap).Contains(p) && shape.DistToPolyline(p, m.line) < gap || m.kind == Ding && shape.Dist(p, m.centre) < gap+m.radius {
			return false
		}
	}
	return true
}

// check paints a thin wandering line, 60 to 240 px long and 0.8 to 2 px wide in
// its middle, tapering to its ends; one in four is lighter than the finish.
func (b *brush) check() {
	p, a := b.place(), b.die.Float64()*2*math.Pi
	want, bend := 60+b.die.Float64()*180, 0.0
	var line []shape.Pt
	for range int(want) {
		if !b.free(p, 14) {
			break
		}
		line = append(line, p)
		bend = 0.9*bend + 0.012*b.die.NormFloat64()
		a += bend
		p = shape.Add(p, shape.Pt{X: math.Cos(a), Y: math.Sin(a)})
	}
	if len(line) < 60 {
		return
	}
	width, sign := 0.8+1.2*b.die.Float64(), -1.0
	if b.die.Float64() < 0.25 {
		sign = 1
	}
	b.marks = append(b.marks, painted{kind: Check, line: line, box: shape.RectAround(line...)})
	near := nearLine(line)
	b.shade(shape.RectAround(line...).Grow(4), func(q shape.Pt) float64 {
		n, ok := near[cell(q)]
		if !ok {
			return 0
		}
		t := min(n.i, len(line)-1-n.i)
		w := width * (0.35 + 0.65*math.Sqrt(math.Min(1, 4*float64(t)/float64(len(line)))))
		return sign * b.contrast * min(1, w) * min(max(0.5*max(w, 1)+0.5-n.d, 0), 1)
	})
}

// nearest is the point of a line nearest to a place, and its distance.
type nearest struct {
	i int
	d float64
}

// cell numbers the thirds of pixels.
func cell(q shape.Pt) image.Point { return image.Pt(int(q.X*3), int(q.Y*3)) }

// nearLine finds the nearest point for all thirds of pixels within 2 px of a
// line whose points are a pixel apart.
func nearLine(line []shape.Pt) map[image.Point]nearest {
	out := map[image.Point]nearest{}
	for i, p := range line {
		c, step := cell(p), shape.Sub(line[min(i+1, len(line)-1)], p)
		for y := c.Y - 7; y <= c.Y+7; y++ {
			for x := c.X - 7; x <= c.X+7; x++ {
				v := shape.Sub(shape.Pt{X: (float64(x) + 0.5) / 3, Y: (float64(y) + 0.5) / 3}, p)
				t := min(max(v.X*step.X+v.Y*step.Y, 0), 1) // a step is a pixel long
				d := math.Sqrt(sq(v.X-t*step.X) + sq(v.Y-t*step.Y))
				if d > 2.2 {
					continue
				}
				if old, ok := out[image.Pt(x, y)]; !ok || d < old.d {
					out[image.Pt(x, y)] = nearest{i, d}
				}
			}
		}
	}
	return out
}

// ding paints a pit 4 to 20 px across with a shaded and a lit side.
func (b *brush) ding() {
	c, r, a := b.place(), 2+8*b.die.Float64(), b.die.Float64()*2*math.Pi
	if !b.free(c, 14+r) {
		return
	}
	b.marks = append(b.marks, painted{kind: Ding, centre: c, radius: r})
	s, k := math.Sincos(a)
	b.shade(shape.RectAround(c).Grow(r+2), func(q shape.Pt) float64 {
		v := shape.Sub(q, c)
		d := math.Hypot(v.X, v.Y) / r
		if d >= 1 {
			return 0
		}
		// Steepest at 0.7 of the radius, so the two sides are crescents.
		return b.contrast * (v.X*k + v.Y*s) / r / max(d, 1e-9) * 4 * d * d * (1 - d*d)
	})
}

// shade multiplies the picture by one plus the mean of f over each pixel.
func (b *brush) shade(r shape.Rect, f func(shape.Pt) float64) {
	for y := int(r.Min.Y); y <= int(r.Max.Y); y++ {
		for x := int(r.Min.X); x <= int(r.Max.X); x++ {
			if !image.Pt(x, y).In(b.img.Rect) {
				continue
			}
			sum := 0.0
			for i := range 9 {
				sum += f(shape.Pt{X: float64(x) + (float64(i%3)+0.5)/3, Y: float64(y) + (float64(i/3)+0.5)/3})
			}
			o := b.img.RGBAAt(x, y)
			k := 1 + sum/9
			b.img.SetRGBA(x, y, color.RGBA{clip8(float64(o.R) * k), clip8(float64(o.G) * k), clip8(float64(o.B) * k), 255})
		}
	}
}
