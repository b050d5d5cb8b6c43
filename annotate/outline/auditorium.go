package outline

import "wornwood/capture/record"

func init() { register(&auditorium) }

// auditorium is a steel-string flat-top with a full lower bout and a narrow
// waist, made to be played sitting; the body meets the neck at the 14th fret.
var auditorium = class{
	name:    "flat-top auditorium",
	scale:   figure{648, read},
	limits:  [2]float64{450, 800},
	frets:   20,
	strings: 6,

	layout: steelLayout,
	frame:  frame{joint: figure{359.4, practice}, fixed: true, pocket: figure{22, drawn}, hinge: 728, shortest: 0.6, longest: 1.5},
	board:  steelBoard,
	zones: flatTopZones(flatTopHeights{board: 451, soundhole: 561, bridge: 694, bottom: 838,
		upper: 494, waist: 618}),
	body: body{
		length: figure{508, read},
		width:  figure{406, read},
		upper:  figure{296, practice},
		waist:  figure{246, practice},
		depth:  figure{117, read},
		narrow: figure{94, practice},
		lip:    figure{6, practice},
		arch:   figure{2.5, practice},
		swell:  figure{4, practice},
		border: steelBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 867.4, Angle: 180, Out: 116},
			{X: -203, Y: 728, Angle: 270, In: 80, Out: 88},
			{X: -123, Y: 556, Angle: 270, In: 62, Out: 46},
			{X: -148, Y: 442, Angle: 270, In: 40, Out: 48},
			{X: 0, Y: 359.4, Angle: 0, In: 84},
		},
	},
	neck: steelNeck,
	head: paddle{
		reach:    figure{12.5, drawn},
		least:    figure{32, drawn},
		shoulder: figure{36, drawn},
		tip:      figure{42, drawn},
		first:    figure{43, practice},
		step:     figure{39, practice},
		crowded:  figure{27, practice},
		inset:    figure{13, practice},
		contour:  slantTip,
	},
	bridge: pinBridge{
		width:  figure{148, practice},
		middle: figure{33, practice},
		wing:   figure{17, drawn},
		before: figure{9, practice},
		pins:   figure{14, practice},
	},
	rises: steelRises,
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{506, drawn}, wide: figure{100, practice}, tall: figure{100, practice}, rings: []float64{4.5, 5.5, 8.5, 11.5, 12.5}},
		cover{slug: "guard", name: "guard", nodes: []node{
			{X: 42, Y: 460, Angle: 18, In: 6, Out: 16},
			{X: 84, Y: 516, Angle: 84, In: 28, Out: 26},
			{X: 72, Y: 580, Angle: 158, In: 20, Out: 12},
			{X: 49, Y: 556, Angle: 282, In: 16, Out: 14},
			{X: 60.5, Y: 506, Angle: 271, In: 22, Out: 20},
		}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: steelBack,
	side: []part{ribs{}, ticks{}, endPin{}},
}
