package markview

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// kept is on400 with a session behind it, which keeps what is reported and
// shows it, as the real one does.
func kept(scale float64, selected int, marks ...record.Mark) (*Controller, *log) {
	c, l := on400(scale, marks...)
	s := c.sheet
	s.Selected = selected
	c.SetSheet(s)
	c.OnHover = nil
	move := c.OnMove
	c.OnMove = func(n, i int, sh record.Shape, q []shape.Pt) {
		move(n, i, sh, q)
		c.SetSheet(c.sheet.with(n, i, q))
	}
	sel := c.OnSelect
	c.OnSelect = func(n int) {
		sel(n)
		s := c.sheet
		s.Selected = n
		c.SetSheet(s)
	}
	return c, l
}

func square4() record.Mark {
	return onPhoto(4, record.AreaShape, p(100, 100), p(500, 100), p(500, 500), p(100, 500))
}

func line3() record.Mark {
	return onPhoto(5, record.LineShape, p(100, 100), p(300, 100), p(300, 300))
}

func TestCorners(t *testing.T) {
	for _, scale := range []float64{1, 2} {
		t.Run(fmt.Sprint("scale ", scale), func(t *testing.T) {
			t.Run("a drag moves one corner", func(t *testing.T) {
				c, l := kept(scale, 4, square4())
				drag(c, Primary, p(250, 50), p(260, 40))
				expect(t, l, "move 4/0 area 100,100 520,80 500,500 100,500")
			})
			t.Run("a click makes a corner active and moves nothing", func(t *testing.T) {
				c, l := kept(scale, 4, square4())
				click(c, 250, 50)
				expect(t, l, "")
				if c.active.kind != cornerPoint || c.active.at != 1 {
					t.Errorf("active is %+v", c.active)
				}
			})
			t.Run("the handle on an edge adds a corner and drags it", func(t *testing.T) {
				c, l := kept(scale, 4, square4())
				drag(c, Primary, p(150, 50), p(150, 30))
				expect(t, l, "move 4/0 area 100,100 300,60 500,100 500,500 100,500")
				if c.active.at != 1 || c.active.count != 5 {
					t.Errorf("active is %+v", c.active)
				}
			})
			t.Run("a click on it adds a corner in place", func(t *testing.T) {
				c, l := kept(scale, 5, line3())
				click(c, 150, 100)
				expect(t, l, "move 5/0 line 100,100 300,100 300,200 300,300")
			})
			t.Run("the last edge of an area has one too", func(t *testing.T) {
				c, l := kept(scale, 4, square4())
				click(c, 50, 150)
				expect(t, l, "move 4/0 area 100,100 500,100 500,500 100,500 100,300")
			})
			t.Run("the end of a line has none", func(t *testing.T) {
				c, _ := kept(scale, 5, line3())
				n := 0
				for _, v := range c.vertices() {
					if v.between {
						n++
					}
				}
				if n != 2 {
					t.Errorf("%d handles between three points", n)
				}
			})
		})
	}
}

func TestDoubleClickOnAnEdge(t *testing.T) {
	t.Run("of a mark not selected: the first selects, the second adds", func(t *testing.T) {
		c, l := kept(1, 0, square4())
		click(c, 250, 90)
		expect(t, l, "select 4")
		click(c, 250, 90)
		expect(t, l, "move 4/0 area 100,100 500,100 500,180 500,500 100,500")
	})
	t.Run("two slow clicks add nothing", func(t *testing.T) {
		c, l := kept(1, 4, square4())
		now := time.Unix(1e9, 0)
		c.Now = func() time.Time { return now }
		click(c, 250, 90)
		now = now.Add(doubleClick + time.Millisecond)
		click(c, 250, 90)
		expect(t, l, "")
	})
	t.Run("nor do two quick ones apart", func(t *testing.T) {
		c, l := kept(1, 4, square4())
		click(c, 250, 90)
		click(c, 250, 105)
		expect(t, l, "")
	})
	t.Run("nor does a drag and a click", func(t *testing.T) {
		c, l := kept(1, 4, square4())
		drag(c, Primary, p(250, 90), p(260, 120))
		drag(c, Primary, p(260, 120), p(250, 90))
		click(c, 250, 90)
		expect(t, l, "")
	})
	t.Run("four clicks are two double clicks", func(t *testing.T) {
		c, l := kept(1, 4, square4())
		click(c, 250, 90)
		click(c, 250, 90)
		l.take()
		click(c, 250, 180)
		click(c, 250, 180)
		expect(t, l, "move 4/0 area 100,100 500,100 500,180 500,360 500,500 100,500")
	})
}

