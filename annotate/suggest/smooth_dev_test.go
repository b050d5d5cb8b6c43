package suggest

import (
	"fmt"
	"math"
	"testing"
	"image"

	"wornwood/annotate/shape"
)

func quadRes(pts []shape.Pt) float64 {
	// rotate to chord, fit y = a+bx+cx2
	a, b := pts[0], pts[len(pts)-1]
	l := shape.Dist(a, b)
	if l < 1 {
		return 99
	}
	cx, sx := (b.X-a.X)/l, (b.Y-a.Y)/l
	var S [5]float64
	var T [3]float64
	var xs, ys []float64
	for _, p := range pts {
		d := shape.Sub(p, a)
		x, y := (d.X*cx+d.Y*sx)/l*2-1, -d.X*sx+d.Y*cx
		xs, ys = append(xs, x), append(ys, y)
		f := 1.0
		for k := range S {
			S[k] += f
			if k < 3 {
				T[k] += f * y
			}
			f *= x
		}
	}
	m := [3][4]float64{{S[0], S[1], S[2], T[0]}, {S[1], S[2], S[3], T[1]}, {S[2], S[3], S[4], T[2]}}
	for i := range 3 {
		for j := i + 1; j < 3; j++ {
			f := m[j][i] / m[i][i]
			for k := range 4 {
				m[j][k] -= f * m[i][k]
			}
		}
	}
	c2 := m[2][3] / m[2][2]
	c1 := (m[1][3] - m[1][2]*c2) / m[1][1]
	c0 := (m[0][3] - m[0][1]*c1 - m[0][2]*c2) / m[0][0]
	s := 0.0
	for i := range xs {
		s += sq(ys[i] - c0 - c1*xs[i] - c2*xs[i]*xs[i])
	}
	return math.Sqrt(s / float64(len(xs)))
}

func windows(pts []shape.Pt, n int) (out []float64) {
	for i := 0; i+n <= len(pts); i += n / 2 {
		out = append(out, quadRes(pts[i:i+n]))
	}
	return
}

func TestSmoothDev(t *testing.T) {
	show := func(tag string, gh []Ghost, near func(g Ghost) bool) {
		for _, g := range gh {
			if g.Kind == Check && len(g.Points) >= 100 && near(g) {
				w := windows(g.Points, 100)
				mx, mn := 0.0, 99.0
				for _, v := range w {
					mx, mn = max(mx, v), min(mn, v)
				}
				fmt.Printf("%s len %d n %d min %.2f max %.2f con %.2f\n", tag, len(g.Points), len(w), mn, mx, g.Contrast)
			}
		}
	}
	for i, s := range surfaces[:6] {
		base, ring := s.picture(t)
		img, _ := paintMarks(t, base, ring, 0.25, uint64(i+1))
		res, _ := Find(t.Context(), img, ring, Options{Sensitivity: 0.5})
		show("P", res.Ghosts, func(Ghost) bool { return true })
	}
	for _, c := range []struct {
		file string
		r    image.Rectangle
	}{
		{"close-checks.jpg", image.Rect(1000, 500, 2050, 1250)},
		{"front.jpg", image.Rect(620, 1000, 900, 1420)},
		{"front.jpg", image.Rect(1100, 800, 2000, 1200)},
		{"back.jpg", image.Rect(700, 1500, 2500, 1850)},
	} {
		img := readPicture(t, demoDir+"/"+c.file, "")
		r := c.r
		ring := []shape.Pt{{X: float64(r.Min.X), Y: float64(r.Min.Y)}, {X: float64(r.Max.X), Y: float64(r.Min.Y)}, {X: float64(r.Max.X), Y: float64(r.Max.Y)}, {X: float64(r.Min.X), Y: float64(r.Max.Y)}}
		res, _ := Find(t.Context(), img, ring, Options{Sensitivity: 0.5})
		show(c.file, res.Ghosts, func(Ghost) bool { return true })
	}
}
