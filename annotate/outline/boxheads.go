package outline

// Contours of the heads of hollow instruments, in the terms of contours.go.
// They are our own and stand for no maker's head.

// taperedTip widens to the first tuners, runs straight, and draws in over two
// soft shoulders to a narrow blunt tip.
func taperedTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 264, Out: 12},
		{X: -w, Y: -h.shoulder, Angle: 270, In: 13, Out: straight * 0.4},
		{X: -w, Y: -h.last - 8, Angle: 270, In: straight * 0.35, Out: h.tip * 0.34},
		{X: -w * 0.5, Y: -top + h.tip*0.12, Angle: 320, In: h.tip * 0.42, Out: w * 0.12},
		{X: 0, Y: -top, Angle: 0, In: w * 0.26},
	}
	return mirroredOpen(half)
}

// slantTip has sides that widen slowly and a tip cut in one slanting sweep,
// higher on the bass side, with soft corners.
func slantTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	return []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 263, Out: 10},
		{X: -w, Y: -h.shoulder, Angle: 268, In: 12, Out: straight * 0.4},
		{X: -w - 3, Y: -h.last - 10, Angle: 270, In: straight * 0.4, Out: h.tip * 0.34},
		{X: -w + 16, Y: -top, Angle: 1, In: 13, Out: w * 0.5},
		{X: w - 10, Y: -top + h.tip*0.26, Angle: 18, In: w * 0.5, Out: 9},
		{X: w + 3, Y: -h.last - 8, Angle: 90, In: h.tip * 0.3, Out: straight * 0.4},
		{X: w, Y: -h.shoulder, Angle: 92, In: straight * 0.4, Out: 12},
		{X: h.nut, Y: -h.nutLength, Angle: 97, In: 10},
	}
}

// levelTip runs straight and a little wider to a level tip with small corners.
func levelTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 262, Out: 9},
		{X: -w, Y: -h.shoulder, Angle: 269, In: 10, Out: straight * 0.4},
		{X: -w - 2, Y: -top + 9, Angle: 269, In: straight * 0.4, Out: 4.5},
		{X: -w + 6, Y: -top + 1.2, Angle: 356, In: 4.5, Out: w * 0.35},
		{X: 0, Y: -top, Angle: 0, In: w * 0.4},
	}
	return mirroredOpen(half)
}

// domedTip is level at its corners and rises to a low dome in the middle.
func domedTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 264, Out: 9},
		{X: -w, Y: -h.shoulder, Angle: 268, In: 11, Out: straight * 0.4},
		{X: -w - 3, Y: -top + 20, Angle: 270, In: straight * 0.4, Out: 4},
		{X: -w + 4, Y: -top + 12, Angle: 2, In: 4.5, Out: w * 0.24},
		{X: -w * 0.46, Y: -top + 7, Angle: 318, In: w * 0.16, Out: w * 0.16},
		{X: 0, Y: -top, Angle: 0, In: w * 0.26},
	}
	return mirroredOpen(half)
}

// gabledTip widens to its tip, which rises in two straight slopes to a soft
// ridge in the middle.
func gabledTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	half := []node{
		{X: -h.nut, Y: -h.nutLength, Angle: 264, Out: 12},
		{X: -w, Y: -h.shoulder, Angle: 266, In: 13, Out: straight * 0.4},
		{X: -w - 4, Y: -h.last - 8, Angle: 268, In: straight * 0.4, Out: h.tip * 0.3},
		{X: -w + 6, Y: -top + 14, Angle: 338, In: 9, Out: w * 0.3},
		{X: 0, Y: -top, Angle: 0, In: w * 0.3},
	}
	return mirroredOpen(half)
}
