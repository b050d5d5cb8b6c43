package markview

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func front(t interface{ Fatal(...any) }) *outline.SideDrawing {
	d, err := outline.New(outline.Params{Class: outline.Classes()[0]})
	if err != nil {
		t.Fatal(err)
	}
	return d.Side(outline.Front)
}

// The index finds what looking at every piece finds.
func TestNearestEdge(t *testing.T) {
	sd := front(t)
	e := newEdges(sd)
	lines, corners := draw.VisibleEdges(sd, edgeFlat)
	if len(lines) < 20 || len(corners) < 20 {
		t.Fatalf("only %d edges and %d corners can be seen", len(lines), len(corners))
	}
	rapid.Check(t, func(t *rapid.T) {
		q := p(rapid.Float64Range(sd.Bounds.Min.X-30, sd.Bounds.Max.X+30).Draw(t, "x"), rapid.Float64Range(sd.Bounds.Min.Y-30, sd.Bounds.Max.Y+30).Draw(t, "y"))
		r := rapid.Float64Range(0.1, 25).Draw(t, "reach")
		toEdge, toCorner := math.Inf(1), math.Inf(1)
		for _, l := range lines {
			toEdge = math.Min(toEdge, shape.DistToPolyline(q, l))
		}
		for _, k := range corners {
			toCorner = math.Min(toCorner, shape.Dist(q, k))
		}
		at, corner, ok := e.near(q, r)
		got := shape.Dist(q, at)
		switch {
		case toCorner <= r:
			if !ok || !corner || math.Abs(got-toCorner) > 1e-9 {
				t.Fatalf("corner %v away: got %v %v %v", toCorner, got, corner, ok)
			}
		case toEdge <= r:
			if !ok || corner || math.Abs(got-toEdge) > 1e-9 {
				t.Fatalf("edge %v away: got %v %v %v", toEdge, got, corner, ok)
			}
		case ok:
			t.Fatalf("snapped to %v, nothing is nearer than %v", at, math.Min(toEdge, toCorner))
		}
	})
}

// onSide is a controller over the front, one millimetre a unit.
func onSide(t *testing.T, marks ...record.Mark) (*Controller, *[]shape.Pt) {
	c := NewController()
	c.Resize(460, 1100, 1)
	sd := front(t)
	c.SetSheet(Sheet{Side: sd, Marks: marks})
	c.zoomTo(1, c.room().Center())
	var got []shape.Pt
	c.OnPin = func(_ record.Shape, q []shape.Pt) { got = q }
	c.OnMove = func(_, _ int, _ record.Shape, q []shape.Pt) { got = q }
	return c, &got
}

// edgeAt is where the silhouette crosses the height on the left.
func edgeAt(t *testing.T, c *Controller, y float64) shape.Pt {
	xs := c.sheet.Side.Silhouette.CrossingsAt(y)
	if len(xs) == 0 {
		t.Fatal("no silhouette there")
	}
	return p(xs[0], y)
}

// clickOn clicks a point of the sheet.
func clickOn(c *Controller, q shape.Pt) {
	at := c.View().Apply(q)
	c.Move(at)
	c.Press(at, Primary)
	c.Release(at)
}

// off is how far a point lies from the silhouette, mm.
func off(c *Controller, q shape.Pt) float64 {
	least := math.Inf(1)
	for _, l := range c.sheet.Side.Silhouette.FlattenOpen(0.01) {
		least = math.Min(least, shape.DistToPolyline(q, l))
	}
	return least
}

