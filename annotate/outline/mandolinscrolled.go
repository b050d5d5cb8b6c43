package outline

import "wornwood/capture/record"

func init() { register(&mandolinScrolled) }

// mandolinScrolled is a mandolin with arched plates and f-holes. On the bass
// side its shoulder runs out from the neck, away from it, and curls down over an
// open bay; on the treble side stands one soft point.
var mandolinScrolled = class{
	name:    "mandolin scrolled",
	scale:   figure{352, memory},
	limits:  [2]float64{320, 440},
	frets:   21,
	strings: 8,

	layout: mandolinLayout,
	frame:  frame{joint: figure{190, practice}, fixed: true, pocket: figure{24, drawn}, hinge: 414, shortest: 0.75, longest: 1.35},
	board:  mandolinBoard,
	zones: zones{middle: 26, bands: []band{
		{to: 253, middle: "by the fingerboard", behind: "middle, upper bout", side: "scroll", treble: "point"},
		{to: 272, middle: "under the strings", behind: "middle, upper bout", side: "scroll", treble: "point"},
		{to: 325, middle: "under the strings", behind: "middle, upper bout", side: "upper %s bout"},
		{to: 380, middle: "by the bridge", behind: "middle, lower bout", side: "lower %s bout"},
		{to: 505, middle: "by the tailpiece", behind: "middle, lower bout", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{340, memory},
		width:  figure{254, memory},
		depth:  figure{48, practice},
		lip:    figure{4, practice},
		arch:   figure{14, practice},
		swell:  figure{12, practice},
		border: border{width: figure{2.2, practice}, part: record.Binding, name: "binding", lines: []float64{3.6}},
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		// Bass bout, bay, curl, the way under the neck, point, treble bout.
		ring: []node{
			{X: 0, Y: 528, Angle: 180, In: 70, Out: 70},
			{X: -127, Y: 414, Angle: 270, In: 62, Out: 62},
			{X: -86, Y: 288, Angle: 352, In: 24, Out: 12},
			{X: -62, Y: 267, Angle: 270, In: 10, Out: 9},
			{X: -76, Y: 252, Angle: 184, In: 7, Out: 6},
			{X: -92, Y: 259, Angle: 182, In: 8, Out: 8},
			{X: -108, Y: 241, Angle: 270, In: 10, Out: 16},
			{X: -80, Y: 212, Angle: 352, In: 16, Out: 26},
			{X: 0, Y: 188, Angle: 0, In: 40, Out: 18},
			{X: 38, Y: 222, Angle: 40, In: 18, Out: 16},
			{X: 95, Y: 237, Angle: 52, In: 20, Out: 5},
			{X: 85, Y: 284, Angle: 92, In: 26, Out: 38},
			{X: 127, Y: 414, Angle: 90, In: 62, Out: 62},
		},
	},
	neck: neck{depth: figure{21, practice}, heel: figure{30, drawn}, closeUp: figure{26, drawn}},
	head: paddle{
		reach:    figure{15, drawn},
		least:    figure{29, drawn},
		shoulder: figure{28, drawn},
		tip:      figure{34, drawn},
		first:    figure{34, practice},
		step:     figure{23.5, practice},
		crowded:  figure{20, practice},
		inset:    figure{11, practice},
		cover:    true,
		contour:  leafTip,
	},
	bridge: floatingBridge{width: figure{100, practice}, foot: figure{6.5, practice}, height: figure{3.4, practice},
		tail: plateTail{width: figure{52, drawn}, length: figure{70, drawn}}},
	rises: rises{
		nut:       figure{-6, practice}, // necks lean back by five to six degrees
		joint:     figure{11, practice},
		saddle:    figure{31, practice}, // arch of 14 and a bridge of 17
		headFall:  figure{25, practice},
		boardDeep: figure{5, practice},
		spread:    figure{1.8, practice},
	},
	front: []part{headFront{}, faces{}, scrollRidge, mandolinHollow, neckFront{},
		violinHoles{length: figure{90, practice}, tops: figure{63, practice}, nick: 352, slant: 2},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, scrollRidge, seam{}, heelCap{width: figure{24, practice}, reach: figure{12, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, endPin{}},
}

// scrollRidge winds from the shoulder into the curl.
var scrollRidge = tracery{weight: thin, nodes: []node{
	{X: -34, Y: 216, Angle: 176, Out: 14},
	{X: -82, Y: 221, Angle: 176, In: 22, Out: 8},
	{X: -98, Y: 239, Angle: 92, In: 9, Out: 6},
	{X: -88, Y: 249, Angle: 0, In: 5, Out: 5},
	{X: -80, Y: 240, Angle: 272, In: 4.5, Out: 4},
	{X: -88, Y: 233, Angle: 182, In: 4, Out: 3},
	{X: -91.5, Y: 238.5, Angle: 96, In: 3},
}}

// mandolinHollow is where the plate's hollow turns into its arch.
var mandolinHollow = tracery{weight: hair, dashed: true, nodes: []node{
	{X: 24, Y: 236, Angle: 20, Out: 12},
	{X: 62, Y: 272, Angle: 64, In: 22, Out: 30},
	{X: 111, Y: 414, Angle: 90, In: 62, Out: 56},
	{X: 0, Y: 512, Angle: 180, In: 62, Out: 62},
	{X: -111, Y: 414, Angle: 270, In: 56, Out: 52},
	{X: -78, Y: 305, Angle: 340, In: 18, Out: 14},
	{X: -46, Y: 272, Angle: 275, In: 17, Out: 14},
	{X: -24, Y: 236, Angle: 330, In: 14},
}}
