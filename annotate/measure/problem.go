package measure

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// What is known of a camera before anything was clicked; sources: common practice,
// from memory. A phone's main lens is 0.65 to 0.8 long sides, its second
// 1.4 to 2.1, a camera's at a bench 1 to 3.
const (
	usualFocal  = 1.0  // of the picture's long side
	focalSpread = 0.5  // standard uncertainty of its logarithm
	focalStated = 0.04 // the same where the file states it: rounding, cropping by stabilizers, focusing near
	usualK1     = -0.02
	spreadK1    = 0.04
	tiltSpread  = 16 * math.Pi / 180 // of each direction
	rareTilt    = 52 * math.Pi / 180 // a tilt that few work at: from here the sample thins out
	steepest    = 65 * math.Pi / 180 // one that nobody works at
)

// observation is one point of the scale, ready for the fit.
type observation struct {
	x, y     float64 // pixels from the photo's middle
	p        vec     // mm from the middle of the points, away from the camera
	nut, mid float64 // how p[0] moves with the board's widths
	noise    float64 // pixels
	own      float64 // mm, standard uncertainty of the height that is this point's own
	w        [3]float64
}

// problem is a scale to be fitted.
type problem struct {
	frame
	obs       []observation
	names     []string
	mean, sd  params // known beforehand; sd 0 for what is not
	start     []params
	heightSD  float64 // mm, common to all points
	lengthSD  float64 // relative, of the known length
	boardEnds bool    // the board's widths take part
	kind      record.ScaleKind
}

// count is how many points of the mask are set.
func (pr *problem) count(used []bool) int {
	n := 0
	for _, u := range used {
		if u {
			n++
		}
	}
	return n
}

// oneLine says whether the points in use lie next to one line of the plane:
// then the tilt across it is not seen.
func (pr *problem) oneLine(used []bool) bool {
	var pts []shape.Pt
	for i, o := range pr.obs {
		if used[i] {
			pts = append(pts, shape.Pt{X: o.p[0], Y: o.p[1]})
		}
	}
	return len(pts) < 3 || thickness(pts) < 0.01
}

func newProblem(s record.Scale, cam Camera, heights func(shape.Pt) Height, o options) (*problem, error) {
	if err := checkScale(&s, cam, o); err != nil {
		return nil, err
	}
	mm, err := platform(&s)
	if err != nil {
		return nil, err
	}
	pr := &problem{kind: s.Kind}
	pr.midPx = shape.Pt{X: float64(cam.Width) / 2, Y: float64(cam.Height) / 2}
	for _, p := range mm {
		pr.midMM = shape.Add(pr.midMM, shape.Mul(p, 1/float64(len(mm))))
	}
	px := make([]shape.Pt, len(mm))
	for i, p := range s.Points {
		px[i] = p.At
	}
	if err := checkSpread(mm, px, s.Points); err != nil {
		return nil, err
	}
	pr.mirror = mirrored(mm, px)
	if s.Kind == record.TwoPointScale && s.Length != nil {
		pr.lengthSD = s.Length.Uncertainty / s.Length.Value
		if pr.lengthSD > 0.3 {
			return nil, fmt.Errorf("the known length of %s mm is too uncertain to measure by", s.Length)
		}
	}
	if err := pr.addPoints(&s, mm, heights); err != nil {
		return nil, err
	}
	pr.knownBefore(cam, o)
	pr.starts(mm, px)
	return pr, nil
}

