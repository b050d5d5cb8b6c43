package suggest

import (
	"errors"
	"fmt"
	"image"
	"math"

	"wornwood/annotate/shape"
	"wornwood/capture/reduce"
)

const (
	mostPixels  = 4_000_000   // of an area searched as it is; a larger one is reduced
	mostBox     = 100_000_000 // of an area searched at all
	surround    = 24          // pixels round the area that filters may look at
	margin      = 5           // pixels inside the ring in which nothing is sought
	leastArea   = 400         // pixels inside the ring
	mostPoints  = 100_000     // of a ring
	clippedFrom = 250         // grey values at which a highlight has burnt out
	clipSide    = 16
)

// ground is an area made ready: its grey values and where to search.
type ground struct {
	img    *image.Gray // as searched
	log    *plane
	inside []uint8
	origin shape.Pt // photo pixels of the corner of img's first pixel
	scale  float64  // photo pixels to one of img
	shrunk float64  // how many times the area was reduced; 1 when it was not
	burnt  float64  // share of the area that was left out as burnt-out highlight
}

// toPhoto turns a pixel's place in the searched picture, counted from pixel
// centres, into photo pixels, counted from the corner of the first.
func (g *ground) toPhoto(p shape.Pt) shape.Pt {
	return shape.Pt{X: g.origin.X + (p.X+0.5)*g.scale, Y: g.origin.Y + (p.Y+0.5)*g.scale}
}

// prepare cuts the area out of the picture.
func prepare(img image.Image, area []shape.Pt, opt Options) (*ground, error) {
	scale := opt.Scale
	if scale == 0 {
		scale = 1
	}
	if img == nil || !(scale > 0) || math.IsInf(scale, 0) || !opt.Offset.Finite() {
		return nil, errors.New("the photo could not be searched: its picture or its scale is missing; open the photo again")
	}
	ring, err := checkRing(area)
	if err != nil {
		return nil, err
	}
	local := make([]shape.Pt, len(ring))
	for i, p := range ring {
		local[i] = shape.Mul(shape.Sub(p, opt.Offset), 1/scale)
	}
	box, err := boxOf(local, img.Bounds())
	if err != nil {
		return nil, err
	}
	g := &ground{shrunk: 1}
	if n := float64(box.Dx()) * float64(box.Dy()); n > mostPixels*1.05 {
		g.shrunk = math.Sqrt(n / mostPixels)
	}
	g.img = cut8(img, box, g.shrunk)
	g.scale = scale * float64(box.Dx()) / float64(g.img.Rect.Dx())
	g.origin = shape.Add(opt.Offset, shape.Pt{X: scale * float64(box.Min.X), Y: scale * float64(box.Min.Y)})
	g.measure()
	if err := g.mask(ring); err != nil {
		return nil, err
	}
	return g, nil
}

// checkRing refuses rings that enclose nothing.
func checkRing(area []shape.Pt) ([]shape.Pt, error) {
	if len(area) < 3 || len(area) > mostPoints {
		return nil, fmt.Errorf("the area has %d corners and needs 3 to %d; draw round the finish to be searched", len(area), mostPoints)
	}
	for _, p := range area {
		if !p.Finite() || math.Abs(p.X) > 1e7 || math.Abs(p.Y) > 1e7 {
			return nil, errors.New("the area has a corner far outside any photo; draw it again")
		}
	}
	return area, nil
}

// boxOf is the part of the picture that holds the ring and its surroundings.
func boxOf(ring []shape.Pt, bounds image.Rectangle) (image.Rectangle, error) {
	r := shape.RectAround(ring...).Grow(surround)
	limit := func(v float64) int { return int(min(max(v, -1e9), 1e9)) }
	box := image.Rect(limit(math.Floor(r.Min.X)), limit(math.Floor(r.Min.Y)), limit(math.Ceil(r.Max.X)), limit(math.Ceil(r.Max.Y))).Intersect(bounds)
	if box.Empty() {
		return box, errors.New("the area lies outside the photo; draw it on the photo")
	}
	if n := int64(box.Dx()) * int64(box.Dy()); n > mostBox {
		return box, fmt.Errorf("the area covers %d megapixels and at most %d can be searched; draw a smaller one", n/1_000_000, mostBox/1_000_000)
	}
	return box, nil
}

