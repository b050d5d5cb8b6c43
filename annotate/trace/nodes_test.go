package trace

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// blob is a smooth curve to edit.
func blob() []record.Node {
	var ring []shape.Pt
	for i := range 400 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 400)
		r := 200 + 30*math.Sin(3*2*math.Pi*float64(i)/400)
		ring = append(ring, shape.Pt{X: r * c, Y: 1.4 * r * s})
	}
	return FitCurve(ring, 0.5)
}

// apartBy is how far the flattened curve a strays from the curve b.
func apartBy(a, b []record.Node) float64 {
	most := 0.0
	for _, p := range shape.NodePath(a).Flatten(0.5)[0] {
		_, _, d := Nearest(b, p)
		most = max(most, d)
	}
	return most
}

func TestAddedNodeKeepsTheShape(t *testing.T) {
	nodes := blob()
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(nodes)-1).Draw(t, "i")
		u := rapid.Float64Range(0.02, 0.98).Draw(t, "t")
		more := AddNode(nodes, i, u)
		if len(more) != len(nodes)+1 {
			t.Fatalf("%d nodes of %d", len(more), len(nodes))
		}
		if d := max(apartBy(more, nodes), apartBy(nodes, more)); d > 1e-6 {
			t.Fatalf("the shape changed by %g", d)
		}
		if !Smooth(more[i+1]) {
			t.Fatal("the added node is a corner")
		}
		// Taking it out again brings the curve back.
		if d := apartBy(RemoveNode(more, i+1), nodes); d > 0.05 {
			t.Fatalf("after adding and removing the shape is off by %g", d)
		}
	})
}

func TestMovedNodeTakesItsHandlesAlong(t *testing.T) {
	nodes := blob()
	before := slices.Clone(nodes)
	to := shape.Add(nodes[2].At, shape.Pt{X: 7, Y: -3})
	moved := MoveNode(nodes, 2, to)
	if !slices.Equal(nodes, before) {
		t.Error("the given nodes were changed")
	}
	if moved[2].At != to || shape.Dist(shape.Sub(moved[2].Out, moved[2].At), shape.Sub(nodes[2].Out, nodes[2].At)) > 1e-9 {
		t.Errorf("node %v became %v", nodes[2], moved[2])
	}
	moved[2] = nodes[2]
	if !slices.Equal(moved, nodes) {
		t.Error("other nodes moved too")
	}
}

func TestMovedHandleKeepsTheNodeSmooth(t *testing.T) {
	nodes := blob()
	to := shape.Add(nodes[1].At, shape.Pt{X: 20, Y: 35})
	moved := MoveHandle(nodes, 1, true, to, Smooth(nodes[1]))
	if moved[1].Out != to || !Smooth(moved[1]) {
		t.Errorf("node %v became %v", nodes[1], moved[1])
	}
	if a, b := shape.Dist(moved[1].In, moved[1].At), shape.Dist(nodes[1].In, nodes[1].At); math.Abs(a-b) > 1e-9 {
		t.Errorf("the other handle's length went from %g to %g", b, a)
	}
	corner := slices.Clone(nodes)
	corner[1].In = shape.Add(corner[1].At, shape.Pt{X: 5, Y: 5})
	corner[1].Out = shape.Add(corner[1].At, shape.Pt{X: 5, Y: -5})
	if moved := MoveHandle(corner, 1, false, to, Smooth(corner[1])); moved[1].Out != corner[1].Out || moved[1].In != to {
		t.Errorf("corner %v became %v", corner[1], moved[1])
	}
}

func TestRemoveNodeKeepsThree(t *testing.T) {
	nodes := blob()
	for len(nodes) > 3 {
		nodes = RemoveNode(nodes, len(nodes)/2)
	}
	if n := len(RemoveNode(nodes, 0)); n != 3 {
		t.Errorf("%d nodes are left", n)
	}
	for _, i := range []int{-1, 3} {
		if !slices.Equal(MoveNode(nodes, i, shape.Pt{}), nodes) || !slices.Equal(AddNode(nodes, i, 0.5), nodes) || !slices.Equal(RemoveNode(nodes, i), nodes) {
			t.Errorf("node %d, which there is not, changes the curve", i)
		}
	}
}
