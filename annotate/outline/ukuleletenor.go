package outline

import "wornwood/capture/record"

func init() { register(&ukuleleTenor) }

// ukuleleTenor is the third size of ukulele: fourteen frets to the body, geared
// tuners, strings tied to the bridge.
var ukuleleTenor = class{
	name:    "ukulele tenor",
	scale:   figure{432, memory},
	limits:  [2]float64{410, 460},
	frets:   19,
	strings: 4,

	layout: layout{
		nutStep:    figure{9.4, practice},
		bridgeStep: figure{13.6, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.8, practice},
		pairsFrom:  6,
		pairNut:    figure{2.2, practice},
		pairEnd:    figure{2.8, practice},
	},
	frame: frame{joint: figure{239.6, practice}, fixed: true, pocket: figure{13, drawn}, hinge: 462, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{4.5, practice}, fretWidth: figure{1.6, practice}, overhang: figure{6, practice}, dots: []int{5, 7, 10}},
	zones: ukuleleZones(flatTopHeights{board: 292, soundhole: 364, bridge: 450, bottom: 520, upper: 328, waist: 400}, 33),
	body: body{
		length: figure{305, practice},
		width:  figure{222, practice},
		upper:  figure{166, practice},
		waist:  figure{138, practice},
		depth:  figure{74, practice},
		narrow: figure{67, practice},
		lip:    figure{4, practice},
		swell:  figure{4, practice},
		border: ukuleleBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 544.6, Angle: 180, Out: 62},
			{X: -111, Y: 462, Angle: 270, In: 47, Out: 50},
			{X: -69, Y: 363, Angle: 270, In: 40, Out: 28},
			{X: -83, Y: 295, Angle: 270, In: 26, Out: 32},
			{X: 0, Y: 239.6, Angle: 0, In: 52},
		},
	},
	neck: neck{depth: figure{18, practice}, heel: figure{34, drawn}, closeUp: figure{24, drawn}},
	head: paddle{
		reach:    figure{6.5, drawn},
		least:    figure{26, drawn},
		shoulder: figure{24, drawn},
		tip:      figure{29, drawn},
		first:    figure{33, practice},
		step:     figure{33, practice},
		crowded:  figure{24, practice},
		inset:    figure{10.5, practice},
		large:    0.78,
		contour:  steppedTip,
	},
	bridge: ukuleleBridge{
		width:  figure{92, practice},
		deep:   figure{25, practice},
		before: figure{6.5, practice},
		hold:   figure{14, practice},
		tied:   true,
	},
	rises: ukuleleRises(5, 11.5),
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{331, drawn}, wide: figure{60, practice}, tall: figure{60, practice}, rings: []float64{3, 4.2, 8.5, 9.6}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: ukuleleBack(28, 14),
	side: []part{ribs{}, ticks{}},
}
