package render

import "math"

// View is one photo of the demo set: what it is called, where the camera
// stood, and what the camera wrote into the file.
type View struct {
	File  string // name of the JPEG
	Name  string // the view it fills: "front", "whole", "bass side", "close-up" ...
	Side  string // the side of the outline it looks at
	Width int    // of the upright picture at full size
	High  int

	Orientation int   // Exif: how the file is stored
	Exif        *Exif // nil for a file without metadata

	height   float64 // mm of the plane of reference over the side's own plane
	x, y     float64 // what the camera aims at, mm on the side
	across   float64 // mm that the picture's long side covers
	far      float64 // mm from the camera to what it aims at
	roll     float64 // degrees: 0 has the head up, 90 has it to the right
	tiltX    float64 // degrees the camera leans out to its right
	tiltY    float64 // and upwards
	card     cardPlace
	light    lighting
	exposure float64
}

// cardPlace is where the card lies on the side: middle, turn in degrees. A
// card on the body needs no block under it.
type cardPlace struct {
	x, y, turn float64
	on         bool // lies on the instrument itself
}

// lighting places the lamps as seen in the picture: from which direction the
// light falls (degrees, 0 from the right, 90 from above) and how high.
type lighting struct {
	from, high float64
	sheen      float64 // strength of the window whose mirror image crosses the gloss
	sheenFrom  float64
	sheenHigh  float64
}

// sheet is the frame of one side in space: origin, right, down, and out.
type sheet struct{ o, u, v, w vec }

// sheetOf gives the plane of a side. The edges have no sheet that is flat;
// theirs is the plane through the body's middle, with the front to the right
// as seen from the bass side and to the left from the treble side.
func sheetOf(side string) sheet {
	switch side {
	case "back":
		return sheet{vec{0, 0, -bodyThick}, vec{-1, 0, 0}, vec{0, 1, 0}, vec{0, 0, -1}}
	case "bass side":
		return sheet{vec{-140, 0, -bodyThick / 2}, vec{0, 0, 1}, vec{0, 1, 0}, vec{-1, 0, 0}}
	case "treble side":
		return sheet{vec{140, 0, -bodyThick / 2}, vec{0, 0, -1}, vec{0, 1, 0}, vec{1, 0, 0}}
	}
	return sheet{vec{}, vec{1, 0, 0}, vec{0, 1, 0}, vec{0, 0, 1}}
}

func (s sheet) at(x, y, z float64) vec {
	return s.o.add(s.u.mul(x)).add(s.v.mul(y)).add(s.w.mul(z))
}

// tablePlane is how far behind the sheet the table lies.
func tablePlane(side string) float64 {
	switch side {
	case "back":
		return bodyThick + 15.8 // on saddles and knobs
	case "bass side", "treble side":
		return 140 + 164.5
	}
	return bodyThick
}

// setUp places camera, light, card and table for a picture of the given width.
func (v *View) setUp(m *model, width int) (*world, camera, pose) {
	k := float64(width) / float64(v.Width)
	w, h := width, int(math.Round(float64(v.High)*k))
	s := sheetOf(v.Side)
	target := s.at(v.x, v.y, v.height)
	rs, rc := math.Sincos(v.roll * math.Pi / 180)
	up := s.v.mul(-rc).sub(s.u.mul(rs))
	right := s.u.mul(rc).sub(s.v.mul(rs))
	if math.Abs(v.roll) > 0 {
		right = handed(s.w.mul(-1), up)
	}
	tx, ty := math.Tan(v.tiltX*math.Pi/180), math.Tan(v.tiltY*math.Pi/180)
	eye := target.add(s.w.add(right.mul(tx)).add(up.mul(ty)).unit().mul(v.far))
	focal := float64(max(w, h)) * v.far / v.across
	cam := aim(eye, target, up, focal, w, h)

	ts, tc := math.Sincos(v.card.turn * math.Pi / 180)
	c := pose{at: s.at(v.card.x, v.card.y, v.height), n: s.w,
		a: s.u.mul(tc).add(s.v.mul(ts)), b: s.u.mul(ts).sub(s.v.mul(tc))}
	back := tablePlane(v.Side)
	block := back + v.height
	if v.card.on {
		c.at = c.at.add(s.w.mul(cardThick))
		block = 0
	}
	objs := append([]*object(nil), m.objs...)
	objs = append(objs, table(s.at(0, 0, -back), s.w, s.u, s.v))
	objs = append(objs, c.objects(block)...)
	return &world{tree: newTree(objs), light: v.lamps(target, s.w, up, right)}, cam, c
}

func (v *View) lamps(target, out, up, right vec) light {
	dir := func(from, high float64) vec {
		s, c := math.Sincos(from * math.Pi / 180)
		hs, hc := math.Sincos(high * math.Pi / 180)
		return right.mul(c * hc).add(up.mul(s * hc)).add(out.mul(hs))
	}
	l := light{up: out, wall: 0.30}
	l.key = newLamp(target.add(dir(v.light.from, v.light.high).mul(1700)), target, 1150, 800, 7.2, rgb{1.03, 1, 0.95}, out)
	l.fill = newLamp(target.add(dir(v.light.sheenFrom, v.light.sheenHigh).mul(2100)), target, 760, 560, v.light.sheen, rgb{0.96, 1, 1.05}, out)
	l.fill.panes = true
	return l
}
