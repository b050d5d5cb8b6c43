package outline

import "wornwood/annotate/shape"

// View is a part of a side that is worth a picture of its own.
type View struct {
	ID     string // "front", "head-back" ...
	Name   string // as a heading
	Group  string // the tab it belongs under: Front, Back, Sides, Head, Neck, Board
	Side   Side
	Bounds shape.Rect // mm, with a little room around
}

// Views lists the views in the order of their tabs.
func (d *Drawing) Views() []View {
	const room = 8
	pl := d.plan
	whole := func(s Side) shape.Rect { return d.Side(s).Bounds.Grow(room) }
	part := func(s Side, y0, y1 float64, within shape.Rect) shape.Rect {
		r := whole(s)
		r.Min.Y, r.Max.Y = y0-room, y1+room
		r.Min.X, r.Max.X = within.Min.X-room, within.Max.X+room
		return r
	}
	head := d.headBounds()
	neck := shape.Rect{Min: shape.Pt{X: -pl.half(pl.neckEnd)}, Max: shape.Pt{X: pl.half(pl.neckEnd)}}
	backHead := head
	backHead.Min.X, backHead.Max.X = -head.Max.X, -head.Min.X
	heel := d.plan.onBody(shape.Pt{Y: pl.joint.mm + 76}).Y
	return []View{
		{"front", "Front", "Front", Front, whole(Front)},
		{"back", "Back", "Back", Back, whole(Back)},
		{"sides-bass", "Bass side", "Sides", BassSide, whole(BassSide)},
		{"sides-treble", "Treble side", "Sides", TrebleSide, whole(TrebleSide)},
		{"head-front", "Head, front", "Head", Front, part(Front, head.Min.Y, head.Max.Y, head)},
		{"head-back", "Head, back", "Head", Back, part(Back, head.Min.Y, head.Max.Y, backHead)},
		{"neck-back", "Neck, back", "Neck", Back, part(Back, -pl.nutLength.mm*pl.size, heel, neck)},
		{"board", "Board", "Board", Front, part(Front, -pl.nutLength.mm*pl.size, pl.boardEnd, neck)},
	}
}

// headBounds are the bounds of headstock and tuner buttons on the front sheet.
func (d *Drawing) headBounds() shape.Rect {
	s := d.Side(Front)
	var r shape.Rect
	for i, reg := range s.Regions {
		if b := s.boxes[i]; b.Max.Y <= 0 && reg.ID != "front/nut" {
			r = r.Union(b)
		}
	}
	return r
}

// Landmark is a point of the instrument that a photo can be scaled by.
type Landmark struct {
	ID   string
	Name string
	Side Side
	At   shape.Pt // mm
}

// Landmarks lists points of the front that are easy to find in a photo: the
// ends of the nut, of the last and of the twelfth fret, and the bridge.
func (d *Drawing) Landmarks() []Landmark {
	pl := d.plan
	var out []Landmark
	pair := func(id, name string, y, half float64) {
		for _, e := range []struct {
			word string
			sign float64
		}{{"bass", -1}, {"treble", 1}} {
			if pl.p.LeftHanded {
				e.sign = -e.sign
			}
			out = append(out, Landmark{id + "-" + e.word, name + ", " + e.word + " end", Front, shape.Pt{X: e.sign * half, Y: y}})
		}
	}
	pair("nut", "nut", 0, pl.nutHalf)
	for _, n := range []int{12, len(pl.fretY)} {
		if n >= 1 && n <= len(pl.fretY) && (n != 12 || len(pl.fretY) > 12) {
			pair(slugOf("fret", n), nameOf("fret", n), pl.fretY[n-1], pl.half(pl.fretY[n-1]))
		}
	}
	return append(out, Landmark{"saddles", "saddles, centre line", Front, shape.Pt{Y: pl.p.ScaleLength}})
}

// StringLine is the vibrating length of string n, 1 being the treble-most: on
// the front sheet from the nut to its saddle, in mm. Zero points for a string
// the instrument has not.
func (d *Drawing) StringLine(n int) (nut, saddle shape.Pt) {
	pl := d.plan
	if n < 1 || n > pl.p.Strings {
		return shape.Pt{}, shape.Pt{}
	}
	i, sign := pl.p.Strings-n, 1.0
	if pl.p.LeftHanded {
		sign = -1
	}
	y := pl.p.ScaleLength
	return shape.Pt{X: sign * pl.stringX(i, 0)}, shape.Pt{X: sign * pl.stringX(i, y), Y: y}
}

// Thickness is the thickness of the body in mm.
func (d *Drawing) Thickness() float64 { return d.plan.thickness.mm * d.plan.bulk }
