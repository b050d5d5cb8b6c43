package trace

import (
	"context"
	"encoding/json"
	"image"
	"io/fs"
	"slices"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/testdata"
)

// gridIoU compares two rings in mm on cells of half a millimetre.
func gridIoU(a, b []shape.Pt) float64 {
	box := shape.RectAround(append(slices.Clone(a), b...)...).Grow(2)
	g := shape.GridOver(box, 0.5)
	fill := func(ring []shape.Pt) []bool {
		m := make([]bool, g.W*g.H)
		shape.FillPolygon(g, [][]shape.Pt{ring}, func(y, x0, x1 int) {
			for x := x0; x < x1; x++ {
				m[y*g.W+x] = true
			}
		})
		return m
	}
	return iou(fill(a), fill(b))
}

// mmOf is the map from pixels of a demo photo as stored to millimetres of the
// front sheet in the plane of the body's face, from truth.json.
func mmOf(t *testing.T, file string, stored image.Rectangle) func(shape.Pt) shape.Pt {
	t.Helper()
	data, err := fs.ReadFile(testdata.DemoPhotos(), "truth.json")
	if err != nil {
		t.Fatal(err)
	}
	var truth struct {
		Photos []struct {
			File   string         `json:"file"`
			MMToPx *[3][3]float64 `json:"mm_to_px"`
		} `json:"photos"`
	}
	if err := json.Unmarshal(data, &truth); err != nil {
		t.Fatal(err)
	}
	for _, p := range truth.Photos {
		if p.File != file {
			continue
		}
		m := *p.MMToPx
		// The adjugate is the inverse but for a factor, which a homography does not mind.
		adj := func(i, j int) float64 {
			a, b := (j+1)%3, (j+2)%3
			c, d := (i+1)%3, (i+2)%3
			return m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
		return func(q shape.Pt) shape.Pt {
			x, y := float64(stored.Dy())-q.Y, q.X // Exif orientation 6
			w := adj(2, 0)*x + adj(2, 1)*y + adj(2, 2)
			return shape.Pt{X: (adj(0, 0)*x + adj(0, 1)*y + adj(0, 2)) / w, Y: (adj(1, 0)*x + adj(1, 1)*y + adj(1, 2)) / w}
		}
	}
	t.Fatalf("%s is not in truth.json", file)
	return nil
}

// From the demo photo to the record: silhouette, millimetres, body, curve. The body it was rendered
// from is the outline's own, and the sides of 44 mm that the lens sees add up to 4 mm where they face it.
func TestOwnOutlineFromDemoPhoto(t *testing.T) {
	img, mask := demoPhoto(t, "whole", 6)
	r, err := Silhouette(context.Background(), img, Options{})
	if err != nil {
		t.Fatal(err)
	}
	d, err := outline.New(outline.Params{ScaleLength: 648})
	if err != nil {
		t.Fatal(err)
	}
	region, ok := d.Region("front/body")
	if !ok {
		t.Fatal("the drawing has no body")
	}
	half, joint := d.NeckLine()
	truth := region.Path.Flatten(0.05)[0]
	exact := mmOf(t, "whole.jpg", img.Bounds())
	// Two clicks on nut and saddle instead of the true map.
	toPx := func(mm shape.Pt) shape.Pt { return findPx(exact, mm, img.Bounds()) }
	axis, err := PlaceByAxis(toPx(shape.Pt{}), toPx(shape.Pt{Y: 648}), 648)
	if err != nil {
		t.Fatal(err)
	}
	// The mask kept in testdata is checked the same way: it has to show the outline's body, too.
	kept := ringsOf(mask, img.Bounds().Dx(), img.Bounds().Dy())[0]
	for _, way := range []struct {
		name  string
		ring  []shape.Pt
		toMM  func(shape.Pt) shape.Pt
		least float64
	}{{"mask in testdata", kept, exact, 0.98}, {"true homography", r.Ring, exact, 0.98}, {"two points and the scale length", r.Ring, axis.Apply, 0.975}} {
		body, err := BodyOf(Place(way.ring, way.toMM), half, joint)
		if err != nil {
			t.Fatal(err)
		}
		nodes := FitCurve(body, 0.6)
		got := shape.NodePath(nodes).Flatten(0.05)[0]
		score := gridIoU(got, truth)
		box, want := shape.RectAround(got...), shape.RectAround(truth...)
		t.Logf("%s: %d nodes, agreement %.4f, %.1f x %.1f mm for %.1f x %.1f mm", way.name, len(nodes), score, box.Dx(), box.Dy(), want.Dx(), want.Dy())
		if score < way.least || len(nodes) > 60 {
			t.Errorf("%s: agreement %.4f with %d nodes", way.name, score, len(nodes))
		}
		if _, err := outline.New(outline.Params{ScaleLength: 648, Own: &record.Own{Nodes: nodes}}); err != nil {
			t.Errorf("%s: the own outline is refused: %v", way.name, err)
		}
	}
}

// findPx inverts a map from pixels to mm by Newton's method.
func findPx(toMM func(shape.Pt) shape.Pt, mm shape.Pt, b image.Rectangle) shape.Pt {
	p := shape.Pt{X: float64(b.Dx()) / 2, Y: float64(b.Dy()) / 2}
	for range 30 {
		f := toMM(p)
		fx, fy := toMM(shape.Pt{X: p.X + 1, Y: p.Y}), toMM(shape.Pt{X: p.X, Y: p.Y + 1})
		u, v, e := shape.Sub(fx, f), shape.Sub(fy, f), shape.Sub(mm, f)
		det := shape.Cross(u, v)
		p = shape.Add(p, shape.Pt{X: shape.Cross(e, v) / det, Y: shape.Cross(u, e) / det})
	}
	return p
}
