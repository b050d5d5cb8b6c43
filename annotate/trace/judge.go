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

// words are the sentences about the figures, and whether the silhouette can be relied on.
func (g *Figures) words(what side) (reliable bool, say []string) {
	reliable = true
	bad := func(unless bool, format string, a ...any) {
		say = append(say, fmt.Sprintf(format, a...))
		reliable = reliable && unless
	}
	percent := func(v float64) int { return int(math.Round(100 * v)) }
	if g.Alike > someAlike {
		like := "of almost the same colour as"
		switch {
		case 2*what.dark > what.n:
			like = "as dark as"
		case 2*what.light > what.n:
			like = "as light as"
		}
		bad(g.Alike < badAlike, "The backdrop is %s the instrument along %d %% of its edge; correct the edge there by hand, or photograph it on another backdrop.", like, percent(g.Alike))
	}
	if g.Shaky > badShaky || g.Drowned > badDrowned {
		bad(false, "Much of the instrument looks like the backdrop, %d %% of it could be either; look along the whole edge, or photograph it on another backdrop.", percent(max(g.Shaky, g.Drowned)))
	}
	if g.Strays > badStrays {
		bad(false, "The photo's border shows more than one backdrop (%d %% of it does not fit); clear away what lies around, or photograph it on plain paper or cloth.", percent(g.Strays))
	}
	if g.Rough > badRough {
		bad(false, "The backdrop is strongly patterned or the photo is noisy; use plain paper or cloth and more light.")
	}
	if g.Frame > someFrame {
		bad(g.Frame < badFrame, "The instrument runs out of the photo along %d %% of its edge; that part of the outline is the photo's border.", percent(g.Frame))
	}
	if g.Beside > someBeside {
		bad(g.Beside < badBeside, "Something of %d %% of the instrument's size lies apart from it and was left out; paint it in if it belongs to it.", percent(g.Beside))
	}
	if g.Joined > badJoined {
		bad(false, "The instrument came out in pieces, which were joined; look at the joints.")
	}
	if g.Area < leastArea || g.Area > mostArea {
		bad(false, "The outline covers %.1f %% of the photo, which is hardly an instrument on a backdrop; fill half of the photo with it and leave backdrop all round.", 100*g.Area)
	}
	return reliable, say
}

// Limits of the figures. Those named bad were set so that compositions made to
// fail were told from sound ones; the test of this package states how well on others.
const (
	someAlike  = 0.05
	badAlike   = 0.12
	badShaky   = 0.10
	badDrowned = 0.12
	badStrays  = 0.30
	badRough   = 20
	someFrame  = 0.005
	badFrame   = 0.08
	someBeside = 0.04
	badBeside  = 0.12
	badJoined  = 0.12
	leastArea  = 0.02
	mostArea   = 0.75
)
