package markview

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func TestKeyCursor(t *testing.T) {
	c, l := on400(1)
	c.Key(LeftKey)
	c.Key(UpKey)
	c.Key(EnterKey)
	expect(t, l, "pin point 384,284")
	c.SetTool(LineTool)
	c.Key(EnterKey)
	c.Key(RightKey)
	c.Key(EnterKey)
	c.Key(EnterKey)
	expect(t, l, "pin line 384,284 400,284")
	for range 200 {
		c.Key(RightKey)
	}
	if at, keyed := c.Cursor(); !keyed || at.X != 400 {
		t.Errorf("the key cursor is at %v", at)
	}
}

// Whatever comes in, nothing panics, every reported point lies on the photo, and
// every figure keeps as many points as make one.
func TestAnyGesture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, _ := on400(1, onPhoto(1, record.PointShape, p(100, 100)), onPhoto(2, record.AreaShape, p(300, 300), p(400, 300), p(350, 400)))
		shows(c, func(s *Sheet) {
			s.Scale = []ScaleMark{{At: p(200, 500), Index: 0}, {At: p(700, 500), Index: 1}}
			s.Ghosts = []Ghost{{ID: 1, Points: []shape.Pt{p(500, 100)}}, {ID: 2, Shape: record.LineShape, Points: []shape.Pt{p(600, 200), p(700, 300)}}}
			s.Curve = own()
			s.Projected = []Projected{{Number: 9, Points: []shape.Pt{p(650, 450)}}}
			s.Measures = measures()
		})
		watch(t, c)
		shift := false
		pic := Picture{Photo: smallPhoto}
		for range rapid.IntRange(1, 60).Draw(t, "steps") {
			at := p(rapid.Float64Range(-20, 420).Draw(t, "x"), rapid.Float64Range(-20, 320).Draw(t, "y"))
			if all := things(c); rapid.Bool().Draw(t, "aimed") {
				at = all[rapid.IntRange(0, len(all)-1).Draw(t, "at")]
			}
			switch rapid.IntRange(0, 9).Draw(t, "what") {
			case 0, 1:
				c.Press(at, Button(rapid.IntRange(0, 1).Draw(t, "button")))
			case 2, 3:
				c.Move(at)
			case 4:
				c.Release(at)
			case 5, 6:
				c.Key(Key(rapid.IntRange(0, int(lastKey)+1).Draw(t, "key")))
			case 7:
				c.SetTool(Tool(rapid.IntRange(0, int(AddBrush)).Draw(t, "tool")))
			case 8:
				shift = !shift
				c.SetShift(shift)
			case 9:
				c.Hold()
			}
		}
		c.Settle()
		pic.Paint(c, 400, 300)
	})
}

// things are the places where there is something to take hold of.
func things(c *Controller) []shape.Pt {
	out := []shape.Pt{c.room().Center()}
	for _, q := range c.Pins() {
		out = append(out, q.At)
	}
	for _, v := range c.vertices() {
		out = append(out, v.p)
	}
	if a, d, ok := c.buttons(); ok {
		out = append(out, a, d)
	}
	for _, h := range c.curveHandles(c.Sheet()) {
		out = append(out, h.At)
	}
	for _, m := range c.sheet.Scale {
		out = append(out, c.View().Apply(m.At))
	}
	for _, g := range c.sheet.Ghosts {
		out = append(out, c.View().Apply(g.Points[0]))
	}
	return append(out, c.View().ApplyAll(c.draft)...)
}

// smallPhoto is something to paint.
var smallPhoto = NewPyramid(ramp(80, 60))

// watch checks what is reported and does what a session would do with it.
func watch(t *rapid.T, c *Controller) {
	check := func(q ...shape.Pt) {
		for _, x := range q {
			if !c.sheet.bounds().Grow(1e-6).Contains(x) {
				t.Fatalf("reported %v, beside the photo", x)
			}
		}
	}
	enough := func(s record.Shape, q []shape.Pt) {
		check(q...)
		if least := map[record.Shape]int{record.PointShape: 1, record.LineShape: 2, record.AreaShape: 3}[s]; len(q) < least {
			t.Fatalf("a %s of %d points", s, len(q))
		}
	}
	c.OnPin = enough
	c.OnMove = func(n, i int, s record.Shape, q []shape.Pt) {
		enough(s, q)
		c.SetSheet(c.sheet.with(n, i, q))
	}
	c.OnSelect = func(n int) { shows(c, func(s *Sheet) { s.Selected = n }) }
	c.OnPick = func(q shape.Pt) { check(q) }
	c.OnPatch = func(r shape.Rect) { check(r.Min, r.Max) }
	c.OnMeasure = func(q []shape.Pt) { enough(record.LineShape, q) }
	c.OnScaleMove = func(i int, q shape.Pt) {
		check(q)
		shows(c, func(s *Sheet) {
			s.Scale = slices.Clone(s.Scale)
			for k := range s.Scale {
				if s.Scale[k].Index == i {
					s.Scale[k].At = q
				}
			}
		})
	}
	c.OnScaleRemove = func(i int) {
		shows(c, func(s *Sheet) {
			s.Scale = slices.DeleteFunc(slices.Clone(s.Scale), func(m ScaleMark) bool { return m.Index == i })
		})
	}
	c.OnGhost = func(id int, _ bool) {
		shows(c, func(s *Sheet) {
			s.Ghosts = slices.DeleteFunc(slices.Clone(s.Ghosts), func(g Ghost) bool { return g.ID == id })
		})
	}
	c.OnCurve = func(n []record.Node) {
		if len(n) < leastNodes {
			t.Fatalf("a curve of %d nodes", len(n))
		}
		shows(c, func(s *Sheet) { s.Curve = n })
	}
	c.OnStroke = func(q []shape.Pt, r float64, _ bool) {
		if len(q) == 0 || !(r > 0) {
			t.Fatalf("a stroke of %d points, radius %v", len(q), r)
		}
	}
}
