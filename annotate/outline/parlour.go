package outline

import "wornwood/capture/record"

func init() { register(&parlour) }

// parlour is a small steel-string flat-top of the older kind: a slotted head,
// and the body meets the neck at the 12th fret.
var parlour = class{
	name:    "flat-top parlour",
	scale:   figure{622, practice},
	limits:  [2]float64{450, 760},
	frets:   18,
	strings: 6,

	layout: layout{
		nutStep:    figure{7.5, practice},
		bridgeStep: figure{11, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{4, practice},
		pairsFrom:  9,
		pairNut:    figure{2, practice},
		pairEnd:    figure{2.6, practice},
	},
	frame: frame{joint: figure{311, practice}, fixed: true, pocket: figure{20, drawn}, hinge: 650, shortest: 0.6, longest: 1.5},
	board: board{nutLength: figure{5, practice}, fretWidth: figure{2, practice}, overhang: figure{7, practice}, dots: []int{5, 7, 10}},
	zones: flatTopZones(flatTopHeights{board: 409, soundhole: 509, bridge: 664, bottom: 753,
		upper: 446, waist: 552}),
	body: body{
		length: figure{470, practice},
		width:  figure{340, practice},
		upper:  figure{250, practice},
		waist:  figure{206, practice},
		depth:  figure{95, practice},
		narrow: figure{82, practice},
		lip:    figure{5, practice},
		arch:   figure{2.5, practice},
		swell:  figure{4, practice},
		border: border{width: figure{2.2, practice}, part: record.Binding, name: "binding", lines: []float64{3.8}},
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 781, Angle: 180, Out: 92},
			{X: -170, Y: 650, Angle: 270, In: 74, Out: 84},
			{X: -103, Y: 500, Angle: 270, In: 54, Out: 46},
			{X: -125, Y: 392, Angle: 270, In: 38, Out: 46},
			{X: 0, Y: 311, Angle: 0, In: 70},
		},
	},
	neck: neck{depth: figure{22, practice}, heel: figure{44, drawn}, closeUp: figure{28, drawn}},
	head: slotted{
		reach:    figure{9.5, drawn},
		least:    figure{32.2, drawn},
		shoulder: figure{30, drawn},
		tip:      figure{30, drawn},
		first:    figure{50, practice},
		step:     figure{37, practice},
		crowded:  figure{24, practice},
		slot:     figure{12.5, practice},
		web:      figure{13, practice},
		ramp:     figure{20, practice},
		roller:   figure{6.4, practice},
		contour:  levelTip,
	},
	bridge: pinBridge{
		width:  figure{150, practice},
		middle: figure{27, practice},
		wing:   figure{17, drawn},
		before: figure{8, practice},
		pins:   figure{12, practice},
	},
	rises: rises{
		nut:       figure{6, practice},
		joint:     figure{6.2, practice},
		saddle:    figure{12, practice},
		headFall:  figure{25, practice},
		boardDeep: figure{6, practice},
		machine:   figure{-6, practice}, // rollers in the slots, buttons behind
	},
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{461, drawn}, wide: figure{90, practice}, tall: figure{90, practice}, rings: []float64{4.5, 5.5, 8, 9}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, heelCap{width: figure{36, practice}, reach: figure{16, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, endPin{}},
}
