package measure

import (
	"cmp"
	"fmt"
	"image"
	"math"
	"slices"

	"wornwood/annotate/shape"
)

// The ID-1 card of ISO/IEC 7810, from memory: its sides and the radius of its
// corners in mm.
const (
	CardLong   = 85.60
	CardShort  = 53.98
	CardRadius = 3.18
)

// CardPoints are the corners of an ID-1 card in millimetres of its own plane,
// clockwise as seen from the first: as if they were not rounded.
func CardPoints() [4]shape.Pt {
	return [4]shape.Pt{{}, {X: CardLong}, {X: CardLong, Y: CardShort}, {Y: CardShort}}
}

// The part of an edge's uncertainty that no number of places along it lowers:
// sharpening and colour fringes, in pixels; and the edge's own rounding, in mm.
const (
	edgeFloor = 0.12
	edgeRound = 0.025
)

// RefineCorners finds an ID-1 card's corners where its four edges meet, which is
// outside the rounded corner that is seen. corners are clicks in order around
// the card, each within some 2 % of the card's size. sigma is the standard
// uncertainty of each refined corner in each direction, pixels. The error is a sentence,
// and the clicks come back as they were.
func RefineCorners(img *image.Gray, corners [4]shape.Pt) (refined [4]shape.Pt, sigma [4]float64, err error) {
	if err := checkCorners(corners); err != nil {
		return corners, sigma, err
	}
	if img == nil || img.Rect.Dx() < 16 || img.Rect.Dy() < 16 {
		return corners, sigma, fmt.Errorf("the picture is too small to find the card's edges in it")
	}
	around := 0.0
	for i := range corners {
		around += shape.Dist(corners[i], corners[(i+1)%4])
	}
	reach := max(7, 0.0075*around)
	floor := math.Hypot(edgeFloor, edgeRound*around/(2*(CardLong+CardShort)))
	turn := 1.0
	if shape.SignedArea(corners[:]) < 0 {
		turn = -1
	}
	var edges [4]seam
	for i := range edges {
		m := newSeam(corners[i], corners[(i+1)%4])
		if m.length < 40 {
			return corners, sigma, fmt.Errorf("the card is too small in the photo to find its edges: %.0f pixels long", m.length)
		}
		var ok bool
		if edges[i], ok = (brightness{img}).cardEdge(m, reach, turn); !ok {
			return corners, sigma, fmt.Errorf("the card's edge between corners %d and %d does not stand out clearly: the corners stay as clicked", i+1, (i+1)%4+1)
		}
	}
	for i := range refined {
		before := &edges[(i+3)%4]
		p, t, u, ok := before.meet(&edges[i], 1, 0)
		if !ok || shape.Dist(p, corners[i]) > 3*reach {
			return corners, sigma, fmt.Errorf("the card's edges do not meet near corner %d: the corners stay as clicked", i+1)
		}
		refined[i] = p
		a, b := before.sigma(t), edges[i].sigma(u)
		sigma[i] = math.Sqrt((a*a+b*b)/2 + floor*floor)
	}
	return refined, sigma, nil
}

// cardEdge is the outermost clear edge near a line: a card's print may have others
// inside. A dark line outside a brighter card is a shadow or a gap, and passed over.
func (b brightness) cardEdge(m seam, reach, turn float64) (seam, bool) {
	const round = 1.4 * CardRadius / CardShort
	groups := b.crossings(&m, round, 1-round, reach)
	tol := max(1.2, 0.003*m.length)
	apart := edgesNear(m, groups, tol)
	if len(apart) == 0 {
		return m, false
	}
	slices.SortFunc(apart, func(p, q seam) int { return cmp.Compare(turn*p.offset(0.5), turn*q.offset(0.5)) })
	at := 0
	inwards := func(i int) wanted { return apart[i].w * wanted(turn) }
	for at+1 < len(apart) && inwards(at) == darker && inwards(at+1) == brighter && apart[at+1].score > 1.3*apart[at].score {
		at++
	}
	best := apart[at]
	ok := best.polish(groups, tol)
	return best, ok
}

// checkCorners refuses four clicks that are no view of a card.
func checkCorners(c [4]shape.Pt) error {
	for i, p := range c {
		if !p.Finite() || math.Abs(p.X) > farthest || math.Abs(p.Y) > farthest {
			return fmt.Errorf("corner %d is not at an ordinary place", i+1)
		}
		for j := range i {
			if shape.Dist(p, c[j]) < 4 {
				return fmt.Errorf("corners %d and %d were clicked on the same place: click each corner of the card once", j+1, i+1)
			}
		}
	}
	var turns [4]float64
	for i := range c {
		a, b, d := c[i], c[(i+1)%4], c[(i+2)%4]
		turns[i] = shape.Side(a, b, d) / (shape.Dist(a, b) * shape.Dist(b, d))
		if math.Abs(turns[i]) < 0.05 {
			return fmt.Errorf("corner %d lies on the line between its neighbours: click the four corners of the card", (i+1)%4+1)
		}
	}
	for i := range turns {
		if turns[i]*turns[0] < 0 {
			return fmt.Errorf("the corners were not clicked one after the other around the card: its outline crosses itself or is dented")
		}
	}
	return nil
}
