package compare

import (
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// samples is how many points stand for a drawn shape.
const samples = 12

// drawn is a drawn place made ready for being compared with many others.
type drawn struct {
	*record.Place
	pts []record.Point // evenly along it; of a ring, all round
	mid record.Point
	box shape.Rect
}

func ready(p *record.Place) drawn {
	d := drawn{Place: p, pts: spread(p)}
	if len(d.pts) == 0 {
		return d
	}
	d.box = shape.Rect{Min: d.pts[0], Max: d.pts[0]}
	for _, q := range d.pts {
		d.mid.X += q.X / float64(len(d.pts))
		d.mid.Y += q.Y / float64(len(d.pts))
		d.box.Min = record.Point{X: math.Min(d.box.Min.X, q.X), Y: math.Min(d.box.Min.Y, q.Y)}
		d.box.Max = record.Point{X: math.Max(d.box.Max.X, q.X), Y: math.Max(d.box.Max.Y, q.Y)}
	}
	return d
}

// Apart is how far two drawn places lie apart in mm: 0 where one lies about the
// middle of the other, else the mean way from points of the one to the nearest
// of the other, the shorter of both directions. So a crack that ran on is near
// what it was, because all of the old one lies along the new. +Inf on different
// sides.
func Apart(p, q *record.Place) float64 {
	a, b := ready(p), ready(q)
	return a.apart(&b)
}

func (a *drawn) apart(b *drawn) float64 {
	if a.Side != b.Side || len(a.pts) == 0 || len(b.pts) == 0 {
		return math.Inf(1)
	}
	if a.holds(b.mid) || b.holds(a.mid) {
		return 0
	}
	return math.Min(mean(a.pts, b.pts), mean(b.pts, a.pts))
}

// beyond is true where the two are certainly farther apart than so many mm.
func (a *drawn) beyond(b *drawn, mm float64) bool {
	return a.box.Min.X-b.box.Max.X > mm || b.box.Min.X-a.box.Max.X > mm || a.box.Min.Y-b.box.Max.Y > mm || b.box.Min.Y-a.box.Max.Y > mm
}

func (a *drawn) holds(at record.Point) bool {
	return a.Shape == record.AreaShape && len(a.Points) > 2 && shape.PointInPolygon(at, a.Points)
}

func mean(from, to []record.Point) float64 {
	sum := 0.0
	for _, p := range from {
		best := math.Inf(1)
		for _, q := range to {
			best = math.Min(best, dist(p, q))
		}
		sum += best
	}
	return sum / float64(len(from))
}

// spread are points evenly along what was drawn; a ring is gone round.
func spread(p *record.Place) []record.Point {
	pts := p.Points
	if p.Shape == record.AreaShape && len(pts) > 2 {
		pts = append(append([]record.Point{}, pts...), pts[0])
	}
	whole := shape.PolylineLength(pts)
	if len(pts) < 2 || !(whole > 0) || math.IsInf(whole, 0) {
		return pts[:min(1, len(pts))]
	}
	out := make([]record.Point, 0, samples)
	at, done := 0, 0.0
	for i := range samples {
		want := whole * float64(i) / (samples - 1)
		for at < len(pts)-2 && done+dist(pts[at], pts[at+1]) < want {
			done += dist(pts[at], pts[at+1])
			at++
		}
		t := 0.0
		if d := dist(pts[at], pts[at+1]); d > 0 {
			t = math.Min(1, (want-done)/d)
		}
		out = append(out, record.Point{X: pts[at].X + t*(pts[at+1].X-pts[at].X), Y: pts[at].Y + t*(pts[at+1].Y-pts[at].Y)})
	}
	return out
}

func dist(a, b record.Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }
