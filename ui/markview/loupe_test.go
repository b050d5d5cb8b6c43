package markview

import (
	"image"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The loupe is out exactly while something exact is being set.
func TestWhenTheLoupeIsOut(t *testing.T) {
	out := func(c *Controller) bool { _, ok := c.Loupe(); return ok }
	c, _ := kept(1, 4, square4(), onPhoto(7, record.PointShape, p(650, 300)))
	c.Move(p(300, 200))
	if out(c) {
		t.Error("out while the pointer only hovers")
	}
	c.Press(p(250, 50), Primary)
	if out(c) {
		t.Error("out at a press that did not move yet")
	}
	c.Move(p(262, 60))
	l, ok := c.Loupe()
	if !ok || shape.Dist(l.Spot, p(524, 120)) > 1e-9 {
		t.Errorf("dragging a corner: %v at %v", ok, l.Spot)
	}
	c.Release(p(262, 60))
	var pin shape.Pt
	for _, q := range c.Pins() {
		if q.Number == 7 {
			pin = q.At
		}
	}
	c.Press(pin, Primary)
	c.Move(shape.Add(pin, p(20, 0)))
	if l, ok = c.Loupe(); !ok || shape.Dist(l.Spot, p(690, 300)) > 1e-9 {
		t.Errorf("dragging a pin: %v, shows %v, not the flaw", ok, l.Spot)
	}
	c.Release(pin)
	c.Press(p(20, 290), Primary)
	c.Move(p(60, 290))
	if out(c) {
		t.Error("out while the view is panned")
	}
	c.Release(p(60, 290))
	c.SetTool(PickTool)
	c.Move(p(120, 130))
	if l, ok = c.Loupe(); !ok || shape.Dist(l.Spot, c.toSheet(p(120, 130))) > 1e-9 {
		t.Errorf("picking: %v at %v", ok, l.Spot)
	}
	c.SetLoupe(LoupeOff)
	if out(c) {
		t.Error("out though it was turned off")
	}
	c.SetTool(PinTool)
	c.SetLoupe(LoupeOn)
	if !out(c) {
		t.Error("not out though it was turned on")
	}
	c.Leave()
	if out(c) {
		t.Error("out with the pointer elsewhere")
	}
	for _, want := range []LoupeMode{LoupeOff, LoupeAuto, LoupeOn} {
		if c.Key(LoupeKey); c.LoupeMode() != want {
			t.Errorf("the key gave mode %v, want %v", c.LoupeMode(), want)
		}
	}
}

// Wherever the spot is, on a canvas of a usual size the loupe lies whole inside
// it, leaves the spot and the pointer free, and magnifies by at least two device
// pixels to a pixel of the photo.
func TestLoupeStaysClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.SampledFrom([]float64{1, 1.25, 2}).Draw(t, "scale")
		c := NewController()
		w, h := rapid.IntRange(300, 1400).Draw(t, "w"), rapid.IntRange(300, 900).Draw(t, "h")
		c.Resize(int(float64(w)*scale), int(float64(h)*scale), scale)
		c.SetSheet(Sheet{Photo: photoID, Width: 6000, Height: 4000})
		c.SetTool(PickTool)
		for range rapid.IntRange(0, 3).Draw(t, "notches") {
			c.Wheel(p(c.w/2, c.h/2), rapid.Float64Range(-100, 100).Draw(t, "wheel"))
		}
		for range 3 {
			at := p(rapid.Float64Range(0, c.w).Draw(t, "x"), rapid.Float64Range(0, c.h).Draw(t, "y"))
			c.Move(at)
			l, ok := c.Loupe()
			if !ok {
				t.Fatal("no loupe")
			}
			if !c.room().Grow(-l.Radius).Contains(l.At) {
				t.Fatalf("the loupe at %v, radius %v, reaches out of %vx%v", l.At, l.Radius, c.w, c.h)
			}
			spot := c.View().Apply(l.Spot)
			if c.sheet.holds(c.toSheet(at)) && (shape.Dist(l.At, spot) < l.Radius || shape.Dist(l.At, at) < l.Radius) {
				t.Fatalf("the loupe at %v covers the spot %v", l.At, spot)
			}
			if l.Zoom < loupeLeast || l.Zoom != math.Round(l.Zoom) || l.Zoom < 1.4*c.Zoom() {
				t.Fatalf("the loupe shows %v device pixels a pixel where the view shows %v", l.Zoom, c.Zoom())
			}
			if got := l.View().Apply(l.Spot); shape.Dist(got, l.At) > 1e-6 {
				t.Fatalf("the loupe's middle shows the spot at %v, not at %v", got, l.At)
			}
		}
	})
}

// While the pointer moves steadily the loupe does not jump from side to side.
func TestLoupeStaysInItsQuarter(t *testing.T) {
	c := NewController()
	c.Resize(800, 600, 1)
	c.SetSheet(Sheet{Photo: photoID, Width: 1600, Height: 1200})
	c.SetTool(PickTool)
	jumps, last := 0, shape.Pt{}
	for x := 0.0; x <= 800; x++ {
		c.Move(p(x, 300))
		l, ok := c.Loupe()
		if !ok {
			t.Fatal("no loupe")
		}
		if x > 0 && shape.Dist(l.At, last) > 20 {
			jumps++
		}
		last = l.At
	}
	if jumps > 1 {
		t.Errorf("on the way across the canvas the loupe jumped %d times", jumps)
	}
}

// The pixels in the loupe are the photo's own, each a square of whole device
// pixels, the spot's pixel in the middle.
func TestLoupeShowsThePhotosPixels(t *testing.T) {
	src := image.NewRGBA(image.Rect(0, 0, 400, 300))
	for i := range src.Pix {
		src.Pix[i] = uint8(i*i/7 + i/400)
		if i%4 == 3 {
			src.Pix[i] = 255
		}
	}
	pic := Picture{Photo: NewPyramid(src)}
	c := NewController()
	c.Resize(500, 400, 1)
	s := Sheet{Photo: photoID, Width: 400, Height: 300}
	c.SetSheet(s)
	l := Loupe{Spot: p(123.5, 77.5), At: p(55.5, 55.5), Radius: 55, Zoom: 5}
	pic.lens = image.NewRGBA(image.Rect(0, 0, 111, 111))
	pic.magnified(c, s, l, pic.Style(s, 1))
	for y := range 111 {
		for x := range 111 {
			wantX, wantY := 123+int(math.Floor((float64(x)-53)/5)), 77+int(math.Floor((float64(y)-53)/5))
			if got, want := pic.lens.RGBAAt(x, y), src.RGBAAt(wantX, wantY); got != want {
				t.Fatalf("pixel %d,%d of the loupe is %v, the photo has %v at %d,%d", x, y, got, want, wantX, wantY)
			}
		}
	}
}