// addPoints makes the observations.
func (pr *problem) addPoints(s *record.Scale, mm []shape.Pt, heights func(shape.Pt) Height) error {
	octave := boardHalf(s)
	common := 0.0
	for i, p := range s.Points {
		h := Height{}
		if heights != nil {
			h = heights(inward(s, mm, i))
		}
		if !finite(h.Value) || !finite(h.Sigma) || h.Sigma < 0 || math.Abs(h.Value) > 1e4 || h.Sigma > 1e4 {
			return fmt.Errorf("the height of the scale's %s is not an ordinary number", nameOf(s, i))
		}
		x, y := pr.pixel(p.At)
		ob := observation{x: x, y: y, p: vec{mm[i].X - pr.midMM.X, mm[i].Y - pr.midMM.Y, -h.Value}, noise: p.Noise, own: h.Sigma / math.Sqrt2}
		if ob.noise == 0 {
			ob.noise = ClickNoise
		}
		if octave > 0 && math.Abs(mm[i].X) > 1 {
			t := mm[i].Y / octave
			side := math.Copysign(1, mm[i].X)
			ob.nut, ob.mid = side*(1-t), side*t
			pr.boardEnds = true
		}
		common += h.Sigma * h.Sigma / 2 / float64(len(mm))
		pr.obs = append(pr.obs, ob)
		pr.names = append(pr.names, nameOf(s, i))
	}
	pr.heightSD = math.Sqrt(common)
	return nil
}

