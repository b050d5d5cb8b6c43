package outline

import "wornwood/capture/record"

func init() { register(&roundShouldered) }

// roundShouldered is a large steel-string flat-top whose shoulders fall in one
// round sweep from the neck; the body meets it at the 14th fret.
var roundShouldered = class{
	name:    "flat-top round-shouldered",
	scale:   figure{628, practice},
	limits:  [2]float64{450, 800},
	frets:   20,
	strings: 6,

	layout: steelLayout,
	frame:  frame{joint: figure{348.3, practice}, fixed: true, pocket: figure{22, drawn}, hinge: 716, shortest: 0.6, longest: 1.5},
	board:  steelBoard,
	zones: flatTopZones(flatTopHeights{board: 437, soundhole: 549, bridge: 674, bottom: 826,
		upper: 476, waist: 588}),
	body: body{
		length: figure{508, read},
		width:  figure{406, read},
		upper:  figure{292, practice},
		waist:  figure{271, practice},
		depth:  figure{122, practice},
		narrow: figure{99, practice},
		lip:    figure{6, practice},
		arch:   figure{2.5, practice},
		swell:  figure{4, practice},
		border: steelBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 856.3, Angle: 180, Out: 112},
			{X: -203, Y: 716, Angle: 270, In: 80, Out: 98},
			{X: -135.5, Y: 526, Angle: 270, In: 64, Out: 34},
			{X: -146, Y: 452, Angle: 270, In: 26, Out: 56},
			{X: 0, Y: 348.3, Angle: 0, In: 92},
		},
	},
	neck: steelNeck,
	head: paddle{
		reach:    figure{13, drawn},
		least:    figure{33, drawn},
		shoulder: figure{38, drawn},
		tip:      figure{44, drawn},
		first:    figure{44, practice},
		step:     figure{39, practice},
		crowded:  figure{27, practice},
		inset:    figure{13, practice},
		contour:  taperedTip,
	},
	bridge: steelBridge,
	rises:  steelRises,
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{493, drawn}, wide: figure{101, practice}, tall: figure{101, practice}, rings: []float64{5, 6.2, 10.5, 11.7}},
		cover{slug: "guard", name: "guard", nodes: []node{
			{X: 39, Y: 445, Angle: 14, In: 7, Out: 20},
			{X: 82, Y: 480, Angle: 64, In: 22, Out: 30},
			{X: 103, Y: 556, Angle: 90, In: 32, Out: 20},
			{X: 78, Y: 586, Angle: 182, In: 15, Out: 14},
			{X: 53, Y: 560, Angle: 272, In: 14, Out: 14},
			{X: 59.5, Y: 496, Angle: 274, In: 26, Out: 20},
		}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: steelBack,
	side: []part{ribs{}, ticks{}, endPin{}},
}
