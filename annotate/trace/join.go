package trace

// joinPiece adds a piece to the set if it lies within far pixels of it, with a bridge across the gap as
// wide as the gap is even: all that lies on a shortest way between the two.
func joinPiece(set []bool, label []int32, p *piece, w, h, far int) bool {
	x0, y0 := max(0, p.x0-far-2), max(0, p.y0-far-2)
	x1, y1 := min(w, p.x1+far+3), min(h, p.y1+far+3)
	ww, wh := x1-x0, y1-y0
	one, other := make([]bool, ww*wh), make([]bool, ww*wh)
	for i := range one {
		k := (y0+i/ww)*w + x0 + i%ww
		one[i], other[i] = label[k] == p.id, set[k]
	}
	a, b := apart(one, ww, wh), apart(other, ww, wh)
	gap := int16(30000)
	for i, in := range one {
		if in {
			gap = min(gap, -b[i])
		}
	}
	if int(gap) > 3*far {
		return false
	}
	for i, in := range one {
		if in || -a[i]-b[i] <= gap+4 {
			set[(y0+i/ww)*w+x0+i%ww] = true
		}
	}
	return true
}
