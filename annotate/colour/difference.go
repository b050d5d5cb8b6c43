package colour

import "math"

// DEab is the CIELAB colour difference dE*ab, the distance of two colours.
func DEab(p, q Lab) float64 {
	return math.Sqrt((p.L-q.L)*(p.L-q.L) + (p.A-q.A)*(p.A-q.A) + (p.B-q.B)*(p.B-q.B))
}

// DE2000 is the CIEDE2000 colour difference with all weights 1, after Sharma,
// Wu and Dalal, Color Res. Appl. 30(1), 2005, equations 2 to 22.
func DE2000(p, q Lab) float64 {
	const pow25to7 = 6103515625.0
	mean7 := math.Pow((p.Chroma()+q.Chroma())/2, 7)
	g := 0.5 * (1 - math.Sqrt(mean7/(mean7+pow25to7)))
	a1, a2 := (1+g)*p.A, (1+g)*q.A
	c1, c2 := math.Hypot(a1, p.B), math.Hypot(a2, q.B)
	h1, h2 := hue(p.B, a1), hue(q.B, a2)

	dh, h := h2-h1, h1+h2
	switch {
	case c1*c2 == 0: // one of them has no hue
		dh = 0
	case math.Abs(h1-h2) <= 180:
		h /= 2
	case h < 360:
		h = (h + 360) / 2
	default:
		h = (h - 360) / 2
	}
	if dh > 180 {
		dh -= 360
	} else if dh < -180 {
		dh += 360
	}
	l, c := (p.L+q.L)/2, (c1+c2)/2
	dL, dC, dH := q.L-p.L, c2-c1, 2*math.Sqrt(c1*c2)*sin(dh/2)

	t := 1 - 0.17*cos(h-30) + 0.24*cos(2*h) + 0.32*cos(3*h+6) - 0.20*cos(4*h-63)
	away := (l - 50) * (l - 50)
	sL := 1 + 0.015*away/math.Sqrt(20+away)
	sC, sH := 1+0.045*c, 1+0.015*c*t
	c7 := math.Pow(c, 7)
	turn := 30 * math.Exp(-((h-275)/25)*((h-275)/25))
	rT := -sin(2*turn) * 2 * math.Sqrt(c7/(c7+pow25to7))
	dL, dC, dH = dL/sL, dC/sC, dH/sH
	return math.Sqrt(max(0, dL*dL+dC*dC+dH*dH+rT*dC*dH))
}

// hue is the angle in degrees, 0 up to 360.
func hue(b, a float64) float64 {
	h := math.Atan2(b, a) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

func sin(degrees float64) float64 { return math.Sin(degrees * math.Pi / 180) }
func cos(degrees float64) float64 { return math.Cos(degrees * math.Pi / 180) }
