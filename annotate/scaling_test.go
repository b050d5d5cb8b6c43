package annotate

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wornwood/annotate/measure"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// demoFront is the rendered photo of the demo's front: the map from millimetres of
// the front sheet, in the plane of the body's face, to pixels, and its marks.
type demoFront struct {
	File    string
	Size    [2]int
	MMToPx  [3][3]float64 `json:"mm_to_px"`
	Marks   []demoMark
	session *Session
}

type demoMark struct {
	Number int
	Shape  record.Shape
	Points []shape.Pt `json:"points_px"`
}

func (d *demoFront) px(p shape.Pt) shape.Pt { return project(d.MMToPx, p) }

func project(h [3][3]float64, p shape.Pt) shape.Pt {
	w := h[2][0]*p.X + h[2][1]*p.Y + h[2][2]
	return shape.Pt{X: (h[0][0]*p.X + h[0][1]*p.Y + h[0][2]) / w, Y: (h[1][0]*p.X + h[1][1]*p.Y + h[1][2]) / w}
}

// openDemoFront opens a session on the front photo, not scaled yet.
func openDemoFront(t *testing.T) *demoFront {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "testdata", "demo", "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	var all struct{ Photos []demoFront }
	if err := json.Unmarshal(b, &all); err != nil {
		t.Fatal(err)
	}
	d := &all.Photos[0]
	if d.File != "front.jpg" || len(d.Marks) == 0 {
		t.Fatalf("the first photo of the truth is %s", d.File)
	}
	s, j := open(t)
	j.rec.Photos[1].Width, j.rec.Photos[1].Height = d.Size[0], d.Size[1]
	s.Refresh()
	d.session = s
	return d
}

// lay scales the photo by landmarks of the body.
func (d *demoFront) lay(t *testing.T) {
	t.Helper()
	clicks := map[string]shape.Pt{}
	dr := d.session.Scene().Drawing
	for _, l := range dr.Landmarks() {
		h := dr.HeightAt(outline.Front, l.At)
		if l.Side == outline.Front && math.Abs(h.Value) < 0.5 {
			clicks[l.ID] = d.px(l.At)
		}
	}
	sc, err := measure.LandmarkScale(dr, outline.Front, clicks)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.session.SetScale("bb", &sc); err != nil {
		t.Fatal(err)
	}
}

// A mark drawn on the outline shows on the registered photo where the renderer put
// it, and a mark drawn on the photo gets its place on the outline and its size.
func TestRegisteredPhotoShowsMarksBothWays(t *testing.T) {
	d := openDemoFront(t)
	d.lay(t)
	s := d.session
	at := shape.Pt{X: -95, Y: 640}
	n, err := s.AddMark(Surface{Side: outline.Front}, record.PointShape, []record.Point{at})
	if err != nil {
		t.Fatal(err)
	}
	got := s.ProjectedOnPhoto("bb")
	if len(got) != 1 || got[0].Number != n || shape.Dist(got[0].Points[0], d.px(at)) > 4 {
		t.Fatalf("on the photo %+v, rendered at %v", got, d.px(at))
	}
	if p := s.ProjectedOnSide(outline.Front); len(p) != 0 {
		t.Errorf("a mark on the outline is projected onto it: %v", p)
	}
	for _, m := range d.Marks {
		if m.Shape != record.AreaShape {
			continue
		}
		n, err := s.AddMark(Surface{Photo: "bb"}, m.Shape, m.Points)
		if err != nil {
			t.Fatal(err)
		}
		mk := s.Scene().Record.MarkByNumber(n)
		if len(mk.On) != 1 || mk.On[0].Side != "front" || mk.Area == nil || mk.Length == nil || mk.Width == nil {
			t.Fatalf("mark %d of the demo became %+v", m.Number, mk)
		}
		back := make([]shape.Pt, len(mk.On[0].Points))
		for i, p := range mk.On[0].Points {
			back[i] = d.px(p)
		}
		if off := shape.Dist(shape.Centroid(back), shape.Centroid(m.Points)); off > 6 {
			t.Errorf("mark %d came to lie %.1f px beside itself", m.Number, off)
		}
		truth := shape.PolygonArea(inverse(d, m.Points))
		if e := math.Abs(mk.Area.Value - truth); e > 3*mk.Area.Uncertainty || mk.Area.Uncertainty > truth/10 {
			t.Errorf("mark %d: area %s mm2, rendered %.0f", m.Number, mk.Area, truth)
		}
	}
}