// cut8 is the box's luma, reduced by the factor.
func cut8(img image.Image, box image.Rectangle, factor float64) *image.Gray {
	g := grey(img, box)
	if factor <= 1 {
		return g
	}
	w, h := int(float64(box.Dx())/factor+0.5), int(float64(box.Dy())/factor+0.5)
	return reduce.Resample(g, max(w, 1), max(h, 1)).(*image.Gray)
}

func (g *ground) measure() {
	w, h := g.img.Rect.Dx(), g.img.Rect.Dy()
	g.log = newPlane(w, h)
	for y := range h {
		for x, v := range g.img.Pix[y*g.img.Stride:][:w] {
			g.log.v[y*w+x] = logTable[v]
		}
	}
}

// mask marks the pixels inside the ring, away from its line, and not burnt out.
func (g *ground) mask(ring []shape.Pt) error {
	w, h := g.log.w, g.log.h
	g.inside = make([]uint8, w*h)
	grid := shape.Grid{Origin: g.origin, Cell: g.scale, W: w, H: h}
	fill := func(v uint8) func(y, x0, x1 int) {
		return func(y, x0, x1 int) {
			for x := x0; x < x1; x++ {
				g.inside[y*w+x] = v
			}
		}
	}
	shape.FillPolygon(grid, [][]shape.Pt{ring}, fill(1))
	shape.FillCapsules(grid, append(append([]shape.Pt{}, ring...), ring[0]), margin*g.scale, fill(0))
	n := 0
	for _, v := range g.inside {
		n += int(v)
	}
	if n < leastArea {
		return fmt.Errorf("the area leaves %d pixels to search, %d px inside its line, and needs %d; draw a larger one", n, margin, leastArea)
	}
	g.dropBurnt(n)
	return nil
}

// dropBurnt takes burnt-out highlights and their borders out of the search:
// there is no finish to be seen in them and their outline is none of its lines.
func (g *ground) dropBurnt(n int) {
	w, h := g.log.w, g.log.h
	cw, ch := (w+clipSide-1)/clipSide, (h+clipSide-1)/clipSide
	counts := make([]int, cw*ch)
	for y := range h {
		for x, v := range g.img.Pix[y*g.img.Stride:][:w] {
			if v >= clippedFrom {
				counts[(y/clipSide)*cw+x/clipSide]++
			}
		}
	}
	gone := 0
	for cy := range ch {
		for cx := range cw {
			if counts[cy*cw+cx] < clipSide*clipSide*2/3 {
				continue
			}
			for y := max(0, cy*clipSide-clipSide/2); y < min(h, (cy+1)*clipSide+clipSide/2); y++ {
				for x := max(0, cx*clipSide-clipSide/2); x < min(w, (cx+1)*clipSide+clipSide/2); x++ {
					gone += int(g.inside[y*w+x])
					g.inside[y*w+x] = 0
				}
			}
		}
	}
	g.burnt = float64(gone) / float64(n)
}

// halvedMask is the mask for a plane halved: set where all four pixels are.
func halvedMask(m []uint8, w, h int) []uint8 {
	hw, hh := max(1, w/2), max(1, h/2)
	out := make([]uint8, hw*hh)
	for y := range hh {
		for x := range hw {
			a, b := 2*y*w+2*x, min(2*y+1, h-1)*w+2*x
			right := min(1, w-1-2*x)
			out[y*hw+x] = m[a] & m[a+right] & m[b] & m[b+right]
		}
	}
	return out
}
