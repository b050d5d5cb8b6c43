package archive

import (
	"math"
	"strings"

	"wornwood/annotate/compare"
	"wornwood/capture/record"
)

// usual are kinds that come where hand, arm, belt and light reach every
// instrument, so that two of them having it says little.
var usual = map[record.Kind]bool{"wear-through": true, "rubbed finish": true, "buckle rash": true, "surface scratches": true, "fade": true, "discolouration": true, "edge wear": true, "varnish loss": true,
	"fret wear": true, "fingerboard divot": true, "plating wear": true, "tarnish": true, "corrosion": true, "binding shrinkage": true, "worn nut slot": true, "worn saddle": true, "flat spot": true,
	"bellied top": true, "guard shrinkage": true, "cloudy finish": true}

// telling says whether a mark neither goes away nor comes twice at one place.
func telling(m *record.Mark) bool {
	k := string(m.Kind)
	for _, part := range []string{"crack", "break", "repaired", "added", "touch-up", "bushing", "button", "worm"} {
		if strings.Contains(k, part) {
			return true
		}
	}
	return m.Depth == record.IntoWood
}

// The chance that a mark falls beside one of another instrument: marks lie on
// about three quarters of a tenth of a square metre a side, within nearMark of each other.
const (
	nearMark   = 8.0    // mm
	sideSquare = 75_000 // mm²
)

// mostTold bounds how many marks are named one by one.
const mostTold = 12

// marks sets the marks of both records against each other. With many marks some
// fall together by chance: what is to be expected of that is taken off.
func (w *weighing) marks() {
	early, late := w.a, w.b
	if late.Report.Date < early.Report.Date {
		early, late = late, early
	}
	a, b := early.rec.Marks, late.rec.Marks
	found, told, more, rest := 0, 0, 0, 0.0
	type match struct{ i, j int }
	var list []match
	pairs := compare.Pairs(a, b, early.draw, late.draw)
	for _, p := range pairs {
		if p.Earlier >= 0 && p.Later >= 0 && !math.IsNaN(p.Apart) && p.Apart <= nearMark {
			list = append(list, match{p.Earlier, p.Later})
			if !usual[a[p.Earlier].Kind] {
				found++
			}
		}
	}
	share := 1.0
	if found > 0 {
		by := chance(a, b)
		by += 2 * math.Sqrt(max(0, by-0.5)) // chance also scatters: twice its standard deviation, where it is more than rare
		share = max(0, 1-by/float64(found))
	}
	for _, m := range list {
		x, y := &a[m.i], &b[m.j]
		id, by := "mark", share
		switch {
		case usual[x.Kind] || usual[y.Kind]:
			id, by = "mark, usual", 1
		case telling(x) && telling(y) && sameSize(x, y):
			id = "mark, telling"
		case !sameSize(x, y):
			by /= 2
		}
		if told++; told > mostTold {
			if id != "mark, usual" {
				more, rest = more+1, rest+by
			}
			continue
		}
		w.add(id, by, "both list a mark at the same place: %s%s (mark %d on %s, mark %d on %s).", lowerCase(clean(y.Title(), 60)), placeWords(late, y), x.Number, early.Report.Date, y.Number, late.Report.Date)
	}
	if more > 0 {
		w.add("mark", rest, "%d more marks at the same places.", more)
	}
	w.missing(early, late, pairs)
}

func placeWords(l *Look, m *record.Mark) string {
	t := story{}
	s := stories{looks: []Look{*l}}
	s.listed(&t, m, 0)
	if t.where == "" {
		return ""
	}
	return ", " + t.where
}

// sameSize says whether the later mark is not smaller beyond doubt and not more
// than three times as large.
func sameSize(a, b *record.Mark) bool {
	if a.Length == nil || b.Length == nil || a.Length.Value <= 0 {
		return true
	}
	r := b.Length.Value / a.Length.Value
	return r > 0.6 && r < 3
}

// chance is how many marks of two lists would be expected at the same place if
// they were strewn over two instruments.
func chance(a, b []record.Mark) float64 {
	type surface struct {
		side string
		kind record.Kind
	}
	n := map[surface]int{}
	count := func(list []record.Mark, each func(surface)) {
		for i := range list {
			if usual[list[i].Kind] {
				continue
			}
			for k := range list[i].On {
				if p := &list[i].On[k]; len(p.Points) > 0 {
					each(surface{p.Side, list[i].Kind})
				}
			}
		}
	}
	count(a, func(s surface) { n[s]++ })
	sum := 0.0
	count(b, func(s surface) { sum += float64(n[s]) * math.Pi * nearMark * nearMark / sideSquare })
	return sum
}

// missing counts marks of the earlier record that nothing takes away and that the
// later one, which looked at their parts, does not list.
func (w *weighing) missing(early, late *Look, pairs []compare.Pair) {
	for _, p := range pairs {
		if p.Earlier < 0 || p.Later >= 0 {
			continue
		}
		m := compare.Resolved(early.rec.Marks[p.Earlier], early.draw)
		if !telling(&m) || len(m.On) == 0 || compare.Lost(&m, early.look(), late.look()).Fate != compare.NotListed || late.Report.Date == early.Report.Date {
			continue
		}
		w.add("mark missing", 1, "%s, mark %d of %s, is not listed on %s, though its part was looked at.", lowerCase(clean(m.Title(), 60)), m.Number, early.Report.Date, late.Report.Date)
	}
}
