package draw

import "math"

// assign gives each row a column of its own so that the sum of the costs is
// least, by shortest augmenting paths with potentials (Kuhn's and Munkres'
// method as Jonker and Volgenant run it, 1987). There must be at least as many
// columns as rows. The work is rows squared times columns.
//
// For straight leaders whose cost is their length the best assignment has no
// two that cross: uncrossing a pair makes both together shorter.
func assign(cost [][]float64) []int {
	n := len(cost)
	if n == 0 {
		return nil
	}
	m := len(cost[0])
	u, v := make([]float64, n+1), make([]float64, m+1) // potentials
	row, way := make([]int, m+1), make([]int, m+1)     // row[j] has column j; 0 for none
	least, used := make([]float64, m+1), make([]bool, m+1)
	for i := 1; i <= n; i++ {
		for j := range least {
			least[j], used[j] = math.Inf(1), false
		}
		row[0] = i
		j0 := 0
		for row[j0] != 0 {
			used[j0] = true
			j0 = nearestColumn(cost, u, v, row, way, least, used, j0)
		}
		for j0 != 0 {
			j1 := way[j0]
			row[j0], j0 = row[j1], j1
		}
	}
	out := make([]int, n)
	for j := 1; j <= m; j++ {
		if row[j] > 0 {
			out[row[j]-1] = j - 1
		}
	}
	return out
}

// nearestColumn relaxes the columns from the row that has column j0 and gives
// the nearest one not reached yet.
func nearestColumn(cost [][]float64, u, v []float64, row, way []int, least []float64, used []bool, j0 int) int {
	i0, delta, next := row[j0], math.Inf(1), 0
	c, ui := cost[i0-1], u[i0]
	for j := 1; j < len(v); j++ {
		if used[j] {
			continue
		}
		if cur := c[j-1] - ui - v[j]; cur < least[j] {
			least[j], way[j] = cur, j0
		}
		if least[j] < delta {
			delta, next = least[j], j
		}
	}
	for j := range v {
		if used[j] {
			u[row[j]] += delta
			v[j] -= delta
		} else {
			least[j] -= delta
		}
	}
	return next
}
