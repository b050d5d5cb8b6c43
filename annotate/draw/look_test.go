package draw

import (
	"image"
	"image/draw"
	"image/png"
	"os"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// savePNG writes a picture for a person to look at when WORNWOOD_PICTURES
// names a folder; the test itself compares operations.
func savePNG(t *testing.T, name string, m image.Image) {
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

func point(n int, d record.Depth, x, y float64) record.Mark {
	return record.Mark{Number: n, Kind: "ding", Depth: d, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: x, Y: y}}}}}
}

func drawn(n int, d record.Depth, s record.Shape, pts ...record.Point) record.Mark {
	return record.Mark{Number: n, Kind: "scratch", Depth: d, On: []record.Place{{Side: "front", Shape: s, Points: pts}}}
}

// sampleMarks are made up: every shape at every depth, two of them crowded.
func sampleMarks() []record.Mark {
	return []record.Mark{
		point(1, record.InFinish, -60, 640), point(2, record.InFinish, 80, 650),
		drawn(3, record.Through, record.AreaShape, record.Point{X: -130, Y: 560}, record.Point{X: -90, Y: 552}, record.Point{X: -60, Y: 585}, record.Point{X: -95, Y: 610}, record.Point{X: -134, Y: 602}),
		point(4, record.Through, -120, 400), point(5, record.IntoWood, -112, 408),
		drawn(6, record.InFinish, record.LineShape, record.Point{X: 90, Y: 520}, record.Point{X: 118, Y: 560}, record.Point{X: 130, Y: 600}),
		drawn(7, record.IntoWood, record.AreaShape, record.Point{X: -24, Y: 240}, record.Point{X: 24, Y: 240}, record.Point{X: 25, Y: 330}, record.Point{X: -25, Y: 330}),
		drawn(8, record.InFinish, record.AreaShape, record.Point{X: 60, Y: 400}, record.Point{X: 120, Y: 410}, record.Point{X: 110, Y: 460}, record.Point{X: 66, Y: 450}),
		drawn(12, record.IntoWood, record.AreaShape, record.Point{X: -10, Y: -60}, record.Point{X: -4, Y: -60}, record.Point{X: -4, Y: -52}, record.Point{X: -10, Y: -52}),
	}
}

func paintSide(d *outline.Drawing, side outline.Side, w, h int, scale float64, st Style, marks []record.Mark, selected int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(m, m.Rect, image.NewUniform(st.Ground.Color()), image.Point{}, draw.Src)
	sd := d.Side(side)
	room := shape.Rect{Max: shape.Pt{X: float64(w), Y: float64(h)}}
	a := shape.Fit(sd.Bounds, room, 20*scale)
	st = st.At(scale)
	Paint(m, Outline(sd, st), a)
	Paint(m, Shapes(side, marks, selected, st), a)
	for _, p := range Layout(ToView(Anchors(side, marks, selected), a), 10.5*scale, room) {
		Paint(m, PinOps(p, 10.5*scale, st), shape.Identity())
	}
	return m
}

func TestPictures(t *testing.T) {
	for _, class := range outline.Classes() {
		d, err := outline.New(outline.Params{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		for _, side := range outline.AllSides() {
			m := paintSide(d, side, 360, 760, 1, ScreenLight(), sampleMarks(), 3)
			savePNG(t, class+" "+string(side), m)
		}
		savePNG(t, class+" dark", paintSide(d, outline.Front, 360, 760, 1, ScreenDark(), sampleMarks(), 3))
		savePNG(t, class+" paper", paintSide(d, outline.Front, 720, 1520, 2, Paper(), sampleMarks(), 0))
	}
}
