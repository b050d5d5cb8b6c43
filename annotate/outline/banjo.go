package outline

import "wornwood/capture/record"

func init() { register(&banjo) }

// banjo is the five-string banjo with a resonator. The fifth string begins at
// the fifth fret, from a peg in the neck's side; with another number of strings
// there is none that is short. Front heights are counted from the skin.
var banjo = class{
	name:    "banjo",
	scale:   figure{667, memory},
	limits:  [2]float64{520, 760},
	frets:   22,
	strings: 5,

	layout: layout{
		nutStep:    figure{8.1, practice},
		bridgeStep: figure{10.6, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.4, practice},
		short: shortString{of: 5, fret: 5, beside: figure{8, practice},
			from: figure{28, drawn}, to: figure{17, drawn}},
	},
	frame: frame{joint: figure{452, memory}, deep: figure{490, practice}, rigid: true, fixed: true,
		pocket: figure{38, drawn}, hinge: 627, shortest: 1, longest: 1},
	board: board{nutLength: figure{4.5, practice}, fretWidth: figure{1.9, practice}, overhang: figure{5, practice}, dots: []int{3, 5, 7, 10}},
	zones: zones{middle: 27, bands: []band{
		{to: 545, middle: "by the neck", behind: "middle, upper half", side: "upper %s part", edge: "upper half"},
		{to: 627, middle: "under the strings", behind: "middle, upper half", side: "upper %s part", edge: "upper half"},
		{to: 690, middle: "by the bridge", behind: "middle, lower half", side: "lower %s part", edge: "lower half"},
		{middle: "by the tailpiece", behind: "middle, lower half", side: "lower %s part", edge: "lower half"},
	}},
	body: body{
		length: figure{350, memory},
		width:  figure{350, memory},
		depth:  figure{92, practice},
		swell:  figure{10, practice},
		border: border{width: figure{2.4, practice}, part: record.Binding, name: "binding"},
		front:  face{"skin", record.Skin},
		back:   face{"resonator", record.Resonator},
		sides:  face{part: record.Rim},
		half: []node{
			{X: 0, Y: 802, Angle: 180, Out: 96.65},
			{X: -175, Y: 627, Angle: 270, In: 96.65, Out: 96.65},
			{X: 0, Y: 452, Angle: 0, In: 96.65},
		},
	},
	neck: neck{depth: figure{22, practice}, heel: figure{40, drawn}, closeUp: figure{30, drawn}},
	head: banjoHead{
		straightPegs: straightPegs{
			paddle: paddle{
				reach:    figure{14, drawn},
				least:    figure{30, drawn},
				shoulder: figure{36, drawn},
				tip:      figure{46, drawn},
				first:    figure{46, practice},
				step:     figure{44, practice},
				crowded:  figure{28, practice},
				inset:    figure{12, practice},
				contour:  crestTip,
			},
			post:   figure{6, practice},
			bush:   figure{12.5, practice},
			collar: figure{14.5, practice},
			thumb:  figure{24, practice},
			thick:  figure{8.5, practice},
		},
		reach:  figure{42, practice},
		before: figure{8, practice},
	},
	bridge: banjoBridge{
		width: figure{84, practice},
		foot:  figure{8.5, practice},
		top:   figure{2.6, practice},
		tail:  figure{34, drawn},
		low:   figure{777, drawn},
		high:  figure{712, drawn},
	},
	rises: rises{
		nut:       figure{-18, practice}, // necks lean back by two to three degrees
		joint:     figure{1, practice},
		saddle:    figure{16.5, practice}, // bridges of 16 mm (5/8 in), 13 and 17 also made
		headFall:  figure{23, practice},
		boardDeep: figure{5, practice},
		spread:    figure{2.5, practice},
	},
	front: []part{headFront{}, banjoPot, neckFront{}, potTop{banjoPot}, boardFront{}, shortNut{across: figure{3, practice}}, bridgeFront{}, stringLines{}},
	back:  []part{neckBack{}, headBack{}, banjoPot, heelCap{width: figure{28, practice}, reach: figure{20, practice}}, headMachines{}},
	side:  []part{banjoPot},
}

var banjoPot = pot{
	middle:    figure{627, drawn},
	rim:       figure{280, memory},
	hoop:      figure{3, practice},
	skin:      figure{270, practice},
	flange:    figure{336, practice},
	flangeLow: figure{27, practice},
	hoopUp:    figure{3, practice},
	hook:      figure{6.5, practice},
	hookLong:  figure{11, practice},
	hooks:     24,
	hoopTall:  figure{8, practice},
	wall:      figure{60, practice},
}
