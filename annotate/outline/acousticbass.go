package outline

import "wornwood/capture/record"

func init() { register(&acousticBass) }

// acousticBass is a hollow bass with a flat top and four strings; the body
// meets the neck at the 14th fret.
var acousticBass = class{
	name:    "acoustic bass",
	scale:   figure{864, practice},
	limits:  [2]float64{700, 920},
	frets:   20,
	strings: 4,

	layout: layout{
		nutStep:    figure{11, practice},
		bridgeStep: figure{18.5, practice},
		crowdedNut: figure{4, drawn},
		crowdedEnd: figure{6, drawn},
		margin:     figure{4.6, practice},
	},
	frame: frame{joint: figure{479.1, practice}, fixed: true, pocket: figure{26, drawn}, hinge: 872, shortest: 0.6, longest: 1.5},
	board: board{nutLength: figure{6, practice}, fretWidth: figure{2.7, practice}, overhang: figure{9, practice}, dots: []int{3, 5, 7, 9}},
	zones: flatTopZones(flatTopHeights{board: 601, soundhole: 714, bridge: 916, bottom: 988,
		upper: 628, waist: 752}),
	body: body{
		length: figure{540, practice},
		width:  figure{420, practice},
		upper:  figure{308, practice},
		waist:  figure{268, practice},
		depth:  figure{120, practice},
		narrow: figure{102, practice},
		lip:    figure{6, practice},
		arch:   figure{2.5, practice},
		swell:  figure{4, practice},
		border: steelBinding,
		front:  face{"top", record.Top},
		back:   face{"back", record.Back},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 1019.1, Angle: 180, Out: 118},
			{X: -210, Y: 872, Angle: 270, In: 84, Out: 94},
			{X: -134, Y: 688, Angle: 270, In: 64, Out: 46},
			{X: -154, Y: 570, Angle: 270, In: 42, Out: 54},
			{X: 0, Y: 479.1, Angle: 0, In: 84},
		},
	},
	neck: neck{depth: figure{23, practice}, heel: figure{52, drawn}, closeUp: figure{32, drawn}},
	head: paddle{
		reach:    figure{13, drawn},
		least:    figure{35, drawn},
		shoulder: figure{44, drawn},
		tip:      figure{50, drawn},
		first:    figure{58, practice},
		step:     figure{66, practice},
		crowded:  figure{44, practice},
		inset:    figure{18, practice},
		large:    1.5,
		contour:  taperedTip,
	},
	bridge: pinBridge{
		width:  figure{172, practice},
		middle: figure{44, practice},
		wing:   figure{25, drawn},
		before: figure{11, practice},
		pins:   figure{18, practice},
	},
	rises: rises{
		nut:       figure{7, practice},
		joint:     figure{8, practice},
		saddle:    figure{15, practice},
		headFall:  figure{22, practice},
		boardDeep: figure{7, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{},
		soundhole{below: figure{660, drawn}, wide: figure{104, practice}, tall: figure{104, practice}, rings: []float64{5, 6.2, 11, 12.2}},
		boardFront{}, bridgeFront{}, stringLines{}},
	back: []part{neckBack{}, headBack{}, faces{}, seam{}, heelCap{width: figure{46, practice}, reach: figure{18, practice}}, headMachines{}},
	side: []part{ribs{}, ticks{}, endPin{}},
}
