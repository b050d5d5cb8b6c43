package outline

// doubleCutaway is a solid body with two horns, the bass horn longer.
var doubleCutaway = class{
	name:    "solid-body double-cutaway",
	scale:   figure{648, memory},
	frets:   22,
	strings: 6,

	thickness:    figure{44, memory},
	joint:        figure{450, drawn},
	end:          figure{763, drawn},
	roundover:    figure{6, practice},
	nutStep:      figure{7.1, practice},
	bridgeStep:   figure{10.4, practice},
	crowdedNut:   figure{2.5, drawn},
	crowdedEnd:   figure{3, drawn},
	margin:       figure{3.75, practice},
	nutLength:    figure{4.5, practice},
	fretWidth:    figure{2.4, practice},
	overhang:     figure{10, practice},
	pocket:       figure{22, drawn},
	shortest:     0.85,
	longest:      1.3,
	pickupLength: figure{33, practice},
	pickupReach:  figure{12, drawn},
	bridgeFront:  figure{11, drawn},
	bridgeBack:   figure{24, drawn},
	bridgeReach:  figure{11, drawn},
	knobRadius:   figure{10.5, practice},
	switchRadius: figure{7.5, practice},
	jackLength:   figure{42, practice},
	jackWidth:    figure{24, practice},
	headReach:    figure{15.5, drawn},
	headLeast:    figure{31, drawn},
	headShoulder: figure{32, drawn},
	headTip:      figure{48, drawn},
	firstTuner:   figure{40, practice},
	tunerStep:    figure{40, practice},
	tunerCrowded: figure{30, practice},
	tunerInset:   figure{13, practice},

	zones: zones{middle: 36, horns: 452, waist: 490, bouts: 575, bridge: 680, bottom: 738},

	// Where the body is widest its curve must run straight up or down: the
	// sheet is stretched from there towards the neck, see plan.warp.
	// Clockwise as seen from the front: end, bass bouts and horn, treble horn
	// and bouts. Angles are the direction of travel, 0 to the right, 90 down.
	body: []node{
		{X: 6, Y: 763, Angle: 179, In: 104, Out: 98},
		{X: -161, Y: 643, Angle: 270, In: 70, Out: 62},
		{X: -122, Y: 520, Angle: 271, In: 46, Out: 38},
		{X: -147, Y: 420, Angle: 273, In: 40, Out: 32},
		{X: -111, Y: 360, Angle: 8, In: 24, Out: 27},
		{X: -66, Y: 430, Angle: 34, In: 35, Out: 32},
		{X: 52, Y: 449, Angle: 350, In: 42, Out: 34},
		{X: 108, Y: 398, Angle: 354, In: 28, Out: 21},
		{X: 141, Y: 445, Angle: 91, In: 29, Out: 34},
		{X: 118, Y: 538, Angle: 89, In: 36, Out: 48},
		{X: 165, Y: 662, Angle: 90, In: 68, Out: 66},
	},
	guard: []node{
		{X: 18, Y: 490, Angle: 338, In: 12, Out: 26},
		{X: 96, Y: 522, Angle: 74, In: 32, Out: 15},
		{X: 80, Y: 586, Angle: 103, In: 28, Out: 22},
		{X: 56, Y: 632, Angle: 168, In: 18, Out: 12},
		{X: 34, Y: 606, Angle: 266, In: 16, Out: 40},
	},
	cover: []node{
		{X: 108, Y: 588, Angle: 4, In: 16, Out: 16},
		{X: 140, Y: 650, Angle: 90, In: 32, Out: 30},
		{X: 106, Y: 716, Angle: 184, In: 18, Out: 16},
		{X: 78, Y: 652, Angle: 270, In: 32, Out: 32},
	},
	knobs:  [2]node{{X: 114, Y: 650}, {X: 104, Y: 690}},
	toggle: node{X: 110, Y: 611},
	jack:   node{Y: 690},
}
