//go:build ci

package markview

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"sync"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	markdraw "wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// capture takes a picture of the window; it is written for a person to look at
// when WORNWOOD_PICTURES names a folder.
func capture(t *testing.T, w fyne.Window, name string) *image.RGBA {
	t.Helper()
	img := w.Canvas().Capture()
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Src)
	if dir := os.Getenv("WORNWOOD_PICTURES"); dir != "" {
		f, err := os.Create(dir + "/" + name + ".png")
		if err != nil {
			t.Fatal(err)
		}
		if err := png.Encode(f, out); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// boards keeps the made-up photos, which take a while to compute.
var boards = struct {
	sync.Mutex
	of map[image.Point]*image.RGBA
}{of: map[image.Point]*image.RGBA{}}

// board is a made-up photo of a fingerboard; do not write to it.
func board(w, h int) *image.RGBA {
	boards.Lock()
	defer boards.Unlock()
	m := boards.of[image.Pt(w, h)]
	if m == nil {
		m = newBoard(w, h)
		boards.of[image.Pt(w, h)] = m
	}
	return m
}

func newBoard(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			g := 0.5 + 0.12*math.Sin(float64(x)/float64(w)*60+4*math.Sin(float64(y)/float64(h)*5)) + 0.05*math.Sin(float64(x*7+y*3)/11)
			c := color.RGBA{uint8(40 + 90*g), uint8(22 + 52*g), uint8(10 + 34*g), 255}
			if f := y % (h / 7); f < h/110 {
				c = color.RGBA{205, 203, 195, 255}
			}
			if s := (x + w/12) % (w / 6); s < w/220 {
				c = color.RGBA{170, 165, 155, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

func window(t *testing.T, c *Canvas, w, h float32, scale float32) fyne.Window {
	t.Helper()
	test.NewTempApp(t)
	win := test.NewTempWindow(t, container.NewStack(c))
	win.Canvas().(test.WindowlessCanvas).SetScale(scale)
	win.SetPadded(false)
	win.Resize(fyne.NewSize(w, h))
	return win
}

func mouse(x, y float32) *desktop.MouseEvent {
	return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x, y)}, Button: desktop.MouseButtonPrimary}
}

func photoMarks() []record.Mark {
	in := func(n int, d record.Depth, s record.Shape, pts ...shape.Pt) record.Mark {
		return record.Mark{Number: n, Kind: "ding", Depth: d, Photos: []record.PhotoPlace{{Photo: photoID, Shape: s, Points: pts}}}
	}
	return []record.Mark{
		in(1, record.InFinish, record.PointShape, p(300, 240)),
		in(2, record.Through, record.PointShape, p(330, 262)),
		in(3, record.IntoWood, record.PointShape, p(318, 300)),
		in(4, record.Through, record.LineShape, p(700, 200), p(860, 330), p(980, 360)),
		in(7, record.IntoWood, record.AreaShape, p(500, 450), p(640, 400), p(760, 470), p(740, 640), p(600, 700), p(490, 610)),
		in(12, record.InFinish, record.AreaShape, p(1000, 700), p(1012, 700), p(1012, 712), p(1000, 712)),
	}
}

func TestCanvasShowsPhoto(t *testing.T) {
	for _, scale := range []float32{1, 2} {
		photo := board(1200, 900)
		c := NewCanvas(nil, func(_ context.Context, _ string, show func(image.Image, bool)) error {
			show(photo, true)
			return nil
		})
		c.loads.run, c.loads.post = func(f func()) { f() }, func(f func()) { f() }
		win := window(t, c, 640, 420, scale)
		c.SetTip(func(int) []string { return []string{"Fade, ΔE*ab 9.8 ± 0.4", "grey-scale step 1–2"} })
		c.SetSheet(Sheet{Photo: photoID, Width: 1200, Height: 900, Marks: photoMarks(), Selected: 7})
		win.Canvas().Capture()
		for _, pin := range c.Control.Pins() {
			if pin.Number == 7 {
				c.MouseIn(mouse(float32(pin.At.X)/scale, float32(pin.At.Y)/scale))
			}
		}
		m := capture(t, win, fmt.Sprintf("photo-%vx", scale))
		if got := m.RGBAAt(m.Rect.Dx()-3, 3); got != Surround {
			t.Errorf("scale %v: round the photo is %v, not the neutral grey", scale, got)
		}
		v := c.Control.View()
		at := v.Apply(p(150, 760))
		if got, want := m.RGBAAt(int(at.X), int(at.Y)), photo.RGBAAt(150, 760); absDiff(got.R, want.R) > 30 {
			t.Errorf("scale %v: the photo shows %v where it is %v", scale, got, want)
		}
		if m.Rect.Dx() != int(640*scale) {
			t.Errorf("scale %v: the picture is %v", scale, m.Rect)
		}
	}
}

func absDiff(a, b uint8) int { return max(int(a)-int(b), int(b)-int(a)) }

func TestCanvasShowsOutline(t *testing.T) {
	d, err := outline.New(outline.Params{Class: outline.Classes()[0]})
	if err != nil {
		t.Fatal(err)
	}
	marks := []record.Mark{
		{Number: 1, Kind: "ding", Depth: record.InFinish, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []shape.Pt{{X: -60, Y: 640}}}}},
		{Number: 7, Kind: "ding", Depth: record.IntoWood, On: []record.Place{{Side: "front", Shape: record.LineShape, Points: []shape.Pt{{X: 60, Y: 420}, {X: 90, Y: 470}}}}},
	}
	c := NewCanvas(nil, nil)
	win := window(t, c, 360, 700, 1)
	c.SetSheet(Sheet{Side: d.Side(outline.Front), Marks: marks, Selected: 7})
	light := capture(t, win, "outline-light")
	c.SetDark(true)
	dark := capture(t, win, "outline-dark")
	if light.RGBAAt(4, 4) != rgba(markdraw.ScreenLight().Ground) || dark.RGBAAt(4, 4) != rgba(markdraw.ScreenDark().Ground) {
		t.Errorf("grounds are %v and %v", light.RGBAAt(4, 4), dark.RGBAAt(4, 4))
	}
	c.SetDark(false)
	c.Control.SetTool(AreaTool)
	for _, q := range []shape.Pt{{X: -100, Y: 520}, {X: -40, Y: 530}, {X: -60, Y: 600}} {
		at := c.Control.View().Apply(q)
		c.MouseDown(mouse(float32(at.X), float32(at.Y)))
		c.MouseUp(mouse(float32(at.X), float32(at.Y)))
	}
	c.MouseMoved(mouse(110, 590))
	if len(c.Control.Draft()) != 3 {
		t.Fatalf("the draft has %d points", len(c.Control.Draft()))
	}
	capture(t, win, "outline-draft")
}

