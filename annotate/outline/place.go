package outline

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Place says in words where a point is, for example "front, bass horn" or
// "fingerboard, frets 9–10"; empty outside the silhouette. The words start in
// lower case.
func (d *Drawing) Place(side Side, p shape.Pt) string {
	r, ok := d.RegionAt(side, p)
	if !ok {
		return ""
	}
	return d.placeIn(r, p)
}

func (d *Drawing) placeIn(r Region, p shape.Pt) string {
	pl := d.plan
	switch r.Part {
	case pl.class.body.front.part, pl.class.body.back.part:
		if r.Hollow || !strings.HasSuffix(r.ID, "/body") {
			break
		}
		return pl.surface(r.Side) + ", " + pl.zone(r.Side, pl.seenFromFront(r.Side, p))
	case pl.class.body.sides.part:
		return string(r.Side) + ", " + pl.edgeZone(r.Side, p)
	case record.Fingerboard:
		n := pl.fretsAbove(pl.along(pl.seenFromFront(r.Side, p)))
		return "fingerboard, " + pl.stretch(n, n+1)
	case record.Neck:
		if r.Side == Back {
			return "neck back, " + pl.aboutFret(p.Y)
		}
	}
	return r.Name
}

// Span says in words where a drawn line or area is: the frets from the first
// to the last it touches on fingerboard or neck back, otherwise the place that
// most of its points share. Empty when no point is inside the silhouette.
func (d *Drawing) Span(side Side, pts []shape.Pt) string {
	count := map[string]int{}
	lo, hi := math.Inf(1), math.Inf(-1)
	onBoard, onNeck, inside := 0, 0, 0
	for _, p := range pts {
		r, ok := d.RegionAt(side, p)
		if !ok {
			continue
		}
		inside++
		switch {
		case r.Part == record.Fingerboard || (r.Part == record.Frets && len(pts) > 1):
			onBoard++
			y := d.plan.along(d.plan.seenFromFront(side, p))
			lo, hi = math.Min(lo, y), math.Max(hi, y)
		case r.Part == record.Neck && side == Back:
			onNeck++
			lo, hi = math.Min(lo, p.Y), math.Max(hi, p.Y)
		}
		count[d.placeIn(r, p)]++
	}
	pl := d.plan
	switch {
	case inside == 0:
		return ""
	case onBoard*2 > inside:
		return "fingerboard, " + pl.stretch(pl.fretsAbove(lo), pl.fretsAbove(hi)+1)
	case onNeck*2 > inside && len(pts) > 1:
		return "neck back, " + pl.stretch(pl.fretsAbove(lo), pl.fretsAbove(hi)+1)
	}
	words := make([]string, 0, len(count))
	for w := range count {
		words = append(words, w)
	}
	sort.Slice(words, func(i, j int) bool {
		if count[words[i]] != count[words[j]] {
			return count[words[i]] > count[words[j]]
		}
		return words[i] < words[j]
	})
	return words[0]
}

// seenFromFront is the point in the plan's own coordinates: bass on the left.
func (pl *plan) seenFromFront(side Side, p shape.Pt) shape.Pt {
	if (side == Back) != pl.p.LeftHanded {
		p.X = -p.X
	}
	return p
}

// fretsAbove is the number of frets between the nut and the height y, counted
// also on a fretless board.
func (pl *plan) fretsAbove(y float64) int {
	if y <= 0 {
		return 0
	}
	left := 1 - y/pl.long
	if left <= 0 {
		return pl.p.Frets
	}
	return min(int(-12*math.Log2(left)), pl.p.Frets)
}

// fretRange names the stretch from fret a to fret b; 0 is the nut, and what
// lies behind the last fret is the end.
func (pl *plan) fretRange(a, b int) string {
	a = max(0, min(a, pl.p.Frets))
	from, to := fmt.Sprint(a), fmt.Sprint(b)
	switch {
	case a == pl.p.Frets:
		return fmt.Sprintf("end, beyond fret %d", a)
	case b > pl.p.Frets:
		return fmt.Sprintf("fret %d to the end", max(a, 1))
	case a == 0:
		return "nut to fret " + to
	}
	return "frets " + from + "–" + to
}

// aboutFret names the stretch of a neck's back around its nearest fret, which
// cannot be seen from there: one fret to either side.
func (pl *plan) aboutFret(y float64) string {
	if y <= FretPosition(pl.long, 1)/2 {
		return "behind the nut"
	}
	n := pl.fretsAbove(y)
	if y-FretPosition(pl.long, n) > FretPosition(pl.long, n+1)-y {
		n++
	}
	if y >= pl.onBody(shape.Pt{Y: pl.joint.mm - pl.neck.heel.mm}).Y {
		return "heel"
	}
	return pl.stretch(n-1, min(n+1, pl.p.Frets))
}

// stretch is fretRange, or where nobody counts by frets the positions in which
// a player's hand would be: below a fourth over the open string the lower ones,
// from the octave on the upper ones.
func (pl *plan) stretch(a, b int) string {
	if !pl.class.fretless || pl.class.lined {
		return pl.fretRange(a, b)
	}
	word := func(n int) string {
		switch {
		case n < 5:
			return "lower"
		case n < 12:
			return "middle"
		}
		return "upper"
	}
	if from, to := word(a), word(max(a, b-1)); from != to {
		return from + " to " + to + " positions"
	}
	return word(a) + " positions"
}

// surface is what the words for places call a side.
func (pl *plan) surface(side Side) string {
	f := pl.class.body.front
	if side == Back {
		f = pl.class.body.back
	}
	if f.part == record.FrontFinish || f.part == record.BackFinish {
		return string(side)
	}
	return f.name
}