func TestRemovingCorners(t *testing.T) {
	for _, k := range []Key{DeleteKey, BackKey} {
		t.Run(fmt.Sprint("key ", k), func(t *testing.T) {
			c, l := kept(1, 4, square4())
			if c.Key(k) {
				t.Error("without an active corner the key meant something: the window would not delete the mark")
			}
			click(c, 250, 50)
			if !c.Key(k) {
				t.Error("the key meant nothing")
			}
			expect(t, l, "move 4/0 area 100,100 500,500 100,500")
			if !c.Key(k) {
				t.Error("the key meant nothing, and the window would delete the whole mark")
			}
			expect(t, l, "say An area keeps at least three corners.")
		})
	}
	c, l := kept(1, 5, line3())
	click(c, 150, 150)
	c.Key(DeleteKey)
	expect(t, l, "move 5/0 line 100,100 300,100")
	c.Key(DeleteKey)
	expect(t, l, "say A line keeps at least two points.")
}

// An undo that takes an added corner back leaves no corner active: the key that
// removes one must not remove a neighbour.
func TestUndoLetsGoOfTheCorner(t *testing.T) {
	c, l := kept(1, 4, square4())
	before := c.sheet
	click(c, 150, 50)
	expect(t, l, "move 4/0 area 100,100 300,100 500,100 500,500 100,500")
	c.SetSheet(before)
	if c.Key(DeleteKey) {
		t.Error("a corner is still active")
	}
	expect(t, l, "")

	c, _ = kept(1, 4, square4())
	click(c, 250, 50)
	s := c.sheet
	s.Selected = 0
	c.SetSheet(s)
	if c.Key(DeleteKey) {
		t.Error("a corner of a mark that is not selected is active")
	}
}

// What a session refuses springs back, also a corner that it did not take.
func TestRefusedCorner(t *testing.T) {
	c, _ := kept(1, 4, square4())
	same := c.sheet
	c.OnMove = func(int, int, record.Shape, []shape.Pt) { c.SetSheet(same) }
	drag(c, Primary, p(150, 50), p(150, 30))
	if got := len(c.Sheet().places()[0].pts); got != 4 {
		t.Errorf("the area shows %d corners", got)
	}
	if c.active.kind != noPoint {
		t.Errorf("active is %+v", c.active)
	}
}

func TestEscapeDropsAnAddedCorner(t *testing.T) {
	c, l := kept(1, 4, square4())
	c.Press(p(150, 50), Primary)
	c.Move(p(150, 20))
	if got := len(c.Sheet().places()[0].pts); got != 5 {
		t.Fatalf("while dragging there are %d corners", got)
	}
	c.Key(EscapeKey)
	c.Release(p(150, 20))
	expect(t, l, "")
	if got := len(c.Sheet().places()[0].pts); got != 4 {
		t.Errorf("after Escape there are %d corners", got)
	}
}

