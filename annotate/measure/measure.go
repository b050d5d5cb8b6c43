// Package measure turns what was clicked on a photo into millimetres, each
// with a standard uncertainty that can be believed.
//
// Start with CardScale, FretScale, RulerScale, TwoPointScale or LandmarkScale,
// which make a record.Scale of clicks, and with Fit, which makes a Plane of
// it. Plane.Length, Width, Area and Angle are the readings. RefineScale finds
// card corners and fret ends on their edges, better than a hand can click.
//
// # Method
//
// A homography of the scale's points (normalised direct linear transform, then
// least squares on the reprojection: Hartley and Zisserman, Multiple View
// Geometry, 2nd edition, algorithms 4.2 and 4.3) starts a pinhole camera with one
// term of radial distortion, which is fitted to the clicks by least squares
// together with what is known beforehand. The camera, not the homography, is
// kept: it alone can say what happens off the scale's plane, and it lets two
// points, a ruler, a card, frets and landmarks be treated alike.
//
// Known beforehand ("priors"), as standard uncertainties:
//   - focal length: 4 % where the file states it, else the picture's long side
//     within a factor of 1.65 (phones and cameras, see focalSpread);
//   - distortion k1: -0.02 with 0.04, so that a phone's -0.05 is well inside;
//   - tilt of the scale's plane against the picture: each of its two directions
//     16 degrees, thinning out from 52, so that 40 degrees is a rare view but a possible one;
//   - a click: 1 pixel in each direction (ClickNoise), more where the points
//     disagree by more.
//
// What the clicks leave open is carried to every reading by samples of the
// camera drawn with a fixed seed: cameras that explain the clicks about as well.
// The ray of a pixel meets the plane at the height of the mark; the clicks of
// the mark itself and the uncertainty of its height are added. This is the
// propagation of distributions of JCGM 101:2008 (the supplement to the GUM).
// The reading's value is the median of the samples; its uncertainty is
// the half-width that holds 95 % of them, divided by 1.96. So value ± 1.96 u is a
// 95 % interval also where the distribution is skewed, as it is with two points:
// their photo may be tilted in a way that nobody can see in it.
//
// With five points or more a wild click is found by leaving each suspect out in turn.
//
// How often the truth lies in the interval, over a thousand photos for each kind of
// scale, is printed and held by TestTruthLiesInTheInterval; for photos taken otherwise
// than the beliefs above have it, by TestOtherHabits.
//
// # What it does not promise
//
// Lengths are those of the outline's sheet, seen square on: a line that climbs
// an arch is longer than its reading. The optical axis is taken to meet the
// middle of the photo; a photo cut down to one side breaks that, and lengths off
// the scale's plane with it. Points of the outline are only as true
// as the outline is to the instrument; see Fit.
package measure

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Height is how far a point stands above the scale's plane, towards the
// camera: Value mm with the standard uncertainty Sigma mm.
type Height struct{ Value, Sigma float64 }

// Camera is what is known of the camera that took a photo: the upright photo's
// Width and Height in pixels, and the focal length in pixels, 0 when unknown.
type Camera struct {
	Width, Height int
	FocalPx       float64
}

// CameraOf is the camera of a photo on record. The focal length comes from what the
// file states for a picture of 24 x 36 mm, whose diagonal is 43.27 mm
// (CIPA DC-008, FocalLengthIn35mmFilm).
func CameraOf(p *record.Photo) Camera {
	c := Camera{Width: p.Width, Height: p.Height}
	if p.Focal35 > 0 {
		c.FocalPx = float64(p.Focal35) / math.Hypot(24, 36) * math.Hypot(float64(p.Width), float64(p.Height))
	}
	return c
}

// ClickNoise is the standard uncertainty of a click in each direction, in
// pixels of the photo, where a point does not state its own.
const ClickNoise = 1.0

