package measure

import (
	"math"

	"wornwood/annotate/shape"
)

// The unknowns of a view. The plane's middle of the scale's points appears at
// (atX, atY) pixels from the photo's middle, before distortion, and is
// exp(logScale) pixels to the millimetre there. tiltX and tiltY turn the plane about the
// photo's axes: their length is the angle. spin turns it within itself.
const (
	logFocal = iota // of the focal length in pixels
	distort         // k1: a ray at the tangent r off the axis appears at r (1 + k1 r²)
	tiltX
	tiltY
	nutWidth // mm by which the fingerboard is wider than drawn, each side, at the nut
	midWidth // the same at half the scale length
	spin
	atX
	atY
	logScale
)

// firstPose is the first of the four unknowns that the clicks settle once the others are given.
const firstPose = spin

// params are the unknowns in the order above.
type params [dim]float64

// vec is a point in space: right, down, away from the camera.
type vec [3]float64

// mat is a turn, by rows.
type mat [3]vec

func (m *mat) apply(p vec) vec {
	return vec{m[0][0]*p[0] + m[0][1]*p[1] + m[0][2]*p[2],
		m[1][0]*p[0] + m[1][1]*p[1] + m[1][2]*p[2],
		m[2][0]*p[0] + m[2][1]*p[1] + m[2][2]*p[2]}
}

// applyBack is the inverse of apply.
func (m *mat) applyBack(p vec) vec {
	return vec{m[0][0]*p[0] + m[1][0]*p[1] + m[2][0]*p[2],
		m[0][1]*p[0] + m[1][1]*p[1] + m[2][1]*p[2],
		m[0][2]*p[0] + m[1][2]*p[1] + m[2][2]*p[2]}
}

// leaning is the turn about (x, y, 0) by its length: Rodrigues' formula.
func leaning(x, y float64) mat {
	t := math.Hypot(x, y)
	a, b := 1-t*t/6, 0.5-t*t/24 // sin t / t and (1 - cos t) / t² near 0
	if t > 1e-4 {
		a, b = math.Sin(t)/t, (1-math.Cos(t))/(t*t)
	}
	return mat{
		{1 - b*y*y, b * x * y, a * y},
		{b * x * y, 1 - b*x*x, -a * x},
		{-a * y, a * x, 1 - b*(x*x+y*y)},
	}
}

// turn is the plane's turn against the camera.
func (t *params) turn() mat {
	m := leaning(t[tiltX], t[tiltY])
	s, c := math.Sincos(t[spin])
	for i := range m {
		m[i][0], m[i][1] = c*m[i][0]+s*m[i][1], c*m[i][1]-s*m[i][0]
	}
	return m
}

// lens is a view ready for use: its turn worked out.
type lens struct {
	turn           mat
	scale, f, k1   float64
	shiftX, shiftY float64
}

func (t *params) lens() lens {
	return lens{t.turn(), math.Exp(t[logScale]), math.Exp(t[logFocal]), t[distort], t[atX], t[atY]}
}

// place is the point of the plane, mm from its middle and away from the camera, in
// space; the unit is 1/scale mm, the camera is the origin.
func (l *lens) place(p vec) vec {
	q := l.turn.apply(p)
	return vec{l.scale*q[0] + l.shiftX, l.scale*q[1] + l.shiftY, l.scale*q[2] + l.f}
}

// see is where a point in space appears, pixels from the photo's middle. It is
// false for a point behind the camera or too far aside for the lens.
func (l *lens) see(q vec) (x, y float64, ok bool) {
	if !(q[2] > nearest*l.f) {
		return 0, 0, false
	}
	x, y = q[0]/q[2], q[1]/q[2]
	r2 := x*x + y*y
	if !(1+3*l.k1*r2 > 0.05) { // beyond it the picture would fold over
		return 0, 0, false
	}
	d := l.f * (1 + l.k1*r2)
	return x * d, y * d, true
}

// bend are the derivatives of the pixel by the tangents x and y, over the depth z.
func (l *lens) bend(x, y, z float64) (xx, xy, yy float64) {
	d := 1 + l.k1*(x*x+y*y)
	k := l.f / z
	return k * (d + 2*l.k1*x*x), k * 2 * l.k1 * x * y, k * (d + 2*l.k1*y*y)
}

// nearest is how near a point may come to the camera, as a share of the
// distance of the plane's middle.
const nearest = 0.02

// ray is the direction (x, y, 1) in which the camera sees a pixel. Where the
// distortion cannot be undone the ray of the last place that can is given, and false.
func (l *lens) ray(px, py float64) (x, y float64, ok bool) {
	x, y = px/l.f, py/l.f
	rd := math.Hypot(x, y)
	if rd == 0 || l.k1 == 0 {
		return x, y, true
	}
	r := rd
	if l.k1 < 0 {
		fold := math.Sqrt(0.95 / (-3 * l.k1))
		if rd >= fold*(1+l.k1*fold*fold) {
			return x * fold / rd, y * fold / rd, false
		}
		r = min(r, fold)
	}
	for range 12 {
		step := (r*(1+l.k1*r*r) - rd) / (1 + 3*l.k1*r*r)
		r -= step
		if math.Abs(step) < 1e-14*rd {
			break
		}
	}
	return x * r / rd, y * r / rd, true
}

// meet is where the ray of a pixel meets the plane h mm above the scale's, mm from its
// middle. Beyond the horizon it gives a far point, and false.
func (l *lens) meet(px, py, h float64) (u, v float64, ok bool) {
	x, y, ok := l.ray(px, py)
	// In the plane's own directions the camera is at -turn'(shift, f)/scale.
	d := l.turn.applyBack(vec{x, y, 1})
	o := l.turn.applyBack(vec{-l.shiftX, -l.shiftY, -l.f})
	down := -h*l.scale - o[2] // to go along the third axis
	if least := 1e-3; d[2] < least {
		d[2], ok = least, false
	}
	if down <= 0 {
		return o[0] / l.scale, o[1] / l.scale, false // the plane is above the camera
	}
	k := down / d[2]
	return (o[0] + k*d[0]) / l.scale, (o[1] + k*d[1]) / l.scale, ok
}

// frame ties a view to the photo's pixels and the scale's millimetres.
type frame struct {
	midPx  shape.Pt // of the photo
	midMM  shape.Pt // of the scale's points
	mirror bool     // the photo is the mirror image of the plane
}

// pixel is px from the photo's middle, mirrored back.
func (f *frame) pixel(px shape.Pt) (x, y float64) {
	x, y = px.X-f.midPx.X, px.Y-f.midPx.Y
	if f.mirror {
		x = -x
	}
	return x, y
}

// toMM is the place of a pixel on the plane at height h.
func (f *frame) toMM(t *params, px shape.Pt, h float64) (shape.Pt, bool) {
	l := t.lens()
	x, y := f.pixel(px)
	u, v, ok := l.meet(x, y, h)
	return shape.Pt{X: u + f.midMM.X, Y: v + f.midMM.Y}, ok
}

// toPx is where a point at height h appears.
func (f *frame) toPx(t *params, mm shape.Pt, h float64) (shape.Pt, bool) {
	l := t.lens()
	q := l.place(vec{mm.X - f.midMM.X, mm.Y - f.midMM.Y, -h})
	x, y, ok := l.see(q)
	if !ok { // a point behind the camera: on the far edge of its side
		q[2] = max(q[2], nearest*l.f)
		x, y = l.f*q[0]/q[2], l.f*q[1]/q[2]
	}
	if f.mirror {
		x = -x
	}
	return shape.Pt{X: x + f.midPx.X, Y: y + f.midPx.Y}, ok
}
