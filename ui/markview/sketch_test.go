package markview

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// trail drags through the points, in units.
func trail(c *Controller, pts ...shape.Pt) {
	k := c.scale
	c.Press(shape.Mul(pts[0], k), Primary)
	for _, q := range pts[1:] {
		c.Move(shape.Mul(q, k))
	}
	c.Release(shape.Mul(pts[len(pts)-1], k))
}

func TestFreehand(t *testing.T) {
	t.Run("a straight drag with the line is two points", func(t *testing.T) {
		c, l := on400(2)
		c.SetTool(LineTool)
		var q []shape.Pt
		for i := range 60 {
			q = append(q, p(50+float64(i)*2, 100))
		}
		trail(c, q...)
		expect(t, l, "pin line 100,200 336,200")
	})
	t.Run("a ring is an area that follows it", func(t *testing.T) {
		c, _ := on400(1)
		c.SetTool(AreaTool)
		var got []shape.Pt
		c.OnPin = func(s record.Shape, q []shape.Pt) {
			if s == record.AreaShape {
				got = q
			}
		}
		trail(c, circleOf(200, 150, 80, 160)...)
		if len(got) < 12 || len(got) > 60 {
			t.Fatalf("%d corners", len(got))
		}
		want := math.Pi * 160 * 160 // photo pixels
		if a := shape.PolygonArea(got); math.Abs(a-want) > 0.03*want {
			t.Errorf("area %.0f, the circle has %.0f", a, want)
		}
		for i, q := range got {
			next := got[(i+1)%len(got)]
			for _, u := range []shape.Pt{q, shape.Lerp(q, next, 0.5)} {
				if d := math.Abs(shape.Dist(u, p(400, 300)) - 160); d > 2*(sketchThin+0.2) && i < len(got)-1 {
					t.Errorf("%v is %.1f pixels off the circle", u, d)
				}
			}
		}
	})
	t.Run("a drag that comes to no area says so", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(AreaTool)
		trail(c, p(100, 100), p(110, 100), p(120, 100), p(110, 100))
		if got := l.take(); !strings.HasPrefix(got, "say That is too small") {
			t.Errorf("reported %q", got)
		}
	})
}

func TestFreehandAtBorders(t *testing.T) {
	t.Run("it stays on the photo", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(LineTool)
		trail(c, p(350, 100), p(380, 100), p(420, 100), p(440, 100))
		expect(t, l, "pin line 700,200 800,200")
	})
	t.Run("one that starts beside the photo pans", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(LineTool)
		c.Pan(100, 0)
		before := c.View()
		trail(c, p(20, 100), p(60, 100), p(80, 100))
		if c.View() == before {
			t.Error("the view did not move")
		}
		expect(t, l, "")
	})
	t.Run("Escape drops it", func(t *testing.T) {
		c, l := on400(1)
		c.SetTool(LineTool)
		c.Press(p(50, 50), Primary)
		c.Move(p(90, 50))
		c.Key(EscapeKey)
		c.Release(p(120, 50))
		expect(t, l, "")
	})
	t.Run("it starts beside another mark's edge as anywhere", func(t *testing.T) {
		c, l := on400(1, square4())
		c.SetTool(LineTool)
		trail(c, p(250, 90), p(280, 90), p(320, 90))
		expect(t, l, "pin line 500,180 640,180")
	})
}

// The thinned line keeps its ends, is made of the line's own points and strays
// no farther than the tolerance.
func TestThin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "points")
		line := make([]shape.Pt, n)
		at := p(0, 0)
		for i := range line {
			at = shape.Add(at, p(rapid.Float64Range(-3, 6).Draw(t, "dx"), rapid.Float64Range(-4, 4).Draw(t, "dy")))
			line[i] = at
		}
		tol := rapid.Float64Range(0.1, 8).Draw(t, "tolerance")
		got := shape.Thin(line, tol)
		if got[0] != line[0] || got[len(got)-1] != line[n-1] {
			t.Fatal("an end moved")
		}
		k := 0
		for _, q := range line {
			if k < len(got) && got[k] == q {
				k++
			}
			if d := shape.DistToPolyline(q, got); d > tol+1e-9 {
				t.Fatalf("a point is %v off the thinned line", d)
			}
		}
		if k != len(got) {
			t.Fatal("the thinned line has points of its own")
		}
	})
}
