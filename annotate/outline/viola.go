package outline

import "wornwood/capture/record"

func init() { register(&viola) }

// viola is a viola with a body of 410 mm; they are made from 390 to 430 (read),
// which a body length other than the usual draws. Bouts lie in the ranges of
// the project's list of outside facts.
var viola = class{
	name:     "viola",
	scale:    figure{375, practice},
	limits:   [2]float64{330, 400},
	frets:    30,
	strings:  4,
	fretless: true,

	layout: layout{
		nutStep:    figure{5.9, practice},
		bridgeStep: figure{12.3, practice},
		crowdedNut: figure{2, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.9, practice},
		marginEnd:  figure{6, practice},
	},
	frame: frame{joint: figure{150, practice}, fixed: true, pocket: figure{9, drawn}, hinge: 485, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{6.5, practice}, overhang: figure{10, drawn}, boardLength: figure{308, practice}},
	zones: violinZones(violinHeights{corner: 290, lower: 405, board: 310, bridge: 402, tail: 540}),
	body: body{
		length: figure{410, read},
		width:  figure{240, read},
		upper:  figure{194, read},
		waist:  figure{134, read},
		depth:  figure{46, practice}, // ribs of 37 (practice) between plates with edges of 4.5
		lip:    figure{4.5, practice},
		arch:   figure{17.5, practice},
		swell:  figure{16.5, practice},
		border: border{width: figure{5.8, practice}, part: record.Edges, name: "edge and purfling", lines: []float64{4.4, 5.8}},
		front:  face{"belly", record.Belly},
		back:   face{"back", record.Back},
		sides:  face{part: record.Ribs},
		half: []node{
			{X: 0, Y: 560, Angle: 180, Out: 58},
			{X: -120, Y: 485, Angle: 270, In: 45, Out: 46},
			{X: -101.5, Y: 424.5, Angle: 270, In: 16, Out: 8},
			{X: -109.5, Y: 407, Angle: 233, In: 11, Out: 2.1, Turn: 56},
			{X: -107.4, Y: 400.8, Angle: 294, In: 2.1, Out: 17, Turn: 62},
			{X: -67, Y: 350, Angle: 270, In: 32, Out: 29},
			{X: -89.5, Y: 296, Angle: 185, In: 14, Out: 2, Turn: 61},
			{X: -91.7, Y: 290, Angle: 248, In: 2, Out: 9, Turn: 60},
			{X: -84.8, Y: 273, Angle: 269, In: 8, Out: 15},
			{X: -97, Y: 215, Angle: 270, In: 35, Out: 37},
			{X: 0, Y: 150, Angle: 0, In: 51},
		},
	},
	neck: neck{depth: figure{20, practice}, heel: figure{29, drawn}, closeUp: figure{20, drawn}},
	head: scroll{
		length: figure{118, practice},
		box:    figure{74, practice},
		wide:   figure{28.5, practice},
		narrow: figure{16.5, practice},
		eyes:   figure{45.5, practice},
		collar: figure{36, practice},
	},
	bridge: violinBridge{
		width:   figure{47, practice},
		thick:   figure{5.2, practice},
		after:   figure{63, practice},
		tail:    figure{123, practice},
		tailTop: figure{47, practice},
		tailEnd: figure{23, practice},
		saddle:  figure{40, practice},
		sill:    figure{7, practice},
	},
	rises: rises{
		nut:       figure{-10, practice},
		joint:     figure{13, practice},
		saddle:    figure{54, practice}, // arch of 17.5 and a bridge of 36.5
		headFall:  figure{22, practice},
		boardDeep: figure{5.3, practice},
		spread:    figure{1.8, practice}, // the board points 29 to 33 mm above the belly at the bridge
	},
	front: []part{headFront{}, faces{}, neckFront{},
		violinHoles{length: figure{83, practice}, tops: figure{47, practice}, nick: 375, slant: -1},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, button{width: figure{24, practice}, height: figure{13, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, endPin{}},
}
