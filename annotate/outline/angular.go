package outline

import "wornwood/capture/record"

func init() { register(&angular) }

// angular is a solid body of straight edges and rounded corners: a hexagon, no
// two edges alike, whose upper edge falls off to the treble side so that the
// hand reaches the highest frets.
var angular = class{
	name:    "solid-body angular",
	scale:   figure{648, memory},
	limits:  [2]float64{300, 1200},
	frets:   22,
	strings: 6,

	layout: solidLayout,
	frame:  frame{joint: figure{420, drawn}, pocket: figure{28, drawn}, hinge: 690, deep: figure{464, drawn}, shortest: 0.85, longest: 1.3},
	board:  solidBoard,
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{38, practice},
		pickupReach:  figure{10, drawn},
		knobRadius:   figure{10.5, practice},
		switchRadius: figure{7.5, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 92, Y: 628}},
			{slug: "tone", name: "tone knob", at: node{X: 82, Y: 670}},
			{slug: "switch", name: "selector switch", at: node{X: 102, Y: 587}, toggle: true},
		},
		jack: &jack{at: node{Y: 700}, length: figure{38, practice}, width: figure{24, practice}},
	},
	zones: zones{middle: 36, tip: "upper corner", cutaway: "upper edge", bands: []band{
		{to: 446, middle: "by the neck", side: "upper %s corner"},
		{to: 512, middle: "under the strings", behind: "middle", side: "upper %s flank", treble: "upper treble corner"},
		{to: 590, middle: "under the strings", behind: "middle", side: "%s flank"},
		{to: 680, middle: "by the bridge", behind: "middle", side: "lower %s flank"},
		{to: 732, middle: "below the bridge", behind: "middle", side: "lower %s corner"},
		{middle: "bottom end", side: "lower %s corner"},
	}},
	body: body{
		length: figure{414, drawn},
		width:  figure{330, drawn},
		depth:  figure{42, practice},
		round:  figure{4, practice},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		ring: polygonNodes(
			bend{X: -76, Y: 776, Round: 30},
			bend{X: -172, Y: 606, Round: 36},
			bend{X: -134, Y: 351, Round: 22},
			bend{X: 110, Y: 474, Round: 26},
			bend{X: 166, Y: 640, Round: 34},
			bend{X: 92, Y: 760, Round: 28},
		),
	},
	neck: neck{depth: figure{21, practice}, heel: figure{45, drawn}, closeUp: figure{84, drawn}},
	head: paddle{
		reach:    figure{16, drawn},
		least:    figure{34, drawn},
		shoulder: figure{35, drawn},
		tip:      figure{30, drawn},
		first:    figure{46, practice},
		step:     figure{40, practice},
		crowded:  figure{30, practice},
		inset:    figure{13, practice},
		cover:    true,
		contour:  bevelledTip,
	},
	bridge: plateBridge{before: figure{11, drawn}, behind: figure{24, drawn}, reach: figure{9, drawn}},
	rises: rises{
		nut:      figure{10, practice},
		joint:    figure{10, practice},
		saddle:   figure{13, practice},
		headFall: figure{20, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}, roundover{}},
	back: []part{neckBack{}, headBack{}, faces{},
		heelPlate{below: figure{62, drawn}, across: figure{26, drawn}, along: figure{30, drawn}},
		cover{slug: "cover", name: "cavity cover", screws: 5, nodes: polygonNodes(
			bend{X: 66, Y: 702, Round: 10},
			bend{X: 66, Y: 562, Round: 10},
			bend{X: 114, Y: 562, Round: 12},
			bend{X: 138, Y: 638, Round: 14},
			bend{X: 98, Y: 702, Round: 12},
		)}, ferrules{}, headMachines{}, roundover{}},
	side: []part{ribs{}, ticks{}, sideJack{}, hornPin{}, endPin{}},
}
