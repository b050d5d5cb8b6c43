package markview

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// own is a made-up body in nodes, all of them smooth.
func own() []record.Node {
	var out []record.Node
	for _, n := range [][3]float64{{0, 1, 0.5}, {60, 0.8, 0.4}, {120, 1.05, 0.5}, {180, 0.9, 0.5}, {240, 1, 0.5}, {300, 0.75, 0.4}} {
		s, c := math.Sincos(n[0] * math.Pi / 180)
		at := p(400+220*n[1]*c, 300+220*n[1]*s)
		d := p(-s*154*n[2], c*154*n[2])
		out = append(out, record.Node{At: at, In: shape.Sub(at, d), Out: shape.Add(at, d)})
	}
	return out
}

func curved(t interface{ Fatalf(string, ...any) }, nodes []record.Node) (*Controller, *[]record.Node) {
	c, _ := on400(1)
	c.SetTool(HandTool)
	shows(c, func(s *Sheet) { s.Curve = nodes })
	var got []record.Node
	c.OnCurve = func(n []record.Node) {
		got = n
		shows(c, func(s *Sheet) { s.Curve = n })
	}
	return c, &got
}

func TestNodes(t *testing.T) {
	start := own()
	t.Run("a drag moves a node with its arms", func(t *testing.T) {
		c, got := curved(t, start)
		at := c.View().Apply(start[0].At)
		drag(c, Primary, at, shape.Add(at, p(10, 5)))
		n := (*got)[0]
		for _, k := range [][2]shape.Pt{{n.At, start[0].At}, {n.In, start[0].In}, {n.Out, start[0].Out}} {
			if shape.Dist(shape.Sub(k[0], k[1]), p(20, 10)) > 1e-9 {
				t.Errorf("%v became %v", k[1], k[0])
			}
		}
		if c.sheet.Curve[1] != start[1] {
			t.Error("another node moved")
		}
	})
	t.Run("arms are there for the active node only; the other arm turns along", func(t *testing.T) {
		c, got := curved(t, start)
		arm := c.View().Apply(start[0].Out)
		drag(c, Primary, arm, shape.Add(arm, p(20, 0)))
		if *got != nil {
			t.Fatal("an arm of a node that is not active was dragged")
		}
		c, got = curved(t, start)
		click(c, c.View().Apply(start[0].At).X, c.View().Apply(start[0].At).Y)
		drag(c, Primary, arm, shape.Add(arm, p(20, 0)))
		n := (*got)[0]
		if !smooth(n) || n.At != start[0].At || math.Abs(shape.Dist(n.At, n.In)-shape.Dist(start[0].At, start[0].In)) > 1e-9 {
			t.Errorf("the node became %+v", n)
		}
	})
}

func TestNodesByKeys(t *testing.T) {
	start := own()
	t.Run("with shift the arms part", func(t *testing.T) {
		c, got := curved(t, start)
		c.Key(NextKey)
		c.SetShift(true)
		arm := c.View().Apply(start[0].Out)
		drag(c, Primary, arm, shape.Add(arm, p(20, 0)))
		if n := (*got)[0]; n.In != start[0].In || smooth(n) {
			t.Errorf("the node became %+v", n)
		}
	})
	t.Run("a double click on the curve adds a node and leaves the curve", func(t *testing.T) {
		c, got := curved(t, start)
		on := c.View().Apply(piece(start, 2).At(0.3))
		click(c, on.X, on.Y)
		if *got != nil {
			t.Fatal("one click added a node")
		}
		click(c, on.X, on.Y)
		if len(*got) != 7 || c.active.at != 3 {
			t.Fatalf("%d nodes, active %+v", len(*got), c.active)
		}
	})
	t.Run("keys nudge, add and remove", func(t *testing.T) {
		c, got := curved(t, start)
		c.Key(NextKey)
		c.Key(RightKey)
		if n := (*got)[0]; shape.Dist(n.At, shape.Add(start[0].At, p(1, 0))) > 1e-9 {
			t.Errorf("nudged to %v", n.At)
		}
		c.Key(AddKey)
		if len(c.sheet.Curve) != 7 || c.active.at != 1 {
			t.Fatalf("%d nodes, active %+v", len(c.sheet.Curve), c.active)
		}
		for range 10 {
			c.Key(DeleteKey)
		}
		if len(c.sheet.Curve) != leastNodes {
			t.Errorf("%d nodes are left", len(c.sheet.Curve))
		}
	})
}

