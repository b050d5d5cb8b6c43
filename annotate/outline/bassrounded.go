package outline

import "wornwood/capture/record"

func init() { register(&bassRounded) }

// bassRounded is a solid-body bass with two short, blunt horns and no sharp
// turn anywhere.
var bassRounded = class{
	name:    "electric bass rounded",
	scale:   figure{864, memory},
	limits:  [2]float64{700, 1000},
	frets:   20,
	strings: 4,

	layout: bassLayout,
	frame:  frame{joint: figure{566, drawn}, pocket: figure{30, drawn}, shortest: 0.8, longest: 1.35},
	board:  bassBoard,
	electronics: electronics{
		pickupCount:  1,
		pickupLength: figure{46, practice},
		pickupReach:  figure{13, drawn},
		knobRadius:   figure{11, practice},
		switchRadius: figure{7.5, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 98, Y: 768}},
			{slug: "tone", name: "tone knob", at: node{X: 114, Y: 810}},
		},
		jack: &jack{at: node{X: 118, Y: 864}, length: figure{44, practice}, width: figure{24, practice}, front: true},
	},
	zones: zones{middle: 44, bands: []band{
		{to: 580, middle: "by the neck", side: "%s horn"},
		{to: 634, middle: "under the strings", behind: "middle", side: "upper %s bout"},
		{to: 748, middle: "under the strings", behind: "middle", side: "%s waist"},
		{to: 910, middle: "by the bridge", behind: "middle", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{440, drawn},
		width:  figure{342, drawn},
		depth:  figure{44, practice},
		round:  figure{10, practice},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		// Bass bouts and horn, treble horn and bouts.
		ring: []node{
			{X: 4, Y: 950, Angle: 180, In: 100, Out: 100},
			{X: -169, Y: 826, Angle: 270, In: 74, Out: 66},
			{X: -126, Y: 690, Angle: 272, In: 48, Out: 42},
			{X: -142, Y: 586, Angle: 271, In: 42, Out: 40},
			{X: -98, Y: 512, Angle: 2, In: 30, Out: 26},
			{X: -50, Y: 556, Angle: 40, In: 32, Out: 18},
			{X: 0, Y: 570, Angle: 0, In: 24, Out: 24},
			{X: 50, Y: 560, Angle: 332, In: 18, Out: 22},
			{X: 94, Y: 538, Angle: 4, In: 20, Out: 26},
			{X: 136, Y: 602, Angle: 91, In: 38, Out: 38},
			{X: 123, Y: 698, Angle: 88, In: 40, Out: 46},
			{X: 173, Y: 834, Angle: 90, In: 68, Out: 70},
		},
	},
	neck: neck{depth: figure{24, practice}, heel: figure{52, drawn}, closeUp: figure{88, drawn}},
	head: paddle{
		reach:    figure{24, drawn},
		least:    figure{42, drawn},
		shoulder: figure{48, drawn},
		tip:      figure{44, drawn},
		first:    figure{58, practice},
		step:     figure{58, practice},
		crowded:  figure{38, practice},
		inset:    figure{18, practice},
		large:    1.6,
		contour:  roundTip,
	},
	bridge: bassBridge,
	rises: rises{
		nut:      figure{11, practice},
		joint:    figure{11, practice},
		saddle:   figure{15, practice},
		headFall: figure{17, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{}, cover{slug: "guard", name: "guard", screws: 7, nodes: []node{
		{X: -60, Y: 614, Angle: 300, In: 20, Out: 14},
		{X: -28, Y: 606, Angle: 0, In: 16, Out: 24},
		{X: 84, Y: 634, Angle: 50, In: 34, Out: 30},
		{X: 92, Y: 712, Angle: 86, In: 34, Out: 40},
		{X: 142, Y: 820, Angle: 90, In: 50, Out: 40},
		{X: 118, Y: 902, Angle: 182, In: 24, Out: 24},
		{X: 78, Y: 820, Angle: 270, In: 40, Out: 26},
		{X: 40, Y: 776, Angle: 182, In: 26, Out: 40},
		{X: -60, Y: 690, Angle: 262, In: 50, Out: 34},
	}}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}, roundover{}},
	back: []part{neckBack{}, headBack{}, faces{},
		heelPlate{below: figure{54, drawn}, across: figure{28, drawn}, along: figure{34, drawn}},
		headMachines{}, roundover{}},
	side: []part{ribs{}, ticks{}, hornPin{}, endPin{}},
}
