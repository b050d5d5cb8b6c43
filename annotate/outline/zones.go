package outline

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/shape"
)

// zones are the words that say where on the body a point is: bands across it,
// in the class's own millimetres.
type zones struct {
	middle float64 // half the width of the strip under the strings
	// The words along a side for what rises beside the neck, "horn tip" and
	// "cutaway" where none are given.
	tip, cutaway string
	bands        []band // from the neck down; the last takes the rest
}

// band is a band across the body down to the height to. Its words are for the
// strip under the strings, and for either side of it with %s for bass or
// treble; treble, where it is given, is for that side alone. edge is the word
// along a side, which is the side's own without bass and treble where none is
// given.
type band struct {
	to     float64
	middle string
	behind string // the middle's word on the back, where it is another
	side   string
	treble string
	edge   string
}

func (z *zones) band(y float64) band {
	for _, b := range z.bands[:len(z.bands)-1] {
		if y < b.to {
			return b
		}
	}
	return z.bands[len(z.bands)-1]
}

// zone names the part of the body on a side, at a point as seen from the front.
func (pl *plan) zone(side Side, p shape.Pt) string {
	q := pl.onClass(p)
	b := pl.zones.band(q.Y)
	if math.Abs(q.X) < pl.zones.middle {
		if side == Back && b.behind != "" {
			return b.behind
		}
		return b.middle
	}
	return b.beside(q.X > 0)
}

// beside is the band's word for one side of the strings.
func (b band) beside(treble bool) string {
	switch {
	case treble && b.treble != "":
		return b.treble
	case !strings.Contains(b.side, "%s"):
		return b.side
	case treble:
		return fmt.Sprintf(b.side, "treble")
	}
	return fmt.Sprintf(b.side, "bass")
}

// edgeZone names the stretch of the edge that a point of a strip lies in: the
// same words, without the side's own name.
func (pl *plan) edgeZone(side Side, p shape.Pt) string {
	st := pl.strips[side]
	q := st.at(p.Y)
	tip := st.reach(func(q shape.Pt) bool { return q == st.tip })
	if st.horned() {
		switch near := 14 * pl.bulk; {
		case p.Y < tip-near:
			return cmp.Or(pl.zones.cutaway, "cutaway")
		case p.Y < tip+near:
			return cmp.Or(pl.zones.tip, "horn tip")
		}
	}
	q = pl.onClass(q)
	b := pl.zones.band(q.Y)
	if math.Abs(q.X) < pl.zones.middle {
		if q.Y > pl.joint.mm+(pl.scale.mm-pl.joint.mm)/2 {
			return "bottom end"
		}
		return "by the neck"
	}
	if b.edge != "" {
		return b.edge
	}
	word := b.beside(side == TrebleSide)
	for _, drop := range []string{"bass ", "treble "} {
		word = strings.Replace(word, drop, "", 1)
	}
	return word
}
