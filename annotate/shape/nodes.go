package shape

import "wornwood/capture/record"

// NodeCurves are the pieces of the closed curve through the nodes, each from a
// node to the next.
func NodeCurves(nodes []record.Node) []Curve {
	out := make([]Curve, len(nodes))
	for i, n := range nodes {
		m := nodes[(i+1)%len(nodes)]
		out[i] = Curve{P: [4]Pt{n.At, n.Out, m.In, m.At}}
	}
	return out
}

// NodePath is the closed curve through the nodes, to draw and to measure.
func NodePath(nodes []record.Node) Path { return FromCurves(NodeCurves(nodes), true) }
