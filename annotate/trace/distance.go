package trace

// apart is, for every pixel of a w x h mask, about how far it is from the other side:
// three a pixel step and four a diagonal one (Borgefors 1986), positive inside,
// negative outside, 2 right beside the border. Beyond the picture is neither.
func apart(mask []bool, w, h int) []int16 {
	const most = int16(30000)
	d := make([]int16, len(mask))
	for i, in := range mask {
		x, y := i%w, i/w
		d[i] = most
		if x+1 < w && mask[i+1] != in || x > 0 && mask[i-1] != in || y+1 < h && mask[i+w] != in || y > 0 && mask[i-w] != in {
			d[i] = 2
		}
	}
	relax := func(i, j int, step int16) {
		if mask[i] == mask[j] && d[j]+step < d[i] {
			d[i] = d[j] + step
		}
	}
	for y := range h {
		for x := range w {
			i := y*w + x
			if x > 0 {
				relax(i, i-1, 3)
			}
			if y > 0 {
				relax(i, i-w, 3)
				if x > 0 {
					relax(i, i-w-1, 4)
				}
				if x+1 < w {
					relax(i, i-w+1, 4)
				}
			}
		}
	}
	for y := h - 1; y >= 0; y-- {
		for x := w - 1; x >= 0; x-- {
			i := y*w + x
			if x+1 < w {
				relax(i, i+1, 3)
			}
			if y+1 < h {
				relax(i, i+w, 3)
				if x+1 < w {
					relax(i, i+w+1, 4)
				}
				if x > 0 {
					relax(i, i+w-1, 4)
				}
			}
		}
	}
	for i, in := range mask {
		if !in {
			d[i] = -d[i]
		}
	}
	return d
}
