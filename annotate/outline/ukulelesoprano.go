package outline

import "wornwood/capture/record"

func init() { register(&ukuleleSoprano) }

// ukuleleSoprano is the smallest ukulele: twelve frets to the body, pegs
// straight through the head, strings knotted in the bridge.
var ukuleleSoprano = class{
	name:    "ukulele soprano",
	scale:   figure{330, memory},
	limits:  [2]float64{290, 370},
	frets:   12,
	strings: 4,

	layout: layout{
		nutStep:    figure{9.2, practice},
		bridgeStep: figure{13, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.6, practice},
		pairsFrom:  6,
		pairNut:    figure{2.2, practice},
		pairEnd:    figure{2.8, practice},
	},
	frame: frame{joint: figure{165, practice}, fixed: true, pocket: figure{10, drawn}, hinge: 334, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{4, practice}, fretWidth: figure{1.4, practice}, overhang: figure{7, practice}, dots: []int{5, 7, 10}},
	zones: ukuleleZones(flatTopHeights{board: 172, soundhole: 262, bridge: 342, bottom: 388, upper: 238, waist: 292}, 27),
	body: body{
		length: figure{240, practice},
		width:  figure{168, practice},
		upper:  figure{128, practice},
		waist:  figure{102, practice},
		depth:  figure{62, practice},
		narrow: figure{56, practice},
		lip:    figure{4, practice},
		swell:  figure{3, practice},
		border: ukuleleBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 405, Angle: 180, Out: 47},
			{X: -84, Y: 334, Angle: 270, In: 38, Out: 37},
			{X: -51, Y: 266, Angle: 270, In: 30, Out: 22},
			{X: -64, Y: 209, Angle: 270, In: 22, Out: 25},
			{X: 0, Y: 165, Angle: 0, In: 42},
		},
	},
	neck: neck{depth: figure{17, practice}, heel: figure{26, drawn}, closeUp: figure{20, drawn}},
	head: straightPegs{
		paddle: paddle{
			reach:    figure{5, drawn},
			least:    figure{22.5, drawn},
			shoulder: figure{20, drawn},
			tip:      figure{25, drawn},
			first:    figure{30, practice},
			step:     figure{33, practice},
			crowded:  figure{21, practice},
			inset:    figure{8.5, practice},
			contour:  scoopedTip,
		},
		post:   figure{5, practice},
		bush:   figure{8, practice},
		collar: figure{11, practice},
		thumb:  figure{19, practice},
		thick:  figure{7, practice},
	},
	bridge: ukuleleBridge{
		width:  figure{76, practice},
		deep:   figure{19, practice},
		before: figure{6, practice},
		hold:   figure{6.5, practice},
	},
	rises: ukuleleRises(4.5, 10.5),
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{237, drawn}, wide: figure{46, practice}, tall: figure{46, practice}, rings: []float64{3, 4.2}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: ukuleleBack(24, 12),
	side: []part{ribs{}, ticks{}},
}
