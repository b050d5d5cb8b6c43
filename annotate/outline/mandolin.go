package outline

// What both mandolins share.

// mandolinLayout is that of four pairs.
var mandolinLayout = layout{
	nutStep:    figure{6.9, practice},
	bridgeStep: figure{11.8, practice},
	crowdedNut: figure{2.5, drawn},
	crowdedEnd: figure{3, drawn},
	margin:     figure{2.7, practice},
	pairsFrom:  5,
	pairNut:    figure{2.2, practice},
	pairEnd:    figure{3, practice},
}

var mandolinBoard = board{nutLength: figure{4, practice}, fretWidth: figure{1.6, practice}, overhang: figure{6, practice}, dots: []int{5, 7, 10}}
