package outline

import "wornwood/capture/record"

// What the four sizes of ukulele share.

var ukuleleBinding = border{width: figure{2, practice}, part: record.Binding, name: "binding", lines: []float64{3.2}}

// ukuleleZones are flatTopZones for a narrower strip under the strings.
func ukuleleZones(h flatTopHeights, middle float64) zones {
	z := flatTopZones(h)
	z.middle = middle
	return z
}

// ukuleleRises take the thickness of the board, which lies level on the top.
func ukuleleRises(board, saddle float64) rises {
	return rises{
		nut:       figure{board, practice},
		joint:     figure{board, practice},
		saddle:    figure{saddle, practice},
		headFall:  figure{22, practice},
		boardDeep: figure{board, practice},
	}
}

func ukuleleBack(heel, reach float64) []part {
	return []part{neckBack{}, headBack{}, faces{}, seam{},
		heelCap{width: figure{heel, practice}, reach: figure{reach, practice}}, headMachines{}}
}
