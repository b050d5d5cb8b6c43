package markview

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

const photoID = "p1"

func onPhoto(n int, s record.Shape, pts ...shape.Pt) record.Mark {
	return record.Mark{Number: n, Kind: "ding", Photos: []record.PhotoPlace{{Photo: photoID, Shape: s, Points: pts}}}
}

func p(x, y float64) shape.Pt { return shape.Pt{X: x, Y: y} }

// circleOf is a ring of n points.
func circleOf(x, y, r float64, n int) []shape.Pt {
	var out []shape.Pt
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, p(x+r*c, y+r*s))
	}
	return out
}

// log is what a controller reported.
type log struct{ lines []string }

func (l *log) take() string {
	s := strings.Join(l.lines, "; ")
	l.lines = nil
	return s
}

func pts(ps []shape.Pt) string {
	var out []string
	for _, q := range ps {
		out = append(out, fmt.Sprintf("%.0f,%.0f", q.X, q.Y))
	}
	return strings.Join(out, " ")
}

// on400 shows a photo of 800x600 in a canvas of 400x300 units, so that two
// photo pixels make a unit.
func on400(scale float64, marks ...record.Mark) (*Controller, *log) {
	l := &log{}
	say := func(f string, a ...any) { l.lines = append(l.lines, fmt.Sprintf(f, a...)) }
	c := NewController()
	c.OnPin = func(s record.Shape, q []shape.Pt) { say("pin %s %s", s, pts(q)) }
	c.OnSelect = func(n int) { say("select %d", n) }
	c.OnMove = func(n, i int, s record.Shape, q []shape.Pt) { say("move %d/%d %s %s", n, i, s, pts(q)) }
	c.OnHover = func(n int) { say("hover %d", n) }
	c.OnPick = func(q shape.Pt) { say("pick %s", pts([]shape.Pt{q})) }
	c.OnPatch = func(r shape.Rect) { say("patch %s", pts([]shape.Pt{r.Min, r.Max})) }
	c.OnMeasure = func(q []shape.Pt) { say("measure %s", pts(q)) }
	c.OnScaleMove = func(i int, q shape.Pt) { say("scale %d %s", i, pts([]shape.Pt{q})) }
	c.OnScaleRemove = func(i int) { say("unscale %d", i) }
	c.OnGhost = func(id int, ok bool) { say("ghost %d %t", id, ok) }
	c.OnStroke = func(q []shape.Pt, r float64, add bool) { say("stroke %s radius %.0f %t", pts(q), r, add) }
	c.OnCurve = func(n []record.Node) { say("curve %d", len(n)) }
	c.OnSay = func(s string) { say("say %s", s) }
	// A clock that stands still: two clicks on one spot are a double click.
	c.Now = func() time.Time { return time.Unix(1e9, 0) }
	c.Resize(int(400*scale), int(300*scale), scale)
	c.SetSheet(Sheet{Photo: photoID, Width: 800, Height: 600, Marks: marks})
	return c, l
}

// click, drag and move take units and work at any scale.
func click(c *Controller, x, y float64) {
	at := p(x*c.scale, y*c.scale)
	c.Move(at)
	c.Press(at, Primary)
	c.Release(at)
}

func drag(c *Controller, b Button, from, to shape.Pt) {
	k := c.scale
	c.Press(shape.Mul(from, k), b)
	for i := 1; i <= 4; i++ {
		c.Move(shape.Mul(shape.Lerp(from, to, float64(i)/4), k))
	}
	c.Release(shape.Mul(to, k))
}

func expect(t *testing.T, l *log, want string) {
	t.Helper()
	if got := l.take(); got != want {
		t.Errorf("reported %q, want %q", got, want)
	}
}

