package outline

import "wornwood/capture/record"

func init() { register(&teardrop) }

// teardrop is a mandolin with an arched top, an oval hole and four pairs of
// strings.
var teardrop = class{
	name:    "mandolin teardrop",
	scale:   figure{352, memory},
	limits:  [2]float64{300, 480},
	frets:   20,
	strings: 8,

	layout: mandolinLayout,
	frame:  frame{joint: figure{186, drawn}, fixed: true, pocket: figure{16, drawn}, hinge: 412, shortest: 0.7, longest: 1.4},
	board:  mandolinBoard,
	zones:  flatTopZones(flatTopHeights{board: 248, soundhole: 318, bridge: 378, bottom: 440, upper: 268, waist: 268.5}),
	body: body{
		length: figure{330, memory},
		width:  figure{252, memory},
		depth:  figure{50, practice},
		lip:    figure{4, practice},
		arch:   figure{13, practice},
		swell:  figure{11, practice},
		border: border{width: figure{2, practice}, part: record.Binding, name: "binding", lines: []float64{3.4}},
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 516, Angle: 180, Out: 68},
			{X: -126, Y: 412, Angle: 270, In: 60, Out: 62},
			{X: -62, Y: 252, Angle: 309, In: 66, Out: 34},
			{X: -22, Y: 196, Angle: 318, In: 22, Out: 10},
			{X: 0, Y: 186, Angle: 0, In: 13},
		},
	},
	neck: neck{depth: figure{21, practice}, heel: figure{30, drawn}, closeUp: figure{22, drawn}},
	head: paddle{
		reach:    figure{14, drawn},
		least:    figure{28, drawn},
		shoulder: figure{28, drawn},
		tip:      figure{30, drawn},
		first:    figure{34, practice},
		step:     figure{23.5, practice},
		crowded:  figure{20, practice},
		inset:    figure{11, practice},
		contour:  archedTip,
	},
	bridge: floatingBridge{width: figure{112, practice}, foot: figure{6.5, practice}, height: figure{3.4, practice},
		tail: plateTail{width: figure{50, drawn}, length: figure{62, drawn}}},
	rises: rises{
		nut:       figure{-5, practice}, // necks lean back by about five degrees
		joint:     figure{11, practice},
		saddle:    figure{30, practice}, // arch of 13 and a bridge of 17
		headFall:  figure{25, practice},
		boardDeep: figure{5, practice},
	},
	front: []part{headFront{}, faces{}, carve{in: figure{14, drawn}}, neckFront{},
		soundhole{below: figure{284, drawn}, wide: figure{68, practice}, tall: figure{50, practice}, rings: []float64{3, 4, 7, 8}},
		cover{slug: "guard", name: "guard", nodes: []node{
			{X: 30, Y: 254, Angle: 30, In: 6, Out: 18},
			{X: 66, Y: 300, Angle: 78, In: 20, Out: 16},
			{X: 60, Y: 336, Angle: 152, In: 15, Out: 9},
			{X: 40.5, Y: 322, Angle: 274, In: 12, Out: 13},
			{X: 41, Y: 284, Angle: 268, In: 14, Out: 10},
		}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, heelCap{width: figure{24, practice}, reach: figure{12, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, endPin{}},
}
