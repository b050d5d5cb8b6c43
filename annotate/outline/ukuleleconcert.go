package outline

import "wornwood/capture/record"

func init() { register(&ukuleleConcert) }

// ukuleleConcert is the second size of ukulele: fourteen frets to the body, pegs
// straight through the head, strings knotted in the bridge.
var ukuleleConcert = class{
	name:    "ukulele concert",
	scale:   figure{381, memory},
	limits:  [2]float64{350, 410},
	frets:   18,
	strings: 4,

	layout: layout{
		nutStep:    figure{9.3, practice},
		bridgeStep: figure{13.2, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.7, practice},
		pairsFrom:  6,
		pairNut:    figure{2.2, practice},
		pairEnd:    figure{2.8, practice},
	},
	frame: frame{joint: figure{211.3, practice}, fixed: true, pocket: figure{12, drawn}, hinge: 413, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{4, practice}, fretWidth: figure{1.5, practice}, overhang: figure{6, practice}, dots: []int{5, 7, 10}},
	zones: ukuleleZones(flatTopHeights{board: 252, soundhole: 320, bridge: 396, bottom: 470, upper: 292, waist: 356}, 30),
	body: body{
		length: figure{280, practice},
		width:  figure{196, practice},
		upper:  figure{146, practice},
		waist:  figure{120, practice},
		depth:  figure{68, practice},
		narrow: figure{62, practice},
		lip:    figure{4, practice},
		swell:  figure{3, practice},
		border: ukuleleBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 491.3, Angle: 180, Out: 55},
			{X: -98, Y: 413, Angle: 270, In: 43, Out: 46},
			{X: -60, Y: 325, Angle: 270, In: 38, Out: 24},
			{X: -73, Y: 261, Angle: 270, In: 24, Out: 28},
			{X: 0, Y: 211.3, Angle: 0, In: 46},
		},
	},
	neck: neck{depth: figure{17.5, practice}, heel: figure{30, drawn}, closeUp: figure{22, drawn}},
	head: straightPegs{
		paddle: paddle{
			reach:    figure{5.5, drawn},
			least:    figure{24, drawn},
			shoulder: figure{21, drawn},
			tip:      figure{31, drawn},
			first:    figure{31, practice},
			step:     figure{35, practice},
			crowded:  figure{22, practice},
			inset:    figure{9, practice},
			contour:  leafTip,
		},
		post:   figure{5, practice},
		bush:   figure{8, practice},
		collar: figure{11, practice},
		thumb:  figure{19, practice},
		thick:  figure{7, practice},
	},
	bridge: ukuleleBridge{
		width:  figure{82, practice},
		deep:   figure{20, practice},
		before: figure{6, practice},
		hold:   figure{7, practice},
	},
	rises: ukuleleRises(4.8, 11),
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{289, drawn}, wide: figure{54, practice}, tall: figure{54, practice}, rings: []float64{3, 4.2, 8}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: ukuleleBack(26, 13),
	side: []part{ribs{}, ticks{}},
}