// The toolkit's events end as intentions, through the focus and the keys.
func TestCanvasEvents(t *testing.T) {
	c := NewCanvas(nil, nil)
	win := window(t, c, 400, 300, 1)
	var got []shape.Pt
	moved := false
	c.Control.OnPin = func(_ record.Shape, pts []shape.Pt) { got = append(got, pts...) }
	c.Control.OnMove = func(int, int, record.Shape, []shape.Pt) { moved = true }
	c.SetSheet(Sheet{Photo: photoID, Width: 800, Height: 600, Marks: []record.Mark{onPhoto(5, record.PointShape, p(600, 300))}})
	win.Canvas().Capture()

	c.MouseDown(mouse(100, 50))
	c.MouseUp(mouse(100, 50))
	if len(got) != 1 || shape.Dist(got[0], p(200, 100)) > 1e-6 {
		t.Fatalf("a click gave %v", got)
	}
	if win.Canvas().Focused() != c {
		t.Error("a click did not take the focus")
	}
	pin := c.Control.Pins()[0].At
	c.MouseDown(mouse(float32(pin.X), float32(pin.Y)))
	for i := 1; i < 5; i++ {
		c.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(pin.X)-float32(10*i), float32(pin.Y))}})
	}
	c.DragEnd()
	if !moved {
		t.Error("a drag did not move the mark")
	}
	before := c.Control.Zoom()
	c.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(50, 50)}, Scrolled: fyne.NewDelta(0, 25)})
	if c.Control.Zoom() <= before {
		t.Error("the wheel did not zoom")
	}
	test.Type(c, "1")
	if c.Control.Zoom() != 1 {
		t.Errorf("after 1 the zoom is %v", c.Control.Zoom())
	}
	c.TypedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if c.Control.Zoom() != before {
		t.Errorf("after space the zoom is %v, fitted it was %v", c.Control.Zoom(), before)
	}
	if _, ok := any(c).(fyne.DoubleTappable); ok {
		t.Error("the canvas takes double taps, which delays every click by 300 ms")
	}
}

// A photo comes in the background: first small, then whole; a broken one is
// said to be so.
func TestCanvasLoads(t *testing.T) {
	test.NewTempApp(t)
	done := make(chan string, 4)
	c := NewCanvas(nil, func(_ context.Context, photo string, show func(image.Image, bool)) error {
		if photo == "broken" {
			return os.ErrInvalid
		}
		show(board(120, 90), false)
		show(board(1200, 900), true)
		return nil
	})
	c.loads.post = func(f func()) { f(); done <- "posted" }
	wait := func() {
		select {
		case <-done:
		case <-time.After(20 * time.Second):
			t.Fatal("nothing came")
		}
	}
	c.SetSheet(Sheet{Photo: "good", Width: 1200, Height: 900})
	wait()
	wait()
	if w, _ := c.Photo().Size(); w != 1200 {
		t.Errorf("at last the photo is %d wide", w)
	}
	var failed string
	c.OnFail = func(photo string, err error) { failed = photo }
	c.SetSheet(Sheet{Photo: "broken", Width: 10, Height: 10})
	wait()
	if failed != "broken" || c.pic.Message == "" || c.Photo() != nil {
		t.Errorf("a broken photo: %q, message %q", failed, c.pic.Message)
	}
}

func BenchmarkFrame(b *testing.B) {
	var marks []record.Mark
	for i := range 50 {
		marks = append(marks, onPhoto(i+1, record.PointShape, p(float64(i*7919%6000), float64(i*104729%4000))))
	}
	c := NewController()
	c.Resize(1200, 800, 1)
	c.SetSheet(Sheet{Photo: photoID, Width: 6000, Height: 4000, Marks: marks})
	pic := Picture{Photo: NewPyramid(photo24())}
	d, err := outline.New(outline.Params{Class: outline.Classes()[0]})
	if err != nil {
		b.Fatal(err)
	}
	o := NewController()
	o.Resize(360, 760, 1)
	o.SetSheet(Sheet{Side: d.Side(outline.Front)})
	var opic Picture
	for _, k := range []struct {
		name string
		step func(i int)
	}{
		{"photo zoomed with 50 pins", func(i int) {
			c.Wheel(p(600, 400), []float64{25, -25}[i%2])
			pic.Paint(c, 1200, 800)
		}},
		{"photo, only a pin moves", func(i int) { pic.Paint(c, 1200, 800) }},
		{"outline zoomed", func(i int) {
			o.Wheel(p(180, 380), []float64{25, -25}[i%2])
			opic.Paint(o, 360, 760)
		}},
	} {
		b.Run(k.name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				k.step(i)
				i++
			}
		})
	}
}