// A node that is added and removed again leaves the curve as it was, and adding
// one does not change its form.
func TestSplitAndJoin(t *testing.T) {
	start := own()
	rapid.Check(t, func(t *rapid.T) {
		c, _ := curved(t, start)
		k := rapid.IntRange(0, len(start)-1).Draw(t, "behind")
		at := rapid.Float64Range(0.12, 0.88).Draw(t, "t")
		c.split(k, at).drop(c, p(0, 0), false)
		now := c.sheet.Curve
		for i := range 21 {
			u := float64(i) / 20
			whole := piece(start, k).At(u)
			half, v := piece(now, k), u/at
			if u > at {
				half, v = piece(now, k+1), (u-at)/(1-at)
			}
			if d := shape.Dist(whole, half.At(v)); d > 1e-9 {
				t.Fatalf("at %v the curve moved by %v", u, d)
			}
		}
		if !c.Key(DeleteKey) {
			t.Fatal("the node is not active")
		}
		for i, n := range c.sheet.Curve {
			for _, q := range [][2]shape.Pt{{n.At, start[i].At}, {n.In, start[i].In}, {n.Out, start[i].Out}} {
				if shape.Dist(q[0], q[1]) > 1e-6 {
					t.Fatalf("node %d: %v became %v", i, q[1], q[0])
				}
			}
		}
	})
}

// The place on the curve nearest to the pointer is that of a fine flattening.
func TestNearestOnTheCurve(t *testing.T) {
	nodes := own()
	rings := shape.NodePath(nodes).FlattenOpen(0.001)
	rapid.Check(t, func(t *rapid.T) {
		c, _ := curved(t, nodes)
		at := p(rapid.Float64Range(0, 400).Draw(t, "x"), rapid.Float64Range(0, 300).Draw(t, "y"))
		want := shape.DistToPolyline(c.toSheet(at), rings[0]) * c.Zoom()
		k, u, d := c.onCurve(at)
		if math.Abs(d-want) > 0.02 {
			t.Fatalf("%v units away, the flattened curve is %v", d, want)
		}
		if q := c.View().Apply(piece(nodes, k).At(u)); math.Abs(shape.Dist(q, at)-d) > 1e-9 {
			t.Fatalf("the place given is %v away, not %v", shape.Dist(q, at), d)
		}
	})
}

func TestBrushes(t *testing.T) {
	for tool, add := range map[Tool]string{EraseBrush: "false", AddBrush: "true"} {
		c, l := on400(1, onPhoto(7, record.PointShape, p(200, 200)))
		c.SetTool(tool)
		if c.Brush() != 15 {
			t.Fatalf("the usual brush on 800x600 is %v", c.Brush())
		}
		drag(c, Primary, p(50, 50), p(150, 50))
		expect(t, l, "stroke 100,100 300,100 radius 15 "+add)
		click(c, 100, 100) // on a pin as anywhere
		expect(t, l, "stroke 200,200 radius 15 "+add)
		c.Key(LargerKey)
		if c.Brush() != 15*brushStep {
			t.Errorf("a larger brush is %v", c.Brush())
		}
		for range 60 {
			c.Key(SmallerKey)
		}
		if c.Brush() != 0.6 {
			t.Errorf("the smallest brush is %v", c.Brush())
		}
		for range 60 {
			c.Key(LargerKey)
		}
		if c.Brush() != 150 {
			t.Errorf("the largest brush is %v", c.Brush())
		}
		c.SetBrush(20)
		c.Key(CursorKey)
		c.Key(RightKey)
		c.Key(EnterKey)
		if got := l.take(); got != "stroke 216,200 radius 20 "+add && got != "stroke 416,300 radius 20 "+add {
			t.Errorf("Enter at the key cursor: %q", got)
		}
	}
}

// piece is the curve from a node to the next.
func piece(s []record.Node, k int) shape.Curve { return shape.NodeCurves(s)[k] }
