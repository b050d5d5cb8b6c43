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
			fs = []*flaw{stroke(ring, 0.42, 0.05, 0.75, 0.1, seed)}
		case "buckle rash":
			fs = rash(ring, seed)
		case "fade":
			board = append(board, bleach(ring, 9, seed))
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

// edgeChip breaks a piece of the given size off the rounded front edge at the
// outline's point nearest to p.
func edgeChip(p pt, size float64, body *field) *chip {
	gx, gy := body.slope(p.X, p.Y)
	d := body.at(p.X, p.Y)
	r := size / 2
	out := vec{gx, gy, 1}.unit()
	// The middle of the missing piece lies on the rounding, halfway up.
	edge := vec{p.X - gx*(d+bodyRound*0.29), p.Y - gy*(d+bodyRound*0.29), -bodyRound * 0.29}
	return &chip{at: edge.add(out.mul(r * 0.22)), r: r * 1.06, flat: out}
}

// checks are cracks of a finish: long wandering lines across the grain with
// short branches, none leaving the ring.
func checks(ring []pt, seed uint64) []*flaw {
	lo, hi := ringBox(ring)
	die := newDice(int(seed), 3, seed)
	var out []*flaw
	for x := lo.X + 4; x < hi.X; x += 5 + 6*die.next() {
		out = append(out, checkFrom(ring, pt{x, lo.Y - 5}, math.Pi/2+0.09*(die.next()-0.5), hi.Y-lo.Y+10, &die, 2)...)
	}
	return out
}

// checkFrom walks one crack; a crack breaks off and goes on as cracks do.
func checkFrom(ring []pt, p pt, angle, length float64, die *dice, branches int) []*flaw {
	var out []*flaw
	var line []pt
	flush := func() {
		if len(line) > 5 {
			out = append(out, crackLine(line, uint64(len(line))+uint64(1000*die.next())))
		}
		line = nil
	}
	home := angle
	for walked := 0.0; walked < length; walked += 1.2 {
		angle += 0.34*(die.next()-0.5) - 0.10*(angle-home)
		p = pt{p.X + 1.2*math.Cos(angle), p.Y + 1.2*math.Sin(angle)}
		if ringDistance(ring, p) > -1 {
			flush()
			continue
		}
		line = append(line, p)
		if len(line) > 9 && die.next() < 0.03 {
			flush()
			walked += 9
			p = pt{p.X + (die.next()-0.5)*4, p.Y + 8*math.Sin(angle)}
		}
		if branches > 0 && die.next() < 0.022 {
			turn := 0.6 + 0.5*die.next()
			if die.next() < 0.5 {
				turn = -turn
			}
			out = append(out, checkFrom(ring, p, angle+turn, 8+16*die.next(), die, branches-1)...)
		}
	}
	flush()
	return out
}

// rash is what a belt buckle does: short scratches, mostly one way, and pits.
func rash(ring []pt, seed uint64) []*flaw {
	lo, hi := ringBox(ring)
	die := newDice(int(seed), 5, seed)
	inside := func() (pt, bool) {
		// The middle of the area took the most.
		x := (die.next() + die.next()) / 2
		y := (die.next() + die.next()) / 2
		p := pt{lerp(lo.X, hi.X, x), lerp(lo.Y, hi.Y, y)}
		return p, ringDistance(ring, p) < -2
	}
	var out []*flaw
	for i := range 190 {
		p, ok := inside()
		if !ok {
			continue
		}
		a := 1.25 + 0.5*(die.next()+die.next()-1)
		if i%6 == 0 {
			a += 1.1
		}
		l := 2 + 13*die.next()*die.next()
		bend := (die.next() - 0.5) * l * 0.25
		s, c := math.Sincos(a)
		end := pt{p.X + l*c, p.Y + l*s}
		if ringDistance(ring, end) > -1 {
			continue
		}
		mid := pt{(p.X+end.X)/2 - s*bend, (p.Y+end.Y)/2 + c*bend}
		deep := die.next()
		out = append(out, stroke([]pt{p, mid, end}, 0.14+0.5*deep*deep*deep, 0.02+0.05*deep, 0.3+0.3*die.next(), smooth(0.6, 0.95, deep), seed+uint64(i)))
	}
	for i := range 16 {
		p, ok := inside()
		if ok {
			big := die.next()
			out = append(out, ding(p, 0.4+1.0*big*big, 0.12+0.2*big, i%4 == 0, seed+300+uint64(i)))
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
