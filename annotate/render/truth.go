package render

import (
	"math"

	"wornwood/capture/record"
)

// Truth says where things are in the photo of one view. Pixels are those of
// the upright picture at the view's full size, (0,0) being the outer corner of
// the first pixel.
type Truth struct {
	File        string         `json:"file"`
	View        string         `json:"view"`
	Side        string         `json:"side"`
	Size        [2]int         `json:"size"`        // upright width and height
	Orientation int            `json:"orientation"` // Exif: how the file is stored
	Height      float64        `json:"height_mm"`   // of the plane that mm_to_px is for, over the body's face on that side
	MMToPx      *[3][3]float64 `json:"mm_to_px"`    // outline mm on that plane to pixels; null for the edges, whose sheet is not flat
	PxPerMM     float64        `json:"px_per_mm"`   // in the middle of the picture
	Card        Card           `json:"card"`
	Marks       []SeenMark     `json:"marks"`
}

// Card is the ID-1 card in the picture; its face lies in the plane of
// reference (0.76 mm over it where it lies on the instrument itself).
type Card struct {
	Long    float64         `json:"long_mm"`
	Short   float64         `json:"short_mm"`
	Corners [4]record.Point `json:"corners_px"` // as if the corners were not rounded; the first edge is the ruler's
	Whole   bool            `json:"whole"`      // all of it is in the picture
}

// SeenMark is a mark that can be seen in the picture: the points of the list,
// at their true height.
type SeenMark struct {
	Number int            `json:"number"` // in DemoMarks, from 1
	Kind   record.Kind    `json:"kind"`
	Shape  record.Shape   `json:"shape"`
	Points []record.Point `json:"points_px"`
}

// Truth works out where card and marks are in the photo of a view.
func (s *Studio) Truth(v View) Truth {
	w, cam, card := v.setUp(s.model, v.Width)
	sh := sheetOf(v.Side)
	t := Truth{File: v.File, View: v.Name, Side: v.Side, Size: [2]int{v.Width, v.High}, Orientation: v.Orientation,
		Height: v.height, Card: Card{Long: cardLong, Short: cardShort, Whole: true}, Marks: []SeenMark{}}
	if v.Side == "front" || v.Side == "back" {
		m := cam.homography(sh.at(0, 0, v.height), sh.u, sh.v)
		t.MMToPx = &m
	}
	ax, ay := cam.pixel(sh.at(v.x, v.y-1, v.height))
	bx, by := cam.pixel(sh.at(v.x, v.y+1, v.height))
	t.PxPerMM = hypot(ax-bx, ay-by) / 2
	for i, c := range card.corners() {
		x, y := cam.pixel(c)
		t.Card.Corners[i] = record.Point{X: round2(x), Y: round2(y)}
		if !cam.shows(x, y) {
			t.Card.Whole = false
		}
	}
	for i, m := range s.model.marks {
		if pts, ok := s.model.seen(w, &cam, m); ok {
			t.Marks = append(t.Marks, SeenMark{i + 1, m.Kind, m.Shape, pts})
		}
	}
	return t
}

func (c *camera) shows(x, y float64) bool {
	return x >= 0 && y >= 0 && x < float64(c.w) && y < float64(c.h)
}

// seen projects a mark's points and tells whether most of them can be seen,
// not all too slantwise.
func (m *model) seen(w *world, c *camera, k Mark) ([]record.Point, bool) {
	var out []record.Point
	good := 0
	for _, p := range k.Points {
		q := m.surface(k.Side, p)
		x, y := c.pixel(q)
		out = append(out, record.Point{X: round2(x), Y: round2(y)})
		d := q.sub(c.eye)
		r := newRay(c.eye, d.unit())
		if _, t := w.tree.nearest(&r, 1, 1e5, false); c.shows(x, y) && t > d.len()-2.5 && d.unit().dot(sheetOf(k.Side).w) < -0.3 {
			good++
		}
	}
	return out, float64(good) >= 0.6*float64(len(k.Points))
}

// surface is the point of body, neck or board that lies under a place of a
// side.
func (m *model) surface(side string, p record.Point) vec {
	s := sheetOf(side)
	r := newRay(s.at(p.X, p.Y, 100), s.w.mul(-1))
	best := math.Inf(1)
	for _, o := range m.objs {
		if o.name == "body" || o.name == "neck" || o.name == "board" {
			if t, ok := o.shape.hit(&r, 0, 1000); ok {
				best = min(best, t)
			}
		}
	}
	if math.IsInf(best, 1) {
		best = 100
	}
	return r.at(best)
}
