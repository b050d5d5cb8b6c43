package measure

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// Residual is how far one clicked point of the scale lies from where the
// fitted view shows it.
type Residual struct {
	Name string
	At   shape.Pt // pixels, as used
	Off  shape.Pt // pixels, from where the view shows it to At
	Px   float64  // length of Off
	Wild bool     // it fits the others so badly that it was left out
}

// Residuals lists the scale's points in their order.
func (p *Plane) Residuals() []Residual { return append([]Residual(nil), p.resid...) }

func (p *Plane) describeResiduals(pr *problem, f *fitted) {
	l := f.at.lens()
	for i := range pr.obs {
		off := pr.obs[i].off(&l, &f.at)
		if pr.mirror {
			off.X = -off.X
		}
		if !off.Finite() { // a wild point that the view would have behind the camera
			off = shape.Pt{X: farthest}
		}
		p.resid = append(p.resid, Residual{Name: pr.names[i], At: p.points[i].At, Off: off, Px: math.Hypot(off.X, off.Y), Wild: !f.used[i]})
	}
	p.rms = pr.rms(f)
}

// kindWords name a scale as the thing it was taken from, after "by".
var kindWords = map[record.ScaleKind][2]string{
	record.TwoPointScale: {"two points", "the two points"},
	record.FretScale:     {"frets", "the frets"},
	record.CardScale:     {"card", "the card"},
	record.RulerScale:    {"ruler", "the ruler"},
	record.LandmarkScale: {"landmarks", "the landmarks"},
}

// Summary is the scale in a line: "card, 4 corners, residual 0.4 px".
func (p *Plane) Summary() string {
	s := kindWords[p.kind][0]
	switch p.kind {
	case record.CardScale:
		s += ", 4 corners"
	case record.TwoPointScale:
		d := shape.Dist(p.points[0].MM, p.points[1].MM)
		if p.lengthMM > 0 {
			d = p.lengthMM
		}
		return fmt.Sprintf("%s, %.4g mm apart, about %.3g px/mm", s, d, p.PxPerMM())
	default:
		s += fmt.Sprintf(", %d points", len(p.points))
	}
	if w := p.wild(); len(w) > 0 {
		s += fmt.Sprintf(" (%d left out)", len(w))
	}
	return s + fmt.Sprintf(", residual %.1f px", p.rms)
}

func (p *Plane) wild() []string {
	var out []string
	for _, r := range p.resid {
		if r.Wild {
			out = append(out, r.Name)
		}
	}
	return out
}

// Warnings are sentences about what makes the scale less sure than it looks. With
// the pixels of a mark it also says what makes that mark's place less sure.
func (p *Plane) Warnings(mark ...shape.Pt) []string {
	var out []string
	if w := p.wild(); len(w) > 0 {
		out = append(out, fmt.Sprintf("Left out, because the other points contradict: %s. Click again where the name says.", strings.Join(w, ", ")))
	}
	if p.doubt != "" {
		out = append(out, p.doubt)
	}
	if p.doubt == "" && p.stray > 1.6 {
		out = append(out, fmt.Sprintf("The points disagree by %.1f pixels, %.1f times what clicking explains: sizes are less certain.", p.rms, p.stray))
	}
	if p.few {
		out = append(out, "The scale lies along one line, so a tilt of the camera does not show: sizes across that line are less certain.")
	} else if p.tilt > 30 {
		out = append(out, fmt.Sprintf("The camera looked from the side, by %.0f degrees: sizes towards and away from it are less certain.", p.tilt))
	}
	if p.frame.mirror {
		out = append(out, "The photo looks mirrored: the scale's points run the other way round. Check their names.")
	}
	if p.assume {
		out = append(out, "Widths across the board are taken as the outline has them: check the nut's width on the instrument.")
	}
	if s := p.farFrom(mark); s != "" {
		out = append(out, s)
	}
	return out
}

// farFrom is a sentence where a mark lies so far from the scale that a
// millimetre there is known twice as badly as at the scale, and worse than to 0.7 %.
func (p *Plane) farFrom(mark []shape.Pt) string {
	if len(mark) == 0 {
		return ""
	}
	at := shape.RectAround(mark...).Center()
	if !at.Finite() || !p.Covers(at, Height{}) {
		return ""
	}
	here := p.grainAt(at)
	near, far := math.Inf(1), math.Inf(1)
	mm := p.ToMM(at, Height{})
	for i, q := range p.points {
		if !p.resid[i].Wild {
			near, far = min(near, p.grainAt(q.At)), min(far, shape.Dist(mm, p.ToMM(q.At, Height{})))
		}
	}
	if here < 0.007 || here < 2*near {
		return ""
	}
	return fmt.Sprintf("The mark lies %.2g mm from %s: sizes there are less certain.", far, kindWords[p.kind][1])
}

// grainAt is the relative standard deviation, over the cameras of the sample,
// of the area that a pixel covers; half of it is that of a length.
func (p *Plane) grainAt(px shape.Pt) float64 {
	var n, s, ss float64
	for k := range p.cams {
		c := &p.cams[k]
		o, ok := c.toMM(&p.frame, px, 0)
		a, _ := c.toMM(&p.frame, shape.Add(px, shape.Pt{X: 1}), 0)
		b, _ := c.toMM(&p.frame, shape.Add(px, shape.Pt{Y: 1}), 0)
		if v := math.Log(math.Abs(shape.Side(o, a, b))); ok && finite(v) {
			n, s, ss = n+1, s+v, ss+v*v
		}
	}
	if n < 2 {
		return math.Inf(1)
	}
	return math.Sqrt(max(0, ss/n-s*s/n/n)) / 2
}

// how says in words what a reading rests on.
func (p *Plane) how(hs []Height) string {
	s := "by " + kindWords[p.kind][1]
	v, u := 0.0, 0.0
	for _, h := range hs {
		v, u = v+h.Value/float64(len(hs)), max(u, h.Sigma)
	}
	word := "above"
	if v < 0 {
		word = "below"
	}
	switch {
	case math.Abs(v) < 0.5 && u < 0.5:
		return s
	case u < 0.5:
		return s + fmt.Sprintf(", %.0f mm %s it", math.Abs(v), word)
	}
	return s + fmt.Sprintf(", %.0f ± %.0f mm %s it", math.Abs(v), u, word)
}
