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
	for i, d := range []float64{4, -6, 10} {
		add(fmt.Sprintf("alike%d", i), 2, func(rnd *rand.Rand) backdrop { return plain(w, h, s.near(d+3*rnd.Float64())) })
	}
	add("dark", 2, func(rnd *rand.Rand) backdrop { return graded(w, h, s.near(-30), rnd) })
	add("alike cloth", 2, func(rnd *rand.Rand) backdrop { return fabric(w, h, s.near(12), rnd) })
	add("noise", 45, func(rnd *rand.Rand) backdrop { return plain(w, h, s.near(35)) })
	add("planks", 2, func(rnd *rand.Rand) backdrop { return planks(w, h, oak, rnd) })
	add("planks alike", 2, func(rnd *rand.Rand) backdrop { return planks(w, h, s.near(0), rnd) })
	add("stripes", 2, func(rnd *rand.Rand) backdrop { return stripes(w, h, light, s.near(10), rnd) })
	add("clutter", 2, func(rnd *rand.Rand) backdrop { return clutter(w, h, rnd) })
	return out
}

// What the judgement is worth, on compositions it was not set on: of the
// silhouettes under 0.90 how many are flagged, and of those of at least 0.95 how
// many are flagged for nothing.
func TestBadBackdropsAreFlagged(t *testing.T) {
	var poor, hit, good, alarm, between int
	for _, s := range stamps(t, 360, 540) {
		shots := badly(s, 11)
		for _, kind := range []string{"fabric", "shadowed"} {
			shots = append(shots, sound(s, kind, 11)...)
		}
		for _, c := range shots {
			score, reliable, g := scoreOf(t, c)
			switch {
			case score < 0.90:
				poor++
				if !reliable {
					hit++
				} else {
					t.Logf("missed: %s %.3f %+v", c.name, score, g)
				}
			case score >= 0.95:
				good++
				if !reliable {
					alarm++
					t.Logf("false alarm: %s %.3f %+v", c.name, score, g)
				}
			default:
				between++
				t.Logf("between: %s %.3f reliable %v", c.name, score, reliable)
			}
		}
	}
	t.Logf("flagged %d of %d under 0.90; false alarms %d of %d at 0.95 and over; %d between", hit, poor, alarm, good, between)
	if poor < 15 {
		t.Fatalf("only %d of the bad compositions are under 0.90: they prove nothing", poor)
	}
	if float64(hit) < 0.95*float64(poor) {
		t.Errorf("flagged %d of %d silhouettes under 0.90", hit, poor)
	}
	if float64(alarm) > 0.06*float64(good) {
		t.Errorf("flagged %d of %d silhouettes of 0.95 and over", alarm, good)
	}
}
