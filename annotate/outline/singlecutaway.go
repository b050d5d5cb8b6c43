package outline

import "wornwood/capture/record"

func init() { register(&singleCutaway) }

// singleCutaway is a solid body with a carved front, one horn on the treble
// side and a glued neck.
var singleCutaway = class{
	name:    "solid-body single-cutaway",
	scale:   figure{628, memory},
	limits:  [2]float64{300, 1200},
	frets:   22,
	strings: 6,

	layout: layout{
		nutStep:    figure{7, practice},
		bridgeStep: figure{10.4, practice},
		crowdedNut: figure{2.5, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.75, practice},
	},
	frame: frame{joint: figure{381, drawn}, deep: figure{446, drawn}, pocket: figure{22, drawn}, hinge: 644, shortest: 0.8, longest: 1.35},
	board: board{
		nutLength: figure{4.5, practice},
		fretWidth: figure{2.4, practice},
		overhang:  figure{9, practice},
		dots:      []int{3, 5, 7, 9},
	},
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{38, practice},
		pickupReach:  figure{10, drawn},
		knobRadius:   figure{11, practice},
		switchRadius: figure{8.5, practice},
		controls: []control{
			{slug: "volume-neck", name: "volume knob, neck pickup", at: node{X: 72, Y: 668}},
			{slug: "volume-bridge", name: "volume knob, bridge pickup", at: node{X: 112, Y: 640}},
			{slug: "tone-neck", name: "tone knob, neck pickup", at: node{X: 92, Y: 708}},
			{slug: "tone-bridge", name: "tone knob, bridge pickup", at: node{X: 130, Y: 679}},
			{slug: "switch", name: "selector switch", at: node{X: -84, Y: 410}, toggle: true},
		},
		jack: &jack{at: node{Y: 700}, length: figure{36, practice}, width: figure{28, practice}},
	},
	zones: zones{middle: 34, bands: []band{
		{to: 440, middle: "by the neck", side: "upper bass bout", treble: "horn"},
		{to: 460, middle: "under the strings", behind: "middle", side: "upper %s bout"},
		{to: 560, middle: "under the strings", behind: "middle", side: "%s waist"},
		{to: 655, middle: "by the bridge", behind: "middle", side: "lower %s bout"},
		{to: 732, middle: "below the bridge", behind: "middle", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{407, drawn},
		width:  figure{328, memory},
		depth:  figure{50, memory},
		lip:    figure{6, practice},
		arch:   figure{12, practice},
		border: border{width: figure{2.6, practice}, part: record.Binding, name: "binding", bare: true},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		// Bass bouts, shoulder, the way under the neck, horn, treble bouts.
		ring: []node{
			{X: 8, Y: 762, Angle: 179, In: 96, Out: 98},
			{X: -162, Y: 636, Angle: 270, In: 70, Out: 64},
			{X: -116, Y: 500, Angle: 272, In: 46, Out: 34},
			{X: -133, Y: 424, Angle: 271, In: 28, Out: 36},
			{X: -86, Y: 356, Angle: 356, In: 32, Out: 26},
			{X: -30, Y: 366, Angle: 24, In: 24, Out: 24},
			{X: 36, Y: 432, Angle: 48, In: 30, Out: 9},
			{X: 62, Y: 440, Angle: 342, In: 12, Out: 26},
			{X: 116, Y: 372, Angle: 352, In: 38, Out: 11},
			{X: 137, Y: 402, Angle: 96, In: 18, Out: 30},
			{X: 113, Y: 512, Angle: 87, In: 40, Out: 50},
			{X: 166, Y: 652, Angle: 90, In: 64, Out: 66},
		},
	},
	neck: neck{depth: figure{22, practice}, heel: figure{42, drawn}, closeUp: figure{30, drawn}},
	head: paddle{
		reach:    figure{17, drawn},
		least:    figure{34, drawn},
		shoulder: figure{40, drawn},
		tip:      figure{34, drawn},
		first:    figure{46, practice},
		step:     figure{38, practice},
		crowded:  figure{30, practice},
		inset:    figure{13, practice},
		cover:    true,
		contour:  archedTip,
	},
	bridge: postBridge{half: figure{6, practice}, reach: figure{17, practice}, tail: figure{44, practice}, bar: figure{7.5, practice}},
	rises: rises{
		nut:      figure{9, practice},
		joint:    figure{17, practice},
		saddle:   figure{29, practice},
		head:     figure{0, practice},
		headFall: figure{25, practice},
	},
	front: []part{headFront{}, faces{}, carve{in: figure{18, drawn}}, neckFront{}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, heelCap{width: figure{44, drawn}, reach: figure{20, drawn}, flush: true},
		cover{slug: "cover", name: "cavity cover", screws: 4, nodes: []node{
			{X: 96, Y: 618, Angle: 350, In: 20, Out: 26},
			{X: 144, Y: 652, Angle: 90, In: 24, Out: 26},
			{X: 100, Y: 730, Angle: 190, In: 30, Out: 16},
			{X: 58, Y: 680, Angle: 272, In: 26, Out: 26},
		}},
		cover{slug: "switch-cover", name: "switch cover", screws: 3, nodes: []node{
			{X: -84, Y: 388, Angle: 0, In: 12.2, Out: 12.2},
			{X: -62, Y: 410, Angle: 90, In: 12.2, Out: 12.2},
			{X: -84, Y: 432, Angle: 180, In: 12.2, Out: 12.2},
			{X: -106, Y: 410, Angle: 270, In: 12.2, Out: 12.2},
		}}, headMachines{}},
	side: []part{ribs{}, ticks{}, sideJack{}, endPin{}},
}