func TestSnapping(t *testing.T) {
	t.Run("a corner that is drawn snaps to the silhouette, from beside it too", func(t *testing.T) {
		for _, dx := range []float64{4, -4} {
			c, got := onSide(t)
			c.SetTool(LineTool)
			e := edgeAt(t, c, 600)
			clickOn(c, shape.Add(e, p(dx, 0)))
			clickOn(c, p(0, 600))
			c.Key(EnterKey)
			if len(*got) != 2 || off(c, (*got)[0]) > 0.1 {
				t.Errorf("dx %v: the line is %v", dx, *got)
			}
		}
	})
	t.Run("not from farther away, not with shift, not when turned off", func(t *testing.T) {
		for name, do := range map[string]func(c *Controller) float64{
			"far":   func(*Controller) float64 { return 12 },
			"shift": func(c *Controller) float64 { c.SetShift(true); return 4 },
			"off":   func(c *Controller) float64 { c.SetSnap(false); return 4 },
		} {
			c, _ := onSide(t)
			c.SetTool(LineTool)
			q := shape.Add(edgeAt(t, c, 600), p(do(c), 0))
			clickOn(c, q)
			if len(c.Draft()) != 1 || shape.Dist(c.Draft()[0], q) > 1e-6 || c.snap != nil {
				t.Errorf("%s: clicked %v, got %v", name, q, c.Draft())
			}
		}
	})
	t.Run("a dragged corner snaps, and with shift pressed on the way no more", func(t *testing.T) {
		m := record.Mark{Number: 1, On: []record.Place{{Side: "front", Shape: record.LineShape, Points: []shape.Pt{p(0, 560), p(-60, 600)}}}}
		c, got := onSide(t, m)
		s := c.sheet
		s.Selected = 1
		c.SetSheet(s)
		q := shape.Add(edgeAt(t, c, 600), p(4, 0))
		c.Press(c.View().Apply(p(-60, 600)), Primary)
		c.Move(c.View().Apply(q))
		if c.snap == nil {
			t.Fatal("no snap mark is shown")
		}
		c.SetShift(true)
		if l, _ := c.Loupe(); c.snap != nil || shape.Dist(l.Spot, q) > 1e-6 {
			t.Errorf("with shift the corner is at %v", l.Spot)
		}
		c.SetShift(false)
		c.Release(c.View().Apply(q))
		if len(*got) != 2 || off(c, (*got)[1]) > 0.1 {
			t.Errorf("the line is %v", *got)
		}
	})
	t.Run("pins and whole marks stay where they are put", func(t *testing.T) {
		c, got := onSide(t)
		q := shape.Add(edgeAt(t, c, 600), p(4, 0))
		clickOn(c, q)
		if len(*got) != 1 || shape.Dist((*got)[0], q) > 1e-6 {
			t.Errorf("pinned at %v, clicked %v", *got, q)
		}
	})
}

// On a photo the caller says where points snap to.
func TestSnapByTheCaller(t *testing.T) {
	c, l := on400(1)
	c.Snap = func(q shape.Pt, reach float64) (shape.Pt, bool) {
		to := p(200, q.Y)
		return to, math.Abs(q.X-200) <= reach
	}
	c.SetTool(LineTool)
	click(c, 104, 50) // 208,100; six units are twelve pixels
	click(c, 120, 100)
	c.Key(EnterKey)
	expect(t, l, "pin line 200,100 240,200")
}

// Edges that other regions lie over are not snapped to: the pickups hide the
// guard's edge below them, for one.
func TestHiddenEdgesDoNotSnap(t *testing.T) {
	under := shape.RoundRect(shape.Rect{Min: p(-40, 0), Max: p(40, 100)}, 0)
	over := shape.RoundRect(shape.Rect{Min: p(0, 20), Max: p(60, 60)}, 0)
	sd := &outline.SideDrawing{
		Side: outline.Front, Bounds: shape.Rect{Min: p(-50, 0), Max: p(80, 200)},
		Silhouette: shape.RoundRect(shape.Rect{Min: p(-50, 0), Max: p(80, 200)}, 0),
		Regions:    []outline.Region{{ID: "guard", Part: record.Guard, Path: under}, {ID: "pickup", Part: record.Bridge, Path: over}},
	}
	e := newEdges(sd)
	for _, k := range []struct {
		at   shape.Pt
		want bool
	}{{p(39, 10), true}, {p(39, 40), false}, {p(39, 80), true}, {p(1, 40), true}, {p(59, 40), true}} {
		if _, _, ok := e.near(k.at, 3); ok != k.want {
			t.Errorf("at %v snapping is %v", k.at, ok)
		}
	}
	if _, corner, ok := e.near(p(58, 22), 4); !ok || !corner {
		t.Error("the corner of the upper region is none")
	}
}
