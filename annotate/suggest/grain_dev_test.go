package suggest

import (
	"fmt"
	"slices"
	"testing"
)

func TestGrainDev(t *testing.T) {
	for i, s := range surfaces {
		base, ring := s.picture(t)
		for _, c := range []float64{0.001, 0.4} {
			img, _ := paintMarks(t, base, ring, c, uint64(i+1))
			g, err := prepare(img, ring, Options{})
			if err != nil {
				t.Fatal(err)
			}
			p, in, step := g.log, g.inside, 1.0
			for range 2 {
				r, _ := findRidges(t.Context(), p, in, step)
				var an, mx, md []float64
				for b := 0; b < len(r.ground.level); b += directions {
					l := slices.Clone(r.ground.level[b:][:directions])
					slices.Sort(l)
					an = append(an, float64(l[15]/l[8]))
					mx = append(mx, float64(l[15]))
					md = append(md, float64(l[8]))
				}
				slices.Sort(an)
				slices.Sort(mx)
				slices.Sort(md)
				n := len(an)
				fmt.Printf("%-34s %.2f step %.0f anis q25 %.2f q50 %.2f q75 %.2f | max %.4f %.4f %.4f | med %.4f %.4f\n", s.name, c, step, an[n/4], an[n/2], an[3*n/4], mx[n/4], mx[n/2], mx[3*n/4], md[n/2], md[3*n/4])
				in = halvedMask(in, p.w, p.h)
				p = p.halved()
				step *= 2
			}
			e, _ := energyOf(t.Context(), g.log, 1.4)
			l := pitLevels(e, g.inside)
			v := slices.Clone(l.v)
			slices.Sort(v)
			fmt.Printf("   pits %.4f %.4f %.4f\n", v[len(v)/4], v[len(v)/2], v[3*len(v)/4])
		}
	}
}
