package render

// camera is a pinhole: no distortion, so that a flat side of the instrument
// and its picture are related by a homography exactly.
type camera struct {
	eye                  vec
	right, down, forward vec
	focal, cx, cy        float64 // pixels
	w, h                 int
}

// aim places a camera at eye so that target is in the middle and above is up.
func aim(eye, target, above vec, focal float64, w, h int) camera {
	f := target.sub(eye).unit()
	up := above.sub(f.mul(above.dot(f))).unit()
	return camera{eye: eye, forward: f, down: up.mul(-1), right: handed(f, up),
		focal: focal, cx: float64(w) / 2, cy: float64(h) / 2, w: w, h: h}
}

// handed is the direction to the right of somebody who looks along f with up
// above. The coordinates run right, down and towards the viewer, so they are
// left-handed and the cross product turns the other way.
func handed(f, up vec) vec { return up.cross(f) }

// pixel is where a point appears; (0,0) is the outer corner of the first pixel.
func (c *camera) pixel(p vec) (float64, float64) {
	d := p.sub(c.eye)
	z := d.dot(c.forward)
	return c.cx + c.focal*d.dot(c.right)/z, c.cy + c.focal*d.dot(c.down)/z
}

func (c *camera) ray(x, y float64) ray {
	d := c.forward.mul(c.focal).add(c.right.mul(x - c.cx)).add(c.down.mul(y - c.cy))
	return newRay(c.eye, d.unit())
}

// homography maps millimetres (u,v) on the plane origin + u*a + v*b to pixels;
// its last element is 1.
func (c *camera) homography(origin, a, b vec) [3][3]float64 {
	col := func(d vec) [3]float64 {
		z := d.dot(c.forward)
		return [3]float64{c.focal*d.dot(c.right) + c.cx*z, c.focal*d.dot(c.down) + c.cy*z, z}
	}
	ca, cb, co := col(a), col(b), col(origin.sub(c.eye))
	var m [3][3]float64
	for i := range m {
		m[i] = [3]float64{ca[i] / co[2], cb[i] / co[2], co[i] / co[2]}
	}
	return m
}

// falloff is the light a lens loses towards the corners of the picture.
func (c *camera) falloff(x, y float64) float64 {
	r := hypot(x-c.cx, y-c.cy) / hypot(c.cx, c.cy)
	return 1 - 0.16*r*r - 0.06*r*r*r*r
}
