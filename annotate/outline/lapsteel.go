package outline

import "wornwood/capture/record"

func init() { register(&lapSteel) }

// lapSteel lies on the player's knees and is stopped with a bar: body and neck
// are one piece of wood, the strings lie high, and lines are painted where
// frets would be.
var lapSteel = class{
	name:     "lap steel",
	scale:    figure{572, practice},
	limits:   [2]float64{500, 650},
	frets:    24,
	strings:  6,
	fretless: true,
	lined:    true,

	layout: layout{
		nutStep:    figure{9.4, practice},
		bridgeStep: figure{10, practice},
		crowdedNut: figure{7.5, practice},
		crowdedEnd: figure{8, practice},
		margin:     figure{5.5, practice},
	},
	frame: frame{joint: figure{286, drawn}, fixed: true, pocket: figure{22, drawn}, hinge: 590, deep: figure{366, drawn}, shortest: 0.7, longest: 1.4},
	board: board{
		nutLength: figure{6, practice},
		overhang:  figure{9, practice},
		dots:      []int{3, 5, 7, 9},
	},
	electronics: electronics{
		pickupCount:  1,
		pickupLength: figure{38, practice},
		pickupReach:  figure{9, drawn},
		knobRadius:   figure{9, practice},
		controls: []control{
			{slug: "volume", name: "volume knob", at: node{X: 67, Y: 548}},
			{slug: "tone", name: "tone knob", at: node{X: 71, Y: 594}},
		},
		jack: &jack{at: node{Y: 606}, length: figure{34, practice}, width: figure{20, practice}},
	},
	zones: zones{middle: 38, bands: []band{
		{to: 360, middle: "by the fingerboard", behind: "middle, upper end", side: "%s shoulder"},
		{to: 445, middle: "by the fingerboard", behind: "middle", side: "upper %s bout"},
		{to: 532, middle: "under the strings", behind: "middle", side: "%s waist"},
		{to: 622, middle: "by the bridge", behind: "middle", side: "lower %s bout"},
		{middle: "bottom end", side: "lower %s bout"},
	}},
	body: body{
		length: figure{376, drawn},
		width:  figure{204, drawn},
		waist:  figure{158, drawn},
		depth:  figure{38, practice},
		round:  figure{5, practice},
		front:  face{"body front", record.FrontFinish},
		back:   face{"body back", record.BackFinish},
		sides:  face{part: record.SidesFinish},
		half: []node{
			{X: 0, Y: 662, Angle: 180, Out: 58},
			{X: -102, Y: 590, Angle: 270, In: 44, Out: 42},
			{X: -79, Y: 484, Angle: 271, In: 40, Out: 36},
			{X: -85, Y: 390, Angle: 270, In: 34, Out: 36},
			{X: -44, Y: 314, Angle: 318, In: 30, Out: 18},
			{X: 0, Y: 286, Angle: 0, In: 22},
		},
	},
	// The neck is as deep as the body.
	neck: neck{depth: figure{44, practice}, closeUp: figure{26, drawn}},
	head: paddle{
		reach:    figure{7, drawn},
		least:    figure{34, drawn},
		shoulder: figure{26, drawn},
		tip:      figure{26, drawn},
		first:    figure{42, practice},
		step:     figure{37, practice},
		crowded:  figure{29, practice},
		inset:    figure{13, practice},
		contour:  flatTip,
	},
	bridge: plateBridge{before: figure{12, drawn}, behind: figure{26, drawn}, reach: figure{7, drawn}},
	rises: rises{
		nut:       figure{6, practice},
		joint:     figure{6, practice},
		saddle:    figure{17, practice},
		head:      figure{10, practice},
		boardDeep: figure{6, practice},
		nutTall:   figure{9, practice},
	},
	front: []part{headFront{}, faces{}, neckFront{}, boardFront{}, bridgeFront{}, wiring{}, stringLines{}, roundover{}},
	back: []part{neckBack{}, headBack{}, faces{},
		cover{slug: "cover", name: "cavity cover", screws: 4, nodes: polygonNodes(
			bend{X: 50, Y: 618, Round: 9}, bend{X: 44, Y: 512, Round: 9},
			bend{X: 66, Y: 512, Round: 9}, bend{X: 84, Y: 576, Round: 14}, bend{X: 82, Y: 618, Round: 10},
		)}, headMachines{}, roundover{through: true}},
	side: []part{ribs{}, ticks{}, sideJack{}},
}

// flatTip has straight sides that draw in a little and a level tip with
// rounded corners.
func flatTip(h headSize) []node {
	straight := h.last - h.shoulder
	w, top := h.wide, h.last+h.tip
	return mirroredOpen([]node{
		{X: -h.nut, Y: -h.nutLength, Angle: 268, Out: 8},
		{X: -w, Y: -h.shoulder, Angle: 272, In: 9, Out: straight * 0.4},
		{X: -w + 4, Y: -h.last - h.tip*0.4, Angle: 272, In: straight * 0.4, Out: h.tip * 0.34},
		{X: -w + 20, Y: -top + 0.5, Angle: 357, In: 9, Out: w * 0.2},
		{X: 0, Y: -top, Angle: 0, In: w * 0.25},
	})
}
