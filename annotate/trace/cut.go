package trace

import "context"

// network is a graph of pixels with eight neighbours each, to be cut in two so
// that the cheapest set of links is severed: Boykov and Kolmogorov, "An
// experimental comparison of min-cut/max-flow algorithms for energy
// minimization in vision", IEEE PAMI 26 (2004). Directions come in pairs, so the
// opposite of direction k is k^1.
type network struct {
	near []int32 // 8 a node: the neighbour in each direction, -1 for none
	room []int32 // 8 a node: what may still flow to it
	end  []int32 // positive: room from the inside's end; negative: room to the outside's

	parent []int8 // direction towards the tree's root
	inside []bool // which tree a node with a parent belongs to
	stamp  []int32
	far    []int32 // steps to the root, true at the time of stamp
	clock  int32

	queue   []int32 // active nodes, in a ring
	head    int
	waiting int
	queued  []bool
	orphans []int32
}

// Values of parent besides a direction.
const (
	free   int8 = -1
	rooted int8 = -2
	orphan int8 = -3
)

const degree = 8

// directions are the steps to the eight neighbours, opposites side by side.
var directions = [degree][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {-1, 1}, {1, -1}}

func newNetwork(n int) *network {
	g := &network{near: make([]int32, degree*n), room: make([]int32, degree*n), end: make([]int32, n),
		parent: make([]int8, n), inside: make([]bool, n), stamp: make([]int32, n), far: make([]int32, n),
		queue: make([]int32, n+1), queued: make([]bool, n)}
	for i := range g.near {
		g.near[i] = -1
	}
	return g
}

// link sets the cost of severing two neighbours, the same both ways.
func (g *network) link(i int32, k int, j, cost int32) {
	g.near[degree*int(i)+k], g.room[degree*int(i)+k] = j, cost
	g.near[degree*int(j)+k^1], g.room[degree*int(j)+k^1] = i, cost
}

// cut finds the cheapest cut; afterwards isInside tells the sides apart. It
// gives up with the context's error when that ends.
func (g *network) cut(ctx context.Context) error {
	for i, e := range g.end {
		g.parent[i] = free
		if e != 0 {
			g.parent[i], g.inside[i], g.far[i] = rooted, e > 0, 1
			g.activate(int32(i))
		}
	}
	g.clock = 1
	for n := 0; ; n++ {
		i := g.next()
		if i < 0 {
			return nil
		}
		for ; g.parent[i] != free; n++ {
			if n&4095 == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			at, k := g.grow(i)
			if k < 0 {
				break
			}
			g.clock++
			g.augment(at, k)
			g.adopt()
		}
	}
}

func (g *network) isInside(i int) bool { return g.parent[i] != free && g.inside[i] }

func (g *network) activate(i int32) {
	if g.queued[i] {
		return
	}
	g.queued[i] = true
	g.queue[(g.head+g.waiting)%len(g.queue)] = i
	g.waiting++
}

func (g *network) next() int32 {
	for g.waiting > 0 {
		i := g.queue[g.head]
		g.head = (g.head + 1) % len(g.queue)
		g.waiting--
		g.queued[i] = false
		if g.parent[i] != free {
			return i
		}
	}
	return -1
}

// open is the room of a link in the direction in which the tree of i grows.
func (g *network) open(i int32, k int, j int32) int32 {
	if g.inside[i] {
		return g.room[degree*int(i)+k]
	}
	return g.room[degree*int(j)+k^1]
}

// grow takes free neighbours into the tree of i. Where it meets the other tree it
// returns the link from the inside's tree to the outside's; k is -1 otherwise.
func (g *network) grow(i int32) (at int32, k int) {
	for k := range degree {
		j := g.near[degree*int(i)+k]
		if j < 0 || g.open(i, k, j) == 0 {
			continue
		}
		switch {
		case g.parent[j] == free:
			g.inside[j], g.parent[j] = g.inside[i], int8(k^1)
			g.stamp[j], g.far[j] = g.stamp[i], g.far[i]+1
			g.activate(j)
		case g.inside[j] != g.inside[i]:
			if g.inside[i] {
				return i, k
			}
			return j, k ^ 1
		case g.stamp[j] <= g.stamp[i] && g.far[j] > g.far[i]:
			g.parent[j] = int8(k ^ 1) // a shorter way to the root
			g.stamp[j], g.far[j] = g.stamp[i], g.far[i]+1
		}
	}
	return -1, -1
}

