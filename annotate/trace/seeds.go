package trace

import (
	"math"

	"wornwood/annotate/shape"
)

// A Stroke is one pull of a brush over the photo.
type Stroke struct {
	Points []shape.Pt // pixels of the photo, (0,0) the outer corner of the first
	Radius float64    // pixels of the photo
}

// The seeds of a pixel: what a person said about it, which no model overrules.
const (
	unsaid  int8 = 0
	said    int8 = 1  // belongs to the instrument
	saidNot int8 = -1 // does not
)

// seedsOf paints the strokes on a picture of w x h pixels, of which one is
// kx x ky pixels of the photo. Where both brushes went, erasing counts.
func seedsOf(o *Options, w, h int, kx, ky float64) []int8 {
	seeds := make([]int8, w*h)
	g := shape.Grid{Cell: 1, W: w, H: h}
	paint := func(strokes []Stroke, v int8) {
		for _, s := range strokes {
			line := make([]shape.Pt, 0, len(s.Points))
			for _, p := range s.Points {
				if p.Finite() {
					line = append(line, shape.Pt{X: p.X / kx, Y: p.Y / ky})
				}
			}
			// A brush finer than the picture still paints the pixels it runs over.
			r := max(0.75, s.Radius/math.Sqrt(kx*ky))
			if math.IsNaN(r) {
				continue
			}
			shape.FillCapsules(g, line, min(r, float64(w+h)), func(y, x0, x1 int) {
				for x := x0; x < x1; x++ {
					seeds[y*w+x] = v
				}
			})
		}
	}
	paint(o.Add, said)
	paint(o.Erase, saidNot)
	return seeds
}

// shrunkSeeds are the seeds of blocks of k x k pixels: a block with any seed
// has it, one with both is said not to belong.
func shrunkSeeds(seeds []int8, w, h, k int) []int8 {
	sw, sh := (w+k-1)/k, (h+k-1)/k
	small := make([]int8, sw*sh)
	for i, s := range seeds {
		j := i/w/k*sw + i%w/k
		if s == saidNot || s == said && small[j] == unsaid {
			small[j] = s
		}
	}
	return small
}

// What was painted in and what was painted out, as an index.
const (
	paintedIn = iota
	paintedOut
)

// brushed are the colours under the strokes of one brush, which count near them.
type brushed struct {
	colours *mixture
	near    []bool
}

// brushReach is how far from a stroke its colours count, as a share of the
// longer side.
const brushReach = 0.04

// learnBrush learns from the pixels with the seed; nil when there are none.
func learnBrush(p *picture, seeds []int8, seed int8) *brushed {
	var colours []lab
	set := make([]bool, len(seeds))
	for i, s := range seeds {
		if s == seed {
			set[i] = true
			colours = append(colours, p.px[i])
		}
	}
	if len(colours) == 0 {
		return nil
	}
	b := &brushed{colours: mix(colours, 3, localFloor), near: make([]bool, len(seeds))}
	far := -int16(3 * (1 + brushReach*float64(max(p.w, p.h))))
	for i, d := range apart(set, p.w, p.h) {
		b.near[i] = d >= far
	}
	return b
}

// log is the log density of a colour under the brush near pixel i.
func (b *brushed) log(c lab, i int) float32 {
	if b == nil || !b.near[i] {
		return float32(math.Inf(-1))
	}
	return b.colours.log(c)
}
