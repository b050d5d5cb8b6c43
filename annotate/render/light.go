package render

import "math"

// lamp is a soft box: a rectangle that shines evenly, softer to its edges.
type lamp struct {
	at, a, b vec  // centre and the two half sides
	n        vec  // towards the instrument
	power    rgb  // radiance
	panes    bool // a window: four panes with bars between
}

// light is the room a photo is taken in: one soft box, a window across from
// it, and grey walls. Up is towards the camera.
type light struct {
	key, fill lamp
	up        vec
	wall      float64
}

func newLamp(at, target vec, w, h, power float64, tone rgb, up vec) lamp {
	n := target.sub(at).unit()
	a := n.cross(up).unit()
	return lamp{at: at, a: a.mul(w / 2), b: n.cross(a).mul(h / 2), n: n, power: tone.mul(power)}
}

// from samples the lamp's light at p on a surface facing n, for one point of
// the lamp; the caller checks that nothing stands between.
func (l *lamp) from(p, n vec, s, t float64) (dir vec, dist float64, e rgb) {
	q := l.at.add(l.a.mul(2*s - 1)).add(l.b.mul(2*t - 1))
	d := q.sub(p)
	dist = d.len()
	dir = d.mul(1 / dist)
	c, k := n.dot(dir), -l.n.dot(dir)
	if c <= 0 || k <= 0 {
		return dir, dist, rgb{}
	}
	area := 4 * l.a.len() * l.b.len()
	return dir, dist, l.power.mul(c * k * area / (dist * dist * math.Pi))
}

// seen is the lamp as a mirror shows it.
func (l *lamp) seen(o, d vec) rgb {
	k := l.n.dot(d)
	if k > -1e-6 {
		return rgb{}
	}
	t := l.at.sub(o).dot(l.n) / k
	if t <= 0 {
		return rgb{}
	}
	q := o.add(d.mul(t)).sub(l.at)
	u, v := math.Abs(q.dot(l.a)/l.a.dot(l.a)), math.Abs(q.dot(l.b)/l.b.dot(l.b))
	if l.panes {
		return l.power.mul(smooth(1.01, 0.98, u) * smooth(1.01, 0.98, v) * smooth(0.04, 0.06, u) * smooth(0.04, 0.06, v))
	}
	m := smooth(1.04, 0.86, u) * smooth(1.04, 0.86, v)
	return l.power.mul(m * (1 - 0.25*(u*u+v*v)))
}

// room is the light that walls and ceiling send from direction d.
func (l *light) room(d vec) rgb {
	h := d.dot(l.up)
	side := d.dot(l.key.n)
	v := l.wall * (0.35 + 0.65*smooth(-0.5, 0.9, h)) * (1 - 0.35*side)
	v *= 1 + 0.16*noise3(d.X*2.5+4, d.Y*2.5, d.Z*2.5, 77)
	return rgb{v * 0.97, v, v * 1.05}
}

// seen is everything a mirror shows in direction d from o.
func (l *light) seen(o, d vec) rgb {
	return l.room(d).add(l.key.seen(o, d)).add(l.fill.seen(o, d))
}
