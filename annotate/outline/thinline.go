package outline

import "wornwood/capture/record"

func init() { register(&thinline) }

// thinline is a shallow hollow guitar with two rounded horns, the bass horn a
// little higher; the body meets the neck at the 19th fret.
var thinline = class{
	name:    "thinline",
	scale:   figure{628, practice},
	limits:  [2]float64{500, 780},
	frets:   22,
	strings: 6,

	layout: archtopLayout,
	frame: frame{joint: figure{418.4, practice}, deep: figure{426, drawn}, fixed: true, pocket: figure{22, drawn},
		hinge: 682, shortest: 0.7, longest: 1.4},
	board: archtopBoard,
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{36, practice},
		pickupReach:  figure{10, drawn},
		knobRadius:   figure{10.5, practice},
		switchRadius: figure{7.5, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 110, Y: 736}},
			{slug: "tone", name: "tone knob", at: node{X: 150, Y: 716}},
			{slug: "switch", name: "selector switch", at: node{X: 172, Y: 674}, toggle: true},
		},
		jack: &jack{at: node{Y: 768}, length: figure{36, practice}, width: figure{26, practice}},
	},
	zones: zones{middle: 36, bands: []band{
		{to: 420, middle: "by the fingerboard", behind: "middle, upper bout", side: "%s horn"},
		{to: 482, middle: "under the strings", behind: "middle, upper bout", side: "upper %s bout"},
		{to: 580, middle: "under the strings", behind: "middle, waist", side: "%s waist"},
		{to: 664, middle: "by the bridge", behind: "middle, lower bout", side: "lower %s bout"},
		{to: 814, middle: "under the tailpiece", behind: "middle, lower bout", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{480, practice},
		width:  figure{405, practice},
		depth:  figure{45, practice},
		lip:    figure{6, practice},
		arch:   figure{12, practice},
		swell:  figure{10, practice},
		border: archtopBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		// Bass bouts and horn, the way under the neck, treble horn and bouts.
		ring: []node{
			{X: 0, Y: 846, Angle: 180, In: 110, Out: 110},
			{X: -202.5, Y: 682, Angle: 270, In: 90, Out: 82},
			{X: -131, Y: 518, Angle: 270, In: 56, Out: 38},
			{X: -153, Y: 424, Angle: 270, In: 36, Out: 34},
			{X: -112, Y: 366, Angle: 0, In: 24, Out: 24},
			{X: -66, Y: 404, Angle: 48, In: 24, Out: 18},
			{X: 0, Y: 420, Angle: 0, In: 36, Out: 34},
			{X: 68, Y: 412, Angle: 326, In: 18, Out: 16},
			{X: 110, Y: 388, Angle: 0, In: 20, Out: 23},
			{X: 150, Y: 446, Angle: 90, In: 33, Out: 36},
			{X: 129, Y: 544, Angle: 90, In: 40, Out: 50},
			{X: 202.5, Y: 682, Angle: 90, In: 82, Out: 90},
		},
	},
	neck: neck{depth: figure{21, practice}, heel: figure{44, drawn}, closeUp: figure{30, drawn}},
	head: paddle{
		reach:    figure{14, drawn},
		least:    figure{34, drawn},
		shoulder: figure{38, drawn},
		tip:      figure{42, drawn},
		first:    figure{46, practice},
		step:     figure{39, practice},
		crowded:  figure{28, practice},
		inset:    figure{13, practice},
		cover:    true,
		contour:  taperedTip,
	},
	bridge: floatingBridge{width: figure{116, practice}, foot: figure{7.5, practice}, height: figure{4.4, practice},
		tail: trapezeTail{length: figure{112, drawn}, bar: figure{70, practice}, deep: figure{13, drawn},
			hinge: figure{30, drawn}, plate: figure{24, drawn}, rod: figure{5, practice}}},
	rises: rises{
		nut:       figure{-4, practice},
		joint:     figure{14, practice},
		saddle:    figure{28, practice}, // arch of 12 and a bridge of 16
		headFall:  figure{25, practice},
		boardDeep: figure{6, practice},
		spread:    figure{2.5, practice},
		guard:     figure{9, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{},
		sholes{width: figure{12, drawn}, tip: figure{3.4, drawn}, line: []node{
			{X: -92, Y: 556, Angle: 196, Out: 22},
			{X: -118, Y: 622, Angle: 93, In: 38, Out: 38},
			{X: -147, Y: 686, Angle: 162, In: 24},
		}},
		guard{nodes: []node{
			{X: 40, Y: 470, Angle: 352, In: 8, Out: 18},
			{X: 78, Y: 492, Angle: 88, In: 18, Out: 34},
			{X: 66, Y: 578, Angle: 104, In: 34, Out: 16},
			{X: 50, Y: 606, Angle: 182, In: 14, Out: 7},
			{X: 40, Y: 590, Angle: 270, In: 10, Out: 40},
		}},
		boardFront{}, bridgeFront{}, wiring{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, heelCap{width: figure{42, practice}, reach: figure{16, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, sideJack{}, hornPin{}, endPin{}},
}
