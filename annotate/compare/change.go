package compare

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// Change is what became of one mark.
type Change struct {
	Fate Fate
	// Words say how, where there is more to say than the fate: "3.0 mm to 5.5 mm",
	// "now a repaired crack".
	Words string
}

// repairOf says whether a kind is what is left of another after its repair.
func repairOf(a, b record.Kind) bool {
	k, ok := grade.AfterRepair(a)
	return ok && k == b
}

// Between says what became of a mark that both records list.
func Between(a, b *record.Mark) Change {
	size, words := sizes(a, b)
	switch {
	case b.Kind != a.Kind && repairOf(a.Kind, b.Kind):
		return Change{Repaired, "now a " + string(b.Kind)}
	case b.Since == "repaired" && a.Since != "repaired":
		return Change{Repaired, ""}
	case size > 0:
		return Change{Grown, words}
	case b.Depth.Level() > a.Depth.Level() && a.Depth.Level() >= 0 && b.Reading == nil && a.Reading == nil:
		return Change{Deeper, string(a.Depth) + " to " + string(b.Depth)}
	case size < 0:
		return Change{Smaller, words}
	case a.Kind != b.Kind:
		return Change{Same, fmt.Sprintf("called %s before", a.Kind)}
	}
	return Change{Same, ""}
}

// unstated is the standard uncertainty of a length for which none is stated:
// half a millimetre or a twentieth, whichever is more, as a ruler and an edge
// that fades leave it (common practice).
func unstated(v float64) float64 { return math.Max(0.5, v/20) }

// sizes compares what was measured: 1 where one of the sizes is larger now beyond
// doubt, -1 where smaller. Beyond doubt is twice the combined standard
// uncertainty (after JCGM 100:2008, 6.2 and 6.3: a coverage factor of 2).
func sizes(a, b *record.Mark) (int, string) {
	for _, c := range []struct {
		was, is *record.Quantity
		unit    string
	}{{a.Length, b.Length, "mm"}, {a.Area, b.Area, "mm²"}, {a.Width, b.Width, "mm"}} {
		if c.was == nil || c.is == nil {
			continue
		}
		u, w := c.was.Uncertainty, c.is.Uncertainty
		if u <= 0 {
			u = unstated(c.was.Value)
		}
		if w <= 0 {
			w = unstated(c.is.Value)
		}
		diff := c.is.Value - c.was.Value
		if math.Abs(diff) <= 2*math.Hypot(u, w) {
			continue
		}
		words := fmt.Sprintf("%s to %s %s", figure(c.was.Value), figure(c.is.Value), c.unit)
		if diff > 0 {
			return 1, words
		}
		return -1, words
	}
	return readings(a, b)
}

// readings compares measured intensities of the same kind. A crown that is lower
// is worn further; all others grow.
func readings(a, b *record.Mark) (int, string) {
	if a.Reading == nil || b.Reading == nil || a.Reading.Kind != b.Reading.Kind {
		return 0, ""
	}
	was, is := a.Reading.Quantity, b.Reading.Quantity
	u, w := was.Uncertainty, is.Uncertainty
	if u <= 0 {
		u = was.Value / 20
	}
	if w <= 0 {
		w = is.Value / 20
	}
	diff := is.Value - was.Value
	if math.Abs(diff) <= 2*math.Hypot(u, w) {
		return 0, ""
	}
	words := fmt.Sprintf("%s %s to %s", a.Reading.Kind, strings.TrimSpace(was.String()), strings.TrimSpace(is.String()))
	if (diff > 0) != (a.Reading.Kind == record.CrownReading) {
		return 1, words
	}
	return -1, words
}

func figure(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}

// Lost says what became of a mark of the earlier record that the later one does
// not list: its part is another by now, was not looked at, or the mark is simply
// not there.
func Lost(m *record.Mark, a, b Look) Change {
	looked := len(m.On) == 0
	for i := range m.On {
		part := PartOf(a.Drawing, &m.On[i])
		was, is := a.Record.PartByID(part), b.Record.PartByID(part)
		if is == nil {
			continue
		}
		if other(is.State) && (was == nil || !other(was.State)) {
			return Change{GoneWith, fmt.Sprintf("%s: %s", part, is.State)}
		}
		looked = looked || is.Inspected
	}
	if looked {
		return Change{NotListed, ""}
	}
	return Change{NotSeen, ""}
}

// other says whether a part in that state is another, or has another surface,
// than the one before it.
func other(s record.State) bool {
	switch s {
	case record.PeriodReplacement, record.LaterReplacement, record.Refinished, record.Missing:
		return true
	}
	return false
}