// Places are counted on the sheet shown: a mark's first place on this photo is
// its place 0, however many other photos show it.
func TestPlacesAreCountedOnTheirSheet(t *testing.T) {
	m := record.Mark{Number: 6, Photos: []record.PhotoPlace{
		{Photo: "another", Shape: record.PointShape, Points: []shape.Pt{p(1, 1)}},
		{Photo: photoID, Shape: record.PointShape, Points: []shape.Pt{p(200, 200)}},
		{Photo: photoID, Shape: record.LineShape, Points: []shape.Pt{p(400, 400), p(500, 400)}},
	}}
	c, l := on400(1, m)
	shows(c, func(s *Sheet) { s.Selected = 6 })
	c.Key(RightKey)
	expect(t, l, "move 6/0 point 201,200")
	drag(c, Primary, p(250, 200), p(250, 210))
	expect(t, l, "move 6/1 line 400,400 500,420")
}

// A traced ring of hundreds of points shows handles where there is room, the
// active one always.
func TestHandlesKeepApart(t *testing.T) {
	c, _ := kept(1, 9, onPhoto(9, record.AreaShape, circleOf(400, 300, 150, 600)...))
	hs := c.Handles()
	if len(hs) < 30 || len(hs) > 60 {
		t.Errorf("%d handles round a ring of 471 units", len(hs))
	}
	for i, h := range hs {
		for _, g := range hs[:i] {
			if shape.Dist(h, g) < cornerRoom-1e-9 {
				t.Errorf("handles %v and %v are %.1f units apart", h, g, shape.Dist(h, g))
			}
		}
	}
	c.active = point{kind: cornerPoint, number: 9, at: 301, count: 600}
	want := c.View().Apply(c.sheet.places()[0].pts[301])
	found := false
	for _, h := range c.Handles() {
		found = found || shape.Dist(h, want) < 1e-9
	}
	if !found {
		t.Error("the active corner shows no handle")
	}
}

// Adding corners never changes the drawn figure, and removing what was added
// gives it back.
func TestAddedCornersLieOnTheirEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		var ring []shape.Pt
		for i := range n {
			r := rapid.Float64Range(60, 250).Draw(t, "r")
			s, k := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			ring = append(ring, p(400+r*k, 300+r*s))
		}
		c, _ := kept(1, 1, onPhoto(1, record.AreaShape, ring...))
		area := shape.PolygonArea(ring)
		at := rapid.IntRange(0, n-1).Draw(t, "at")
		c.active = point{kind: cornerPoint, number: 1, at: at, count: n}
		if !c.Key(AddKey) {
			t.Fatal("nothing was added")
		}
		got := c.sheet.places()[0].pts
		if len(got) != n+1 || math.Abs(shape.PolygonArea(got)-area) > 1e-6 {
			t.Fatalf("%d corners, area %v, before %d and %v", len(got), shape.PolygonArea(got), n, area)
		}
		if !c.Key(DeleteKey) {
			t.Fatal("nothing was removed")
		}
		for i, q := range c.sheet.places()[0].pts {
			if q != ring[i] {
				t.Fatalf("corner %d is at %v, was at %v", i, q, ring[i])
			}
		}
	})
}

func TestKeysStepThroughPoints(t *testing.T) {
	c, l := kept(1, 4, square4())
	s := c.sheet
	s.Scale = []ScaleMark{{At: p(40, 40), Index: 7}}
	c.SetSheet(s)
	var got []int
	for range 6 {
		c.Key(NextKey)
		got = append(got, int(c.active.kind)*10+c.active.at)
	}
	if fmt.Sprint(got) != "[20 10 11 12 13 20]" {
		t.Errorf("full stop went through %v", got)
	}
	c.Key(PreviousKey)
	if c.active.kind != cornerPoint || c.active.at != 3 {
		t.Errorf("comma went to %+v", c.active)
	}
	c.Key(AddKey)
	expect(t, l, "move 4/0 area 100,100 500,100 500,500 100,500 100,300")
	empty, _ := on400(1)
	if empty.Key(NextKey) || empty.Key(AddKey) {
		t.Error("with nothing to step through the keys meant something")
	}
}
