package markview

import (
	"math"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// shows puts more on the sheet.
func shows(c *Controller, change func(s *Sheet)) {
	s := c.sheet
	change(&s)
	c.SetSheet(s)
}

// measures are made up: long, short, upright, doubtful, and a ring.
func measures() []Measure {
	return []Measure{
		{Points: []shape.Pt{p(200, 150), p(520, 240)}, Label: "31.4 ± 0.3 mm"},
		{Points: []shape.Pt{p(700, 180), p(716, 186)}, Label: "1.6 ± 0.2 mm"},
		{Points: []shape.Pt{p(900, 120), p(900, 420)}, Label: "29.8 ± 0.3 mm"},
		{Points: []shape.Pt{p(250, 620), p(330, 560), p(450, 600), p(540, 540)}, Label: "36 ± 3 mm", Warn: true},
		{Points: circleOf(850, 680, 90, 14), Closed: true, Label: "236 ± 9 mm²"},
	}
}

func TestMeasuring(t *testing.T) {
	t.Run("clicks and Enter", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(MeasureTool)
		c.MeasureLabel = func(q []shape.Pt) string { return pts(q) }
		click(c, 50, 50)
		c.Move(p(100, 60))
		if d := c.dimensions(c.Sheet(), c.View()); len(d) != 1 || d[0].Label != "100,100 200,120" || !d[0].Live {
			t.Errorf("while measuring it shows %+v", d)
		}
		click(c, 100, 50)
		click(c, 100, 80)
		c.Key(EnterKey)
		expect(t, l, "measure 100,100 200,100 200,160")
		if c.Draft() != nil || c.measuring() != nil {
			t.Error("something is still being measured")
		}
	})
	t.Run("one drag", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(MeasureTool)
		drag(c, Primary, p(50, 50), p(90, 120))
		expect(t, l, "measure 100,100 180,240")
	})
	t.Run("a click on the last point ends it, on the first closes it", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(MeasureTool)
		for _, q := range []shape.Pt{p(50, 50), p(90, 50), p(91, 51)} {
			click(c, q.X, q.Y)
		}
		expect(t, l, "measure 100,100 180,100")
		for _, q := range []shape.Pt{p(50, 50), p(90, 50), p(90, 90), p(51, 52)} {
			click(c, q.X, q.Y)
		}
		expect(t, l, "measure 100,100 180,100 180,180 100,100")
	})
	t.Run("pins and edges are ground", func(t *testing.T) {
		c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)), square4())
		c.OnHover = nil
		c.SetTool(MeasureTool)
		at := c.Pins()[0].At
		drag(c, Primary, at, shape.Add(at, p(20, 0)))
		if got := l.take(); !strings.HasPrefix(got, "measure ") {
			t.Errorf("reported %q", got)
		}
	})
}

// scaled shows two scale points.
func scaled() (*Controller, *log) {
	c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)))
	c.OnHover = nil
	shows(c, func(s *Sheet) {
		s.Scale = []ScaleMark{{At: p(100, 100), Index: 3, Off: p(1, 1), Residual: 1.4}, {At: p(600, 400), Index: 8}}
	})
	return c, l
}

func TestScalePoints(t *testing.T) {
	t.Run("a drag moves one, and its residual is not shown meanwhile", func(t *testing.T) {
		c, l := scaled()
		c.Press(p(51, 50), Primary)
		c.Move(p(71, 60))
		if m := c.Sheet().Scale[0]; m.At != p(140, 120) || m.Off != (shape.Pt{}) || m.Residual != 0 {
			t.Errorf("while dragging it is %+v", m)
		}
		if c.sheet.Scale[0].At != p(100, 100) {
			t.Error("the caller's sheet was written to")
		}
		c.Release(p(71, 60))
		expect(t, l, "scale 3 140,120")
	})
	t.Run("also with the pick tool, where a click on one picks nothing", func(t *testing.T) {
		c, l := scaled()
		c.SetTool(PickTool)
		click(c, 50, 50)
		expect(t, l, "")
		drag(c, Primary, p(300, 200), p(310, 200))
		click(c, 20, 20)
		expect(t, l, "scale 8 620,400; pick 40,40")
	})
}