// Plane is one photo's fitted scale. It does not change and may be used by
// several goroutines.
type Plane struct {
	kind     record.ScaleKind
	points   []record.ScalePoint
	frame    frame
	best     params      // the most probable camera
	cams     []posterior // cameras that explain the clicks about as well
	resid    []Residual
	rms      float64 // of the points used, pixels
	stray    float64 // factor by which the points disagree more than their noise, at least 1
	tilt     float64 // degrees, of the most probable camera
	lengthMM float64 // known length of two points, 0 where none is stated
	few      bool    // the points lie on one line, or are too few: the tilt is not seen
	assume   bool    // widths across the board are taken as drawn
	doubt    string  // a sentence about points that disagree, "" when they do not
}

// posterior is one camera of the sample.
type posterior struct {
	lens
	factor float64 // by which millimetres are off where the known length is
	level  float64 // mm by which the scale's points stand higher than stated
}

// Option changes what Fit takes for granted.
type Option func(*options)

type options struct{ width float64 }

// WidthsKnownTo says how well the outline's widths across the fingerboard are
// known, as a standard uncertainty in mm; it matters to a FretScale by the ends of frets.
// Frets lie where the scale length puts them, but the width of a nut varies within
// a class by 1 mm and more. Without the option the widths are taken as drawn,
// and a warning says so.
func WidthsKnownTo(mm float64) Option { return func(o *options) { o.width = mm } }

// Fit finds the camera of a scale. heights gives the height of each of the scale's own points over
// the scale's plane; nil is 0 for all. Half of the variance of their Sigma is
// taken to be common to all points, half to be each point's own. The
// error is a sentence for the person who clicked.
//
// The millimetres of the points are taken as true: the scale length of a
// FretScale, the outline of a LandmarkScale. Where the outline is that of the class and
// not measured on the instrument, give the landmarks a Noise (LandmarkScale does) and the
// board WidthsKnownTo.
func Fit(s record.Scale, cam Camera, heights func(mm shape.Pt) Height, opts ...Option) (*Plane, error) {
	o := options{}
	for _, f := range opts {
		f(&o)
	}
	pr, err := newProblem(s, cam, heights, o)
	if err != nil {
		return nil, err
	}
	f, err := pr.solve()
	if err != nil {
		return nil, err
	}
	p := &Plane{kind: s.Kind, points: append([]record.ScalePoint(nil), s.Points...), frame: pr.frame, best: f.at,
		stray: f.stray, doubt: f.doubt, assume: pr.boardEnds && o.width == 0}
	if s.Length != nil {
		p.lengthMM = s.Length.Value
	}
	p.tilt = math.Hypot(f.at[tiltX], f.at[tiltY]) * 180 / math.Pi
	p.few = pr.oneLine(f.used) || pr.count(f.used) < 4
	p.describeResiduals(pr, f)
	if p.cams = pr.sample(f); len(p.cams) == 0 {
		return nil, fmt.Errorf("the points do not settle how the photo was taken; click them again, farther apart")
	}
	return p, nil
}

// ToMM is the place in millimetres of a pixel that shows a point at height h.
// A pixel beyond the plane's horizon gives a far point; Covers tells.
func (p *Plane) ToMM(px shape.Pt, h Height) shape.Pt {
	mm, _ := p.frame.toMM(&p.best, px, h.Value)
	return mm
}

// ToPx is the pixel that shows the point at millimetres mm and height h.
func (p *Plane) ToPx(mm shape.Pt, h Height) shape.Pt {
	px, _ := p.frame.toPx(&p.best, mm, h.Value)
	return px
}

// Covers says whether the pixel shows a place of the plane at height h: not the sky over its horizon.
func (p *Plane) Covers(px shape.Pt, h Height) bool {
	if !px.Finite() || !finite(h.Value) {
		return false
	}
	_, ok := p.frame.toMM(&p.best, px, h.Value)
	return ok
}

// PxPerMM is how many pixels of the photo a millimetre of the scale's plane covers in
// the middle of the scale's points.
func (p *Plane) PxPerMM() float64 { return math.Exp(p.best[logScale]) }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