// inward is where to ask for the height of a point: points of an outline lie on edges, and
// 1.5 mm towards the others it is clear which part is meant.
func inward(s *record.Scale, mm []shape.Pt, i int) shape.Pt {
	p := s.Points[i].MM
	if s.Side == "" {
		return p
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range mm {
		lo, hi = min(lo, q.Y), max(hi, q.Y)
	}
	const step = 1.5
	p.X -= min(step, math.Abs(p.X)) * math.Copysign(1, p.X)
	if hi-lo > 4*step {
		p.Y -= step * math.Copysign(1, p.Y-(lo+hi)/2)
	}
	return p
}

// boardHalf is how far down the board the second of its two widths lies: the lowest
// point clicked, or 0 where no widths take part.
func boardHalf(s *record.Scale) float64 {
	if s.Kind != record.FretScale {
		return 0
	}
	far := 0.0
	for _, p := range s.Points {
		far = max(far, p.MM.Y)
	}
	return far
}

// knownBefore fills in what is known before any click.
func (pr *problem) knownBefore(cam Camera, o options) {
	long := float64(max(cam.Width, cam.Height))
	pr.mean[logFocal], pr.sd[logFocal] = math.Log(usualFocal*long), focalSpread
	if cam.FocalPx > 0 {
		pr.mean[logFocal], pr.sd[logFocal] = math.Log(cam.FocalPx), focalStated
	}
	pr.mean[distort], pr.sd[distort] = usualK1, spreadK1
	pr.sd[tiltX], pr.sd[tiltY] = tiltSpread, tiltSpread
	width := max(o.width/2, 1e-6) // of one side; next to nothing holds it as drawn
	pr.sd[nutWidth], pr.sd[midWidth] = width, width
}

// starts are the views to start the fit from: flat; and where the points show
// it, tilted as their homography says and the other way round, because a
// small picture of a plane looks nearly the same either way.
func (pr *problem) starts(mm, px []shape.Pt) {
	flat := pr.mean
	pr.level(&flat)
	pr.start = []params{flat}
	all := make([]bool, len(mm))
	for i := range all {
		all[i] = true
	}
	if len(mm) < 4 || pr.oneLine(all) {
		return
	}
	plane, photo := make([]shape.Pt, len(mm)), make([]shape.Pt, len(mm))
	for i, o := range pr.obs {
		plane[i], photo[i] = shape.Pt{X: o.p[0], Y: o.p[1]}, shape.Pt{X: o.x, Y: o.y}
	}
	// A wild click must not lead the start astray; heights are not in it yet, so
	// the limit is wide.
	limit := pr.startLimit(&flat)
	h, err := homographyOf(plane, photo, everyOne(len(plane)), false)
	if err != nil || len(mm) >= 6 && farthestOff(h, plane, photo) > limit {
		if g, _, rerr := RobustHomography(plane, photo, limit); rerr == nil {
			h, err = g, nil
		}
	}
	if err != nil {
		return
	}
	if t, ok := pr.poseOf(h); ok {
		twin := t
		twin[tiltX], twin[tiltY] = -t[tiltX], -t[tiltY]
		pr.start = append(pr.start, t, twin)
	}
}

// startLimit is how far off a point may be in a map that knows no heights.
func (pr *problem) startLimit(flat *params) float64 {
	lo, hi := 0.0, 0.0
	for _, o := range pr.obs {
		lo, hi = min(lo, o.p[2]), max(hi, o.p[2])
	}
	return 6 + 0.3*(hi-lo)*math.Exp(flat[logScale])
}

// level sets the pose of a view without tilt: the turn, place and size that fit best.
func (pr *problem) level(t *params) {
	var xm, ym, re, im, pp float64
	n := float64(len(pr.obs))
	for _, o := range pr.obs {
		xm, ym = xm+o.x/n, ym+o.y/n
	}
	for _, o := range pr.obs {
		re += o.p[0]*(o.x-xm) + o.p[1]*(o.y-ym)
		im += o.p[0]*(o.y-ym) - o.p[1]*(o.x-xm)
		pp += o.p[0]*o.p[0] + o.p[1]*o.p[1]
	}
	t[tiltX], t[tiltY] = 0, 0
	t[spin], t[atX], t[atY] = math.Atan2(im, re), xm, ym
	t[logScale] = math.Log(max(math.Hypot(re, im)/pp, 1e-6))
}

// poseOf is the view that a homography from the observations' millimetres to
// their pixels shows, taken with the usual focal length.
func (pr *problem) poseOf(h [9]float64) (params, bool) {
	t := pr.mean
	f := math.Exp(t[logFocal])
	var c [3]vec
	for j := range c {
		c[j] = vec{h[j] / f, h[3+j] / f, h[6+j]}
	}
	if c[2][2] < 0 {
		for j := range c {
			c[j] = vec{-c[j][0], -c[j][1], -c[j][2]}
		}
	}
	n0, n1 := norm(c[0]), norm(c[1])
	scale := f * math.Sqrt(n0*n1) / c[2][2]
	// The two directions of the plane made square to each other.
	var sum, diff vec
	for i := range sum {
		sum[i], diff[i] = c[0][i]/n0+c[1][i]/n1, c[0][i]/n0-c[1][i]/n1
	}
	ns, nd := norm(sum), norm(diff)
	var u, v vec
	for i := range u {
		u[i], v[i] = (sum[i]/ns+diff[i]/nd)/math.Sqrt2, (sum[i]/ns-diff[i]/nd)/math.Sqrt2
	}
	nx, ny, nz := u[1]*v[2]-u[2]*v[1], u[2]*v[0]-u[0]*v[2], u[0]*v[1]-u[1]*v[0]
	s := math.Hypot(nx, ny)
	angle := min(math.Atan2(s, nz), 0.9*steepest)
	if s > 1e-9 {
		t[tiltX], t[tiltY] = -ny/s*angle, nx/s*angle
	}
	lean := leaning(t[tiltX], t[tiltY])
	back := lean.applyBack(u)
	t[spin] = math.Atan2(back[1], back[0])
	t[atX], t[atY] = f*c[2][0]/c[2][2], f*c[2][1]/c[2][2]
	t[logScale] = math.Log(scale)
	for _, v := range t {
		if !finite(v) {
			return t, false
		}
	}
	return t, scale > 0
}

func norm(v vec) float64 { return math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2]) }

// mirrored says whether the photo shows the plane's mirror image: the affine map
// that fits best turns it over. Points on one line cannot tell.
func mirrored(mm, px []shape.Pt) bool {
	if len(mm) < 3 || thickness(mm) < 0.01 {
		return false
	}
	n := 1 / float64(len(mm))
	var a, b shape.Pt
	for i := range mm {
		a, b = shape.Add(a, shape.Mul(mm[i], n)), shape.Add(b, shape.Mul(px[i], n))
	}
	var xu, yu, xv, yv, xx, xy, yy float64
	for i := range mm {
		p, q := shape.Sub(mm[i], a), shape.Sub(px[i], b)
		xu, yu, xv, yv = xu+p.X*q.X, yu+p.Y*q.X, xv+p.X*q.Y, yv+p.Y*q.Y
		xx, xy, yy = xx+p.X*p.X, xy+p.X*p.Y, yy+p.Y*p.Y
	}
	// The map is C M^-1; M is positive, so C decides.
	return xu*yv-yu*xv < 0
}
