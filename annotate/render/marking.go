package render

import (
	"math"

	"wornwood/capture/record"
)

// flaws turns the list of marks into what the paint of each part needs.
type flaws struct {
	front, back *harm // body and head, by the side's own coordinates
	board       *harm
	chip        *chip
	worn        func(n int, x float64) float64 // depth of a fret's flat
}

func drawMarks(marks []Mark, body *field) flaws {
	var front, back, board []*flaw
	out := flaws{worn: func(int, float64) float64 { return 0 }}
	for i, m := range marks {
		ring := make([]pt, len(m.Points))
		for k, p := range m.Points {
			ring[k] = pt(p)
		}
		seed := uint64(100 * (i + 1))
		var fs []*flaw
		switch m.Kind {
		case "ding":
			open := m.Depth == record.IntoWood
			depth := 0.28
			if open {
				depth = 0.9
			}
			fs = []*flaw{ding(ring[0], m.Length/2, depth, open, seed)}
		case "wear-through":
			fs = []*flaw{rub(ring, seed)}
		case "finish check":
			fs = checks(ring, seed)
		case "scratch":
			fs = []*flaw{stroke(ring, 0.46, 0.06, 0.9, 0.1, seed)}
		case "buckle rash":
			fs = rash(ring, seed)
		case "fade":
			board = append(board, bleach(ring, 13, seed))
			continue
		case "chip":
			out.chip = edgeChip(ring[0], m.Length, body)
			continue
		case "fret wear":
			out.worn = flats(m.Pieces)
			continue
		}
		if m.Side == "back" {
			back = append(back, fs...)
		} else {
			front = append(front, fs...)
		}
	}
	out.front, out.back, out.board = newHarm(front), newHarm(back), newHarm(board)
	return out
}

// edgeChip breaks a piece of the given length along the grain off the rounded front edge at the
// outline's point nearest to p.
func edgeChip(p pt, size float64, body *field) *chip {
	gx, gy := body.slope(p.X, p.Y)
	d := body.at(p.X, p.Y)
	r := 0.3 * size // the grain draws a break out to more than twice its radius
	out := vec{gx, gy, 1}.unit()
	// The middle of the missing piece lies on the rounding, halfway up.
	edge := vec{p.X - gx*(d+bodyRound*0.29), p.Y - gy*(d+bodyRound*0.29), -bodyRound * 0.29}
	return &chip{at: edge.add(out.mul(r * 0.22)), r: r * 1.06, flat: out}
}

// crackStep is the length of one step along a crack, crackGap how near two
// cracks come before the younger stops, in mm.
const (
	crackStep = 1.2
	crackGap  = 2.2
)

// crazing grows cracks in an area of finish, one after the other.
type crazing struct {
	ring  []pt
	die   dice
	seed  uint64
	lines [][]pt
}

// checks are cracks of a finish: long lines across the grain that swerve
// together, as the wood under them pulls, with a few short ones between.
func checks(ring []pt, seed uint64) []*flaw {
	c := &crazing{ring: ring, die: newDice(int(seed), 3, seed), seed: seed}
	lo, hi := ringBox(ring)
	for x := lo.X + 3; x < hi.X; x += 4.5 + 5*c.die.next() {
		for y := lo.Y + 12*c.die.next(); y < hi.Y; y += 5 + 10*c.die.next() {
			p, n := pt{x + 2*(c.die.next()-0.5), y}, 12+int(52*c.die.next())
			y += c.grow(p, math.Pi/2, n)
		}
	}
	for range 14 {
		p := pt{lerp(lo.X, hi.X, c.die.next()), lerp(lo.Y, hi.Y, c.die.next())}
		c.grow(p, 0.35-0.7*c.die.next(), 4+int(6*c.die.next()))
	}
	out := make([]*flaw, len(c.lines))
	for i, l := range c.lines {
		out[i] = crackLine(l, seed+uint64(i))
	}
	return out
}

// grow walks one crack of up to n steps from p; it ends at the area's border
// and where it meets another. The answer is how far it got, in mm.
func (c *crazing) grow(p pt, home float64, n int) float64 {
	var line []pt
	stray := 0.0
	for range n {
		if ringDistance(c.ring, p) > -1 || c.meets(p) {
			break
		}
		line = append(line, p)
		stray = 0.8*stray + 0.22*(c.die.next()-0.5)
		s, k := math.Sincos(home + 0.32*noise2(p.X*0.035, p.Y*0.06, c.seed) + 0.22*noise2(p.X*0.2, p.Y*0.2, c.seed+1) + stray)
		p = pt{p.X + crackStep*k, p.Y + crackStep*s}
	}
	if len(line) > 4 {
		c.lines = append(c.lines, line)
	}
	return crackStep * float64(len(line))
}

func (c *crazing) meets(p pt) bool {
	for _, l := range c.lines {
		if d, _ := lineDistance(l, p); d < crackGap {
			return true
		}
	}
	return false
}

// rash is what a belt buckle does: short scratches, mostly one way, and pits.
func rash(ring []pt, seed uint64) []*flaw {
	lo, hi := ringBox(ring)
	die := newDice(int(seed), 5, seed)
	inside := func() (pt, bool) {
		p := pt{lerp(lo.X, hi.X, die.next()), lerp(lo.Y, hi.Y, die.next())}
		// The middle of the area took the most.
		d := ringDistance(ring, p)
		return p, d < -2-6*die.next()
	}
	var out []*flaw
	for i := range 420 {
		p, ok := inside()
		if !ok {
			continue
		}
		a := 1.25 + 0.5*(die.next()+die.next()-1)
		if i%6 == 0 {
			a += 1.1
		}
		l := 2 + 14*die.next()*die.next()
		bend := (die.next() - 0.5) * l * 0.25
		s, c := math.Sincos(a)
		end := pt{p.X + l*c, p.Y + l*s}
		if ringDistance(ring, end) > -1 {
			continue
		}
		mid := pt{(p.X+end.X)/2 - s*bend, (p.Y+end.Y)/2 + c*bend}
		deep := die.next()
		f := stroke([]pt{p, mid, end}, 0.18+0.75*deep*deep*deep, 0.02+0.05*deep, 0.5+0.4*die.next(), smooth(0.55, 0.9, deep), seed+uint64(i))
		out = append(out, grimy(f, 0.75*die.next()))
	}
	for i := range 22 {
		p, ok := inside()
		if ok {
			big := die.next()
			out = append(out, ding(p, 0.45+1.15*big*big, 0.12+0.2*big, i%3 == 0, seed+300+uint64(i)))
		}
	}
	out = append(out, dull(ring, 0.75, seed+500))
	return out
}

// flats are the worn spots of frets under the plain strings, deepest at the
// second fret.
func flats(pieces []int) func(int, float64) float64 {
	deep := map[int]float64{}
	for i, n := range pieces {
		deep[n] = 0.34 - 0.05*math.Abs(float64(i)-1)
	}
	return func(n int, x float64) float64 {
		d := deep[n]
		if d == 0 || x < -6 {
			return 0
		}
		w := 0.0
		for i := range 3 {
			c := 17.6 - 7.1*float64(i) + 0.12*float64(n)*(1-float64(i)*0.4)
			q := (x - c) / 1.9
			w += d * (1 - 0.2*float64(i)) * math.Exp(-q*q*q*q)
		}
		return w
	}
}
