package trace

import (
	"context"
	"math/rand/v2"
	"testing"
)

// cutCost is what a division of the nodes severs.
func cutCost(g *network, end []int32, room []int32, inside func(i int) bool) int {
	cost := 0
	for i, e := range end {
		if e > 0 && !inside(i) {
			cost += int(e)
		}
		if e < 0 && inside(i) {
			cost -= int(e)
		}
		for k := range degree {
			j := g.near[degree*i+k]
			if j >= 0 && inside(i) && !inside(int(j)) {
				cost += int(room[degree*i+k])
			}
		}
	}
	return cost
}

// On small random grids the cut costs as little as the best of all divisions, tried one by one.
func TestCutIsTheCheapest(t *testing.T) {
	rnd := rand.New(rand.NewPCG(6, 6))
	for round := range 300 {
		w, h := 2+rnd.IntN(3), 2+rnd.IntN(3)
		n := w * h
		g := newNetwork(n)
		for i := range n {
			g.end[i] = int32(rnd.IntN(41) - 20)
			for k := 0; k < degree; k += 2 {
				x, y := i%w+directions[k][0], i/w+directions[k][1]
				if x >= 0 && x < w && y < h && rnd.IntN(5) > 0 {
					g.link(int32(i), k, int32(y*w+x), int32(rnd.IntN(15)))
				}
			}
		}
		end, room := append([]int32(nil), g.end...), append([]int32(nil), g.room...)
		if err := g.cut(context.Background()); err != nil {
			t.Fatal(err)
		}
		got := cutCost(g, end, room, g.isInside)
		best := 1 << 30
		for set := range 1 << n {
			best = min(best, cutCost(g, end, room, func(i int) bool { return set>>i&1 == 1 }))
		}
		if got != best {
			t.Fatalf("grid %d, %d x %d: the cut costs %d, the cheapest %d", round, w, h, got, best)
		}
	}
}

// A larger grid, against the value of the flow: what was sent is what the cut costs.
func TestCutCostsWhatFlows(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	const w, h = 60, 50
	g := newNetwork(w * h)
	for i := range w * h {
		g.end[i] = int32(rnd.IntN(2001) - 1000)
		for k := 0; k < degree; k += 2 {
			x, y := i%w+directions[k][0], i/w+directions[k][1]
			if x >= 0 && x < w && y < h {
				g.link(int32(i), k, int32(y*w+x), int32(rnd.IntN(400)))
			}
		}
	}
	end, room := append([]int32(nil), g.end...), append([]int32(nil), g.room...)
	if err := g.cut(context.Background()); err != nil {
		t.Fatal(err)
	}
	sent := 0
	for i := range end {
		if end[i] > 0 {
			sent += int(end[i] - g.end[i])
		}
	}
	if cost := cutCost(g, end, room, g.isInside); cost != sent || sent == 0 {
		t.Errorf("the cut costs %d, the flow is %d", cost, sent)
	}
}