// inverse finds the millimetres of pixels by Newton's rule on the truth's map.
func inverse(d *demoFront, px []shape.Pt) []shape.Pt {
	out := make([]shape.Pt, len(px))
	for i, q := range px {
		p := shape.Pt{X: 0, Y: 600}
		for range 30 {
			f, e := d.px(p), 1e-3
			dx, dy := shape.Sub(d.px(shape.Pt{X: p.X + e, Y: p.Y}), f), shape.Sub(d.px(shape.Pt{X: p.X, Y: p.Y + e}), f)
			r, det := shape.Sub(q, f), dx.X*dy.Y-dx.Y*dy.X
			p.X += e * (r.X*dy.Y - r.Y*dy.X) / det
			p.Y += e * (dx.X*r.Y - dx.Y*r.X) / det
		}
		out[i] = p
	}
	return out
}

// What was measured on a photo follows its scale; what a person gave stays.
func TestSizesFollowTheScale(t *testing.T) {
	d := openDemoFront(t)
	s := d.session
	line := []record.Point{d.px(shape.Pt{X: -60, Y: 640}), d.px(shape.Pt{X: -20, Y: 640})}
	n, err := s.AddMark(Surface{Photo: "bb"}, record.LineShape, line)
	if err != nil {
		t.Fatal(err)
	}
	mk := func() *record.Mark { return s.Scene().Record.MarkByNumber(n) }
	if mk().Length != nil || len(mk().On) != 0 {
		t.Fatalf("without a scale the mark is %+v", mk())
	}
	d.lay(t)
	if q := mk().Length; q == nil || math.Abs(q.Value-40) > 3*q.Uncertainty || !strings.HasPrefix(q.How, OnPhoto) {
		t.Fatalf("40 mm are read as %v", q)
	}
	if _, err := s.Undo(); err != nil || mk().Length != nil || s.Scene().Record.PhotoByID("bb").Scale != nil {
		t.Fatalf("undone, the mark is %+v: %v", mk(), err)
	}
	if _, err := s.Redo(); err != nil || mk().Length == nil {
		t.Fatal("redone, the length is gone", err)
	}
	longer := []record.Point{line[0], d.px(shape.Pt{X: 0, Y: 640})}
	if err := s.MovePlace(n, Surface{Photo: "bb"}, 0, longer); err != nil {
		t.Fatal(err)
	}
	if q := mk().Length; math.Abs(q.Value-60) > 3*q.Uncertainty {
		t.Errorf("moved, 60 mm are read as %v", q)
	}
	if err := s.EditMark(n, "Size", func(m *record.Mark) { m.Length = &record.Quantity{Value: 61, How: "calliper"} }); err != nil {
		t.Fatal(err)
	}
	if err := s.SetScale("bb", nil); err != nil {
		t.Fatal(err)
	}
	if q := mk().Length; q == nil || q.Value != 61 {
		t.Errorf("without the scale the typed length became %v", q)
	}
	if _, err := s.Measure("bb", LengthReading, line); err == nil {
		t.Error("measured without a scale")
	}
}

