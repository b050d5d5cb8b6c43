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
	head := pl.headBounds()
	if pl.p.LeftHanded {
		head.Min.X, head.Max.X = -head.Max.X, -head.Min.X
	}
	neck := shape.Rect{Min: shape.Pt{X: -pl.half(pl.neckEnd)}, Max: shape.Pt{X: pl.half(pl.neckEnd)}}
	for _, t := range pl.headed.tuners {
		if reach := -t.button.Bounds().Min.X; t.post.Y > 0 { // a peg in the neck's bass side
			neck.Min.X, neck.Max.X = -reach, reach
		}
	}
	backHead := head
	backHead.Min.X, backHead.Max.X = -head.Max.X, -head.Min.X
	heel := pl.onBody(shape.Pt{Y: pl.joint.mm + pl.neck.closeUp.mm}).Y
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
