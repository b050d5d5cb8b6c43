package measure

import (
	"fmt"
	"image"
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// RefineScale finds the points of a card or of frets on their edges in the photo, upright and in grey
// at full size, and gives them their Noise; Clicked keeps where the hand was. Points that have a
// Clicked are looked for from there. What is not found stays as clicked.
// Scales of other kinds come back as they are. The error is a sentence, with the
// scale as it was.
func RefineScale(img *image.Gray, s record.Scale) (record.Scale, error) {
	switch s.Kind {
	case record.CardScale:
		return refineCard(img, s)
	case record.FretScale:
		return refineFrets(img, s)
	}
	return s, nil
}

func clickOf(p record.ScalePoint) shape.Pt {
	if p.Clicked != nil {
		return *p.Clicked
	}
	return p.At
}

// found is the scale with a point moved to its edge.
func found(s *record.Scale, i int, at shape.Pt, sigma float64) {
	click := clickOf(s.Points[i])
	s.Points[i].Clicked, s.Points[i].At = &click, shape.Pt{X: cents(at.X), Y: cents(at.Y)}
	s.Points[i].Noise = max(0.01, cents(sigma))
}

// cents rounds to hundredths: a record holds no digits that mean nothing.
func cents(v float64) float64 { return math.Round(v*100) / 100 }

func refineCard(img *image.Gray, s record.Scale) (record.Scale, error) {
	if len(s.Points) != 4 {
		return s, fmt.Errorf("a card has four corners, %d were clicked", len(s.Points))
	}
	var clicks, ordered [4]shape.Pt
	for i, p := range s.Points {
		clicks[i] = clickOf(p)
	}
	ring, err := aroundCard(clicks)
	if err != nil {
		return s, err
	}
	for i, k := range ring {
		ordered[i] = clicks[k]
	}
	refined, sigma, err := RefineCorners(img, ordered)
	if err != nil {
		return s, err
	}
	s.Points = append([]record.ScalePoint(nil), s.Points...)
	for i, k := range ring {
		found(&s, k, refined[i], sigma[i])
	}
	return s, nil
}

func refineFrets(img *image.Gray, s record.Scale) (record.Scale, error) {
	var ends []FretEnd
	var of []int
	var mm, px []shape.Pt
	for i, p := range s.Points {
		n, end, ok := fretName(p.Name)
		mm, px = append(mm, p.MM), append(px, clickOf(p))
		if ok && end != "" {
			ends, of = append(ends, FretEnd{Fret: n, Treble: end == "treble", At: clickOf(p)}), append(of, i)
		}
	}
	if len(ends) == 0 {
		return s, nil // clicks in the middle of the board have no end to be found
	}
	far := extent(mm)
	if !(far > 0) {
		return s, fmt.Errorf("the points of the scale all stand for one place: give points that lie apart")
	}
	refined, err := RefineFretEnds(img, ends, extent(px)/far)
	if err != nil {
		return s, err
	}
	s.Points = append([]record.ScalePoint(nil), s.Points...)
	for k, e := range refined {
		if e.Sigma > 0 {
			found(&s, of[k], e.At, e.Sigma)
		}
	}
	return s, nil
}
