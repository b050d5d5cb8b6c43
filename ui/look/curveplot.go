package look

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"fyne.io/fyne/v2"
	"golang.org/x/image/vector"
)

// dashes tell the lines of a curve apart, as lengths of line and gap in the
// toolkit's units: unbroken, dashed, dotted, dashed and dotted.
var dashes = [][]float64{nil, {9, 5}, {1.8, 4.2}, {12, 4, 2, 4}}

// picture draws the grid and the lines, w × h points of the screen.
func (c *Curve) picture(w, h int) image.Image {
	p := &plot{img: image.NewRGBA(image.Rect(0, 0, w, h))}
	s := c.Size()
	if s.Width <= 0 || s.Height <= 0 || w <= 0 || h <= 0 {
		return p.img
	}
	p.scale = float64(w) / float64(s.Width)
	fx, fy, fw, fh := c.field(s)
	p.x, p.y, p.w, p.h = float64(fx)*p.scale, float64(fy)*p.scale, float64(fw)*p.scale, float64(fh)*p.scale
	c.grid(p)
	// All lines are filled at once, which costs what one does.
	p.ink = vector.NewRasterizer(w, h)
	c.eachName(s.Width, func(i int, at fyne.Position, _ int) {
		y := float64(at.Y+c.line()/2-1) * p.scale
		x := float64(at.X) * p.scale
		p.stroke([]spot{{x, y}, {x + float64(sampleWide)*p.scale, y}}, dashes[i%len(dashes)])
	})
	for i, s := range c.series {
		for _, run := range c.runs(p, s) {
			p.stroke(run, dashes[i%len(dashes)])
		}
	}
	p.ink.Draw(p.img, p.img.Rect, image.NewUniform(ink(c, Ink)), image.Point{})
	return p.img
}

// grid draws hairlines, those with a label and that of 0 dB a little stronger.
func (c *Curve) grid(p *plot) {
	for _, hz := range griddedHz {
		named := Hairline
		for _, n := range namedHz {
			if n.hz == hz && hz != lowestHz {
				named = Border
			}
		}
		x := p.x + p.w*along(hz)
		p.line(x, p.y, x, p.y+p.h, ink(c, named))
	}
	for i := range c.levels {
		v := c.high - float64(i)*c.step
		name := Hairline
		if v == 0 {
			name = Border
		}
		y := p.y + p.h*float64(i)/float64(max(len(c.levels)-1, 1))
		p.line(p.x, y, p.x+p.w, y, ink(c, name))
	}
}

// runs are the pieces of a series that lie on the plot, in points of the screen,
// cut off where it leaves through the bottom or an end.
func (c *Curve) runs(p *plot, s Series) [][]spot {
	var out [][]spot
	var run []spot
	end := func() {
		if len(run) > 1 {
			out = append(out, run)
		}
		run = nil
	}
	n := min(len(s.Hz), len(s.DB))
	for i := range n {
		hz, v := s.Hz[i], s.DB[i]
		if !(hz >= lowestHz && hz <= highestHz) || math.IsNaN(v) || math.IsInf(v, 0) {
			end()
			continue
		}
		at := spot{p.x + p.w*along(hz), p.y + p.h*(c.high-v)/(c.high-c.low)}
		if v >= c.low {
			if run == nil && i > 0 && s.DB[i-1] < c.low && s.Hz[i-1] >= lowestHz {
				run = append(run, c.crossing(p, s, i))
			}
			run = append(run, at)
			continue
		}
		if run != nil {
			run = append(run, c.crossing(p, s, i))
		}
		end()
	}
	end()
	return out
}

// crossing is where a series passes the bottom between point i-1 and i.
func (c *Curve) crossing(p *plot, s Series, i int) spot {
	t := (c.low - s.DB[i-1]) / (s.DB[i] - s.DB[i-1])
	x0, x1 := along(s.Hz[i-1]), along(s.Hz[i])
	return spot{p.x + p.w*(x0+t*(x1-x0)), p.y + p.h}
}

// spot is a point of the screen.
type spot struct{ x, y float64 }

// plot is a picture with the field that the curve lies in, in points of the
// screen; scale is how many of them are one of the toolkit's units.
type plot struct {
	img               *image.RGBA
	ink               *vector.Rasterizer
	scale, x, y, w, h float64
}

// line fills a hairline, upright or level, on whole points.
func (p *plot) line(x0, y0, x1, y1 float64, of color.Color) {
	wide := max(1, int(math.Round(p.scale)))
	r := image.Rect(int(x0), int(y0), int(x1), int(y1))
	if r.Dx() == 0 {
		r.Max.X = r.Min.X + wide
	} else {
		r.Max.Y = r.Min.Y + wide
	}
	draw.Draw(p.img, r, image.NewUniform(of), image.Point{}, draw.Over)
}

// thick is a line's breadth in the toolkit's units.
const thick = 1.7

// stroke inks a line through two points and more with round joints, broken by
// dashes whose lengths are in the toolkit's units.
func (p *plot) stroke(points []spot, dash []float64) {
	half := thick * p.scale / 2
	for _, piece := range broken(points, dash, p.scale) {
		for i := 1; i < len(piece); i++ {
			straight(p.ink, piece[i-1], piece[i], half)
		}
		for _, s := range piece[1 : len(piece)-1] {
			disc(p.ink, s, half)
		}
	}
}

// broken cuts a line into its dashes; without dashes it is one piece.
func broken(points []spot, dash []float64, scale float64) [][]spot {
	if len(dash) == 0 || len(points) < 2 {
		return [][]spot{points}
	}
	var out [][]spot
	k, left := 0, dash[0]*scale
	piece := []spot{points[0]}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		for {
			d := math.Hypot(b.x-a.x, b.y-a.y)
			if d <= left {
				left -= d
				if k%2 == 0 {
					piece = append(piece, b)
				}
				break
			}
			a = spot{a.x + (b.x-a.x)*left/d, a.y + (b.y-a.y)*left/d}
			if k%2 == 0 {
				out = append(out, append(piece, a))
				piece = nil
			} else {
				piece = []spot{a}
			}
			k = (k + 1) % len(dash)
			left = dash[k] * scale
		}
	}
	if len(piece) > 1 {
		out = append(out, piece)
	}
	return out
}

func straight(r *vector.Rasterizer, a, b spot, half float64) {
	d := math.Hypot(b.x-a.x, b.y-a.y)
	if d == 0 {
		return
	}
	nx, ny := -(b.y-a.y)/d*half, (b.x-a.x)/d*half
	r.MoveTo(float32(a.x+nx), float32(a.y+ny))
	r.LineTo(float32(a.x-nx), float32(a.y-ny))
	r.LineTo(float32(b.x-nx), float32(b.y-ny))
	r.LineTo(float32(b.x+nx), float32(b.y+ny))
	r.ClosePath()
}

// disc covers a joint; it turns the same way round as straight, so that what lies
// twice is not taken out.
func disc(r *vector.Rasterizer, at spot, half float64) {
	const corners = 8
	for i := range corners {
		s, c := math.Sincos(2 * math.Pi * float64(i) / corners)
		x, y := float32(at.x+half*c), float32(at.y+half*s)
		if i == 0 {
			r.MoveTo(x, y)
		} else {
			r.LineTo(x, y)
		}
	}
	r.ClosePath()
}