func TestClicks(t *testing.T) {
	for _, scale := range []float64{1, 2} {
		t.Run(fmt.Sprint("scale ", scale), func(t *testing.T) {
			t.Run("a click on ground wants a pin", func(t *testing.T) {
				c, l := on400(scale)
				click(c, 100, 50)
				expect(t, l, "pin point 200,100")
			})
			t.Run("a click on a pin selects its mark and makes none", func(t *testing.T) {
				c, l := on400(scale, onPhoto(7, record.PointShape, p(200, 200)))
				at := c.Pins()[0].At
				if shape.Dist(at, p(100*scale, 100*scale)) < PinRadius*scale {
					t.Fatalf("the pin at %v covers the flaw", at)
				}
				click(c, at.X/scale, at.Y/scale)
				expect(t, l, "hover 7; select 7")
			})
			t.Run("a click inside an area is ground, on its edge selects", func(t *testing.T) {
				c, l := on400(scale, onPhoto(3, record.AreaShape, p(100, 100), p(500, 100), p(500, 500), p(100, 500)))
				click(c, 80, 80)
				expect(t, l, "pin point 160,160")
				click(c, 50, 100)
				expect(t, l, "hover 3; select 3")
			})
			t.Run("a click beside the photo deselects", func(t *testing.T) {
				c, l := on400(scale, onPhoto(3, record.PointShape, p(100, 100)))
				s := c.sheet
				s.Selected = 3
				c.SetSheet(s)
				c.Pan(150*scale, 0)
				click(c, 20, 150)
				expect(t, l, "select 0")
			})
			t.Run("a pick tool only reports points", func(t *testing.T) {
				c, l := on400(scale, onPhoto(3, record.PointShape, p(200, 200)))
				c.SetTool(PickTool)
				click(c, 100, 100)
				click(c, 110, 100)
				expect(t, l, "pick 200,200; pick 220,200")
			})
			t.Run("a patch tool reports a rectangle, cut to the photo", func(t *testing.T) {
				c, l := on400(scale)
				c.SetTool(PatchTool)
				drag(c, Primary, p(380, 20), p(420, 60))
				expect(t, l, "patch 760,40 800,120")
			})
		})
	}
}

func TestDrawing(t *testing.T) {
	t.Run("an area closes on its first point", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(AreaTool)
		click(c, 50, 50)
		click(c, 150, 50)
		click(c, 150, 150)
		if len(c.Draft()) != 3 {
			t.Fatalf("the draft has %d points", len(c.Draft()))
		}
		click(c, 52, 49)
		expect(t, l, "pin area 100,100 300,100 300,300")
		if c.Draft() != nil {
			t.Error("the draft is still there")
		}
	})
	t.Run("Enter ends a line, Backspace takes back, Escape drops", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(LineTool)
		click(c, 50, 50)
		if c.Key(EnterKey) {
			t.Error("Enter ended a line of one point")
		}
		click(c, 100, 50)
		click(c, 180, 50)
		c.Key(BackKey)
		click(c, 150, 60)
		c.Key(EnterKey)
		expect(t, l, "pin line 100,100 200,100 300,120")
		click(c, 10, 10)
		c.Key(EscapeKey)
		if c.Draft() != nil || l.take() != "" {
			t.Error("Escape left a draft or reported something")
		}
	})
}

func TestDrawingByClicks(t *testing.T) {
	t.Run("two quick clicks on one spot end a line", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(LineTool)
		click(c, 50, 50)
		click(c, 50, 50)
		click(c, 100, 50)
		click(c, 101, 50)
		expect(t, l, "pin line 100,100 200,100")
	})
	t.Run("a drag while drawing pans and adds nothing", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(LineTool)
		click(c, 50, 50)
		before := c.View()
		drag(c, Primary, p(200, 200), p(240, 200))
		if len(c.Draft()) != 1 || c.View() == before {
			t.Errorf("%d points, view %v", len(c.Draft()), c.View())
		}
		expect(t, l, "")
	})
	t.Run("another tool drops the draft", func(t *testing.T) {
		c, _ := on400(1)
		c.SetTool(AreaTool)
		click(c, 50, 50)
		c.SetTool(PinTool)
		if c.Draft() != nil {
			t.Error("the draft is still there")
		}
	})
}

func TestDragging(t *testing.T) {
	line := onPhoto(4, record.LineShape, p(100, 500), p(300, 500))
	t.Run("dragging a pin moves its mark by what the pointer moved", func(t *testing.T) {
		c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)))
		at := c.Pins()[0].At
		drag(c, Primary, at, shape.Add(at, p(30, 20)))
		expect(t, l, "select 7; move 7/0 point 260,240")
	})
	t.Run("a wandering hand still clicks", func(t *testing.T) {
		c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)))
		at := c.Pins()[0].At
		drag(c, Primary, at, shape.Add(at, p(2, 2)))
		expect(t, l, "select 7")
	})
	t.Run("Escape puts the mark back", func(t *testing.T) {
		c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)))
		at := c.Pins()[0].At
		c.Press(at, Primary)
		c.Move(shape.Add(at, p(50, 0)))
		if got := c.Sheet().places()[0].pts[0]; shape.Dist(got, p(300, 200)) > 1e-9 {
			t.Errorf("while dragging the mark is at %v", got)
		}
		c.Key(EscapeKey)
		c.Release(shape.Add(at, p(50, 0)))
		expect(t, l, "select 7")
		if got := c.Sheet().places()[0].pts[0]; got != p(200, 200) {
			t.Errorf("after Escape the mark is at %v", got)
		}
	})
	t.Run("a mark cannot leave the photo and keeps its form", func(t *testing.T) {
		c, l := on400(1, line)
		at := c.Pins()[0].At
		drag(c, Primary, at, shape.Add(at, p(-300, 0)))
		expect(t, l, "select 4; move 4/0 line 0,500 200,500")
	})
	t.Run("a handle of the selected figure moves alone", func(t *testing.T) {
		c, l := on400(1, line)
		s := c.sheet
		s.Selected = 4
		c.SetSheet(s)
		if len(c.Handles()) != 2 {
			t.Fatalf("%d handles", len(c.Handles()))
		}
		drag(c, Primary, p(150, 250), p(150, 230))
		expect(t, l, "move 4/0 line 100,500 300,460")
	})
	t.Run("brushing the edge of a figure selects it and pans", func(t *testing.T) {
		c, l := on400(1, line)
		before := c.View()
		drag(c, Primary, p(60, 250), p(60, 200))
		expect(t, l, "select 4")
		if c.View() == before {
			t.Error("the view did not move")
		}
	})
}

