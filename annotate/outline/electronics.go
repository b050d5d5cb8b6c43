package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// electronics is the table of what is wired. Its pieces are numbered in this
// order: pickups from the neck on, controls as listed, jack.
type electronics struct {
	pickupCount  int    // as many as there is room for, none for 0
	pickupLength figure `dim:"pickup, along the strings"`
	pickupReach  figure `dim:"pickup beyond the outer strings"`
	knobRadius   figure `dim:"radius of a knob"`
	switchRadius figure `dim:"radius of a switch"`
	controls     []control
	jack         *jack
}

// control is a knob or a switch on the front.
type control struct {
	slug, name string
	at         node
	toggle     bool
}

// jack is the socket: a plate on the treble side or one on the front.
type jack struct {
	at     node   // the height, on the side; the place, on the front
	length figure `dim:"jack plate, along the edge"`
	width  figure `dim:"jack plate, across the edge"`
	front  bool
}

// pickup is one pickup's name and place along the strings, in mm.
type pickup struct {
	name   string
	y      float64
	length float64
}

// pickups fits as many pickups as the class has between fingerboard and
// bridge, fewer when there is no room, none when there is no room at all.
func (pl *plan) pickups() []pickup {
	k := pl.size
	front := pl.bridge.front()
	from, to := pl.neckEnd+7*k, pl.long-front*k-12*k
	length := pl.pickupLength.mm * k
	room := to - from
	switch n := pl.pickupCount; {
	case n >= 3 && room >= 3*length+20*k:
		return []pickup{{"neck pickup", from + length/2, length}, {"middle pickup", (from + to) / 2, length}, {"bridge pickup", to - length/2, length}}
	case n >= 2 && room >= 2*length+6*k:
		return []pickup{{"neck pickup", from + length/2, length}, {"bridge pickup", to - length/2, length}}
	case n >= 1 && room >= 12*k:
		return []pickup{{"pickup", (from + to) / 2, min(length, room)}}
	}
	return nil
}

// wired is the number of pieces of the electronics.
func (pl *plan) wired() int {
	n := len(pl.pickups()) + len(pl.controls)
	if pl.jack != nil {
		n++
	}
	return n
}

// wiring draws pickups and controls, and a jack on the front.
type wiring struct{}

func (wiring) draw(pl *plan, s *sheet) {
	k, piece := pl.size, 0
	add := func(slug, name string, a shape.Path) {
		piece++
		s.add(slug, name, record.Electronics, piece, a)
	}
	for i, u := range pl.pickups() {
		s.lean = pl.lean(u.y)
		half := pl.stringSpan(u.y)/2 + pl.pickupReach.mm*k
		add(slugOf("pickup", i+1), u.name, shape.RoundRect(rectAt(shape.Pt{Y: u.y}, half, u.length/2), 9*k))
		for n := range pl.p.Strings {
			s.dot(shape.Pt{X: pl.stringX(n, u.y), Y: u.y}, min(1.9*k, u.length/5))
		}
		s.screw(shape.Pt{X: -half + 5*k, Y: u.y}, 1.6*k)
		s.screw(shape.Pt{X: half - 5*k, Y: u.y}, 1.6*k)
		s.lean = nil
	}
	for _, c := range pl.controls {
		at := pl.onBody(c.at.at())
		if c.toggle {
			add(c.slug, c.name, shape.Circle(at, pl.switchRadius.mm*k))
			s.stroke(thin, shape.Circle(at, pl.switchRadius.mm*k*0.6))
			s.dot(at, 2.2*k)
			continue
		}
		add(c.slug, c.name, shape.Circle(at, pl.knobRadius.mm*k))
		s.stroke(medium, shape.Circle(at, pl.knobRadius.mm*k*0.68))
		s.stroke(medium, shape.Polyline(
			shape.Add(at, shape.Pt{X: -3 * k, Y: -3 * k}), shape.Add(at, shape.Pt{X: -5 * k, Y: -5 * k})))
	}
	if j := pl.jack; j != nil && j.front {
		at := pl.onBody(j.at.at())
		pl.drawJack(s, at, rectAt(at, j.width.mm*k/2, j.length.mm*k/2))
	}
}

// sideJack draws the jack's plate on the treble side.
type sideJack struct{}

func (sideJack) draw(pl *plan, s *sheet) {
	j, k := pl.jack, pl.size
	if s.Side != TrebleSide || j == nil || j.front {
		return
	}
	y := pl.onBody(j.at.at()).Y
	c := shape.Pt{Y: pl.strips[s.Side].reach(func(p shape.Pt) bool { return p.Y >= y })}
	pl.drawJack(s, c, rectAt(c, j.width.mm*k/2, j.length.mm*k/2))
}

func (pl *plan) drawJack(s *sheet, c shape.Pt, box shape.Rect) {
	k := pl.size
	s.add("jack", "jack", record.Electronics, pl.wired(), shape.RoundRect(box, 9*k))
	s.stroke(medium, shape.Circle(c, 7*k))
	s.stroke(thin, shape.Circle(c, 3.2*k))
	s.screw(shape.Pt{X: c.X, Y: box.Min.Y + 5*k}, 1.8*k)
	s.screw(shape.Pt{X: c.X, Y: box.Max.Y - 5*k}, 1.8*k)
}

// cover is a plate over a cavity in the back.
type cover struct {
	slug, name string
	nodes      []node // as on the front
	screws     int
}

func (v cover) draw(pl *plan, s *sheet) {
	ring := pl.onBodyAll(throughNodes(v.nodes, true))
	s.add(v.slug, v.name, record.Guard, 0, shape.FromCurves(ring, true))
	line := inset(ring, 5*pl.bulk)
	for i := range v.screws {
		s.screw(line[i*len(line)/v.screws], 1.8*pl.bulk)
	}
}

// guard is the plate beside the strings of an instrument with pickups, which
// hangs between the end of the fingerboard and the bridge.
type guard struct{ nodes []node }

func (g guard) draw(pl *plan, s *sheet) {
	s.add("guard", "guard", record.Guard, 0, shape.FromCurves(mapCurves(throughNodes(g.nodes, true), pl.onGuard), true))
}

// onGuard moves a point of the class's guard.
func (pl *plan) onGuard(p shape.Pt) shape.Pt {
	usual := pl.scale.mm - FretPosition(pl.scale.mm, pl.frets) - pl.overhang.mm
	k := (pl.long - pl.neckEnd) / usual
	return pl.own.carry(shape.Pt{X: p.X * pl.wide, Y: pl.long + k*(p.Y-pl.scale.mm)})
}
