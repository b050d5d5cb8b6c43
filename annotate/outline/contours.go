package outline

// The contours of heads: nodes from the nut's bass end round to its treble
// end. They are our own and stand for no maker's head.

// leaningTip has shoulders out from the nut, sides that draw in a little
// towards the tip, and a tip that leans to the bass side.
func leaningTip(h headSize) []node {
	straight := h.last - h.shoulder
	w := h.wide / 37 // the tip's curves keep their form on a wider head
	return []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 262, Out: 13},
		{X: -h.wide, Y: -h.shoulder, Angle: 270, In: 12, Out: straight * 0.4},
		{X: -h.wide + 5, Y: -h.last - 14, Angle: 272, In: straight * 0.4, Out: 16},
		{X: -18 * w, Y: -h.last - h.tip, Angle: 6, In: 9 * w, Out: 15 * w},
		{X: 15 * w, Y: -h.last - h.tip + 14, Angle: 2, In: 21 * w, Out: 9 * w},
		{X: h.wide - 6, Y: -h.last - 10, Angle: 88, In: 16, Out: straight * 0.4},
		{X: h.wide, Y: -h.shoulder, Angle: 90, In: straight * 0.4, Out: 12},
		{X: h.nut, Y: -h.nutLength, Angle: 98, In: 13},
	}
}

// archedTip is symmetric: sides that widen slowly, and a tip that is one flat
// arch between rounded corners.
func archedTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 263, Out: 10},
		{X: -w, Y: -h.shoulder, Angle: 268, In: 11, Out: straight * 0.4},
		{X: -w - 3, Y: -h.last - 6, Angle: 271, In: straight * 0.4, Out: h.tip * 0.3},
		{X: -w + 11, Y: -top + 7, Angle: 346, In: 9, Out: w * 0.3},
		{X: 0, Y: -top, Angle: 0, In: w * 0.35, Out: w * 0.35},
	}
	return mirroredOpen(half)
}

// obliqueTip carries all tuners on its bass side: that edge and the treble
// edge run side by side away from the bass, and the tip is cut slanting, with
// soft corners.
func obliqueTip(h headSize) []node {
	far := h.last + h.tip
	lean := (h.last - h.shoulder) * 0.24 // of the bass edge, so that strings run straight
	return []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 255, Out: 9},
		{X: -h.wide, Y: -h.shoulder, Angle: 275, In: 11, Out: h.last * 0.25},
		{X: -h.wide + lean, Y: -h.last - 8, Angle: 284, In: h.last * 0.25, Out: h.tip * 0.5},
		{X: -h.wide + lean + 22, Y: -far + 2, Angle: 20, In: 9, Out: 14},
		{X: h.nut + lean - 2, Y: -far + 30, Angle: 84, In: 16, Out: h.last * 0.2},
		{X: h.nut + 3, Y: -h.shoulder - 20, Angle: 98, In: h.last * 0.3, Out: 12},
		{X: h.nut, Y: -h.nutLength, Angle: 90, In: 9},
	}
}

// mirroredOpen completes the left half of an open contour that ends on the
// centre line, running level.
func mirroredOpen(half []node) []node {
	n := len(half)
	out := append([]node(nil), half...)
	out[n-1].Out = half[n-1].In
	for i := n - 2; i >= 0; i-- {
		h := half[i]
		out = append(out, node{X: -h.X, Y: h.Y, Angle: -h.Angle - h.Turn, In: h.Out, Out: h.In, Turn: h.Turn})
	}
	return out
}
