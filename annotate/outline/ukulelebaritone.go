package outline

import "wornwood/capture/record"

func init() { register(&ukuleleBaritone) }

// ukuleleBaritone is the largest ukulele, tuned like the upper strings of a
// guitar: fourteen frets to the body, geared tuners, strings tied to the bridge.
var ukuleleBaritone = class{
	name:    "ukulele baritone",
	scale:   figure{495, memory},
	limits:  [2]float64{460, 530},
	frets:   19,
	strings: 4,

	layout: layout{
		nutStep:    figure{9.6, practice},
		bridgeStep: figure{14.2, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.9, practice},
		pairsFrom:  6,
		pairNut:    figure{2.2, practice},
		pairEnd:    figure{2.8, practice},
	},
	frame: frame{joint: figure{274.5, practice}, fixed: true, pocket: figure{14, drawn}, hinge: 534, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{5, practice}, fretWidth: figure{1.8, practice}, overhang: figure{6, practice}, dots: []int{5, 7, 10}},
	zones: ukuleleZones(flatTopHeights{board: 333, soundhole: 415, bridge: 514, bottom: 602, upper: 376, waist: 462}, 37),
	body: body{
		length: figure{355, practice},
		width:  figure{254, practice},
		upper:  figure{188, practice},
		waist:  figure{158, practice},
		depth:  figure{86, practice},
		narrow: figure{78, practice},
		lip:    figure{4, practice},
		swell:  figure{4, practice},
		border: ukuleleBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 629.5, Angle: 180, Out: 70},
			{X: -127, Y: 534, Angle: 270, In: 54, Out: 58},
			{X: -79, Y: 417, Angle: 270, In: 46, Out: 30},
			{X: -94, Y: 338, Angle: 270, In: 28, Out: 37},
			{X: 0, Y: 274.5, Angle: 0, In: 60},
		},
	},
	neck: neck{depth: figure{19.5, practice}, heel: figure{38, drawn}, closeUp: figure{26, drawn}},
	head: paddle{
		reach:    figure{7, drawn},
		least:    figure{28, drawn},
		shoulder: figure{26, drawn},
		tip:      figure{33, drawn},
		first:    figure{36, practice},
		step:     figure{36, practice},
		crowded:  figure{25, practice},
		inset:    figure{11.5, practice},
		large:    0.85,
		contour:  levelTip,
	},
	bridge: ukuleleBridge{
		width:  figure{104, practice},
		deep:   figure{27, practice},
		before: figure{7, practice},
		hold:   figure{15.5, practice},
		tied:   true,
	},
	rises: ukuleleRises(5.3, 12),
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{377, drawn}, wide: figure{68, practice}, tall: figure{68, practice}, rings: []float64{3.5, 4.8, 10, 11.4}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: ukuleleBack(30, 15),
	side: []part{ribs{}, ticks{}},
}
