package trace

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// badly lays an instrument on backdrops that no one should use, small.
func badly(s *stamp, seed uint64) []shot {
	w, h := s.w, s.h
	var out []shot
	add := func(what string, noise float64, make func(rnd *rand.Rand) backdrop) {
		rnd := rand.New(rand.NewPCG(seed, uint64(len(out))+uint64(len(s.name))<<8))
		out = append(out, shot{fmt.Sprintf("%s-%s", s.name, what), s.over(make(rnd), noise, rnd), s.truth()})
	}
	for i, d := range []float64{4, -6, 10, 16} {
		add(fmt.Sprintf("alike%d", i), 2, func(rnd *rand.Rand) backdrop { return plain(w, h, s.near(d+3*rnd.Float64())) })
	}
	add("dark", 2, func(rnd *rand.Rand) backdrop { return graded(w, h, s.near(-30), rnd) })
	add("alike cloth", 2, func(rnd *rand.Rand) backdrop { return fabric(w, h, s.near(12), rnd) })
	add("noise", 45, func(rnd *rand.Rand) backdrop { return plain(w, h, s.near(35)) })
	add("planks", 2, func(rnd *rand.Rand) backdrop { return planks(w, h, oak, rnd) })
	add("planks alike", 2, func(rnd *rand.Rand) backdrop { return planks(w, h, s.near(0), rnd) })
	add("stripes", 2, func(rnd *rand.Rand) backdrop { return stripes(w, h, light, s.near(10), rnd) })
	add("clutter", 2, func(rnd *rand.Rand) backdrop { return clutter(w, h, rnd) })
	add("heap", 2, func(rnd *rand.Rand) backdrop { return clutter(w, h, rnd) })
	return out
}

func TestBadBackdropsDev(t *testing.T) {
	for _, s := range stamps(t, 533, 800) {
		for _, c := range badly(s, 7) {
			score, reliable, g := scoreOf(t, c)
			mark := "  "
			if score < 0.9 && reliable {
				mark = "!!"
			} else if score > 0.95 && !reliable {
				mark = "??"
			}
			fmt.Printf("%s %-34s %.3f %-5v %+v\n", mark, c.name, score, reliable, g)
		}
		for _, k := range []string{"plain", "graded", "fabric", "shadowed"} {
			for _, c := range sound(s, k, 7) {
				score, reliable, g := scoreOf(t, c)
				mark := "  "
				if score < 0.9 && reliable {
					mark = "!!"
				} else if score > 0.95 && !reliable {
					mark = "??"
				}
				fmt.Printf("%s %-34s %.3f %-5v %+v\n", mark, c.name, score, reliable, g)
			}
		}
	}
}
