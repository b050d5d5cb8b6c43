package trace

import "math"

// Holes: the loop of a strap shows the backdrop; but a white guard on white
// paper looks like a hole as well. Only what is large and has the backdrop's
// colour and roughness is taken for one.
const (
	leastHole  = 0.022 // of the instrument's area
	holeRough  = 1.35  // times rougher or smoother than the backdrop, at most
	shadedAway = 9     // nats below the backdrop's own colour
	holeLike   = 0.75  // share of the hole that has to look like backdrop
)

// fillHoles closes the holes of the mask but for those that pass and those that
// were painted out.
func fillHoles(mask []bool, seeds []int8, w, h int, passes func(hole []int32) bool) {
	rest := make([]bool, len(mask))
	for i, is := range mask {
		rest[i] = !is
	}
	label, all := piecesOf(rest, w, h)
	area := float64(count(mask))
	for i := range all {
		p := &all[i]
		if p.x0 == 0 || p.y0 == 0 || p.x1 == w-1 || p.y1 == h-1 {
			continue // open to the outside
		}
		var places []int32
		erased := false
		for y := p.y0; y <= p.y1; y++ {
			for x := p.x0; x <= p.x1; x++ {
				if k := y*w + x; label[k] == p.id {
					places = append(places, int32(k))
					erased = erased || seeds[k] == saidNot
				}
			}
		}
		if erased || float64(p.area) > leastHole*area && passes(places) {
			continue
		}
		for _, k := range places {
			mask[k] = true
		}
	}
}

// passes says whether the places look like backdrop: most have its colour, lit
// or shaded, and they are as rough as it is.
func (f *found) passes(places []int32) bool {
	s := f.scene
	w := s.pic.w
	like, n := 0, 0
	var rough []float64
	last := -1
	for _, i := range places {
		x, y := int(i)%f.w, int(i)/f.w
		j := y/f.k*w + x/f.k
		if j == last || s.mask[j] {
			continue
		}
		last = j
		n++
		if s.looksBack(s.pic.px[j], j) > s.back.spread.scale-shadedAway {
			like++
		}
		rough = append(rough, math.Sqrt(float64(s.edge[j])))
	}
	r := median(rough)
	return float64(like) > holeLike*float64(n) && r < holeRough*s.rough+0.5 && r > s.rough/holeRough-0.5
}
