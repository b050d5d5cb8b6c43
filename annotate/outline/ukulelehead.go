package outline

// Contours of small heads, in the terms of contours.go. Their curves keep their
// form with the head's width. They are our own and stand for no maker's head.

// scoopedTip has sides that widen a little to two round corners and a tip that
// sinks between them in one shallow scoop.
func scoopedTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 262, Out: w * 0.26},
		{X: -w, Y: -h.shoulder, Angle: 268, In: w * 0.34, Out: straight * 0.4},
		{X: -w - w*0.06, Y: -top + w*0.36, Angle: 270, In: straight * 0.4, Out: w * 0.16},
		{X: -w * 0.72, Y: -top, Angle: 8, In: w * 0.22, Out: w * 0.26},
		{X: 0, Y: -top + w*0.2, Angle: 0, In: w * 0.34},
	}
	return mirroredOpen(half)
}

// leafTip widens to its tuners and closes over them like the end of a broad
// leaf.
func leafTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 262, Out: w * 0.26},
		{X: -w, Y: -h.shoulder, Angle: 268, In: w * 0.34, Out: straight * 0.4},
		{X: -w, Y: -h.last - h.tip*0.2, Angle: 272, In: straight * 0.4, Out: h.tip * 0.3},
		{X: -w * 0.5, Y: -top + h.tip*0.16, Angle: 326, In: h.tip * 0.26, Out: w * 0.2},
		{X: 0, Y: -top, Angle: 0, In: w * 0.24},
	}
	return mirroredOpen(half)
}

// steppedTip draws in by a soft step above the last tuners and ends in a low
// arch.
func steppedTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 262, Out: w * 0.26},
		{X: -w, Y: -h.shoulder, Angle: 268, In: w * 0.34, Out: straight * 0.4},
		{X: -w, Y: -h.last - h.tip*0.3, Angle: 270, In: straight * 0.4, Out: h.tip * 0.22},
		{X: -w * 0.76, Y: -h.last - h.tip*0.62, Angle: 290, In: h.tip * 0.18, Out: h.tip * 0.12},
		{X: -w * 0.62, Y: -top + h.tip*0.14, Angle: 296, In: h.tip * 0.1, Out: h.tip * 0.1},
		{X: 0, Y: -top, Angle: 0, In: w * 0.34},
	}
	return mirroredOpen(half)
}
