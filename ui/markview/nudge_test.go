package markview

import (
	"math"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func TestNudging(t *testing.T) {
	t.Run("a corner by a photo's pixel, with shift by ten", func(t *testing.T) {
		c, l := kept(1, 4, square4())
		click(c, 250, 50)
		c.Key(RightKey)
		c.SetShift(true)
		c.Key(UpKey)
		c.SetShift(false)
		expect(t, l, "move 4/0 area 100,100 501,100 500,500 100,500; move 4/0 area 100,100 501,90 500,500 100,500")
	})
	t.Run("the whole mark when no corner is active", func(t *testing.T) {
		c, l := kept(1, 7, onPhoto(7, record.PointShape, p(200, 200)))
		c.Key(LeftKey)
		c.Key(DownKey)
		expect(t, l, "move 7/0 point 199,200; move 7/0 point 199,201")
	})
	t.Run("not beyond the photo", func(t *testing.T) {
		c, l := kept(1, 7, onPhoto(7, record.PointShape, p(0.5, 200)))
		c.Key(LeftKey)
		c.Key(LeftKey)
		expect(t, l, "move 7/0 point 0,200; move 7/0 point 0,200")
	})
	t.Run("a held key is one change", func(t *testing.T) {
		c, l := kept(1, 7, onPhoto(7, record.PointShape, p(200, 200)))
		c.Hold()
		for range 20 {
			c.Key(RightKey)
		}
		expect(t, l, "")
		if got := c.Sheet().places()[0].pts[0]; got != p(220, 200) {
			t.Errorf("while the key is held the mark shows at %v", got)
		}
		if pin := c.Pins()[0]; shape.Dist(pin.Anchor, c.View().Apply(p(220, 200))) > 1e-9 {
			t.Errorf("its pin points at %v", pin.Anchor)
		}
		c.Settle()
		expect(t, l, "move 7/0 point 220,200")
		c.Settle()
		expect(t, l, "")
	})
}

func TestHeldNudges(t *testing.T) {
	t.Run("Escape puts a held one back", func(t *testing.T) {
		c, l := kept(1, 7, onPhoto(7, record.PointShape, p(200, 200)))
		c.Hold()
		c.Key(RightKey)
		c.Key(EscapeKey)
		c.Settle()
		expect(t, l, "")
		if got := c.Sheet().places()[0].pts[0]; got != p(200, 200) {
			t.Errorf("the mark shows at %v", got)
		}
	})
	t.Run("a press, another key or another photo reports a held one first", func(t *testing.T) {
		for name, do := range map[string]func(c *Controller){
			"press": func(c *Controller) { c.Press(p(10, 290), Other) },
			"key":   func(c *Controller) { c.Key(LoupeKey) },
			"photo": func(c *Controller) { s := c.sheet; s.Photo = "p2"; c.SetSheet(s) },
		} {
			c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)))
			s := c.sheet
			s.Selected = 7
			c.SetSheet(s)
			c.Hold()
			c.Key(RightKey)
			do(c)
			if got := l.take(); got != "move 7/0 point 201,200" {
				t.Errorf("%s: reported %q", name, got)
			}
		}
	})
}

// On an outline a press of a key is 0.2 mm.
func TestNudgingOnAnOutline(t *testing.T) {
	d, err := outline.New(outline.Params{Class: outline.Classes()[0]})
	if err != nil {
		t.Fatal(err)
	}
	c := NewController()
	c.Resize(400, 700, 1)
	m := record.Mark{Number: 3, On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []shape.Pt{p(-60, 600)}}}}
	var got shape.Pt
	c.OnMove = func(_, _ int, _ record.Shape, q []shape.Pt) { got = q[0] }
	c.SetSheet(Sheet{Side: d.Side(outline.Front), Marks: []record.Mark{m}, Selected: 3})
	c.Key(RightKey)
	if math.Abs(got.X+59.8) > 1e-9 || got.Y != 600 {
		t.Errorf("nudged to %v", got)
	}
	c.SetShift(true)
	c.Key(UpKey)
	if math.Abs(got.Y-598) > 1e-9 {
		t.Errorf("with shift nudged to %v", got)
	}
}

// Who is pinning by keys moves the key cursor, not the mark just made.
func TestArrowsMoveTheKeyCursorWhileItIsOut(t *testing.T) {
	c, l := kept(1, 0, onPhoto(7, record.PointShape, p(200, 200)))
	c.Key(LeftKey)
	s := c.sheet
	s.Selected = 7
	c.SetSheet(s)
	at, _ := c.Cursor()
	c.Key(LeftKey)
	if now, keyed := c.Cursor(); !keyed || now.X != at.X-cursorStep {
		t.Errorf("the key cursor went from %v to %v", at, now)
	}
	expect(t, l, "")
	c.Key(EscapeKey) // puts it away
	c.Key(LeftKey)
	expect(t, l, "move 7/0 point 199,200")
	c.Key(CursorKey) // brings it out
	c.Key(LeftKey)
	expect(t, l, "")
	c.SetTool(LineTool)
	c.Key(CursorKey)
	c.Key(LeftKey)
	expect(t, l, "")
	if _, keyed := c.Cursor(); !keyed {
		t.Error("with a drawing tool an arrow did not bring the key cursor out")
	}
}

// A nudged point that is out of sight is brought into view.
func TestNudgeReveals(t *testing.T) {
	c, _ := kept(1, 7, onPhoto(7, record.PointShape, p(780, 580)))
	c.ZoomBy(6)
	c.Key(LeftKey)
	if at := c.View().Apply(c.sheet.places()[0].pts[0]); !c.room().Contains(at) {
		t.Errorf("the mark is at %v, out of the canvas", at)
	}
}
