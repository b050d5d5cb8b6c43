package outline

import "wornwood/capture/record"

func init() { register(&violin) }

// violin is the full-sized violin. Body, bouts and ribs are those of the
// project's list of outside facts.
var violin = class{
	name:     "violin",
	scale:    figure{328, memory},
	limits:   [2]float64{250, 345},
	frets:    30,
	strings:  4,
	fretless: true,

	layout: layout{
		nutStep:    figure{5.5, practice},
		bridgeStep: figure{11.3, practice},
		crowdedNut: figure{2, drawn},
		crowdedEnd: figure{3, drawn},
		margin:     figure{3.7, practice},
		marginEnd:  figure{5.6, practice},
	},
	frame: frame{joint: figure{130, practice}, fixed: true, pocket: figure{8, drawn}, hinge: 425, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{6, practice}, overhang: figure{10, drawn}, boardLength: figure{270, practice}},
	zones: violinZones(violinHeights{corner: 252, lower: 351, board: 272, bridge: 352, tail: 470}),
	body: body{
		length: figure{355, read},
		width:  figure{206, read},
		upper:  figure{168, read},
		waist:  figure{112, read},
		depth:  figure{38, practice}, // ribs of 30 (read) between plates with edges of 4
		lip:    figure{4, practice},
		arch:   figure{15, practice},
		swell:  figure{14, practice},
		border: violinEdge,
		front:  face{"belly", record.Belly},
		back:   face{"back", record.Back},
		sides:  face{part: record.Ribs},
		half: []node{
			{X: 0, Y: 485, Angle: 180, Out: 50},
			{X: -103, Y: 422, Angle: 270, In: 38, Out: 30},
			{X: -87, Y: 367, Angle: 274, In: 20, Out: 7},
			{X: -93.5, Y: 353, Angle: 236, In: 9, Out: 1.8, Turn: 54},
			{X: -91.6, Y: 347.6, Angle: 290, In: 1.8, Out: 15, Turn: 64},
			{X: -56, Y: 303, Angle: 270, In: 28, Out: 25},
			{X: -75.5, Y: 256.5, Angle: 187, In: 12, Out: 1.7, Turn: 61},
			{X: -77.4, Y: 251.4, Angle: 248, In: 1.7, Out: 8, Turn: 58},
			{X: -72.6, Y: 236, Angle: 268, In: 7, Out: 17},
			{X: -84, Y: 186, Angle: 270, In: 25, Out: 32},
			{X: 0, Y: 130, Angle: 0, In: 44},
		},
	},
	neck: neck{depth: figure{19, practice}, heel: figure{26, drawn}, closeUp: figure{18, drawn}},
	head: scroll{
		length: figure{107, practice},
		box:    figure{66, practice},
		wide:   figure{25.5, practice},
		narrow: figure{15, practice},
		eyes:   figure{42, practice},
		collar: figure{33, practice},
	},
	bridge: violinBridge{
		width:   figure{41.5, practice},
		thick:   figure{4.5, practice},
		after:   figure{55, practice},
		tail:    figure{108, practice},
		tailTop: figure{43, practice},
		tailEnd: figure{21, practice},
		saddle:  figure{36, practice},
		sill:    figure{6.5, practice},
	},
	rises: rises{
		nut:       figure{-8, practice}, // necks lean back: the board points 27 mm above the belly at the bridge
		joint:     figure{12, practice},
		saddle:    figure{48, practice}, // arch of 15 and a bridge of 33
		headFall:  figure{22, practice},
		boardDeep: figure{5, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{},
		violinHoles{length: figure{74, practice}, tops: figure{42, practice}, nick: 328},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, button{width: figure{21, practice}, height: figure{12, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, endPin{}},
}
