package trace

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
)

// Figures are what the judgement of a silhouette rests on. Shares run from 0 to 1.
type Figures struct {
	Alike   float64 // share of the edge along which the backdrop has almost the instrument's colour
	Frame   float64 // share of the edge that lies on the photo's border
	Shaky   float64 // share of the instrument that a small change of evidence adds or takes away
	Drowned float64 // share of the instrument whose colour by itself looks more like backdrop
	Strays  float64 // share of the photo's border that is not backdrop
	Rough   float64 // usual step of colour within the backdrop, dE*ab over two pixels as worked on
	Area    float64 // share of the photo that is instrument
	Beside  float64 // largest thing left out that is no card, of the instrument's area
	Joined  float64 // pieces that were joined to the largest, of its area
	Cards   int     // rectangles left out
}

// side is what the backdrop looks like where it is alike.
type side struct{ dark, light, n int }

// judge measures the figures along the ring, which is in pixels of the working
// picture.
func (f *found) judge(ring []shape.Pt) (Figures, side) {
	s := f.scene
	g := Figures{Shaky: f.shaky, Drowned: f.drowned, Strays: s.back.strays, Rough: s.rough,
		Area: float64(count(f.mask)) / float64(len(f.mask)), Beside: f.sort.beside, Joined: f.sort.joined, Cards: f.sort.cards}
	alike, framed, n := 0, 0, 0
	var what side
	w, h := float64(f.pic.w), float64(f.pic.h)
	const step = 2
	for i := 0; i < len(ring); i += step {
		p := ring[i]
		n++
		if p.X < 2 || p.Y < 2 || p.X > w-2 || p.Y > h-2 {
			framed++
			continue
		}
		d := direction(ring, i)
		a := f.strip(p, d, shape.Pt{X: -d.Y, Y: d.X})
		b := f.strip(p, d, shape.Pt{X: d.Y, Y: -d.X})
		if float64(a.dist2(b)) < math.Pow(alikeStep+alikeRough*s.rough, 2) {
			alike++
			switch l := (a.L + b.L) / 2; {
			case l < 35:
				what.dark++
			case l > 75:
				what.light++
			}
		}
	}
	what.n = alike
	g.Alike, g.Frame = float64(alike)/float64(max(1, n)), float64(framed)/float64(max(1, n))
	return g, what
}

// A step in colour across the edge counts as none below this: units of CIELAB,
// and so many times the usual step within the backdrop.
const (
	alikeStep  = 6.0
	alikeRough = 0.5
)

// strip is the mean colour of a patch beside the ring, away from p along the
// direction to, and as long as that along d.
func (f *found) strip(p, d, to shape.Pt) lab {
	var sum lab
	n := float32(0)
	for out := 2.0; out <= 5; out++ {
		for along := -3.0; along <= 3; along += 1.5 {
			x := int(p.X + to.X*out + d.X*along)
			y := int(p.Y + to.Y*out + d.Y*along)
			if x >= 0 && y >= 0 && x < f.pic.w && y < f.pic.h {
				sum = sum.add(f.pic.at(x, y))
				n++
			}
		}
	}
	return sum.mul(1 / max(n, 1))
}

// words are the sentences about the figures, and whether the silhouette can be
// relied on.
func (g *Figures) words(what side) (reliable bool, say []string) {
	reliable = true
	note := func(bad bool, format string, a ...any) {
		say = append(say, fmt.Sprintf(format, a...))
		reliable = reliable && !bad
	}
	percent := func(v float64) int { return int(math.Round(100 * v)) }
	risky := g.Alike/badAlike+g.Shaky/badShaky > 1
	if g.Alike > someAlike {
		note(risky, "The backdrop is %s the instrument along %d %% of its edge; look there, and trace by hand or photograph it on another backdrop.", what.word(), percent(g.Alike))
	}
	if g.Shaky > someShaky || risky && g.Alike <= someAlike {
		note(risky, "About %d %% of the instrument could as well be backdrop by its colour; look along the whole edge, or photograph it on another backdrop.", percent(min(1, g.Shaky)))
	}
	if g.Strays > badStrays {
		note(true, "The photo's border shows more than one backdrop, %d %% of it does not fit; clear away what lies around, or use plain paper or cloth.", percent(g.Strays))
	}
	if g.Rough > badRough {
		note(true, "The backdrop is strongly patterned or the photo is full of noise; use plain paper or cloth, and more light.")
	}
	if g.Frame > someFrame {
		note(g.Frame > badFrame, "The instrument runs out of the photo along %d %% of its edge; there the outline is the photo's border.", percent(g.Frame))
	}
	if g.Beside > someBeside {
		note(g.Beside > badBeside, "Something of %d %% of the instrument's size lies apart from it and was left out; paint it in if it belongs to it.", percent(g.Beside))
	}
	if g.Joined > badJoined {
		note(true, "The instrument came out in pieces, which were joined; look at the joints.")
	}
	if g.Area < leastArea || g.Area > mostArea {
		note(true, "The outline covers %d %% of the photo, which is hardly an instrument on a backdrop; let it fill half of the photo, with backdrop all round.", percent(g.Area))
	}
	return reliable, say
}

// word says in what backdrop and instrument are alike.
func (s side) word() string {
	switch {
	case 2*s.dark > s.n:
		return "as dark as"
	case 2*s.light > s.n:
		return "as light as"
	}
	return "of almost the same colour as"
}

// Limits of the figures. From those named some on there is a sentence, beyond
// those named bad the silhouette is not relied on. badAlike and badShaky are where either alone
// is too much; their shares are added. They were set on one set of compositions made
// to fail; the test of this package says how well they do on others.
const (
	someAlike  = 0.05
	badAlike   = 0.45
	someShaky  = 0.06
	badShaky   = 0.13
	badStrays  = 0.30
	badRough   = 20
	someFrame  = 0.005
	badFrame   = 0.08
	someBeside = 0.02
	badBeside  = 0.03
	badJoined  = 0.15
	leastArea  = 0.02
	mostArea   = 0.75
)