// A mark on two photos is measured on the one that shows it finer, and taking the
// other's scale away changes nothing.
func TestSizesComeFromTheFinestPhoto(t *testing.T) {
	d := openDemoFront(t)
	d.lay(t)
	s := d.session
	n, err := s.AddMark(Surface{Photo: "bb"}, record.LineShape, []record.Point{d.px(shape.Pt{X: -60, Y: 640}), d.px(shape.Pt{X: -20, Y: 640})})
	if err != nil {
		t.Fatal(err)
	}
	coarse := s.Scene().Record.MarkByNumber(n).Length
	c, err := record.Set(record.PhotoTarget("aa"), record.Photo{ID: "aa", Name: "a.jpg", Width: 3000, Height: 2000})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Do("Size", c); err != nil {
		t.Fatal(err)
	}
	card, err := measure.CardScale([4]shape.Pt{{X: 500, Y: 500}, {X: 2212, Y: 500}, {X: 2212, Y: 1579.6}, {X: 500, Y: 1579.6}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.AddPlace(n, Surface{Photo: "aa"}, record.LineShape, []record.Point{{X: 1000, Y: 1000}, {X: 1800, Y: 1000}}); err != nil {
		t.Fatal(err)
	}
	length := func() *record.Quantity { return s.Scene().Record.MarkByNumber(n).Length }
	if *length() != *coarse {
		t.Errorf("a photo without a scale changed %v to %v", coarse, length())
	}
	if err := s.SetScale("aa", &card); err != nil {
		t.Fatal(err)
	}
	fine := length()
	if !strings.Contains(fine.How, "card") || fine.Uncertainty >= coarse.Uncertainty {
		t.Errorf("at 20 px/mm: %v, %q; before %v", fine, fine.How, coarse)
	}
	if err := s.SetScale("bb", nil); err != nil || *length() != *fine {
		t.Errorf("the coarser photo's scale went: %v, %v", length(), err)
	}
	if err := s.SetScale("aa", nil); err != nil || length() != nil {
		t.Errorf("no scale is left, the length is %v: %v", length(), err)
	}
}

// A scale that cannot be used is refused and nothing changes.
func TestUselessScaleIsRefused(t *testing.T) {
	d := openDemoFront(t)
	p := shape.Pt{X: 5, Y: 5}
	bad := &record.Scale{Kind: record.CardScale, Points: []record.ScalePoint{{At: p}, {At: p}, {At: p}, {At: p}}}
	if err := d.session.SetScale("bb", bad); err == nil || d.session.Scene().Record.PhotoByID("bb").Scale != nil {
		t.Errorf("accepted: %v", err)
	}
	if err := d.session.SetScale("zz", nil); err == nil {
		t.Error("a photo that is not there got a scale")
	}
}

func TestSuggestedAndDismissed(t *testing.T) {
	d := openDemoFront(t)
	s := d.session
	at := []record.Point{{X: 900, Y: 900}, {X: 960, Y: 930}}
	n, err := s.AddSuggested("bb", "finish check", record.LineShape, at)
	if err != nil || s.Scene().Record.MarkByNumber(n).Kind != "finish check" {
		t.Fatal(n, err)
	}
	if _, err := s.AddSuggested("bb", "gnawing", record.LineShape, at); err == nil {
		t.Error("a kind that the rubric does not know was accepted")
	}
	if err := s.Dismiss("bb", record.LineShape, at); err != nil {
		t.Fatal(err)
	}
	if len(s.Scene().Record.PhotoByID("bb").Dismissed) != 1 {
		t.Error("what was dismissed is not on record")
	}
	if err := s.ForgetDismissed("bb"); err != nil || len(s.Scene().Record.PhotoByID("bb").Dismissed) != 0 {
		t.Error("not forgotten", err)
	}
}

// An own outline takes the class's place, marks are tied anew, and undo brings
// both back.
func TestOwnOutline(t *testing.T) {
	s, _ := open(t)
	n, err := s.AddMark(Surface{Side: outline.Front}, record.PointShape, []record.Point{{X: -120, Y: 640}})
	if err != nil {
		t.Fatal(err)
	}
	before := s.Scene().Drawing
	if err := s.SetOwn(&record.Own{Nodes: []record.Node{{}, {}, {}}}); err == nil {
		t.Error("an outline of nothing was accepted")
	}
	if err := s.SetInstrument("body length", func(i *record.Instrument) { i.BodyLength = 420 }); err != nil {
		t.Fatal(err)
	}
	if s.Scene().Drawing == before || s.Scene().Record.MarkByNumber(n).On[0].Region == "" {
		t.Error("the drawing did not follow the body's length")
	}
	if _, err := s.Undo(); err != nil || s.Scene().Drawing != before {
		t.Error("undone, it is another drawing", err)
	}
}
