package outline

import "wornwood/capture/record"

func init() { register(&resonatorGuitar) }

// resonatorGuitar is a guitar whose strings drive a metal cone under a pierced
// plate; the body meets the neck at the 14th fret.
var resonatorGuitar = class{
	name:    "resonator",
	scale:   figure{635, practice},
	limits:  [2]float64{560, 720},
	frets:   19,
	strings: 6,

	layout: layout{
		nutStep:    figure{7.5, practice},
		bridgeStep: figure{10.8, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.8, practice},
	},
	frame: frame{joint: figure{352.1, practice}, fixed: true, pocket: figure{20, drawn}, hinge: 712, shortest: 0.6, longest: 1.5},
	board: board{nutLength: figure{5, practice}, fretWidth: figure{2.2, practice}, overhang: figure{7, practice}, dots: []int{3, 5, 7, 9}},
	zones: zones{middle: 34, bands: []band{
		{to: 431, middle: "by the fingerboard", behind: "middle, upper bout", side: "upper %s bout"},
		{to: 478, middle: "under the strings", behind: "middle, upper bout", side: "upper %s bout"},
		{to: 574, middle: "under the strings", behind: "middle, waist", side: "%s waist"},
		{to: 770, middle: "by the tailpiece", behind: "middle, lower bout", side: "lower %s bout"},
		{to: 822, middle: "under the tailpiece", behind: "middle, lower bout", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{500, practice},
		width:  figure{370, practice},
		upper:  figure{264, practice},
		waist:  figure{232, practice},
		depth:  figure{85, practice},
		narrow: figure{78, practice},
		lip:    figure{5, practice},
		swell:  figure{3, practice},
		border: steelBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 852.1, Angle: 180, Out: 104},
			{X: -185, Y: 712, Angle: 270, In: 78, Out: 98},
			{X: -116, Y: 526, Angle: 270, In: 54, Out: 42},
			{X: -132, Y: 428, Angle: 270, In: 34, Out: 42},
			{X: 0, Y: 352.1, Angle: 0, In: 78},
		},
	},
	neck: steelNeck,
	head: slotted{
		reach:    figure{10, drawn},
		least:    figure{32.6, drawn},
		shoulder: figure{32, drawn},
		tip:      figure{34, drawn},
		first:    figure{50, practice},
		step:     figure{37, practice},
		crowded:  figure{24, practice},
		slot:     figure{12.5, practice},
		web:      figure{13.5, practice},
		ramp:     figure{20, practice},
		roller:   figure{6.4, practice},
		contour:  archedTip,
	},
	bridge: coverPlate{
		across: figure{268, practice},
		well:   figure{112, drawn},
		hole:   figure{5.6, drawn},
		strap:  figure{104, drawn},
		wide:   figure{27, drawn},
		slit:   figure{9, drawn},
		tail: trapezeTail{length: figure{70, drawn}, bar: figure{66, practice}, deep: figure{11, drawn},
			hinge: figure{30, drawn}, plate: figure{20, drawn}, rod: figure{4, practice}},
	},
	rises: rises{
		nut:       figure{4, practice},
		joint:     figure{9, practice},
		saddle:    figure{19, practice}, // the plate's dome of 9 and the saddle above it
		headFall:  figure{25, practice},
		boardDeep: figure{6, practice},
		machine:   figure{-6, practice}, // rollers in the slots, buttons behind
		spread:    figure{2, practice},
		guard:     figure{6, practice}, // the plate is domed, 2 mm at its rim and 9 in its middle
	},
	front: []part{headFront{}, faces{}, neckFront{},
		screens{at: node{X: -84, Y: 448}, across: figure{40, practice}, ring: figure{3.5, drawn}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: steelBack,
	side: []part{ribs{}, ticks{}, endPin{}},
}
