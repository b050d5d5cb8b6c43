package outline

import "wornwood/capture/record"

func init() { register(&hollowArchtop) }

// What instruments with an arched top and pickups share.

var archtopLayout = layout{
	nutStep:    figure{7.1, practice},
	bridgeStep: figure{10.4, practice},
	crowdedNut: figure{2.5, drawn},
	crowdedEnd: figure{3, drawn},
	margin:     figure{3.75, practice},
	pairsFrom:  9,
	pairNut:    figure{2, practice},
	pairEnd:    figure{2.6, practice},
}

var archtopBoard = board{
	nutLength: figure{4.5, practice},
	fretWidth: figure{2.4, practice},
	overhang:  figure{9, practice},
	dots:      []int{3, 5, 7, 9},
}

var archtopBinding = border{width: figure{4.2, practice}, part: record.Binding, name: "binding", lines: []float64{2.4, 3.3}}

// hollowArchtop is a deep hollow guitar with carved plates, one rounded
// cutaway, a bridge that stands loose on the top, and two pickups; the body
// meets the neck at the 14th fret.
var hollowArchtop = class{
	name:    "hollow archtop",
	scale:   figure{635, practice},
	limits:  [2]float64{540, 760},
	frets:   22,
	strings: 6,

	layout: archtopLayout,
	frame: frame{joint: figure{352.1, practice}, deep: figure{452, drawn}, fixed: true, pocket: figure{22, drawn},
		hinge: 700, shortest: 0.7, longest: 1.4},
	board: archtopBoard,
	electronics: electronics{
		pickupCount:  2,
		pickupLength: figure{38, practice},
		pickupReach:  figure{10, drawn},
		knobRadius:   figure{11, practice},
		switchRadius: figure{8, practice},
		controls: []control{
			{slug: "volume-neck", name: "volume knob, neck pickup", at: node{X: 106, Y: 744}},
			{slug: "volume-bridge", name: "volume knob, bridge pickup", at: node{X: 148, Y: 726}},
			{slug: "tone-neck", name: "tone knob, neck pickup", at: node{X: 122, Y: 788}},
			{slug: "tone-bridge", name: "tone knob, bridge pickup", at: node{X: 164, Y: 768}},
			{slug: "switch", name: "selector switch", at: node{X: -106, Y: 428}, toggle: true},
		},
		jack: &jack{at: node{Y: 800}, length: figure{36, practice}, width: figure{28, practice}},
	},
	zones: zones{middle: 36, bands: []band{
		{to: 448, middle: "by the fingerboard", behind: "middle, upper bout", side: "upper %s bout", treble: "horn"},
		{to: 486, middle: "under the strings", behind: "middle, upper bout", side: "upper %s bout"},
		{to: 584, middle: "under the strings", behind: "middle, waist", side: "%s waist"},
		{to: 672, middle: "by the bridge", behind: "middle, lower bout", side: "lower %s bout"},
		{to: 838, middle: "under the tailpiece", behind: "middle, lower bout", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{520, practice},
		width:  figure{432, practice},
		depth:  figure{86, practice},
		lip:    figure{7, practice},
		arch:   figure{19, practice},
		swell:  figure{19, practice},
		border: archtopBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		// Bass bouts, shoulder, the way under the neck and down its treble side,
		// horn, treble bouts.
		ring: []node{
			{X: 0, Y: 872.1, Angle: 180, In: 118, Out: 118},
			{X: -216, Y: 700, Angle: 270, In: 94, Out: 90},
			{X: -136, Y: 530, Angle: 270, In: 58, Out: 42},
			{X: -159, Y: 436, Angle: 270, In: 36, Out: 46},
			{X: 2, Y: 352.1, Angle: 0, In: 92, Out: 12},
			{X: 21, Y: 394, Angle: 87, In: 30, Out: 24},
			{X: 66, Y: 450, Angle: 350, In: 30, Out: 22},
			{X: 126, Y: 411, Angle: 0, In: 26, Out: 19},
			{X: 159, Y: 448, Angle: 90, In: 21, Out: 32},
			{X: 136, Y: 530, Angle: 90, In: 34, Out: 58},
			{X: 216, Y: 700, Angle: 90, In: 90, Out: 94},
		},
	},
	neck: neck{depth: figure{22, practice}, heel: figure{46, drawn}, closeUp: figure{34, drawn}},
	head: paddle{
		reach:    figure{15, drawn},
		least:    figure{35, drawn},
		shoulder: figure{42, drawn},
		tip:      figure{40, drawn},
		first:    figure{48, practice},
		step:     figure{39, practice},
		crowded:  figure{28, practice},
		inset:    figure{13, practice},
		cover:    true,
		contour:  gabledTip,
	},
	bridge: floatingBridge{width: figure{148, practice}, foot: figure{8, practice}, height: figure{4.4, practice},
		tail: trapezeTail{length: figure{122, drawn}, bar: figure{74, practice}, deep: figure{15, drawn},
			hinge: figure{34, drawn}, plate: figure{26, drawn}, rod: figure{5, practice}}},
	rises: rises{
		nut:       figure{-3, practice},
		joint:     figure{21, practice},
		saddle:    figure{45, practice}, // arch of 19 and a bridge of 26
		headFall:  figure{25, practice},
		boardDeep: figure{6, practice},
		spread:    figure{3, practice}, // necks of the class are set at 3 to 5 degrees
		guard:     figure{13, practice},
	},
	front: []part{headFront{}, faces{}, carve{in: figure{22, drawn}}, neckFront{},
		fholes{upper: figure{6, practice}, lower: figure{7.6, practice}, width: figure{12, practice}, nick: 635,
			stem: []node{
				{X: -86, Y: 577, Angle: 264, Out: 12},
				{X: -101, Y: 556, Angle: 184, In: 10, Out: 11},
				{X: -116, Y: 594, Angle: 96, In: 20, Out: 24},
				{X: -128, Y: 664, Angle: 100, In: 28, Out: 20},
				{X: -146, Y: 696, Angle: 184, In: 14, Out: 10},
				{X: -160, Y: 676, Angle: 276, In: 12},
			}},
		guard{nodes: []node{
			{X: 41, Y: 476, Angle: 352, In: 8, Out: 20},
			{X: 84, Y: 498, Angle: 84, In: 20, Out: 30},
			{X: 70, Y: 590, Angle: 102, In: 34, Out: 16},
			{X: 52, Y: 618, Angle: 182, In: 14, Out: 8},
			{X: 41, Y: 602, Angle: 270, In: 10, Out: 40},
		}},
		boardFront{}, bridgeFront{}, wiring{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, carve{in: figure{22, drawn}}, seam{},
		heelCap{width: figure{38, practice}, reach: figure{18, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, sideJack{}, endPin{}},
}
