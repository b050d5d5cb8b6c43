package render

import (
	"fmt"

	"wornwood/annotate/outline"
)

// disc is a round part seen from the front.
type disc struct{ X, Y, R float64 }

// plan is the instrument as the program's outline has it, in millimetres of
// the front side.
type plan struct {
	scale                    float64
	boardEnd, heel           float64 // end of the board; where the neck enters the body
	half0, half1             float64 // half the board's width at the nut and at its end
	body, head, board, guard []pt
	rodCover                 []pt
	pickups                  [][]pt
	bridge                   []pt
	knobs, posts             []disc // posts by string, the first is the treble-most
	toggle                   disc
	frets                    []float64

	// Parts of the back, mirrored to the front's coordinates.
	heelPlate, cover []pt
	cases            [][]pt // of the tuners
	ferrules         []disc
}

// newPlan reads the regions of a six-string drawing.
func newPlan(d *outline.Drawing) (*plan, error) {
	p := &plan{scale: d.ScaleLength}
	r := reader{d: d}
	p.body, p.head, p.board = r.ring("front/body", 1), r.ring("front/headstock", 1), r.ring("front/board", 1)
	p.guard, p.bridge, p.rodCover = r.ring("front/guard", 1), r.ring("front/bridge", 1), r.ring("front/rod-cover", 1)
	p.pickups = [][]pt{r.ring("front/pickup-1", 1), r.ring("front/pickup-2", 1)}
	p.knobs = []disc{r.disc("front/volume", 1), r.disc("front/tone", 1)}
	p.toggle = r.disc("front/switch", 1)
	p.heelPlate, p.cover = r.ring("back/heel-plate", -1), r.ring("back/cover", -1)
	for n := 1; n <= 6; n++ {
		p.posts = append(p.posts, r.disc(fmt.Sprintf("front/tuner-%d", n), 1))
		p.cases = append(p.cases, r.ring(fmt.Sprintf("back/tuner-%d", n), -1))
		p.ferrules = append(p.ferrules, r.disc(fmt.Sprintf("back/ferrule-%d", n), -1))
	}
	for n := 1; n <= d.Frets; n++ {
		p.frets = append(p.frets, outline.FretPosition(d.ScaleLength, n))
	}
	if r.err != nil {
		return nil, r.err
	}
	_, hi := ringBox(p.board)
	p.boardEnd = hi.Y
	for _, q := range p.board {
		if q.Y < 1 {
			p.half0 = max(p.half0, q.X)
		}
		p.half1 = max(p.half1, q.X)
	}
	for p.heel = p.boardEnd - 60; ringDistance(p.body, pt{0, p.heel}) > 0 && p.heel < p.boardEnd; p.heel++ {
	}
	return p, nil
}

// reader takes regions out of a drawing and keeps the first error.
type reader struct {
	d   *outline.Drawing
	err error
}

// ring is the outer ring of a region; flip -1 mirrors the back to the front.
func (r *reader) ring(id string, flip float64) []pt {
	reg, ok := r.d.Region(id)
	if !ok {
		if r.err == nil {
			r.err = fmt.Errorf("read outline: it has no region %q", id)
		}
		return []pt{{0, 0}, {1, 0}, {0, 1}}
	}
	var out []pt
	for _, q := range reg.Path.Flatten(0.01)[0] {
		c := pt{flip * q.X, q.Y}
		if n := len(out); n == 0 || hypot(c.X-out[n-1].X, c.Y-out[n-1].Y) > 0.02 {
			out = append(out, c)
		}
	}
	return out
}

func (r *reader) disc(id string, flip float64) disc {
	lo, hi := ringBox(r.ring(id, flip))
	return disc{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2, (hi.X - lo.X) / 2}
}

// halfBoard is half the fingerboard's width at y.
func (p *plan) halfBoard(y float64) float64 {
	return lerp(p.half0, p.half1, y/p.boardEnd)
}
