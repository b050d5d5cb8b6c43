package outline

import (
	"testing"

	"wornwood/annotate/shape"
)

// The heights of nut, board and saddles of a class fit each other: with them
// the strings run over the twelfth fret, or the end of a board without frets,
// as high as they are set. Sources: over the 12th fret 1.6 to 4.0 mm from an
// electric guitar to a nylon-string (a lutherie supply house's string-action
// gauge sheet, read; mandolin 1.8 there); over the end of the board of the
// violin family 3 to 6, 3.5 to 6.5, 5 to 8.5, 7 to 13 mm, and 2.5 to 3 mm over
// the 12th fret of a banjo or a ukulele (common practice). Heights stand for no
// instrument set to a hair: a millimetre more or less is let pass.
func TestStringsRunOverTheBoard(t *testing.T) {
	bounds := map[string][2]float64{
		"violin": {3, 6}, "viola": {3.5, 6.5}, "cello": {5, 8.5}, "double bass": {7, 13},
		"mandolin teardrop": {1, 2.8}, "mandolin scrolled": {1, 2.8}, "banjo": {1.8, 3.5},
		"ukulele soprano": {1.8, 3.5}, "ukulele concert": {1.8, 3.5}, "ukulele tenor": {1.8, 3.5}, "ukulele baritone": {1.8, 3.5},
		"lap steel": {6, 12}, // played with a bar: strings held off the board by a high nut
	}
	for _, name := range Classes() {
		for _, scale := range []float64{1, 0.97} {
			d := drawing(t, Params{Class: name, ScaleLength: scale * byName[name].scale.mm})
			pl := d.plan
			y, crown := FretPosition(pl.long, 12), fretCrown
			if pl.class.fretless && !pl.class.lined {
				y, crown = pl.boardEnd, 0
			}
			nut := d.HeightAt(Front, pl.seenFromFront(Front, shape.Pt{X: pl.nut[0].board.X + 0.2, Y: -0.2})).Value
			saddle := pl.rises.saddle.mm * pl.size
			got := nut + (saddle-nut)*y/pl.long - pl.boardHeight(y).Value - crown
			want, ok := bounds[name]
			if !ok {
				want = [2]float64{0.6, 5}
			}
			if !within(got, want[0], want[1]) {
				t.Errorf("%s, scale times %g: the strings run %.1f mm over the board, want %v", name, scale, got, want)
			}
		}
	}
}
