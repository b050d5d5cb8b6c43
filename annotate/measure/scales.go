package measure

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// CardScale is the scale of an ID-1 card by its four corners, clicked in any order. height is how
// far its face stands above the instrument's front face, nil for unknown or no matter. The longer
// pair of sides in the photo is taken for the card's longer one, which holds up to a
// tilt of 45 degrees. The error is a sentence for the person who clicked.
func CardScale(corners [4]shape.Pt, height *record.Quantity) (record.Scale, error) {
	ring, err := aroundCard(corners)
	if err != nil {
		return record.Scale{}, fmt.Errorf("set scale by card: %w", err)
	}
	var c [4]shape.Pt
	for i, k := range ring {
		c[i] = corners[k]
	}
	first := 0
	if shape.Dist(c[0], c[1])+shape.Dist(c[2], c[3]) < shape.Dist(c[1], c[2])+shape.Dist(c[3], c[0]) {
		first = 1
	}
	s := record.Scale{Kind: record.CardScale, Height: height, Points: make([]record.ScalePoint, 4)}
	for i, mm := range CardPoints() {
		k := ring[(first+i)%4]
		s.Points[k] = record.ScalePoint{Name: fmt.Sprintf("corner %d", k+1), At: corners[k], MM: mm}
	}
	return s, nil
}

// aroundCard is the order of four clicks clockwise around the card, beginning
// with the first.
func aroundCard(corners [4]shape.Pt) ([4]int, error) {
	order := [4]int{0, 1, 2, 3}
	var mid shape.Pt
	for i, p := range corners {
		if !p.Finite() || math.Abs(p.X) > farthest || math.Abs(p.Y) > farthest {
			return order, fmt.Errorf("corner %d is not at an ordinary place", i+1)
		}
		mid = shape.Add(mid, shape.Mul(p, 0.25))
	}
	angle := func(i int) float64 {
		a := math.Atan2(corners[i].Y-mid.Y, corners[i].X-mid.X) - math.Atan2(corners[0].Y-mid.Y, corners[0].X-mid.X)
		if a < 0 {
			a += 2 * math.Pi
		}
		return a
	}
	sort.SliceStable(order[1:], func(i, j int) bool { return angle(order[1+i]) < angle(order[1+j]) })
	var c [4]shape.Pt
	for i, k := range order {
		c[i] = corners[k]
	}
	return order, checkCorners(c)
}

// FretScale is the scale of clicks on the nut and on frets. Names are "nut-bass",
// "nut-treble", "fret-12-bass" and so on for ends at the board's edges, "nut" and "fret-12" for the middle of
// the board; two or more.
func FretScale(d *outline.Drawing, clicks map[string]shape.Pt) (record.Scale, error) {
	s := record.Scale{Kind: record.FretScale, Side: string(outline.Front)}
	for _, name := range sorted(clicks) {
		mm, ok := fretPlace(d, name)
		if !ok {
			return s, fmt.Errorf("set scale by frets: the outline has no %s", strings.ReplaceAll(name, "-", " "))
		}
		s.Points = append(s.Points, record.ScalePoint{Name: name, At: clicks[name], MM: mm})
	}
	if err := checkClicks(s.Points, 2); err != nil {
		return s, fmt.Errorf("set scale by frets: %w", err)
	}
	return s, nil
}

// FretPoints are the ends, bass then treble, of the given frets in millimetres of the
// front sheet; 0 is the nut. A fret that the instrument has not is left out.
func FretPoints(d *outline.Drawing, frets ...int) []shape.Pt {
	var out []shape.Pt
	for _, n := range frets {
		if b, t := d.FretLine(n); b != t {
			out = append(out, b, t)
		}
	}
	return out
}

// fretName reads "nut", "nut-bass", "fret-12", "fret-12-treble".
func fretName(name string) (fret int, end string, ok bool) {
	rest, isNut := strings.CutPrefix(name, "nut")
	if !isNut {
		var num string
		num, isFret := strings.CutPrefix(name, "fret-")
		if !isFret {
			return 0, "", false
		}
		num, end, _ = strings.Cut(num, "-")
		n, err := strconv.Atoi(num)
		if err != nil || n < 1 || strconv.Itoa(n) != num {
			return 0, "", false
		}
		return n, end, end == "bass" || end == "treble" || end == "" && !strings.HasSuffix(name, "-")
	}
	switch rest {
	case "", "-bass", "-treble":
		return 0, strings.TrimPrefix(rest, "-"), true
	}
	return 0, "", false
}

func fretPlace(d *outline.Drawing, name string) (shape.Pt, bool) {
	n, end, ok := fretName(name)
	if !ok {
		return shape.Pt{}, false
	}
	b, t := d.FretLine(n)
	if b == t {
		return shape.Pt{}, false
	}
	switch end {
	case "bass":
		return b, true
	case "treble":
		return t, true
	}
	return shape.Lerp(b, t, 0.5), true
}