// augment sends as much as fits along the path through a link between the
// trees. Nodes whose link to their parent is filled become orphans.
func (g *network) augment(i int32, k int) {
	j := g.near[degree*int(i)+k]
	most := g.room[degree*int(i)+k]
	for a := i; ; {
		p := g.parent[a]
		if p == rooted {
			most = min(most, g.end[a])
			break
		}
		b := g.near[degree*int(a)+int(p)]
		most = min(most, g.room[degree*int(b)+int(p)^1])
		a = b
	}
	for a := j; ; {
		p := g.parent[a]
		if p == rooted {
			most = min(most, -g.end[a])
			break
		}
		most = min(most, g.room[degree*int(a)+int(p)])
		a = g.near[degree*int(a)+int(p)]
	}
	g.room[degree*int(i)+k] -= most
	g.room[degree*int(j)+k^1] += most
	g.send(i, most, true)
	g.send(j, most, false)
}

// send moves the flow along one tree's half of the path.
func (g *network) send(a, flow int32, inside bool) {
	for {
		p := g.parent[a]
		if p == rooted {
			if inside {
				g.end[a] -= flow
			} else {
				g.end[a] += flow
			}
			if g.end[a] == 0 {
				g.abandon(a)
			}
			return
		}
		b := g.near[degree*int(a)+int(p)]
		up, down := degree*int(a)+int(p), degree*int(b)+int(p)^1
		if inside {
			up, down = down, up
		}
		// up now is the link the flow takes, down its opposite.
		g.room[up] -= flow
		g.room[down] += flow
		if g.room[up] == 0 {
			g.abandon(a)
		}
		a = b
	}
}

func (g *network) abandon(a int32) {
	g.parent[a] = orphan
	g.orphans = append(g.orphans, a)
}

// adopt finds each orphan a new parent in its tree, or frees it.
func (g *network) adopt() {
	for len(g.orphans) > 0 {
		i := g.orphans[len(g.orphans)-1]
		g.orphans = g.orphans[:len(g.orphans)-1]
		best, bestFar := -1, int32(1)<<30
		for k := range degree {
			j := g.near[degree*int(i)+k]
			if j < 0 || g.parent[j] == free || g.inside[j] != g.inside[i] || g.open(j, k^1, i) == 0 {
				continue
			}
			if d := g.distance(j); d < bestFar {
				best, bestFar = k, d
			}
		}
		if best >= 0 {
			g.parent[i], g.stamp[i], g.far[i] = int8(best), g.clock, bestFar+1
			continue
		}
		g.release(i)
	}
}

// distance is the number of steps from j to its root, or a large number when
// the way ends at an orphan. The way is stamped so that it is not walked twice.
func (g *network) distance(j int32) int32 {
	const lost = int32(1) << 30
	d := int32(0)
	for a := j; ; {
		if g.stamp[a] == g.clock {
			d += g.far[a]
			break
		}
		p := g.parent[a]
		d++
		if p == rooted {
			g.stamp[a], g.far[a] = g.clock, 1
			break
		}
		if p == orphan {
			return lost
		}
		a = g.near[degree*int(a)+int(p)]
	}
	total := d
	for a := j; g.stamp[a] != g.clock; {
		g.stamp[a], g.far[a] = g.clock, d
		d--
		a = g.near[degree*int(a)+int(g.parent[a])]
	}
	return total
}

// release frees a node that found no parent; its children become orphans.
func (g *network) release(i int32) {
	for k := range degree {
		j := g.near[degree*int(i)+k]
		if j < 0 || g.parent[j] == free || g.inside[j] != g.inside[i] {
			continue
		}
		if g.open(j, k^1, i) > 0 {
			g.activate(j)
		}
		if p := g.parent[j]; p >= 0 && g.near[degree*int(j)+int(p)] == i {
			g.abandon(j)
		}
	}
	g.parent[i] = free
}
