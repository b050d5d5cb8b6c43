package outline

import (
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The pieces of the electronics are numbered in this order: pickups from the
// neck on, volume and tone knob, selector switch, jack.

// pickup is one pickup's name and place along the strings, in mm.
type pickup struct {
	name   string
	y      float64
	length float64
}

// pickups fits two pickups between fingerboard and bridge, one when there is
// no room for two, none when there is no room at all.
func (pl *plan) pickups() []pickup {
	k := pl.size
	from, to := pl.neckEnd+7*k, pl.p.ScaleLength-pl.bridgeFront.mm*k-12*k
	length := pl.pickupLength.mm * k
	switch room := to - from; {
	case room >= 2*length+6*k:
		return []pickup{{"neck pickup", from + length/2, length}, {"bridge pickup", to - length/2, length}}
	case room >= 12*k:
		return []pickup{{"pickup", (from + to) / 2, min(length, room)}}
	}
	return nil
}

// jackPiece is the jack's number among the electronics.
func (pl *plan) jackPiece() int { return len(pl.pickups()) + 4 }

func (pl *plan) addElectronics(s *sheet) {
	k, piece := pl.size, 0
	add := func(slug, name string, a shape.Path) {
		piece++
		s.add(slug, name, record.Electronics, piece, a)
	}
	for i, u := range pl.pickups() {
		half := pl.stringSpan(u.y)/2 + pl.pickupReach.mm*k
		add(slugOf("pickup", i+1), u.name, shape.RoundRect(rectAt(shape.Pt{Y: u.y}, half, u.length/2), 9*k))
		for n := range pl.p.Strings {
			s.dot(shape.Pt{X: pl.stringX(n, u.y), Y: u.y}, min(1.9*k, u.length/5))
		}
		s.screw(shape.Pt{X: -half + 5*k, Y: u.y}, 1.6*k)
		s.screw(shape.Pt{X: half - 5*k, Y: u.y}, 1.6*k)
	}
	for i, name := range []string{"volume", "tone"} {
		at := pl.onBody(pl.knobs[i].at())
		add(name, name+" knob", shape.Circle(at, pl.knobRadius.mm*k))
		s.stroke(medium, shape.Circle(at, pl.knobRadius.mm*k*0.68))
		s.stroke(medium, shape.Polyline(
			shape.Add(at, shape.Pt{X: -3 * k, Y: -3 * k}), shape.Add(at, shape.Pt{X: -5 * k, Y: -5 * k})))
	}
	at := pl.onBody(pl.toggle.at())
	add("switch", "selector switch", shape.Circle(at, pl.switchRadius.mm*k))
	s.stroke(thin, shape.Circle(at, pl.switchRadius.mm*k*0.6))
	s.dot(at, 2.2*k)
}
