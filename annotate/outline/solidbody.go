package outline

// What solid-body guitars share.

// solidLayout is that of six strings, with room for more.
var solidLayout = layout{
	nutStep:    figure{7.1, practice},
	bridgeStep: figure{10.4, practice},
	crowdedNut: figure{2.5, drawn},
	crowdedEnd: figure{3, drawn},
	margin:     figure{3.75, practice},
}

var solidBoard = board{
	nutLength: figure{4.5, practice},
	fretWidth: figure{2.4, practice},
	overhang:  figure{10, practice},
	dots:      []int{3, 5, 7, 9},
}
