package outline

import "wornwood/capture/record"

func init() { register(&squareShouldered) }

// squareShouldered is a large steel-string flat-top with a wide waist and
// broad shoulders; the body meets the neck at the 14th fret.
var squareShouldered = class{
	name:    "flat-top square-shouldered",
	scale:   figure{645, read},
	limits:  [2]float64{450, 800},
	frets:   20,
	strings: 6,

	layout: steelLayout,
	frame:  frame{joint: figure{357.7, practice}, fixed: true, pocket: figure{22, drawn}, hinge: 735, shortest: 0.6, longest: 1.5},
	board:  steelBoard,
	zones: flatTopZones(flatTopHeights{board: 449, soundhole: 560, bridge: 690, bottom: 835,
		upper: 475, waist: 590}),
	body: body{
		length: figure{508, read},
		width:  figure{400, read},
		upper:  figure{292, memory},
		waist:  figure{274, memory},
		depth:  figure{124, read},
		narrow: figure{100, memory},
		lip:    figure{6, practice},
		border: steelBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 866, Angle: 180, Out: 108},
			{X: -200, Y: 735, Angle: 270, In: 78, Out: 84},
			{X: -137, Y: 528, Angle: 271, In: 68, Out: 42},
			{X: -146, Y: 428, Angle: 270, In: 36, Out: 32},
			{X: -104, Y: 366, Angle: 347, In: 24, Out: 34},
			{X: 0, Y: 357.7, Angle: 0, In: 46},
		},
	},
	neck:   steelNeck,
	head:   steelHead,
	bridge: steelBridge,
	rises:  steelRises,
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{505, drawn}, wide: figure{101, practice}, tall: figure{101, practice}, rings: []float64{4, 5.2, 9, 13, 14.2}},
		cover{slug: "guard", name: "guard", nodes: []node{
			{X: 38, Y: 459, Angle: 8, In: 8, Out: 26},
			{X: 96, Y: 520, Angle: 96, In: 36, Out: 34},
			{X: 86, Y: 606, Angle: 140, In: 30, Out: 16},
			{X: 44, Y: 590, Angle: 262, In: 18, Out: 10},
			{X: 51, Y: 556, Angle: 300, In: 14, Out: 22},
			{X: 59.5, Y: 505, Angle: 270, In: 22, Out: 18},
		}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: steelBack,
	side: []part{ribs{}, ticks{}, endPin{}},
}
