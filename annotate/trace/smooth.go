package trace

// smooth blurs the values of a w x h picture in place by repeated running means of
// 2 radius + 1 values along rows and columns; beyond the border counts as zero.
func smooth(v []float32, w, h, radius, passes int) {
	if radius < 1 {
		return
	}
	line := make([]float32, max(w, h))
	for range passes {
		for y := range h {
			runningMean(v[y*w:], line, w, 1, radius)
		}
	}
	col := make([]float32, w)
	for range passes {
		smoothColumns(v, col, w, h, radius)
	}
}

func runningMean(v, line []float32, n, step, radius int) {
	k := 1 / float32(2*radius+1)
	for i := range n {
		line[i] = v[i*step]
	}
	sum := float32(0)
	for i := range min(radius, n) {
		sum += line[i]
	}
	for i := range n {
		if i+radius < n {
			sum += line[i+radius]
		}
		v[i*step] = sum * k
		if i-radius >= 0 {
			sum -= line[i-radius]
		}
	}
}

// smoothColumns is the running mean along all columns at once, row by row, which
// is kinder to the memory than column by column.
func smoothColumns(v, sum []float32, w, h, radius int) {
	k := 1 / float32(2*radius+1)
	ring := make([]float32, (radius+1)*w) // rows that are overwritten but still needed
	clear(sum)
	for y := range min(radius, h) {
		for x := range w {
			sum[x] += v[y*w+x]
		}
	}
	for y := range h {
		if y+radius < h {
			for x := range w {
				sum[x] += v[(y+radius)*w+x]
			}
		}
		row := v[y*w : (y+1)*w]
		kept := ring[y%(radius+1)*w:][:w]
		old := ring[(y+1)%(radius+1)*w:][:w] // row y - radius
		copy(kept, row)
		for x := range w {
			row[x] = sum[x] * k
		}
		if y >= radius {
			for x := range w {
				sum[x] -= old[x]
			}
		}
	}
}
