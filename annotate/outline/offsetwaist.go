package outline

import "wornwood/capture/record"

func init() { register(&offsetWaist) }

// offsetWaist is a solid body whose waist lies higher on the bass side than on
// the treble side, so that the whole body leans under the player's arm.
var offsetWaist = class{
	name:    "solid-body offset-waist",
	scale:   figure{648, memory},
	limits:  [2]float64{300, 1200},
	frets:   22,
	strings: 6,

	layout: solidLayout,
	frame:  frame{joint: figure{444, drawn}, pocket: figure{24, drawn}, shortest: 0.85, longest: 1.3},
	board:  solidBoard,
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{27, practice},
		pickupReach:  figure{14, drawn},
		knobRadius:   figure{10.5, practice},
		switchRadius: figure{7.5, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 92, Y: 664}},
			{slug: "tone", name: "tone knob", at: node{X: 110, Y: 704}},
			{slug: "switch", name: "selector switch", at: node{X: 96, Y: 532}, toggle: true},
		},
		jack: &jack{at: node{Y: 734}, length: figure{40, practice}, width: figure{22, practice}},
	},
	zones: zones{middle: 36, bands: []band{
		{to: 446, middle: "by the neck", side: "%s horn"},
		{to: 476, middle: "under the strings", behind: "middle", side: "upper %s bout"},
		{to: 588, middle: "under the strings", behind: "middle", side: "%s waist"},
		{to: 678, middle: "by the bridge", behind: "middle", side: "lower %s bout"},
		{to: 752, middle: "below the bridge", behind: "middle", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{455, memory},
		width:  figure{340, memory},
		depth:  figure{44, memory},
		round:  figure{8, practice},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		// Bass bouts and horn, treble horn and bouts.
		ring: []node{
			{X: 52, Y: 791, Angle: 172, In: 84, Out: 112},
			{X: -160, Y: 618, Angle: 270, In: 96, Out: 58},
			{X: -119, Y: 494, Angle: 278, In: 50, Out: 40},
			{X: -131, Y: 392, Angle: 268, In: 40, Out: 32},
			{X: -103, Y: 337, Angle: 8, In: 22, Out: 18},
			{X: -71, Y: 400, Angle: 62, In: 32, Out: 30},
			{X: 0, Y: 446, Angle: 0, In: 38, Out: 36},
			{X: 72, Y: 421, Angle: 326, In: 26, Out: 14},
			{X: 108, Y: 404, Angle: 4, In: 18, Out: 20},
			{X: 144, Y: 454, Angle: 94, In: 28, Out: 42},
			{X: 128, Y: 570, Angle: 84, In: 44, Out: 38},
			{X: 180, Y: 694, Angle: 90, In: 62, Out: 56},
		},
	},
	neck: neck{depth: figure{21, practice}, heel: figure{45, drawn}, closeUp: figure{78, drawn}},
	head: paddle{
		reach:    figure{10, drawn},
		least:    figure{30, drawn},
		shoulder: figure{36, drawn},
		tip:      figure{34, drawn},
		first:    figure{46, practice},
		step:     figure{26, practice},
		crowded:  figure{24, practice},
		inset:    figure{13, practice},
		bassOnly: true,
		contour:  obliqueTip,
	},
	bridge: postBridge{half: figure{8, practice}, reach: figure{15, practice}, tail: figure{62, drawn}, bar: figure{9, drawn}},
	rises: rises{
		nut:    figure{10, practice},
		joint:  figure{11, practice},
		saddle: figure{16, practice},
		head:   figure{14, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{}, cover{slug: "guard", name: "guard", screws: 7, nodes: []node{
		{X: -62, Y: 488, Angle: 350, In: 20, Out: 40},
		{X: 90, Y: 488, Angle: 20, In: 40, Out: 20},
		{X: 112, Y: 548, Angle: 95, In: 26, Out: 40},
		{X: 130, Y: 690, Angle: 90, In: 50, Out: 30},
		{X: 100, Y: 732, Angle: 186, In: 18, Out: 26},
		{X: 62, Y: 640, Angle: 270, In: 40, Out: 20},
		{X: 40, Y: 602, Angle: 200, In: 20, Out: 30},
		{X: -60, Y: 570, Angle: 215, In: 40, Out: 20},
	}}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}, roundover{}},
	back: []part{neckBack{}, headBack{}, faces{},
		heelPlate{below: figure{48, drawn}, across: figure{26, drawn}, along: figure{30, drawn}},
		cover{slug: "cover", name: "cavity cover", screws: 5, nodes: []node{
			{X: 92, Y: 636, Angle: 0, In: 14, Out: 18},
			{X: 128, Y: 690, Angle: 84, In: 34, Out: 26},
			{X: 118, Y: 746, Angle: 186, In: 22, Out: 20},
			{X: 74, Y: 676, Angle: 276, In: 36, Out: 26},
		}}, headMachines{}, roundover{}},
	side: []part{ribs{}, ticks{}, sideJack{}, hornPin{}, endPin{}},
}
