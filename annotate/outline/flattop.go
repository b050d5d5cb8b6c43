package outline

import "wornwood/capture/record"

// What steel-string flat-tops share. A class takes what fits and writes its
// own where it differs.

var steelLayout = layout{
	nutStep:    figure{7.3, practice},
	bridgeStep: figure{10.9, practice},
	crowdedNut: figure{2.5, drawn},
	crowdedEnd: figure{3, drawn},
	margin:     figure{3.6, practice},
	pairsFrom:  9,
	pairNut:    figure{2, practice},
	pairEnd:    figure{2.6, practice},
}

var steelBoard = board{
	nutLength: figure{5, practice},
	fretWidth: figure{2.2, practice},
	overhang:  figure{7, practice},
	dots:      []int{3, 5, 7, 9},
}

var steelBinding = border{width: figure{2.4, practice}, part: record.Binding, name: "binding", lines: []float64{4.4}}

var steelNeck = neck{depth: figure{22, practice}, heel: figure{46, drawn}, closeUp: figure{30, drawn}}

var steelHead = paddle{
	reach:    figure{13.5, drawn},
	least:    figure{33, drawn},
	shoulder: figure{34, drawn},
	tip:      figure{38, drawn},
	first:    figure{44, practice},
	step:     figure{40, practice},
	crowded:  figure{27, practice},
	inset:    figure{13, practice},
	contour:  archedTip,
}

var steelBridge = pinBridge{
	width:  figure{154, practice},
	middle: figure{34, practice},
	wing:   figure{20, drawn},
	before: figure{9, practice},
	pins:   figure{14, practice},
}

var steelRises = rises{
	nut:       figure{6, practice},
	joint:     figure{6.5, practice},
	saddle:    figure{13, practice},
	head:      figure{0, practice},
	headFall:  figure{25, practice},
	boardDeep: figure{6.3, practice},
}

var steelBack = []part{neckBack{}, headBack{}, faces{}, seam{}, heelCap{width: figure{40, practice}, reach: figure{16, practice}}, headMachines{}}

// flatTopHeights are the heights, in a class's own millimetres, at which the
// words for places change.
type flatTopHeights struct {
	board, soundhole, bridge, bottom float64 // ends of each, down the middle
	upper, waist                     float64 // ends of the upper bout and of the waist
}

// flatTopZones are the words for places on a body with a soundhole.
func flatTopZones(h flatTopHeights) zones {
	middle := func(y float64) (front, back string) {
		switch {
		case y <= h.board:
			return "by the fingerboard", "middle, upper bout"
		case y <= h.soundhole:
			return "by the soundhole", "middle, waist"
		case y <= h.bridge:
			return "by the bridge", "middle, lower bout"
		case y <= h.bottom:
			return "below the bridge", "middle, lower bout"
		}
		return "bottom end", "bottom end"
	}
	side := func(y float64) string {
		switch {
		case y <= h.upper:
			return "upper %s bout"
		case y <= h.waist:
			return "%s waist"
		}
		return "lower %s bout"
	}
	z := zones{middle: 45}
	for _, y := range sorted(h.board, h.soundhole, h.bridge, h.bottom, h.upper, h.waist) {
		b := band{to: y, side: side(y)}
		b.middle, b.behind = middle(y)
		z.bands = append(z.bands, b)
	}
	z.bands = append(z.bands, band{middle: "bottom end", side: "lower %s bout"})
	return z
}
