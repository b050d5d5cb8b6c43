package markview

import (
	"fmt"
	"math"
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
	"wornwood/annotate/trace"
	"wornwood/capture/record"
)

// nodePart is what of a node moves.
type nodePart uint8

const (
	wholeNode nodePart = iota
	inArm
	outArm
)

// leastNodes is how few nodes a closed curve may have.
const leastNodes = 3

// nodeGrip is a node of the curve, or the end of one of its arms, being moved.
type nodeGrip struct {
	at          int
	part        nodePart
	from, nodes []record.Node
	fresh       bool // the node was added by this press
}

func (c *Controller) node(at int, part nodePart) *nodeGrip {
	return &nodeGrip{at: at, part: part, from: c.sheet.Curve, nodes: slices.Clone(c.sheet.Curve)}
}

func (g *nodeGrip) move(c *Controller, at shape.Pt) {
	g.set(c, shape.Sub(c.toSheet(at), c.toSheet(c.press.at)))
}

// set moves the node with its arms, or one arm. The other arm of a smooth node
// turns with it and keeps its length; with shift the node becomes a corner.
func (g *nodeGrip) set(c *Controller, d shape.Pt) {
	n := g.from[g.at]
	turn := smooth(n) && !c.shift
	switch g.part {
	case wholeNode:
		g.nodes = trace.MoveNode(g.from, g.at, shape.Add(n.At, d))
	case inArm:
		g.nodes = trace.MoveHandle(g.from, g.at, false, shape.Add(n.In, d), turn)
	case outArm:
		g.nodes = trace.MoveHandle(g.from, g.at, true, shape.Add(n.Out, d), turn)
	}
	c.changed()
}

func (g *nodeGrip) shift(c *Controller, d shape.Pt) {
	g.from = slices.Clone(g.nodes)
	g.set(c, d)
}

func (g *nodeGrip) drop(c *Controller, _ shape.Pt, dragged bool) {
	if (dragged || g.fresh) && c.OnCurve != nil {
		c.OnCurve(g.nodes)
	}
}

func (g *nodeGrip) shown(s Sheet) Sheet {
	s.Curve = g.nodes
	return s
}

func (g *nodeGrip) spot(*Controller) (shape.Pt, bool) {
	n := g.nodes[g.at]
	return [...]shape.Pt{n.At, n.In, n.Out}[g.part], true
}

// smooth says that the curve runs through the node without a corner: its arms
// lie in one line to within five degrees.
func smooth(n record.Node) bool {
	a, b := shape.Sub(n.At, n.In), shape.Sub(n.Out, n.At)
	la, lb := math.Hypot(a.X, a.Y), math.Hypot(b.X, b.Y)
	return la > 1e-9 && lb > 1e-9 && (a.X*b.X+a.Y*b.Y)/(la*lb) > math.Cos(5*math.Pi/180)
}

// takeCurve grabs an arm of the active node, a node, or by a double click the
// curve itself, where it adds a node.
func (c *Controller) takeCurve(at shape.Pt, twice bool) held {
	s := c.sheet.Curve
	if len(s) < leastNodes {
		return nil
	}
	near := reach
	var found *nodeGrip
	grab := func(p shape.Pt, k int, part nodePart) {
		if d := c.dist(at, c.view.Apply(p)); d <= near {
			near, found = d, c.node(k, part)
		}
	}
	if a := c.active; a.kind == nodePoint && a.on(c.sheet) {
		grab(s[a.at].In, a.at, inArm)
		grab(s[a.at].Out, a.at, outArm)
	}
	for i, ok := range c.nodesShown(s, c.view) {
		if ok {
			grab(s[i].At, i, wholeNode)
		}
	}
	if found != nil {
		c.active = point{kind: nodePoint, at: found.at, count: len(s)}
		return found
	}
	k, t, d := c.onCurve(at)
	switch {
	case d > reach:
		return nil
	case twice:
		return c.split(k, t)
	}
	return pan{} // the first of two clicks perhaps
}

// nodesShown are the nodes that there is room to show.
func (c *Controller) nodesShown(s []record.Node, view shape.Affine) []bool {
	pts := make([]shape.Pt, len(s))
	for i, n := range s {
		pts[i] = view.Apply(n.At)
	}
	keep := -1
	if c.active.kind == nodePoint {
		keep = c.active.at
	}
	return spaced(pts, cornerRoom*c.scale, keep)
}

// onCurve is the place on the curve nearest to a point of the view: behind node
// k at the parameter t, d units away.
func (c *Controller) onCurve(at shape.Pt) (k int, t, d float64) {
	k, t, d = trace.Nearest(c.sheet.Curve, c.toSheet(at))
	return k, t, d * c.Zoom() / c.scale
}

// split adds a node behind node k at the parameter t, by de Casteljau's
// construction, so that the curve stays as it is.
func (c *Controller) split(k int, t float64) held {
	s := c.sheet.Curve
	if len(s) >= record.MaxNodes {
		c.say(fmt.Sprintf("An outline has at most %d points.", record.MaxNodes))
		return pan{}
	}
	nodes := trace.AddNode(s, k, math.Max(0.02, math.Min(0.98, t)))
	c.active = point{kind: nodePoint, at: k + 1, count: len(nodes)}
	return &nodeGrip{at: k + 1, from: nodes, nodes: slices.Clone(nodes), fresh: true}
}

// removeNode takes the active node out; the curve stays as near to where it was
// as it can.
func (c *Controller) removeNode() {
	s, k := c.sheet.Curve, c.active.at
	if len(s) <= leastNodes {
		c.say("An outline keeps at least three points.")
		return
	}
	nodes := trace.RemoveNode(s, k)
	c.active = point{kind: nodePoint, at: min(k, len(nodes)-1), count: len(nodes)}
	if c.OnCurve != nil {
		c.OnCurve(nodes)
	}
}

// curveView is the curve in device pixels.
func curveView(s []record.Node, view shape.Affine) []record.Node {
	out := make([]record.Node, len(s))
	for i, n := range s {
		out[i] = record.Node{At: view.Apply(n.At), In: view.Apply(n.In), Out: view.Apply(n.Out)}
	}
	return out
}

// curveHandles are the handles of the nodes and of the active one's arms.
func (c *Controller) curveHandles(s Sheet) []draw.Handle {
	if len(s.Curve) < leastNodes {
		return nil
	}
	var out []draw.Handle
	nodes := curveView(s.Curve, c.view)
	active := -1
	if c.active.kind == nodePoint && c.active.on(s) {
		active = c.active.at
	}
	for i, ok := range c.nodesShown(s.Curve, c.view) {
		if ok {
			out = append(out, draw.Handle{At: nodes[i].At, Active: i == active})
		}
	}
	if active >= 0 {
		out = append(out, draw.Handle{At: nodes[active].In, Kind: draw.ArmHandle}, draw.Handle{At: nodes[active].Out, Kind: draw.ArmHandle})
	}
	return out
}
