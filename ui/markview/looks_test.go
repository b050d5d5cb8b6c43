//go:build ci

package markview

import (
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// keepPicture writes a picture for a person to look at when WORNWOOD_PICTURES
// names a folder.
func keepPicture(t *testing.T, name string, m image.Image) {
	t.Helper()
	dir := os.Getenv("WORNWOOD_PICTURES")
	if dir == "" {
		return
	}
	f, err := os.Create(dir + "/" + name + ".png")
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, m); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// scene is a controller with a picture to paint it.
type scene struct {
	*Controller
	pic  Picture
	w, h int
}

// onBoard shows a made-up photo of a fingerboard.
func onBoard(scale float64, s Sheet) *scene {
	o := &scene{Controller: NewController(), w: int(700 * scale), h: int(520 * scale)}
	o.pic.Photo = NewPyramid(board(1200, 900))
	s.Photo, s.Width, s.Height = photoID, 1200, 900
	o.Resize(o.w, o.h, scale)
	o.SetSheet(s)
	return o
}

// onFront shows the front of an instrument.
func onFront(t testing.TB, s Sheet) *scene {
	t.Helper()
	d, err := outline.New(outline.Params{Class: outline.Classes()[0]})
	if err != nil {
		t.Fatal(err)
	}
	o := &scene{Controller: NewController(), w: 420, h: 760}
	s.Side = d.Side(outline.Front)
	o.Resize(o.w, o.h, 1)
	o.SetSheet(s)
	return o
}

func (o *scene) keep(t *testing.T, name string) *image.RGBA {
	t.Helper()
	m := o.pic.Paint(o.Controller, o.w, o.h)
	keepPicture(t, name, m)
	out := image.NewRGBA(m.Rect)
	copy(out.Pix, m.Pix)
	return out
}

// at is a point of the sheet in device pixels.
func (o *scene) at(x, y float64) shape.Pt { return o.View().Apply(p(x, y)) }

func TestLookOfVertices(t *testing.T) {
	for _, scale := range []float64{1, 2} {
		o := onBoard(scale, Sheet{Marks: photoMarks(), Selected: 7})
		o.keep(t, map[float64]string{1: "vertices", 2: "vertices-2x"}[scale])
		from := o.at(760, 470)
		o.Press(from, Primary)
		o.Move(shape.Add(from, p(20*scale, -12*scale)))
		m := o.keep(t, map[float64]string{1: "vertex-dragged", 2: "vertex-dragged-2x"}[scale])
		l, ok := o.Loupe()
		if !ok {
			t.Fatal("no loupe while a corner is dragged")
		}
		// The loupe shows the photo's own pixel at the spot.
		got := m.RGBAAt(int(l.At.X+4*l.Zoom), int(l.At.Y-4*l.Zoom))
		want := board(1200, 900).RGBAAt(int(l.Spot.X)+4, int(l.Spot.Y)-4)
		if absDiff(got.R, want.R) > 40 {
			t.Errorf("scale %v: the loupe shows %v where the photo is %v", scale, got, want)
		}
	}
}

func TestLookOfSnapping(t *testing.T) {
	o := onFront(t, Sheet{})
	o.SetTool(AreaTool)
	for _, q := range []shape.Pt{p(-110, 520), p(-60, 500), p(-40, 560)} {
		at := o.View().Apply(q)
		o.Move(at)
		o.Press(at, Primary)
		o.Release(at)
	}
	o.SetLoupe(LoupeOn)
	o.ZoomBy(2)
	o.Move(o.at(-100, 600))
	o.keep(t, "snap-free")
	for x := -190.0; x < -100; x += 0.5 { // somewhere there is the body's edge
		if o.Move(o.at(x, 600)); o.snap != nil {
			break
		}
	}
	if o.snap == nil {
		t.Fatal("nothing to snap to on the way across the edge")
	}
	o.keep(t, "snap-edge")
	o.pic.Dark = true
	o.keep(t, "snap-edge-dark")
}

func TestLookOfMeasures(t *testing.T) {
	o := onBoard(1, Sheet{Measures: measures()})
	o.SetTool(MeasureTool)
	o.MeasureLabel = func(pts []shape.Pt) string { return "18.2 ± 0.2 mm" }
	o.Press(o.at(480, 330), Primary)
	o.Move(o.at(640, 420))
	o.keep(t, "measures")
	f := onFront(t, Sheet{Measures: []Measure{
		{Points: []shape.Pt{p(-160, 620), p(160, 620)}, Label: "320 mm"},
		{Points: []shape.Pt{p(-60, 420), p(-20, 470)}, Label: "64 mm", Warn: true},
	}})
	f.keep(t, "measures-outline")
	f.pic.Dark = true
	f.keep(t, "measures-outline-dark")
}

func scaleMarks() []ScaleMark {
	return []ScaleMark{
		{At: p(300, 200), Name: "nut, bass", Off: p(1.2, -0.6), Residual: 1.3, Index: 0},
		{At: p(800, 190), Name: "nut, treble", Off: p(-2.4, 1.1), Residual: 2.6, Index: 1},
		{At: p(330, 700), Name: "fret 12, bass", Off: p(0.4, 2.2), Residual: 2.2, Index: 2},
		{At: p(860, 610), Name: "fret 12, treble", Off: p(14, -9), Residual: 16.6, Wild: true, Index: 3},
		{At: p(600, 450), Name: "bridge", Residual: 1.9, Index: 4},
	}
}

func TestLookOfScalePoints(t *testing.T) {
	o := onBoard(1, Sheet{Scale: scaleMarks()})
	o.SetTool(PickTool)
	o.Prompt = "Next: last fret, treble side"
	o.Move(o.at(480, 330))
	o.keep(t, "scale-pick")
	o.Move(o.at(800, 190))
	o.keep(t, "scale-tip")
	o.Leave()
	o.SetTool(HandTool)
	o.Key(NextKey)
	o.keep(t, "scale-active")
}

func TestLookOfPatches(t *testing.T) {
	o := onBoard(1, Sheet{Patches: []Patch{
		{Ring: []shape.Pt{p(250, 600), p(350, 600), p(350, 680), p(250, 680)}, Word: "reference, L* 31.2", Colour: color.RGBA{92, 56, 30, 255}},
		{Ring: []shape.Pt{p(560, 250), p(680, 250), p(680, 340), p(560, 340)}, Word: "faded, L* 44.0", Colour: color.RGBA{130, 92, 60, 255}, Joined: true},
	}})
	o.SetTool(PatchTool)
	o.Press(o.at(800, 480), Primary)
	o.Move(o.at(960, 610))
	o.keep(t, "patches")
}

func ghosts() []Ghost {
	return []Ghost{
		{ID: 11, Shape: record.LineShape, Points: []shape.Pt{p(300, 200), p(360, 240), p(380, 300), p(440, 340)}, Kind: "finish check", Score: 0.87},
		{ID: 12, Shape: record.PointShape, Points: []shape.Pt{p(620, 420)}, Kind: "ding", Score: 0.64},
		{ID: 13, Shape: record.AreaShape, Points: circleOf(850, 600, 60, 9), Kind: "wear", Score: 0.5},
	}
}

func TestLookOfGhosts(t *testing.T) {
	o := onBoard(1, Sheet{Ghosts: ghosts(), Marks: photoMarks()})
	o.Move(o.at(360, 240))
	o.keep(t, "ghost-hovered")
	o.Leave()
	o.Key(GhostKey)
	o.Key(GhostKey)
	o.keep(t, "ghost-active")
	f := onFront(t, Sheet{Ghosts: []Ghost{
		{ID: 1, Shape: record.LineShape, Points: []shape.Pt{p(60, 420), p(90, 470), p(96, 520)}, Kind: "finish check", Score: 0.8},
		{ID: 2, Shape: record.PointShape, Points: []shape.Pt{p(-70, 600)}, Kind: "ding", Score: 0.7},
	}})
	f.Key(GhostKey)
	f.keep(t, "ghost-outline")
}

func TestLookOfProjected(t *testing.T) {
	o := onBoard(1, Sheet{Marks: photoMarks()[:3], Projected: []Projected{
		{Number: 8, Shape: record.PointShape, Points: []shape.Pt{p(640, 300)}},
		{Number: 9, Level: 1, Shape: record.LineShape, Points: []shape.Pt{p(700, 520), p(820, 560), p(900, 520)}},
		{Number: 10, Level: 2, Shape: record.AreaShape, Points: circleOf(400, 640, 70, 12)},
		{Number: 11, Shape: record.PointShape, Points: []shape.Pt{p(980, 240)}},
	}, Selected: 11})
	o.pic.Tip = func(int) []string { return []string{"8  Ding, in the finish", "front, bass horn"} }
	for _, pin := range o.Pins() {
		if pin.Number == 8 {
			o.Move(pin.At)
		}
	}
	o.keep(t, "projected")
}

func TestLookOfCurve(t *testing.T) {
	o := onBoard(1, Sheet{Curve: curveView(own(), shape.Scale(1.5, 1.5))})
	o.SetTool(HandTool)
	o.Key(NextKey)
	o.Key(NextKey)
	o.keep(t, "curve-active")
	arm := o.View().Apply(o.sheet.Curve[1].Out)
	o.Press(arm, Primary)
	o.Move(shape.Add(arm, p(-25, 30)))
	o.keep(t, "curve-arm")
	o.Key(EscapeKey)
	o.SetTool(EraseBrush)
	o.SetBrush(45)
	o.Press(o.at(300, 200), Primary)
	for i := range 20 {
		o.Move(o.at(300+float64(i)*12, 200+30*math.Sin(float64(i)/3)))
	}
	o.keep(t, "brush-erase")
	o.Release(o.at(528, 200))
	o.SetTool(AddBrush)
	o.Move(o.at(900, 700))
	o.keep(t, "brush-add")
}

func TestLookOfFreehand(t *testing.T) {
	o := onBoard(1, Sheet{})
	o.SetTool(AreaTool)
	ring := circleOf(600, 400, 180, 60)
	o.Press(o.View().Apply(ring[0]), Primary)
	for _, q := range ring[1:50] {
		o.Move(o.View().Apply(q))
	}
	o.keep(t, "freehand")
}
