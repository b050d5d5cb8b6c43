package outline

// What solid-body basses share.

// bassLayout has room for thick strings. Eight strings are four pairs, each a
// thick string with a thin one an octave above.
var bassLayout = layout{
	nutStep:    figure{10.2, practice},
	bridgeStep: figure{19, practice},
	crowdedNut: figure{2.5, drawn},
	crowdedEnd: figure{3, drawn},
	margin:     figure{4.2, practice},
	pairsFrom:  8,
	pairNut:    figure{3, practice},
	pairEnd:    figure{4.5, practice},
}

var bassBoard = board{
	nutLength: figure{5, practice},
	fretWidth: figure{2.6, practice},
	overhang:  figure{9, practice},
	dots:      []int{3, 5, 7, 9},
}

var bassBridge = plateBridge{
	before: figure{17, drawn},
	behind: figure{43, practice},
	reach:  figure{12, practice},
	saddle: figure{24, practice},
}

// roundTip carries as many tuners on either side: sides that draw in from
// wide shoulders to a tip that is one round arch.
func roundTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	return mirroredOpen([]node{
		{X: -h.nut, Y: -h.nutLength, Angle: 258, Out: 14},
		{X: -w, Y: -h.shoulder, Angle: 272, In: 14, Out: straight * 0.4},
		{X: -w + 5, Y: -h.last - 6, Angle: 276, In: straight * 0.4, Out: h.tip * 0.5},
		{X: 0, Y: -top, Angle: 0, In: w * 0.6},
	})
}