func TestZooming(t *testing.T) {
	t.Run("the point under the cursor stays", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			c, _ := on400(rapid.SampledFrom([]float64{1, 1.5, 2}).Draw(t, "scale"))
			for range rapid.IntRange(1, 12).Draw(t, "steps") {
				at := p(rapid.Float64Range(0.3, 0.7).Draw(t, "x")*c.w, rapid.Float64Range(0.3, 0.7).Draw(t, "y")*c.h)
				under := c.toSheet(at)
				c.Wheel(at, rapid.Float64Range(0, 75).Draw(t, "notches"))
				// At one to one the photo is put on whole pixels.
				if d := shape.Dist(c.View().Apply(under), at); d > 0.75 {
					t.Fatalf("the point moved by %.2f pixels", d)
				}
			}
		})
	})
	t.Run("the view never loses the sheet, whatever is done", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			c, _ := on400(1)
			for range rapid.IntRange(1, 20).Draw(t, "steps") {
				switch rapid.IntRange(0, 3).Draw(t, "what") {
				case 0:
					c.Wheel(p(rapid.Float64Range(0, 400).Draw(t, "x"), 100), rapid.Float64Range(-200, 200).Draw(t, "notches"))
				case 1:
					c.Pan(rapid.Float64Range(-5000, 5000).Draw(t, "dx"), rapid.Float64Range(-5000, 5000).Draw(t, "dy"))
				case 2:
					c.OneToOne()
				case 3:
					c.Resize(rapid.IntRange(1, 3000).Draw(t, "w"), rapid.IntRange(1, 2000).Draw(t, "h"), 1)
				}
				mid := c.toSheet(c.room().Center())
				if !c.sheet.bounds().Grow(1 / c.Zoom()).Contains(mid) {
					t.Fatalf("the middle shows %v, beside the photo", mid)
				}
				if c.Zoom() <= 0 || math.IsNaN(c.Zoom()) || c.Zoom() > mostPhoto {
					t.Fatalf("zoom %v", c.Zoom())
				}
			}
		})
	})
}

func TestZoomStops(t *testing.T) {
	t.Run("space fits and stays fitted, 1 is pixel for pixel", func(t *testing.T) {
		c, _ := on400(1)
		c.Key(OneKey)
		if v := c.View(); v[0] != 1 || v[2] != math.Round(v[2]) || v[5] != math.Round(v[5]) {
			t.Errorf("one to one is %v", v)
		}
		c.Key(FitKey)
		c.Resize(800, 300, 1)
		if v := c.View(); v != (shape.Affine{0.5, 0, 200, 0, 0.5, 0}) {
			t.Errorf("fitted view is %v", v)
		}
	})
	t.Run("the wheel stops at one to one", func(t *testing.T) {
		c, _ := on400(1)
		for range 20 {
			if c.Wheel(p(200, 150), 25); c.Zoom() == 1 {
				return
			}
		}
		t.Error("twenty notches never showed the photo pixel for pixel")
	})
	t.Run("the same photo keeps its zoom, another is fitted", func(t *testing.T) {
		c, _ := on400(1)
		c.ZoomBy(3)
		v := c.View()
		s := c.sheet
		s.Marks = []record.Mark{onPhoto(1, record.PointShape, p(1, 1))}
		c.SetSheet(s)
		if c.View() != v {
			t.Error("new marks changed the zoom")
		}
		s.Photo = "p2"
		c.SetSheet(s)
		if c.View() == v {
			t.Error("another photo kept the zoom")
		}
	})
}
