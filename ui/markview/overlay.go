package markview

import (
	"slices"

	"wornwood/annotate/draw"
	"wornwood/annotate/shape"
)

// overlay is what lies over ground and marks and is drawn by lines: the same in
// the view and in the loupe, which is only another map of the sheet into another
// room. Plain leaves the words out.
func overlay(c *Controller, s Sheet, view shape.Affine, room shape.Rect, plain bool, st draw.Style) draw.List {
	var l draw.List
	for _, p := range s.Projected {
		l = append(l, draw.ProjectedOps(p.Shape, view.ApplyAll(p.Points), level(p.Level), st)...)
	}
	patches := s.patches(view)
	if plain {
		for i := range patches {
			patches[i].Tag = draw.Tag{}
		}
	}
	l = append(l, draw.PatchOps(patches, room, st)...)
	l = append(l, draw.GhostOps(c.ghosts(s, view, room), st)...)
	if len(s.Curve) >= leastNodes {
		active := -1
		if c.active.kind == nodePoint && c.active.on(s) {
			active = c.active.at
		}
		l = append(l, draw.CurveOps(curveView(s.Curve, view), active, st)...)
	}
	ds := c.dimensions(s, view)
	l = append(l, draw.DimensionLines(ds, st)...)
	if !plain {
		var taken []shape.Rect
		if lo, ok := c.Loupe(); ok {
			taken = append(taken, shape.Rect{Min: lo.At, Max: lo.At}.Grow(lo.Radius+2*c.scale))
		}
		l = append(l, draw.DimensionLabels(ds, room, taken, st)...)
	}
	l = append(l, draw.ScaleOps(c.scaleMarks(s, view), room, !plain, st)...)
	l = append(l, drafts(c, view, st)...)
	if c.snap != nil {
		mark := draw.SnapOps(view.Apply(c.snap.at), c.snap.corner, st)
		if plain {
			mark = mark[:2] // the dot would lie on the very spot
		}
		l = append(l, mark...)
	}
	return l
}

func level(n int) int { return max(0, min(2, n)) }

// drafts is the figure being drawn.
func drafts(c *Controller, view shape.Affine, st draw.Style) draw.List {
	if f, ok := c.press.held.(*sketch); ok && c.press.down && c.press.dragged {
		return draw.Freehand(c.tool.shape(), view.ApplyAll(f.pts), st)
	}
	var l draw.List
	if len(c.draft) > 0 && c.tool != MeasureTool {
		l = draw.Draft(c.tool.shape(), view.ApplyAll(c.draft), view.Apply(c.next()), st)
	}
	if r, ok := c.PatchSoFar(); ok {
		inv := c.view.Inverse()
		l = append(l, draw.PatchFrame(shape.RectAround(view.Apply(inv.Apply(r.Min)), view.Apply(inv.Apply(r.Max))), st)...)
	}
	return l
}

// tools are the handles, which only the view itself shows.
func tools(c *Controller, s Sheet, st draw.Style) draw.List {
	var hs []draw.Handle
	active := c.active
	for _, v := range c.vertices() {
		h := draw.Handle{At: v.p}
		if v.between {
			h.Kind = draw.BetweenHandle
		} else {
			h.Active = active.kind == cornerPoint && active.on(s) && active.number == v.number && active.place == v.index && active.at == v.at
		}
		hs = append(hs, h)
	}
	// Corners over the handles between them, the active one over all.
	slices.SortStableFunc(hs, func(a, b draw.Handle) int { return rank(a) - rank(b) })
	return draw.HandleOps(append(hs, c.curveHandles(s)...), st)
}

func rank(h draw.Handle) int {
	switch {
	case h.Active:
		return 2
	case h.Kind == draw.BetweenHandle:
		return 0
	}
	return 1
}

// cursors are the brush, the key cursor and the buttons of a suggestion.
func cursors(c *Controller, st draw.Style) draw.List {
	var l draw.List
	if accept, dismiss, ok := c.buttons(); ok && !c.press.dragged {
		hot := 0
		if c.over.kind == overButton {
			hot = c.over.index
		}
		l = append(l, draw.GhostButtons(accept, dismiss, hot, st)...)
	}
	if c.tool.brush() && !c.sheet.empty() && (c.inside || c.keyed) {
		l = append(l, draw.BrushOps(c.view.ApplyAll(c.stroke()), c.cursor, c.Brush()*c.Zoom(), c.tool == AddBrush, st)...)
	}
	if at, keyed := c.Cursor(); keyed {
		l = append(l, draw.KeyCursor(at, st)...)
	}
	return l
}

func focusRing(c *Controller, st draw.Style) draw.Op {
	in := c.room().Grow(-1.5 * c.scale)
	return draw.Op{Path: shape.RoundRect(in, 0), Stroke: st.Select, Width: 2 * c.scale}
}
