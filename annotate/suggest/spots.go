package suggest

// spotGround is the energy of the ground in blocks, as the bars are for lines.
type spotGround struct {
	bw, bh int
	v      []float64 // 0 where nothing was counted
}

func (g spotGround) at(x, y int) float64 {
	return max(g.v[(y/blockSide)*g.bw+x/blockSide], leastBar)
}

// spotShare is higher than the lines' share, so that a ground with many specks
// of its own stands for more.
const spotShare = 0.95

// spotLevels takes a high quantile of the energy in each block and its
// neighbours.
func spotLevels(e *plane, inside []uint8) spotGround {
	g := spotGround{bw: (e.w + blockSide - 1) / blockSide, bh: (e.h + blockSide - 1) / blockSide}
	counts := make([]uint32, g.bw*g.bh*barBins)
	for y := range e.h {
		for x := y % 2; x < e.w; x += 2 {
			if i := y*e.w + x; inside[i] != 0 {
				counts[((y/blockSide)*g.bw+x/blockSide)*barBins+barBin(e.v[i])]++
			}
		}
	}
	g.v = make([]float64, g.bw*g.bh)
	for by := range g.bh {
		for bx := range g.bw {
			var wide [barBins]uint32
			n := uint32(0)
			for y := max(0, by-barReach); y <= min(g.bh-1, by+barReach); y++ {
				for x := max(0, bx-barReach); x <= min(g.bw-1, bx+barReach); x++ {
					for i, c := range counts[(y*g.bw+x)*barBins:][:barBins] {
						wide[i], n = wide[i]+c, n+c
					}
				}
			}
			if n > 0 {
				g.v[by*g.bw+bx] = float64(quantile(wide[:], spotShare))
			}
		}
	}
	return g
}