// RulerScale is the scale of two or more graduations of a ruler, each at its mm.
func RulerScale(pts []shape.Pt, mm []float64, height *record.Quantity) (record.Scale, error) {
	s := record.Scale{Kind: record.RulerScale, Height: height}
	if len(pts) != len(mm) {
		return s, fmt.Errorf("set scale by ruler: %d graduations for %d points", len(mm), len(pts))
	}
	for i, p := range pts {
		if !finite(mm[i]) || math.Abs(mm[i]) > farthest {
			return s, fmt.Errorf("set scale by ruler: graduation %d is not an ordinary number", i+1)
		}
		s.Points = append(s.Points, record.ScalePoint{Name: fmt.Sprintf("%g mm", mm[i]), At: p, MM: shape.Pt{X: mm[i]}})
	}
	if err := checkClicks(s.Points, 2); err != nil {
		return s, fmt.Errorf("set scale by ruler: %w", err)
	}
	byMM := slices.Clone(s.Points)
	sort.SliceStable(byMM, func(i, j int) bool { return byMM[i].MM.X < byMM[j].MM.X })
	a, b := byMM[0].At, byMM[len(byMM)-1].At
	way := shape.Sub(b, a)
	last := math.Inf(-1)
	for _, p := range byMM {
		at := (p.At.X-a.X)*way.X + (p.At.Y-a.Y)*way.Y
		if at <= last {
			return s, fmt.Errorf("set scale by ruler: the points do not follow each other as their graduations do: click them in order along the ruler")
		}
		last = at
	}
	return s, nil
}

// TwoPointScale is the scale of two points a known length in mm apart.
func TwoPointScale(a, b shape.Pt, length record.Quantity, height *record.Quantity) (record.Scale, error) {
	s := record.Scale{Kind: record.TwoPointScale, Height: height, Length: &length}
	if !finite(length.Value) || length.Value <= 0 || length.Value > farthest {
		return s, fmt.Errorf("set scale by two points: the known length is %g mm: give a length above 0", length.Value)
	}
	if !finite(length.Uncertainty) || length.Uncertainty < 0 {
		return s, fmt.Errorf("set scale by two points: the uncertainty of the known length is not a number of 0 or more")
	}
	s.Points = []record.ScalePoint{
		{Name: "first point", At: a},
		{Name: "second point", At: b, MM: shape.Pt{X: length.Value}},
	}
	if err := checkClicks(s.Points, 2); err != nil {
		return s, fmt.Errorf("set scale by two points: %w", err)
	}
	return s, nil
}

// How well an outline knows its landmarks, as standard uncertainties in mm: common
// practice, no published source. Frets lie where the scale length says; saddles
// are set behind it for intonation; bodies of one class differ.
const (
	fretsKnown   = 0.5
	saddlesKnown = 1.5
	bodyKnown    = 4.0
	ownKnown     = 1.5 // the body's own outline was traced
)

// LandmarkScale is the scale of four or more landmarks of a side of the outline, by their
// names. Each point's Noise holds how well the outline knows its
// place, beside the click: a body of the class is not this body.
func LandmarkScale(d *outline.Drawing, on outline.Side, clicks map[string]shape.Pt) (record.Scale, error) {
	s := record.Scale{Kind: record.LandmarkScale, Side: string(on)}
	places := map[string]shape.Pt{}
	for _, l := range d.Landmarks() {
		if l.Side == on {
			places[l.ID] = l.At
		}
	}
	for _, name := range sorted(clicks) {
		mm, ok := places[name]
		if !ok && on == outline.Front {
			mm, ok = fretPlace(d, name)
		}
		if !ok {
			return s, fmt.Errorf("set scale by landmarks: the outline has no %s on its %s", strings.ReplaceAll(name, "-", " "), on)
		}
		s.Points = append(s.Points, record.ScalePoint{Name: name, At: clicks[name], MM: mm})
	}
	if err := checkClicks(s.Points, 4); err != nil {
		return s, fmt.Errorf("set scale by landmarks: %w", err)
	}
	mm, px := make([]shape.Pt, len(s.Points)), make([]shape.Pt, len(s.Points))
	for i, p := range s.Points {
		mm[i], px[i] = p.MM, p.At
	}
	if thickness(px) < 0.01 || thickness(mm) < 0.01 {
		return s, fmt.Errorf("set scale by landmarks: all of them lie on one line: add one beside it")
	}
	k := extent(px) / extent(mm)
	for i := range s.Points {
		known := bodyKnown
		if d.Own != nil {
			known = ownKnown
		}
		switch n := s.Points[i].Name; {
		case strings.HasPrefix(n, "nut"), strings.HasPrefix(n, "fret"), strings.HasPrefix(n, "board"):
			known = fretsKnown
		case strings.HasPrefix(n, "saddle"):
			known = saddlesKnown
		}
		s.Points[i].Noise = math.Round(100*math.Hypot(ClickNoise, known*k)) / 100
	}
	return s, nil
}

// checkClicks refuses too few points, and points on top of each other.
func checkClicks(pts []record.ScalePoint, least int) error {
	if len(pts) < least {
		return fmt.Errorf("%d points are too few, it needs %d", len(pts), least)
	}
	if len(pts) > record.MaxScalePoints {
		return fmt.Errorf("%d points are too many, at most %d are used", len(pts), record.MaxScalePoints)
	}
	for i, p := range pts {
		if !p.At.Finite() || math.Abs(p.At.X) > farthest || math.Abs(p.At.Y) > farthest {
			return fmt.Errorf("%s is not at an ordinary place", p.Name)
		}
		for _, q := range pts[:i] {
			if p.MM == q.MM {
				return fmt.Errorf("%s and %s are the same place", q.Name, p.Name)
			}
			if shape.Dist(p.At, q.At) < 2 {
				return fmt.Errorf("%s and %s were clicked on the same place", q.Name, p.Name)
			}
		}
	}
	return nil
}

// sorted are the names in an order that does not change between runs: by fret
// where they are frets.
func sorted(clicks map[string]shape.Pt) []string {
	names := make([]string, 0, len(clicks))
	for n := range clicks {
		names = append(names, n)
	}
	sort.Slice(names, func(i, j int) bool {
		a, _, okA := fretName(names[i])
		b, _, okB := fretName(names[j])
		if okA && okB && a != b {
			return a < b
		}
		return names[i] < names[j]
	})
	return names
}