func TestScalePointsByKeys(t *testing.T) {
	t.Run("keys: full stop, arrows, Delete", func(t *testing.T) {
		c, l := scaled()
		c.SetTool(PickTool)
		c.Key(NextKey)
		c.Key(NextKey)
		if i, ok := c.ActiveScale(); i != 8 || !ok {
			t.Errorf("active is %d %v", i, ok)
		}
		c.Key(RightKey)
		c.SetShift(true)
		c.Key(DownKey)
		c.Key(DeleteKey)
		expect(t, l, "scale 8 601,400; scale 8 600,410; unscale 8")
	})
	t.Run("it cannot leave the photo", func(t *testing.T) {
		c, l := scaled()
		drag(c, Primary, p(50, 50), p(-30, 40))
		expect(t, l, "scale 3 0,80")
	})
	t.Run("the note says that residuals are drawn longer", func(t *testing.T) {
		c, _ := scaled()
		c.Move(p(50, 50))
		if c.over != (over{overScale, 0}) {
			t.Fatalf("over %+v", c.over)
		}
		if tip := strings.Join(c.sheet.Scale[0].tip(), " "); !strings.Contains(tip, "1.4 px") || !strings.Contains(tip, "10 times") {
			t.Errorf("the note says %q", tip)
		}
	})
}

func ghostly() (*Controller, *log) {
	c, l := on400(1)
	shows(c, func(s *Sheet) {
		s.Ghosts = []Ghost{
			{ID: 5, Shape: record.PointShape, Points: []shape.Pt{p(200, 200)}, Kind: "ding"},
			{ID: 0, Shape: record.LineShape, Points: []shape.Pt{p(400, 100), p(500, 100)}, Kind: "finish check"},
			{ID: 9, Shape: record.AreaShape, Points: circleOf(600, 400, 80, 20), Kind: "wear"},
		}
	})
	drop := c.OnGhost
	c.OnGhost = func(id int, ok bool) {
		drop(id, ok)
		shows(c, func(s *Sheet) {
			var left []Ghost
			for _, g := range s.Ghosts {
				if g.ID != id {
					left = append(left, g)
				}
			}
			s.Ghosts = left
		})
	}
	return c, l
}

func TestGhostsByMouse(t *testing.T) {
	t.Run("hovering brings the buttons, which stay on the way to them", func(t *testing.T) {
		c, l := ghostly()
		if _, _, ok := c.buttons(); ok {
			t.Error("buttons are out at rest")
		}
		c.Move(p(225, 50))
		accept, dismiss, ok := c.buttons()
		if !ok {
			t.Fatal("no buttons")
		}
		for i := range 11 {
			c.Move(shape.Lerp(p(225, 50), dismiss, float64(i)/10))
		}
		click(c, dismiss.X, dismiss.Y)
		expect(t, l, "ghost 0 false")
		c.Move(p(100, 100))
		accept, _, _ = c.buttons()
		click(c, accept.X, accept.Y)
		expect(t, l, "ghost 5 true")
		c.Move(p(20, 280))
		if _, _, ok := c.buttons(); ok {
			t.Error("buttons are out with the pointer elsewhere")
		}
	})
	t.Run("a click makes one active, a click beside lets go and pins nothing", func(t *testing.T) {
		c, l := ghostly()
		click(c, 100, 100)
		if c.ghost != (ghostChoice{5, true}) {
			t.Errorf("active is %+v", c.ghost)
		}
		click(c, 20, 250)
		if c.ghost.on {
			t.Error("still active")
		}
		expect(t, l, "")
		click(c, 20, 250)
		expect(t, l, "pin point 40,500")
	})
	t.Run("inside an area is ground", func(t *testing.T) {
		c, l := ghostly()
		click(c, 300, 200)
		expect(t, l, "pin point 600,400")
	})
}

func TestGhostButtons(t *testing.T) {
	t.Run("a press that leaves the button decides nothing", func(t *testing.T) {
		c, l := ghostly()
		c.Move(p(100, 100))
		accept, _, _ := c.buttons()
		drag(c, Primary, accept, shape.Add(accept, p(0, 60)))
		expect(t, l, "")
	})
	t.Run("at the border the buttons are inside", func(t *testing.T) {
		c, _ := on400(1)
		shows(c, func(s *Sheet) {
			s.Ghosts = []Ghost{{ID: 1, Points: []shape.Pt{p(798, 2)}}, {ID: 2, Points: []shape.Pt{p(2, 598)}}}
		})
		for range 2 {
			c.Key(GhostKey)
			a, d, ok := c.buttons()
			if in := c.room().Grow(-draw.GhostButton); !ok || !in.Contains(a) || !in.Contains(d) {
				t.Errorf("buttons at %v and %v", a, d)
			}
		}
	})
}

