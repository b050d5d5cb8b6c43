package outline

import "wornwood/capture/record"

func init() { register(&doubleCutaway) }

// doubleCutaway is a solid body with two horns, the bass horn longer.
var doubleCutaway = class{
	name:    "solid-body double-cutaway",
	scale:   figure{648, memory},
	limits:  [2]float64{300, 1200},
	frets:   22,
	strings: 6,

	layout: solidLayout,
	frame: frame{
		joint:    figure{450, drawn},
		pocket:   figure{22, drawn},
		shortest: 0.85,
		longest:  1.3,
	},
	board: solidBoard,
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{33, practice},
		pickupReach:  figure{12, drawn},
		knobRadius:   figure{10.5, practice},
		switchRadius: figure{7.5, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 114, Y: 650}},
			{slug: "tone", name: "tone knob", at: node{X: 104, Y: 690}},
			{slug: "switch", name: "selector switch", at: node{X: 110, Y: 611}, toggle: true},
		},
		jack: &jack{at: node{Y: 690}, length: figure{42, practice}, width: figure{24, practice}},
	},
	zones: zones{middle: 36, bands: []band{
		{to: 452, middle: "by the neck", side: "%s horn"},
		{to: 490, middle: "under the strings", side: "upper %s bout"},
		{to: 575, middle: "under the strings", side: "%s waist"},
		{to: 680, middle: "by the bridge", side: "lower %s bout"},
		{to: 738, middle: "below the bridge", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{406, drawn},
		width:  figure{326, drawn},
		depth:  figure{44, memory},
		round:  figure{6, practice},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		// Bass bouts and horn, treble horn and bouts.
		ring: []node{
			{X: 6, Y: 763, Angle: 179, In: 104, Out: 98},
			{X: -161, Y: 643, Angle: 270, In: 70, Out: 62},
			{X: -122, Y: 520, Angle: 271, In: 46, Out: 38},
			{X: -147, Y: 420, Angle: 273, In: 40, Out: 32},
			{X: -111, Y: 360, Angle: 8, In: 24, Out: 27},
			{X: -66, Y: 430, Angle: 34, In: 35, Out: 32},
			{X: 52, Y: 449, Angle: 350, In: 42, Out: 34},
			{X: 108, Y: 398, Angle: 354, In: 28, Out: 21},
			{X: 141, Y: 445, Angle: 91, In: 29, Out: 34},
			{X: 118, Y: 538, Angle: 89, In: 36, Out: 48},
			{X: 165, Y: 662, Angle: 90, In: 68, Out: 66},
		},
	},
	neck: neck{depth: figure{21, practice}, heel: figure{45, drawn}, closeUp: figure{76, drawn}},
	head: paddle{
		reach:    figure{15.5, drawn},
		least:    figure{31, drawn},
		shoulder: figure{32, drawn},
		tip:      figure{48, drawn},
		first:    figure{40, practice},
		step:     figure{40, practice},
		crowded:  figure{30, practice},
		inset:    figure{13, practice},
		cover:    true,
		contour:  leaningTip,
	},
	bridge: plateBridge{before: figure{11, drawn}, behind: figure{24, drawn}, reach: figure{11, drawn}},
	rises: rises{
		nut:    figure{10, practice},
		joint:  figure{10, practice},
		saddle: figure{13, practice},
		head:   figure{14, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{}, guard{nodes: []node{
		{X: 18, Y: 490, Angle: 338, In: 12, Out: 26},
		{X: 96, Y: 522, Angle: 74, In: 32, Out: 15},
		{X: 80, Y: 586, Angle: 103, In: 28, Out: 22},
		{X: 56, Y: 632, Angle: 168, In: 18, Out: 12},
		{X: 34, Y: 606, Angle: 266, In: 16, Out: 40},
	}}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}, roundover{}},
	back: []part{neckBack{}, headBack{}, faces{},
		heelPlate{below: figure{46, drawn}, across: figure{26, drawn}, along: figure{30, drawn}},
		cover{slug: "cover", name: "cavity cover", screws: 4, nodes: []node{
			{X: 108, Y: 588, Angle: 4, In: 16, Out: 16},
			{X: 140, Y: 650, Angle: 90, In: 32, Out: 30},
			{X: 106, Y: 716, Angle: 184, In: 18, Out: 16},
			{X: 78, Y: 652, Angle: 270, In: 32, Out: 32},
		}}, ferrules{}, headMachines{}, roundover{}},
	side: []part{ribs{}, ticks{}, sideJack{}, hornPin{}, endPin{}},
}
