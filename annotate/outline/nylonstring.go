package outline

import "wornwood/capture/record"

func init() { register(&nylonString) }

// nylonString is a guitar with nylon strings: a wide neck, a slotted head with
// thick rollers, and a bridge to which the strings are tied. The body meets the
// neck at the 12th fret.
var nylonString = class{
	name:    "nylon-string",
	scale:   figure{650, read},
	limits:  [2]float64{450, 700},
	frets:   19,
	strings: 6,

	// 52 mm at the nut: five steps and two margins.
	layout: layout{
		nutStep:    figure{8.6, practice},
		bridgeStep: figure{11.6, practice},
		crowdedNut: figure{3, drawn},
		crowdedEnd: figure{4, drawn},
		margin:     figure{4.5, practice},
	},
	frame: frame{joint: figure{325, practice}, fixed: true, pocket: figure{20, drawn}, hinge: 682, shortest: 0.6, longest: 1.5},
	board: board{nutLength: figure{5.5, practice}, fretWidth: figure{2, practice}, overhang: figure{5, practice}},
	zones: flatTopZones(flatTopHeights{board: 438, soundhole: 528, bridge: 690, bottom: 785,
		upper: 468, waist: 578}),
	body: body{
		length: figure{490, practice},
		width:  figure{370, practice},
		upper:  figure{282, practice},
		waist:  figure{238, practice},
		depth:  figure{100, practice},
		narrow: figure{94, practice},
		lip:    figure{5, practice},
		arch:   figure{2, practice},
		swell:  figure{4, practice},
		border: border{width: figure{2.2, practice}, part: record.Binding, name: "binding", lines: []float64{3.6, 4.8}},
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 815, Angle: 180, Out: 102},
			{X: -185, Y: 682, Angle: 270, In: 74, Out: 88},
			{X: -119, Y: 524, Angle: 270, In: 56, Out: 46},
			{X: -141, Y: 410, Angle: 270, In: 40, Out: 48},
			{X: 0, Y: 325, Angle: 0, In: 80},
		},
	},
	neck: neck{depth: figure{22, practice}, heel: figure{50, drawn}, closeUp: figure{30, drawn}},
	head: slotted{
		reach:    figure{10, drawn},
		least:    figure{36, drawn},
		shoulder: figure{34, drawn},
		tip:      figure{42, drawn},
		first:    figure{54, practice},
		step:     figure{35, practice},
		crowded:  figure{24, practice},
		slot:     figure{15.5, practice},
		web:      figure{17, practice},
		ramp:     figure{26, practice},
		roller:   figure{10, practice},
		contour:  domedTip,
	},
	bridge: tieBridge{
		width:  figure{186, practice},
		middle: figure{29, practice},
		wing:   figure{24, practice},
		before: figure{6.5, practice},
		tie:    figure{7, practice},
		block:  figure{12, practice},
	},
	rises: rises{
		nut:       figure{6, practice},
		joint:     figure{6, practice},
		saddle:    figure{12.5, practice},
		headFall:  figure{26, practice},
		boardDeep: figure{6.5, practice},
		machine:   figure{-6, practice}, // rollers in the slots, buttons behind
	},
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{483, drawn}, wide: figure{85, practice}, tall: figure{85, practice}, rings: []float64{3.5, 5, 6.2, 17, 18.2, 20}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, heelCap{width: figure{32, practice}, reach: figure{20, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}},
}
