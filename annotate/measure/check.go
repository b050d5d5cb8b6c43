package measure

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// farthest bounds coordinates: pixels and millimetres beyond it are mistakes.
const farthest = 1e6

// checkScale refuses what is no scale at all, with a sentence.
func checkScale(s *record.Scale, cam Camera, o options) error {
	if cam.Width < 1 || cam.Height < 1 || cam.Width > farthest || cam.Height > farthest {
		return fmt.Errorf("the photo's size of %d x %d pixels is not a size", cam.Width, cam.Height)
	}
	long := float64(max(cam.Width, cam.Height))
	if !finite(cam.FocalPx) || cam.FocalPx < 0 || cam.FocalPx > 0 && (cam.FocalPx < long/10 || cam.FocalPx > long*100) {
		return fmt.Errorf("a focal length of %g pixels does not go with a photo of %d x %d", cam.FocalPx, cam.Width, cam.Height)
	}
	if !finite(o.width) || o.width < 0 || o.width > 20 {
		return fmt.Errorf("widths known to %g mm: give 0 to 20", o.width)
	}
	n := len(s.Points)
	switch s.Kind {
	case record.TwoPointScale:
		if n != 2 {
			return fmt.Errorf("a scale by two points has %d: click 2", n)
		}
		if s.Length != nil && !(s.Length.Value > 0 && s.Length.Value <= farthest) {
			return fmt.Errorf("the known length is %g mm: give a length above 0", s.Length.Value)
		}
		if s.Length != nil && !(s.Length.Uncertainty >= 0 && s.Length.Uncertainty <= farthest) {
			return fmt.Errorf("the uncertainty of the known length is %g mm: give 0 or more", s.Length.Uncertainty)
		}
	case record.CardScale:
		if n != 4 {
			return fmt.Errorf("a card has four corners, %d were clicked", n)
		}
	case record.FretScale, record.RulerScale, record.LandmarkScale:
	default:
		return fmt.Errorf("unknown kind of scale %q", s.Kind)
	}
	if n < 2 || n > record.MaxScalePoints {
		return fmt.Errorf("a scale with %d points: it needs 2 to %d", n, record.MaxScalePoints)
	}
	for i, p := range s.Points {
		for _, q := range []shape.Pt{p.At, p.MM} {
			if !q.Finite() || math.Abs(q.X) > farthest || math.Abs(q.Y) > farthest {
				return fmt.Errorf("the scale's %s is not at an ordinary place", nameOf(s, i))
			}
		}
		if !finite(p.Noise) || p.Noise < 0 || p.Noise > 1e4 || p.Noise > 0 && p.Noise < 1e-3 {
			return fmt.Errorf("the scale's %s is known to %g pixels: give 0.001 to 10000, or 0 for a click", nameOf(s, i), p.Noise)
		}
	}
	return nil
}

// platform is where the scale's points lie in millimetres: as they state, two
// points as far apart as their known length.
func platform(s *record.Scale) ([]shape.Pt, error) {
	mm := make([]shape.Pt, len(s.Points))
	for i, p := range s.Points {
		mm[i] = p.MM
	}
	if s.Kind != record.TwoPointScale || s.Length == nil {
		return mm, nil
	}
	d := shape.Dist(mm[0], mm[1])
	if d == 0 {
		mm[1] = shape.Pt{X: mm[0].X + s.Length.Value, Y: mm[0].Y}
		return mm, nil
	}
	if r := d / s.Length.Value; r < 0.999 || r > 1.001 {
		return nil, fmt.Errorf("the two points lie %.4g mm apart, and the known length is %.4g mm: one of the two is wrong", d, s.Length.Value)
	}
	mid := shape.Lerp(mm[0], mm[1], 0.5)
	for i := range mm {
		mm[i] = shape.Add(mid, shape.Mul(shape.Sub(mm[i], mid), s.Length.Value/d))
	}
	return mm, nil
}

// checkSpread refuses points that lie too close together to measure by.
func checkSpread(mm, px []shape.Pt, pts []record.ScalePoint) error {
	noise := 0.0
	for _, p := range pts {
		if p.Noise == 0 {
			p.Noise = ClickNoise
		}
		noise = max(noise, p.Noise)
	}
	if far := extent(px); far < 8*noise {
		return fmt.Errorf("the points of the scale lie within %.3g pixels of each other: click points that lie farther apart", far)
	}
	if far := extent(mm); far < 1e-3 {
		return fmt.Errorf("the points of the scale all stand for one place: give points that lie apart")
	}
	return nil
}

// extent is the longest distance between two of the points.
func extent(pts []shape.Pt) float64 {
	far := 0.0
	for _, p := range pts {
		for _, q := range pts {
			far = max(far, shape.Dist(p, q))
		}
	}
	return far
}

// nameOf is how a point is called in a sentence.
func nameOf(s *record.Scale, i int) string {
	if n := s.Points[i].Name; n != "" {
		return n
	}
	if s.Kind == record.CardScale {
		return fmt.Sprintf("corner %d", i+1)
	}
	return fmt.Sprintf("point %d", i+1)
}
