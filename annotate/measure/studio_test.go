package measure

import (
	"math"
	"math/rand/v2"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// studio is a camera over a flat thing, written apart from the package's own
// camera: axes and angles as in any textbook, distortion as OpenCV defines it
// (x (1 + k1 r²), from memory).
type studio struct {
	w, h   int
	f, k1  float64
	right  [3]float64 // the camera's axes in the world: X right, Y down, Z away on the plane
	down   [3]float64
	ahead  [3]float64
	eye    [3]float64
	tilt   float64 // radians
	pxPer  float64 // pixels to the millimetre at the place aimed at
	random *rand.Rand
}

// see is the pixel of a point of the plane at height h.
func (s *studio) see(p shape.Pt, h float64) shape.Pt {
	d := [3]float64{p.X - s.eye[0], p.Y - s.eye[1], -h - s.eye[2]}
	z := dot3(d, s.ahead)
	x, y := dot3(d, s.right)/z, dot3(d, s.down)/z
	k := 1 + s.k1*(x*x+y*y)
	return shape.Pt{X: float64(s.w)/2 + s.f*x*k, Y: float64(s.h)/2 + s.f*y*k}
}

// back is the point of the plane that a pixel shows: the distortion undone by
// repeating, then a ray.
func (s *studio) back(px shape.Pt) shape.Pt {
	xd, yd := (px.X-float64(s.w)/2)/s.f, (px.Y-float64(s.h)/2)/s.f
	x, y := xd, yd
	for range 8 {
		k := 1 + s.k1*(x*x+y*y)
		x, y = xd/k, yd/k
	}
	var d [3]float64
	for i := range d {
		d[i] = s.ahead[i] + x*s.right[i] + y*s.down[i]
	}
	t := -s.eye[2] / d[2]
	return shape.Pt{X: s.eye[0] + t*d[0], Y: s.eye[1] + t*d[1]}
}

func dot3(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross3(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// habits say how photos are taken.
type habits struct {
	name          string
	focal         func(r *rand.Rand) float64 // in long sides
	k1            func(r *rand.Rand) float64
	tilt          func(r *rand.Rand) float64 // degrees
	statedFocal   bool                       // the file states it, to 3 %
	width, height int
}

func uniform(lo, hi float64) func(*rand.Rand) float64 {
	return func(r *rand.Rand) float64 { return lo + (hi-lo)*r.Float64() }
}

// every takes photos with anything from a phone to a long lens, tilted up to 40
// degrees, any tilt as likely as any other. Its distributions are near those that the fit believes in,
// but not the same: the fit has bells where these have limits.
var every = habits{name: "phones and cameras", width: 6000, height: 4000,
	focal: func(r *rand.Rand) float64 { return math.Exp(uniform(math.Log(0.65), math.Log(2))(r)) },
	k1:    uniform(-0.06, 0.02), tilt: uniform(0, 40)}

// phones is another world than the one the fit believes in: one lens, always
// some barrel distortion, tilt half of a bell of 10 degrees.
var phones = habits{name: "a phone held nearly square", width: 4000, height: 6000,
	focal: uniform(0.66, 0.78), k1: uniform(-0.06, -0.03),
	tilt: func(r *rand.Rand) float64 { return math.Min(40, math.Abs(r.NormFloat64())*10) }}

// longLens is a third: a long lens whose file states it, tilted by 20 to 40 degrees.
var longLens = habits{name: "a stated long lens, 20 to 40 degrees", width: 6000, height: 4000, statedFocal: true,
	focal: uniform(1.8, 3), k1: uniform(-0.01, 0.02), tilt: uniform(20, 40)}

// takePhoto aims at a point of the plane from a distance that gives pxPer, and turns
// the camera so that the point falls within the middle of the picture.
func (h habits) takePhoto(r *rand.Rand, aim shape.Pt, pxPer float64) *studio {
	s := &studio{w: h.width, h: h.height, k1: h.k1(r), tilt: h.tilt(r) * math.Pi / 180, pxPer: pxPer, random: r}
	s.f = h.focal(r) * float64(max(h.width, h.height))
	way, roll := r.Float64()*2*math.Pi, r.Float64()*2*math.Pi
	st, ct := math.Sincos(s.tilt)
	s.ahead = [3]float64{st * math.Cos(way), st * math.Sin(way), ct}
	side := cross3(s.ahead, [3]float64{0, 1, 0})
	n := math.Sqrt(dot3(side, side))
	for i := range side {
		side[i] /= -n
	}
	side = [3]float64{-side[0], -side[1], -side[2]}
	low := cross3(s.ahead, side)
	sr, cr := math.Sincos(roll)
	for i := range side {
		s.right[i], s.down[i] = cr*side[i]+sr*low[i], cr*low[i]-sr*side[i]
	}
	// The ray of the pixel that the aim shall fall on, from there back to the eye.
	px, py := (r.Float64()-0.5)*0.4*float64(s.w), (r.Float64()-0.5)*0.4*float64(s.h)
	z := s.f / pxPer
	for i := range s.eye {
		at := [3]float64{aim.X, aim.Y, 0}
		s.eye[i] = at[i] - z*(s.ahead[i]+px/s.f*s.right[i]+py/s.f*s.down[i])
	}
	return s
}

// shows says whether all points are in the picture.
func (s *studio) shows(px ...shape.Pt) bool {
	for _, p := range px {
		if p.X < 0 || p.Y < 0 || p.X > float64(s.w) || p.Y > float64(s.h) {
			return false
		}
	}
	return true
}

// click is where a hand clicks that aims at px.
func (s *studio) click(px shape.Pt) shape.Pt {
	return shape.Pt{X: px.X + s.random.NormFloat64()*ClickNoise, Y: px.Y + s.random.NormFloat64()*ClickNoise}
}

func (s *studio) camera(h habits) Camera {
	c := Camera{Width: s.w, Height: s.h}
	if h.statedFocal {
		c.FocalPx = s.f * (1 + 0.03*s.random.NormFloat64())
	}
	return c
}

// points clicks every place of a scale.
func (s *studio) points(g ruling) ([]record.ScalePoint, bool) {
	var out []record.ScalePoint
	long := 1.0
	if g.length > 0 {
		long = 1 + g.known*s.random.NormFloat64()/g.length
	}
	nut, octave := 0.0, 0.0
	if g.kind == record.FretScale {
		nut, octave = g.known/2*s.random.NormFloat64(), g.known/2*s.random.NormFloat64()
	}
	common := g.rise * s.random.NormFloat64() // half of the variance; the other half is each point's own
	noise := ClickNoise
	if g.noise > 0 {
		noise = g.noise
	}
	for _, p := range g.mm {
		real := shape.Mul(p, long)
		if p.X != 0 {
			real.X += math.Copysign(nut+(octave-nut)*p.Y/325, p.X)
		}
		px := s.see(real, g.height(p)+(common+g.rise*s.random.NormFloat64())/math.Sqrt2)
		if !s.shows(px) {
			return nil, false
		}
		at := shape.Add(px, shape.Pt{X: noise * s.random.NormFloat64(), Y: noise * s.random.NormFloat64()})
		out = append(out, record.ScalePoint{At: at, MM: p, Noise: g.noise})
	}
	return out, true
}
