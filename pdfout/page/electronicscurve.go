package page

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/circuit"
	"wornwood/annotate/shape"
	"wornwood/pdfout/paint"
)

// curveDashes tell the lines apart in black and white, mm on and off.
var curveDashes = [][]float64{nil, {2.4, 1.2}, {0.5, 1.0}, {3.2, 1, 0.5, 1}}

// Measures of the curve on paper, mm, and its axes.
const (
	curveTall  = 44.0
	curveLabel = 13.0 // for the dB at the left
	stepDB     = 6.0
	deepestDB  = 36.0 // below the highest level nothing is drawn
)

// responses draws what the passive circuit of each pickup lets through, its
// controls at 10. A pickup of which nothing was measured gets no line: a curve
// of usual values alone would say nothing of this instrument.
func (l *layout) responses() {
	all, _ := circuit.FromRecord(l.r.Record)
	var chains []circuit.Chain
	for _, c := range all {
		if len(c.Sources) == 1 && l.measuredSource(c.Sources[0]) && len(chains) < len(curveDashes) {
			chains = append(chains, c)
		}
	}
	if len(chains) == 0 {
		return
	}
	var sentences, assumed []string
	for _, c := range chains {
		sentences = append(sentences, l.say("curve.line", upper(l.usuallyPhrase("componentPlace", c.Name)), l.phrase("circuit", c.Words())))
		for _, a := range c.Assumed {
			if a = l.phrase("assumed", a); !contains(assumed, a) {
				assumed = append(assumed, a)
			}
		}
	}
	text := strings.Join(sentences, ". ") + "."
	l.y += 3
	l.label(l.say("curve.title"), curveTall+14)
	l.d.Figure(l.say("curve.alt", text), l.left, l.y, measure, curveTall+9, func() { l.curve(chains) })
	l.y += curveTall + 11.5
	l.para(l.left, measure, text, textFont, paint.Black)
	note := l.say("curve.note")
	if len(assumed) > 0 {
		note += " " + l.say("curve.assumed", clean(strings.Join(assumed, "; ")))
	}
	l.y += 1
	l.para(l.left, measure, note, smallFont, paint.Dim)
}

// measuredSource tells whether a chain's pickup stands for a measured one.
func (l *layout) measuredSource(s circuit.Source) bool {
	for _, c := range l.r.Record.Components {
		if c.Pickup == nil {
			continue
		}
		if q := c.Pickup.Resistance; q != nil && math.Abs(q.Value*1e3/s.Pickup.Resistance-1) < 1e-9 {
			return true
		}
		if q := c.Pickup.Inductance; q != nil && math.Abs(q.Value/s.Pickup.Inductance-1) < 1e-9 {
			return true
		}
	}
	return false
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// curve draws axes and lines from the cursor down.
func (l *layout) curve(chains []circuit.Chain) {
	hz := circuit.Frequencies(200)
	lines, zero := make([][]float64, len(chains)), make([]float64, len(chains))
	high := 0.0
	for i, c := range chains {
		lines[i] = c.Response(hz)
		zero[i] = lines[i][0]
		for _, v := range lines[i] {
			high = max(high, v-zero[i])
		}
	}
	high = stepDB * math.Ceil(high/stepDB)
	low := high - deepestDB
	x0, w := l.left+curveLabel, measure-curveLabel-4
	y0 := l.y + 5
	xAt := func(f float64) float64 {
		return x0 + w*math.Log(f/circuit.Lowest)/math.Log(circuit.Highest/circuit.Lowest)
	}
	yAt := func(dB float64) float64 { return y0 + curveTall*(high-dB)/(high-low) }
	for dB := low; dB <= high+0.01; dB += stepDB {
		ink := paint.Hair
		if dB == 0 {
			ink = paint.Dim
		}
		l.d.Line(x0, yAt(dB), x0+w, yAt(dB), 0.35, ink)
		l.d.Right(x0-1.5, yAt(dB)+0.9, levelText(dB), smallFont, paint.Dim)
	}
	for _, f := range []float64{20, 50, 100, 200, 500, 1000, 2000, 5000, 10000, 20000} {
		l.d.Line(xAt(f), y0, xAt(f), y0+curveTall, 0.35, paint.Hair)
		l.d.Centre(xAt(f), y0+curveTall+3.4, hertzText(f), smallFont, paint.Dim)
	}
	for i := range chains {
		var p shape.Path
		down := false
		for k, f := range hz {
			v := lines[i][k] - zero[i]
			if v < low {
				if down { // the line ends on the lower edge
					t := (lines[i][k-1] - zero[i] - low) / (lines[i][k-1] - lines[i][k])
					p.LineTo(shape.Pt{X: xAt(hz[k-1]) + t*(xAt(f)-xAt(hz[k-1])), Y: yAt(low)})
				}
				down = false
				continue
			}
			if at := (shape.Pt{X: xAt(f), Y: yAt(v)}); down {
				p.LineTo(at)
			} else {
				p.MoveTo(at)
			}
			down = true
		}
		black := paint.Black
		l.d.Path(p, paint.Pen{Stroke: &black, Width: 1, Dash: curveDashes[i], Butt: true})
	}
	l.legend(chains, x0)
}

// legend names the lines above the curve.
func (l *layout) legend(chains []circuit.Chain, x float64) {
	black := paint.Black
	for i, c := range chains {
		var p shape.Path
		p.MoveTo(shape.Pt{X: x, Y: l.y + 1.4})
		p.LineTo(shape.Pt{X: x + 11, Y: l.y + 1.4})
		l.d.Path(p, paint.Pen{Stroke: &black, Width: 1, Dash: curveDashes[i], Butt: true})
		name, f := paint.Fit(upper(l.say("curve.legend", l.usuallyPhrase("componentPlace", c.Name))), smallFont, 26, 5)
		l.d.Text(x+12.5, l.y+2.3, name, f, paint.Black)
		x += 42
	}
}

func levelText(dB float64) string {
	switch {
	case dB > 0:
		return fmt.Sprintf("+%.0f dB", dB)
	case dB < 0:
		return fmt.Sprintf("−%.0f dB", -dB)
	}
	return "0 dB"
}

func hertzText(f float64) string {
	if f >= 1000 {
		return fmt.Sprintf("%.0f kHz", f/1000)
	}
	return fmt.Sprintf("%.0f Hz", f)
}
