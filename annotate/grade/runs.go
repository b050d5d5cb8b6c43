package grade

import (
	"slices"
	"sync"

	"wornwood/annotate/outline"
)

// runs is a label map row by row as stretches of one label each, so that what
// a mark covers is found without looking at every cell.
type runs struct {
	rows []int32 // where each row's stretches begin, and where the last row's end
	end  []int32 // column behind each stretch
	reg  []int16 // its region, -1 for none
}

func makeRuns(m *outline.LabelMap) *runs {
	w, h := m.Grid.W, m.Grid.H
	r := &runs{rows: make([]int32, h+1)}
	for y := range h {
		row := m.Label[y*w : y*w+w]
		for x := 0; x < w; {
			from := row[x]
			for x++; x < w && row[x] == from; x++ {
			}
			r.end, r.reg = append(r.end, int32(x)), append(r.reg, from)
		}
		r.rows[y+1] = int32(len(r.end))
	}
	return r
}

// visit gives the stretches of a row between two columns, from left to right.
func (r *runs) visit(y, x0, x1 int, f func(region, x0, x1 int)) {
	end := r.end[r.rows[y]:r.rows[y+1]]
	i, _ := slices.BinarySearch(end, int32(x0+1)) // the stretch that holds x0
	for ; x0 < x1 && i < len(end); i++ {
		to := min(int(end[i]), x1)
		f(int(r.reg[int(r.rows[y])+i]), x0, to)
		x0 = to
	}
}

// keptRuns is how many label maps' runs are kept: those of the drawings that
// DrawingFor keeps, with four sides each.
const keptRuns = 4 * keptDrawings

var runsOf struct {
	sync.Mutex
	maps []*outline.LabelMap // last used last
	runs []*runs
}

// runsFor is the runs of a label map, made once for each that is in use.
func runsFor(m *outline.LabelMap) *runs {
	k := &runsOf
	k.Lock()
	defer k.Unlock()
	i := slices.Index(k.maps, m)
	if i < 0 {
		i = len(k.maps)
		k.maps, k.runs = append(k.maps, m), append(k.runs, makeRuns(m))
	}
	r := k.runs[i]
	k.maps, k.runs = append(slices.Delete(k.maps, i, i+1), m), append(slices.Delete(k.runs, i, i+1), r)
	if len(k.maps) > keptRuns {
		k.maps, k.runs = slices.Delete(k.maps, 0, 1), slices.Delete(k.runs, 0, 1)
	}
	return r
}
