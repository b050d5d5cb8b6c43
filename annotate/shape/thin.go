package shape

// Thin leaves out points of the line as long as it strays no farther than tol
// from any of them, after Douglas and Peucker, "Algorithms for the reduction of
// the number of points required to represent a digitized line" (1973). The
// first and the last point stay.
func Thin(line []Pt, tol float64) []Pt {
	if len(line) < 3 {
		return append([]Pt(nil), line...)
	}
	keep := make([]bool, len(line))
	keep[0], keep[len(line)-1] = true, true
	todo := [][2]int{{0, len(line) - 1}}
	for len(todo) > 0 {
		a, b := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		far, at := tol, -1
		for i := a + 1; i < b; i++ {
			if d := DistToPolyline(line[i], []Pt{line[a], line[b]}); d > far {
				far, at = d, i
			}
		}
		if at > 0 {
			keep[at] = true
			todo = append(todo, [2]int{a, at}, [2]int{at, b})
		}
	}
	var out []Pt
	for i, k := range keep {
		if k {
			out = append(out, line[i])
		}
	}
	return out
}
