package suggest

import (
	"context"
)

// ridges is what the line filter makes of one plane: in each pixel the answer
// of its best direction over that direction's bar, positive on dark lines.
type ridges struct {
	src    *plane
	step   float64 // pixels of the picture to one of this plane
	rise   *plane
	way    []uint8 // best direction
	ground *bars
}

// findRidges filters the plane in two passes: the first finds the bars, the
// second measures against them. Filtering twice is cheaper than keeping
// sixteen answers a pixel. A pixel counts for the bars where inside is set.
func findRidges(ctx context.Context, p *plane, inside []uint8, step float64) (*ridges, error) {
	r := &ridges{src: p, step: step, rise: newPlane(p.w, p.h), way: make([]uint8, p.w*p.h), ground: newBars(p.w, p.h)}
	tiles := tilesOf(p.w, p.h)
	err := everyTile(ctx, tiles, newLineTile, func(t tile, b *lineTile) { r.count(t, b, inside) })
	if err != nil {
		return nil, err
	}
	r.ground.settle()
	heights := r.ground.heights()
	return r, everyTile(ctx, tiles, newRiseTile, func(t tile, b *riseTile) { r.measure(t, b, heights) })
}

// count puts every fourth answer of a tile into the counts of its blocks.
func (r *ridges) count(t tile, b *lineTile, inside []uint8) {
	b.load(r.src, t)
	for k := range directions {
		b.along(k)
		sx, sy := 1, b.side
		if !steep(k) {
			sx, sy = sy, sx
		}
		for y := t.y0; y < t.y1; y += 2 {
			line := b.mean[(y-t.y0+lineHalo)*sy+lineHalo*sx:]
			for x := t.x0 + y/2%2; x < t.x1; x += 2 {
				if inside[y*r.src.w+x] == 0 {
					continue
				}
				block := (y/blockSide)*r.ground.bw + x/blockSide
				r.ground.counts[(block*directions+k)*barBins+barBin(line[(x-t.x0)*sx])]++
			}
		}
	}
}

// riseTile adds the best answers so far, for steep directions and, with rows
// and columns exchanged, for the others.
type riseTile struct {
	*lineTile
	best [2][]float32
	way  [2][]uint8
}

func newRiseTile() *riseTile {
	b := &riseTile{lineTile: newLineTile()}
	for i := range b.best {
		b.best[i], b.way[i] = make([]float32, tileSide*tileSide), make([]uint8, tileSide*tileSide)
	}
	return b
}

// measure keeps the best direction of each pixel of a tile.
func (r *ridges) measure(t tile, b *riseTile, over []float32) {
	b.load(r.src, t)
	clear(b.best[0])
	clear(b.best[1])
	for k := range directions {
		b.along(k)
		side := 1
		if steep(k) {
			side = 0
		}
		b.keep(r.ground, t, k, side, over)
	}
	for y := t.y0; y < t.y1; y++ {
		for x := t.x0; x < t.x1; x++ {
			i, j, o := (y-t.y0)*tileSide+x-t.x0, (x-t.x0)*tileSide+y-t.y0, y*r.src.w+x
			v, w, a, c := b.best[0][i], b.best[1][j], b.way[0][i], b.way[1][j]
			if max(v, -v) >= max(w, -w) {
				r.rise.v[o], r.way[o] = v, a
			} else {
				r.rise.v[o], r.way[o] = w, c
			}
		}
	}
}

func (b *riseTile) keep(ground *bars, t tile, k, side int, over []float32) {
	w, h := t.x1-t.x0, t.y1-t.y0
	if side == 1 {
		w, h = h, w
	}
	for y := range h {
		for x0 := 0; x0 < w; x0 += blockSide {
			bx, by := (t.x0+x0)/blockSide, (t.y0+y)/blockSide
			if side == 1 {
				bx, by = (t.x0+y)/blockSide, (t.y0+x0)/blockSide
			}
			scale := over[(by*ground.bw+bx)*directions+k]
			n := min(blockSide, w-x0)
			mean := b.mean[(y+lineHalo)*b.side+lineHalo+x0:][:n]
			best, way := b.best[side][y*tileSide+x0:][:n], b.way[side][y*tileSide+x0:][:n]
			for x, v := range mean {
				v *= scale
				if max(v, -v) > max(best[x], -best[x]) {
					best[x], way[x] = v, uint8(k)
				}
			}
		}
	}
}

// heights is one over the bar that each direction has to clear: the largest
// level among itself and its neighbours, because grain wanders, and at least a
// share of the largest of all, because where there is grain there is more of
// everything.
func (b *bars) heights() []float32 {
	out := make([]float32, len(b.level))
	for i := 0; i < len(b.level); i += directions {
		level := b.level[i:][:directions]
		worst := float32(0)
		for _, v := range level {
			worst = max(worst, v)
		}
		for k := range level {
			out[i+k] = 1 / max(level[k], level[(k+1)%directions], level[(k+directions-1)%directions], pooled*worst)
		}
	}
	return out
}

// pooled is the share of the strongest direction's level that stands as a bar
// against all the others.
const pooled = 0.5
