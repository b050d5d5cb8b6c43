package render

import "math"

// gauge is a string's radius in mm from the treble side; the last three are
// wound.
var gauge = [6]float64{0.127, 0.165, 0.216, 0.33, 0.457, 0.584}

// run is one string's way over the instrument.
type run struct {
	n                     int // 1 is the treble string
	r                     float64
	post, nut, saddle, in vec
}

// runs lays out the strings: from post over nut and saddle into the bridge.
func (p *plan) runs() []run {
	out := make([]run, 0, 6)
	across := p.halfBoard(0) - 3.75
	lo, hi := ringBox(p.bridge)
	mid := (lo.X + hi.X) / 2
	for i := range 6 {
		s := 1 - 2*float64(i)/5 // treble is on the right
		r := gauge[i]
		x0, x1 := s*across, mid+s*((hi.X-lo.X)/2-11)
		y1 := p.saddleY(i)
		z1 := boardTop + 4.3 - (x1-mid)*(x1-mid)/(2*boardBow)
		q := p.posts[i]
		side := 1.0
		if q.X > x0 {
			side = -1
		}
		out = append(out, run{n: i + 1, r: r,
			post:   vec{q.X + side*2.5, q.Y, headTop + 5.6 - 0.5*math.Abs(float64(i)-2.5)},
			nut:    vec{x0, -1.5, boardZ(x0) + 1.5 + r},
			saddle: vec{x1, y1, z1 + r},
			in:     vec{x1, p.ferrules[i].Y, plateThick - 1}})
	}
	return out
}

// saddleY is where a string leaves its saddle: a little beyond the scale,
// thicker strings further.
func (p *plan) saddleY(i int) float64 {
	return p.scale + [6]float64{0.6, 1.4, 2.3, 1.2, 2.2, 3.4}[i]
}

func (p *plan) strings() []*object {
	var out []*object
	for _, s := range p.runs() {
		top := s.saddle.add(vec{0, 2.2, -0.25})
		for _, leg := range [][2]vec{{s.post, s.nut}, {s.nut, s.saddle}, {s.saddle, top}, {top, s.in}} {
			c := &capsule{leg[0], leg[1], s.r}
			out = append(out, &object{name: "string", shape: c, tint: rgb{0.2, 0.19, 0.17}, paint: stringPaint(c, s)})
		}
		out = append(out, p.winds(s))
	}
	return out
}

// stringPaint is plain steel, or nickel wound round a core: ridges across it
// that show as ridges only when the camera is near enough.
func stringPaint(c *capsule, s run) func(*spot) surface {
	axis := c.b.sub(c.a).unit()
	return func(h *spot) surface {
		f := surface{metal: rgb{0.62, 0.60, 0.56}, albedo: rgb{0.03, 0.03, 0.03}, haze: 0.10}
		along := h.p.sub(c.a).dot(axis)
		worn := 0.5 + 0.5*noise2(along*0.02, float64(s.n), 15)
		f.metal = f.metal.mul(0.82 + 0.18*worn)
		if s.n <= 3 {
			return f
		}
		f.metal = rgb{0.60, 0.56, 0.50}.mul(0.8 + 0.2*worn)
		pitch := 0.16 + 0.42*s.r
		near := smooth(pitch*0.75, pitch*0.25, h.foot)
		f.haze = lerp(0.34, 0.12, near)
		phase := 2 * math.Pi * along / pitch
		f.n = h.n.add(axis.mul(0.75 * near * math.Sin(phase))).unit()
		f.dim = 0.75 * near * smooth(-0.2, -1, math.Cos(phase))
		return f
	}
}

// winds is the string where it is wrapped round its post.
func (p *plan) winds(s run) *object {
	q := p.posts[s.n-1]
	turns := 3.0
	if s.n <= 3 {
		turns = 4
	}
	r := 2.5 + s.r*0.6
	pitch := 2 * s.r * 1.04
	base := s.post.Z - pitch*turns*0.5
	m := &marched{dist: func(v vec) float64 {
		x, y := v.X-q.X, v.Y-q.Y
		a := math.Atan2(y, x) / (2 * math.Pi)
		k := math.Round((v.Z-base)/pitch - a)
		k = max(0, min(turns, k))
		return (hypot(hypot(x, y)-r, v.Z-base-(k+a)*pitch) - s.r) * 0.8
	}}
	e := r + s.r + 0.1
	m.lo = vec{q.X - e, q.Y - e, base - pitch - s.r}
	m.hi = vec{q.X + e, q.Y + e, base + pitch*(turns+1) + s.r}
	return &object{name: "winds", shape: m, tint: rgb{0.2, 0.19, 0.17}, paint: func(*spot) surface {
		return surface{metal: rgb{0.62, 0.59, 0.54}, albedo: rgb{0.03, 0.03, 0.03}, haze: 0.14}
	}}
}
