package suggest

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// tileSide is the side of the squares in which a plane is worked through, in
// pixels. It is fixed, so that sums come out the same however many goroutines
// share the work, and small, so that a tile stays in the processor's cache.
const tileSide = 256

// tile is the square of a plane whose results belong to it.
type tile struct{ x0, y0, x1, y1 int }

func tilesOf(w, h int) []tile {
	var out []tile
	for y := 0; y < h; y += tileSide {
		for x := 0; x < w; x += tileSide {
			out = append(out, tile{x, y, min(x+tileSide, w), min(y+tileSide, h)})
		}
	}
	return out
}

// everyTile calls work for each tile from as many goroutines as there are
// processors; make is called once in each of them for its buffers. It ends
// early with the context's error.
func everyTile[B any](ctx context.Context, tiles []tile, make func() B, work func(t tile, b B)) error {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(tiles)) {
		wait.Go(func() {
			b := make()
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(tiles) {
					return
				}
				work(tiles[i], b)
			}
		})
	}
	wait.Wait()
	return ctx.Err()
}

// everyBand calls work for bands of rows, from as many goroutines as there are
// processors.
func everyBand(ctx context.Context, h int, work func(y0, y1 int)) error {
	const rows = 64
	var bands []tile
	for y := 0; y < h; y += rows {
		bands = append(bands, tile{0, y, 0, min(y+rows, h)})
	}
	return everyTile(ctx, bands, func() struct{} { return struct{}{} }, func(t tile, _ struct{}) { work(t.y0, t.y1) })
}