func TestGhostsByKeys(t *testing.T) {
	c, l := ghostly()
	if !c.MoreGhosts(false) || c.MoreGhosts(true) {
		t.Error("Tab should go to the first suggestion, Shift+Tab leave")
	}
	c.Key(GhostKey)
	if id, ok := c.ActiveGhost(); id != 5 || !ok {
		t.Errorf("active is %d %v", id, ok)
	}
	c.Key(EnterKey)
	expect(t, l, "ghost 5 true")
	c.Key(DismissKey) // the next one became active
	expect(t, l, "ghost 0 false")
	if c.MoreGhosts(false) {
		t.Error("Tab should leave after the last suggestion")
	}
	c.Key(DeleteKey)
	expect(t, l, "ghost 9 false")
	if c.Key(DismissKey) || c.Key(GhostKey) {
		t.Error("keys still mean something with no suggestion left")
	}

	c, l = ghostly()
	c.Key(GhostBackKey)
	if c.ghost.id != 9 {
		t.Errorf("back went to %d", c.ghost.id)
	}
	c.Key(EscapeKey)
	if c.Key(DeleteKey) || l.take() != "" {
		t.Error("after Escape Delete still dismisses")
	}
	// One out of sight is brought into view.
	c.ZoomBy(8)
	c.Key(GhostKey)
	if at := c.View().Apply(p(200, 200)); !c.room().Contains(at) {
		t.Errorf("the active suggestion is at %v", at)
	}
}

// A caller may number the suggestions that are left anew; the next one is still
// the next.
func TestGhostsNumberedAnew(t *testing.T) {
	c, l := ghostly()
	first, second := c.sheet.Ghosts[1].Points, c.sheet.Ghosts[2].Points
	number := func(gs []Ghost) []Ghost {
		for i := range gs {
			gs[i].ID = i + 1
		}
		return gs
	}
	shows(c, func(s *Sheet) { s.Ghosts = number(slices.Clone(s.Ghosts)) })
	tell := c.OnGhost
	c.OnGhost = func(id int, ok bool) {
		tell(id, ok)
		shows(c, func(s *Sheet) { s.Ghosts = number(slices.Clone(s.Ghosts)) })
	}
	c.Key(GhostKey)
	for _, want := range [][]shape.Pt{first, second} {
		c.Key(EnterKey)
		if k, ok := c.ghostAt(c.ghost); !ok || !slices.Equal(c.sheet.Ghosts[k].Points, want) {
			t.Errorf("active is %+v of %d", c.ghost, len(c.sheet.Ghosts))
		}
	}
	expect(t, l, "ghost 1 true; ghost 1 true")
}

// Drawing tools do not trip over suggestions.
func TestGhostsWhileDrawing(t *testing.T) {
	c, l := ghostly()
	c.SetTool(LineTool)
	trail(c, p(205, 50), p(225, 50), p(240, 50))
	expect(t, l, "pin line 410,100 480,100")
}

func TestProjectedMarks(t *testing.T) {
	c, l := on400(1)
	shows(c, func(s *Sheet) {
		s.Projected = []Projected{{Number: 8, Level: 9, Shape: record.PointShape, Points: []shape.Pt{p(300, 300)}}}
	})
	at := c.Pins()[0].At
	drag(c, Primary, at, shape.Add(at, p(20, 10)))
	expect(t, l, "select 8")
	if got := c.Pins()[0].Anchor; shape.Dist(got, c.View().Apply(p(300, 300))) > 1e-9 {
		t.Errorf("the drag moved it to %v", got)
	}
	c.Move(c.Pins()[0].At)
	if c.Hovered() != 8 {
		t.Error("it does not hover")
	}
	shows(c, func(s *Sheet) { s.Selected = 8 })
	c.Move(p(10, 10))
	l.take()
	c.Key(RightKey)
	expect(t, l, "")
	if _, keyed := c.Cursor(); !keyed {
		t.Error("an arrow neither moved the cursor nor the mark, which has no place here")
	}
}

func TestPatchByKeys(t *testing.T) {
	c, l := on400(1)
	c.SetTool(PatchTool)
	c.Key(CursorKey)
	c.Key(EnterKey)
	c.Key(RightKey)
	c.Key(DownKey)
	if r, ok := c.PatchSoFar(); !ok || math.Abs(r.Dx()-cursorStep) > 1e-9 {
		t.Errorf("so far %v %v", r, ok)
	}
	c.Key(EnterKey)
	expect(t, l, "patch 400,300 416,316")
	c.Key(EnterKey)
	c.Key(EscapeKey)
	if _, ok := c.PatchSoFar(); ok {
		t.Error("Escape left a corner")
	}
}

// A patch that is being dragged stays where it is on the photo while the wheel
// zooms.
func TestPatchSurvivesAZoom(t *testing.T) {
	c, l := on400(1)
	c.SetTool(PatchTool)
	c.Press(p(50, 50), Primary)
	c.Move(p(90, 80))
	c.Wheel(p(90, 80), 50)
	to := c.View().Apply(p(180, 160))
	c.Move(to)
	c.Release(to)
	expect(t, l, "patch 100,100 180,160")
}
