// Package compare tells what became of an instrument between two examinations:
// which marks are the same, grown, repaired, new or no longer listed, and which
// parts are called something else.
//
// Start with Marks and Parts. Two examiners never put a pin on the same
// millimetre nor give every flaw the same name, so marks are paired by side,
// place, kind and size within the figures below; what cannot be told from two
// records is said as what was listed, never as what happened.
package compare

import (
	"math"
	"slices"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// The figures of pairing. They are judgements: pins set by eye on one drawing by
// the same hand lie within about 3 mm of each other, by another hand within
// twice that, and an area's edge is drawn looser than a point.
const (
	nearPoint = 8.0  // mm between points or lines that may be the same mark
	nearArea  = 18.0 // mm between areas
	// byName is what a pair costs that has only its part in common.
	byName = 0.6
	// maxPlaces is how many places of one mark are looked at: a stranger may have
	// written thousands.
	maxPlaces = 16
	// most is the cost beyond which two marks are not the same.
	most = 1.25
)

// Look is one examination as it is compared. Drawing may be nil; then parts are
// taken from the record's words alone.
type Look struct {
	Record  *record.Record
	Drawing *outline.Drawing
}

// Fate says what became of a mark from one examination to a later one.
type Fate string

// The fates. "Not listed" and "gone with the part" say what the later record
// lists, not what happened to the instrument.
const (
	New       Fate = "new"                // listed for the first time
	Same      Fate = "unchanged"          // nothing that was measured or judged is beyond doubt another
	Grown     Fate = "grown"              // larger, beyond what measuring leaves open
	Deeper    Fate = "deeper"             // judged deeper
	Smaller   Fate = "measured smaller"   // beyond what measuring leaves open; flaws do not shrink
	Repaired  Fate = "repaired"           // said to be, or what is there now is the repair of it
	Again     Fate = "listed again"       // after an examination that did not list it
	NotListed Fate = "not listed"         // though its part was looked at
	NotSeen   Fate = "not looked at"      // its part was not inspected
	GoneWith  Fate = "gone with the part" // the part is replaced or refinished since
)

// families are kinds that examiners give to the same flaw, with what it costs to
// take one for another.
var families = []struct {
	cost  float64
	kinds []record.Kind
}{
	{0.25, []record.Kind{"ding", "dent", "chip"}},
	{0.25, []record.Kind{"open crack", "closed crack", "belly crack", "back crack", "rib crack", "sound-post crack", "bass-bar crack", "dry crack", "open seam", "repaired crack"}},
	{0.4, []record.Kind{"scratch", "finish check", "surface scratches"}},
	{0.4, []record.Kind{"wear-through", "rubbed finish", "buckle rash", "edge wear", "varnish loss", "flaking", "lifted finish"}},
	{0.4, []record.Kind{"fade", "discolouration", "cloudy finish", "stand burn"}},
	{0.3, []record.Kind{"touch-up", "overspray"}},
	{0.3, []record.Kind{"fret wear", "flat spot"}},
	{0.3, []record.Kind{"tarnish", "corrosion", "plating wear"}},
	{0.3, []record.Kind{"scratchy control", "dead control"}},
	{0.3, []record.Kind{"weak pickup", "dead pickup"}},
}

// kindCost is what it costs to take a mark of kind a for one of kind b seen
// later; false where they are never the same.
func kindCost(a, b record.Kind) (float64, bool) {
	if a == b {
		return 0, true
	}
	if repairOf(a, b) {
		return 0.2, true
	}
	for _, f := range families {
		if slices.Contains(f.kinds, a) && slices.Contains(f.kinds, b) {
			return f.cost, true
		}
	}
	return 0, false
}

// Pair is a mark of the earlier record and one of the later, by their places in
// the lists; -1 for none.
type Pair struct {
	Earlier, Later int
	// Apart is how far they lie apart, mm; NaN where no places could be compared.
	Apart float64
}

// Pairs finds which marks of two lists are the same. Every mark is in one pair;
// pairs that fit best are made first, so the order of the lists does not matter.
func Pairs(earlier, later []record.Mark, a, b *outline.Drawing) []Pair {
	type possible struct {
		Pair
		cost float64
	}
	var all []possible
	from, to := prepare(earlier, a), prepare(later, b)
	for i := range from {
		for j := range to {
			if cost, apart, ok := cost(&from[i], &to[j]); ok {
				all = append(all, possible{Pair{i, j, apart}, cost})
			}
		}
	}
	slices.SortStableFunc(all, func(x, y possible) int {
		switch {
		case x.cost < y.cost:
			return -1
		case x.cost > y.cost:
			return 1
		}
		return 0
	})
	var out []Pair
	usedA, usedB := make([]bool, len(earlier)), make([]bool, len(later))
	for _, p := range all {
		if !usedA[p.Earlier] && !usedB[p.Later] {
			usedA[p.Earlier], usedB[p.Later] = true, true
			out = append(out, p.Pair)
		}
	}
	for i := range earlier {
		if !usedA[i] {
			out = append(out, Pair{i, -1, math.NaN()})
		}
	}
	for j := range later {
		if !usedB[j] {
			out = append(out, Pair{-1, j, math.NaN()})
		}
	}
	return out
}

// prepared is a mark with its places made ready.
type prepared struct {
	*record.Mark
	on    []drawn
	parts []record.PartID // of each place
}

func prepare(list []record.Mark, d *outline.Drawing) []prepared {
	out := make([]prepared, len(list))
	for i := range list {
		out[i].Mark = &list[i]
		for k := range min(len(list[i].On), maxPlaces) {
			p := &list[i].On[k]
			out[i].on = append(out[i].on, ready(p))
			out[i].parts = append(out[i].parts, PartOf(d, p))
		}
	}
	return out
}

func cost(a, b *prepared) (sum, apart float64, ok bool) {
	sum, ok = kindCost(a.Kind, b.Kind)
	if !ok {
		return 0, 0, false
	}
	best := math.Inf(1)
	apart = math.NaN()
	for i := range a.on {
		for j := range b.on {
			p, q := &a.on[i], &b.on[j]
			if len(p.pts) > 0 && len(q.pts) > 0 {
				within := near(p.Place, q.Place)
				if p.beyond(q, within) {
					continue
				}
				d := p.apart(q)
				if c := d / within; c < best {
					best, apart = c, d
				}
			} else if byName < best && a.parts[i] != "" && a.parts[i] == b.parts[j] && samePieces(p.Place, q.Place) {
				best, apart = byName, math.NaN()
			}
		}
	}
	if len(a.on) == 0 && len(b.on) == 0 && a.Number == b.Number && a.Kind == b.Kind {
		best = byName // on photos only: nothing but number and name to go by
	}
	if best > 1 {
		return 0, 0, false
	}
	sum += best + sizeCost(a.Mark, b.Mark)
	return sum, apart, sum <= most
}

func near(p, q *record.Place) float64 {
	if p.Shape == record.AreaShape || q.Shape == record.AreaShape {
		return nearArea
	}
	return nearPoint
}

// sizeCost is small for sizes alike and never more than a quarter: flaws grow.
func sizeCost(a, b *record.Mark) float64 {
	x, y := a.Length, b.Length
	if x == nil || y == nil || x.Value <= 0 || y.Value <= 0 {
		return 0
	}
	return math.Min(0.25, math.Abs(math.Log2(y.Value/x.Value))/12)
}

// samePieces says whether two places name a piece in common, where both name
// pieces.
func samePieces(p, q *record.Place) bool {
	if len(p.Pieces) == 0 || len(q.Pieces) == 0 {
		return true
	}
	return slices.ContainsFunc(p.Pieces, func(n int) bool { return slices.Contains(q.Pieces, n) })
}

// Resolved is a copy of a mark whose places name their parts, so that it can be
// compared later without its drawing.
func Resolved(m record.Mark, d *outline.Drawing) record.Mark {
	m.On = slices.Clone(m.On)
	for i := range m.On {
		m.On[i].Part = PartOf(d, &m.On[i])
	}
	return m
}

// PartOf is the part that a place lies on, "" where that is not known.
func PartOf(d *outline.Drawing, p *record.Place) record.PartID {
	if p.Part != "" || d == nil {
		return p.Part
	}
	if r, ok := d.Region(p.Region); ok {
		return r.Part
	}
	if len(p.Points) == 0 {
		return ""
	}
	r, _ := d.RegionAt(outline.Side(p.Side), p.Points[0])
	return r.Part
}
