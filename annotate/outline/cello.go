package outline

import "wornwood/capture/record"

func init() { register(&cello) }

// cello is the full-sized cello. Body length, bouts and string length are those
// of the project's list of outside facts.
var cello = class{
	name:     "cello",
	scale:    figure{690, read},
	limits:   [2]float64{480, 720},
	frets:    31,
	strings:  4,
	fretless: true,

	layout: layout{
		nutStep:    figure{7.4, practice},
		bridgeStep: figure{15.8, practice},
		crowdedNut: figure{3, drawn},
		crowdedEnd: figure{5, drawn},
		margin:     figure{5, practice},
		marginEnd:  figure{8.5, practice},
	},
	frame: frame{joint: figure{288, practice}, fixed: true, pocket: figure{16, drawn}, hinge: 900, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{9, practice}, overhang: figure{20, drawn}, boardLength: figure{580, practice}},
	zones: violinZones(violinHeights{corner: 547, lower: 752, board: 582, bridge: 745, tail: 1002}),
	body: body{
		length: figure{755, read},
		width:  figure{440, read},
		upper:  figure{340, read},
		waist:  figure{250, read},
		depth:  figure{124, practice}, // ribs of 115 (practice) between plates with edges of 4.5
		lip:    figure{4.5, practice},
		arch:   figure{26, practice},
		swell:  figure{27, practice},
		border: border{width: figure{9.5, practice}, part: record.Edges, name: "edge and purfling", lines: []float64{7.6, 9.5}},
		front:  face{"belly", record.Belly},
		back:   face{"back", record.Back},
		sides:  face{part: record.Ribs},
		half: []node{
			{X: 0, Y: 1043, Angle: 180, Out: 108},
			{X: -220, Y: 900, Angle: 270, In: 80, Out: 82},
			{X: -186.5, Y: 786, Angle: 270, In: 26, Out: 15},
			{X: -201, Y: 755, Angle: 233, In: 20, Out: 4, Turn: 56},
			{X: -197, Y: 744, Angle: 294, In: 4, Out: 32, Turn: 62},
			{X: -125, Y: 648, Angle: 270, In: 60, Out: 54},
			{X: -158, Y: 558, Angle: 185, In: 25, Out: 4, Turn: 61},
			{X: -162, Y: 547, Angle: 248, In: 4, Out: 17, Turn: 60},
			{X: -149, Y: 514, Angle: 269, In: 16, Out: 26},
			{X: -170, Y: 405, Angle: 270, In: 64, Out: 64},
			{X: 0, Y: 288, Angle: 0, In: 92},
		},
	},
	neck: neck{depth: figure{33, practice}, heel: figure{58, drawn}, closeUp: figure{36, drawn}},
	head: scroll{
		length: figure{203, practice},
		box:    figure{128, practice},
		wide:   figure{42, practice},
		narrow: figure{27, practice},
		eyes:   figure{64, practice},
		collar: figure{66, practice},
	},
	bridge: violinBridge{
		width:   figure{90, practice},
		thick:   figure{11, practice},
		after:   figure{118, practice},
		tail:    figure{236, practice},
		tailTop: figure{66, practice},
		tailEnd: figure{36, practice},
		saddle:  figure{44, practice},
		sill:    figure{11, practice},
	},
	rises: rises{
		nut:       figure{-24, practice},
		joint:     figure{31, practice},
		saddle:    figure{116, practice}, // arch of 26 and a bridge of 90
		headFall:  figure{22, practice},
		boardDeep: figure{9, practice},
		spread:    figure{4, practice}, // the board points 76 to 84 mm above the belly at the bridge
	},
	front: []part{headFront{}, faces{}, neckFront{},
		violinHoles{length: figure{139, practice}, tops: figure{97, practice}, nick: 690, slant: -1},
		boardFront{}, bridgeFront{}, celloSpike, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, button{width: figure{40, practice}, height: figure{22, practice}},
		celloSpike, headMachines{}},
	side: []part{ribs{}, ticks{}, celloSpike},
}

var celloSpike = spike{collar: figure{30, practice}, height: figure{24, practice}, rod: figure{9, practice}, out: figure{110, drawn}}
