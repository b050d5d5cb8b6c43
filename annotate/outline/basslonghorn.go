package outline

import "wornwood/capture/record"

func init() { register(&bassLongHorn) }

// bassLongHorn is a solid-body bass whose bass horn reaches to the twelfth
// fret, so that it hangs level from a strap.
var bassLongHorn = class{
	name:    "electric bass long-horn",
	scale:   figure{864, memory},
	limits:  [2]float64{700, 1000},
	frets:   24,
	strings: 4,

	layout: bassLayout,
	frame:  frame{joint: figure{606, drawn}, pocket: figure{26, drawn}, shortest: 0.8, longest: 1.35},
	board:  bassBoard,
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{32, practice},
		pickupReach:  figure{14, drawn},
		knobRadius:   figure{9.5, practice},
		switchRadius: figure{7.5, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 92, Y: 776}},
			{slug: "balance", name: "balance knob", at: node{X: 112, Y: 808}},
			{slug: "bass", name: "bass knob", at: node{X: 116, Y: 846}},
			{slug: "treble", name: "treble knob", at: node{X: 98, Y: 880}},
		},
		jack: &jack{at: node{Y: 886}, length: figure{38, practice}, width: figure{22, practice}},
	},
	zones: zones{middle: 44, bands: []band{
		{to: 606, middle: "by the neck", side: "%s horn"},
		{to: 642, middle: "under the strings", behind: "middle", side: "upper %s bout"},
		{to: 752, middle: "under the strings", behind: "middle", side: "%s waist"},
		{to: 914, middle: "by the bridge", behind: "middle", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{514, drawn},
		width:  figure{328, drawn},
		depth:  figure{42, practice},
		round:  figure{8, practice},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		// Bass bouts and horn, treble horn and bouts.
		ring: []node{
			{X: 16, Y: 950, Angle: 177, In: 92, Out: 94},
			{X: -160, Y: 814, Angle: 270, In: 80, Out: 64},
			{X: -112, Y: 668, Angle: 276, In: 54, Out: 60},
			{X: -134, Y: 506, Angle: 271, In: 60, Out: 38},
			{X: -106, Y: 436, Angle: 6, In: 24, Out: 20},
			{X: -76, Y: 520, Angle: 78, In: 46, Out: 46},
			{X: 0, Y: 608, Angle: 4, In: 50, Out: 44},
			{X: 76, Y: 556, Angle: 316, In: 34, Out: 14},
			{X: 106, Y: 536, Angle: 6, In: 14, Out: 18},
			{X: 135, Y: 584, Angle: 92, In: 28, Out: 40},
			{X: 118, Y: 696, Angle: 86, In: 44, Out: 46},
			{X: 168, Y: 836, Angle: 90, In: 70, Out: 68},
		},
	},
	neck: neck{depth: figure{23, practice}, heel: figure{52, drawn}, closeUp: figure{84, drawn}},
	head: paddle{
		reach:    figure{17, drawn},
		least:    figure{34, drawn},
		shoulder: figure{42, drawn},
		tip:      figure{44, drawn},
		first:    figure{58, practice},
		step:     figure{42, practice},
		crowded:  figure{36, practice},
		inset:    figure{18, practice},
		bassOnly: true,
		large:    1.5,
		contour:  obliqueTip,
	},
	bridge: bassBridge,
	rises: rises{
		nut:    figure{11, practice},
		joint:  figure{11, practice},
		saddle: figure{15, practice},
		head:   figure{15, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}, roundover{}},
	back: []part{neckBack{}, headBack{}, faces{},
		heelPlate{below: figure{50, drawn}, across: figure{28, drawn}, along: figure{34, drawn}},
		cover{slug: "cover", name: "cavity cover", screws: 5, nodes: []node{
			{X: 100, Y: 750, Angle: 8, In: 16, Out: 16},
			{X: 142, Y: 826, Angle: 90, In: 38, Out: 34},
			{X: 98, Y: 904, Angle: 186, In: 24, Out: 14},
			{X: 72, Y: 826, Angle: 270, In: 40, Out: 40},
		}},
		cover{slug: "battery-cover", name: "battery cover", screws: 2, nodes: polygonNodes(
			bend{X: 28, Y: 862, Round: 6}, bend{X: 28, Y: 798, Round: 6},
			bend{X: 60, Y: 798, Round: 6}, bend{X: 60, Y: 862, Round: 6},
		)}, headMachines{}, roundover{}},
	side: []part{ribs{}, ticks{}, sideJack{}, hornPin{}, endPin{}},
}
