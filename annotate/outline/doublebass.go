package outline

import "wornwood/capture/record"

func init() { register(&doubleBass) }

// doubleBass is a double bass of the usual size, three quarters by name:
// sloping shoulders, violin corners, and machines instead of pegs.
var doubleBass = class{
	name:     "double bass",
	scale:    figure{1060, memory},
	limits:   [2]float64{880, 1130},
	frets:    30,
	strings:  4,
	fretless: true,

	layout: layout{
		nutStep:    figure{10.6, practice},
		bridgeStep: figure{27.5, practice},
		crowdedNut: figure{4, drawn},
		crowdedEnd: figure{7, drawn},
		margin:     figure{5.2, practice},
		marginEnd:  figure{10, practice},
	},
	frame: frame{joint: figure{448, practice}, fixed: true, pocket: figure{24, drawn}, hinge: 1345, shortest: 0.7, longest: 1.4},
	board: board{nutLength: figure{11, practice}, overhang: figure{30, drawn}, boardLength: figure{868, practice}},
	zones: violinZones(violinHeights{corner: 850, lower: 1150, board: 872, bridge: 1140, tail: 1490}),
	body: body{
		length: figure{1110, memory},
		width:  figure{670, memory},
		upper:  figure{510, memory},
		waist:  figure{370, memory},
		depth:  figure{212, memory}, // ribs of 200 (memory) between plates with edges of 6
		narrow: figure{168, practice},
		lip:    figure{6, practice},
		arch:   figure{36, practice},
		swell:  figure{16, drawn}, // nothing on a flat back, about 32 on a round one
		border: border{width: figure{12.5, practice}, part: record.Edges, name: "edge and purfling", lines: []float64{10, 12.5}},
		front:  face{"belly", record.Belly},
		back:   face{"back", record.Back},
		sides:  face{part: record.Ribs},
		half: []node{
			{X: 0, Y: 1558, Angle: 180, Out: 164},
			{X: -335, Y: 1345, Angle: 270, In: 118, Out: 116},
			{X: -286, Y: 1188, Angle: 270, In: 40, Out: 22},
			{X: -307, Y: 1143, Angle: 233, In: 28, Out: 6, Turn: 56},
			{X: -301, Y: 1126, Angle: 294, In: 6, Out: 50, Turn: 62},
			{X: -185, Y: 992, Angle: 270, In: 86, Out: 78},
			{X: -229, Y: 862, Angle: 185, In: 36, Out: 6, Turn: 61},
			{X: -235, Y: 845, Angle: 248, In: 6, Out: 26, Turn: 60},
			{X: -220, Y: 798, Angle: 269, In: 24, Out: 36},
			{X: -255, Y: 678, Angle: 270, In: 66, Out: 70},
			{X: -112, Y: 526, Angle: 321, In: 96, Out: 44},
			{X: -41, Y: 460, Angle: 310, In: 32, Out: 14},
			{X: 0, Y: 448, Angle: 0, In: 22},
		},
	},
	neck: neck{depth: figure{44, practice}, heel: figure{80, drawn}, closeUp: figure{56, drawn}},
	head: gearedScroll{
		scroll: scroll{
			length: figure{318, practice},
			box:    figure{212, practice},
			wide:   figure{58, practice},
			narrow: figure{37, practice},
			eyes:   figure{92, practice},
			collar: figure{74, practice},
		},
		roller: figure{13, practice},
		wheel:  figure{38, practice},
		thick:  figure{11, practice},
		key:    figure{44, practice},
	},
	bridge: violinBridge{
		width:   figure{158, practice},
		thick:   figure{22, practice},
		after:   figure{190, practice},
		tail:    figure{270, practice},
		tailTop: figure{104, practice},
		tailEnd: figure{62, practice},
		saddle:  figure{86, practice},
		sill:    figure{18, practice},
	},
	rises: rises{
		nut:        figure{-46, practice},
		joint:      figure{46, practice},
		saddle:     figure{186, practice}, // arch of 36 and a bridge of 150
		headFall:   figure{22, practice},
		boardDeep:  figure{14, practice},
		spread:     figure{8, practice}, // the board points 120 to 150 mm above the belly at the bridge
		backSpread: figure{12, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{},
		violinHoles{length: figure{196, practice}, tops: figure{136, practice}, nick: 1060},
		boardFront{}, bridgeFront{}, bassSpike, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, button{width: figure{54, practice}, height: figure{34, practice}},
		bassSpike, headMachines{}},
	side: []part{ribs{}, ticks{}, bassSpike},
}

var bassSpike = spike{collar: figure{46, practice}, height: figure{38, practice}, rod: figure{11, practice}, out: figure{170, drawn}}
