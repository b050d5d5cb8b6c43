package suggest

import (
	"fmt"
	"image"
	"os"
	"testing"

	"wornwood/annotate/shape"
)

func TestDemoDev(t *testing.T) {
	for _, c := range []struct {
		file string
		r    image.Rectangle
	}{
		{"close-checks.jpg", image.Rect(20, 20, 2380, 1400)},
		{"front.jpg", image.Rect(500, 220, 2360, 1830)},
		{"close-wear.jpg", image.Rect(200, 900, 700, 1590)},
		{"whole.jpg", image.Rect(500, 1500, 1500, 2900)},
		{"front.jpg", image.Rect(600, 1560, 1300, 1760)},
		{"back.jpg", image.Rect(450, 200, 2500, 1780)},
		{"close-buckle.jpg", image.Rect(100, 50, 2380, 1580)},
		{"head-front.jpg", image.Rect(100, 50, 2300, 1580)},
		{"board.jpg", image.Rect(100, 50, 2300, 1580)},
	} {
		img := readPicture(t, demoDir+"/"+c.file, "")
		r := c.r
		ring := []shape.Pt{{X: float64(r.Min.X), Y: float64(r.Min.Y)}, {X: float64(r.Max.X), Y: float64(r.Min.Y)}, {X: float64(r.Max.X), Y: float64(r.Max.Y)}, {X: float64(r.Min.X), Y: float64(r.Max.Y)}}
		res, err := Find(t.Context(), img, ring, Options{Sensitivity: 0.5})
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, g := range res.Ghosts {
			for _, q := range []shape.Pt{{X: 664.71, Y: 774.02}, {X: 1075.47, Y: 1694.03}, {X: 536.56, Y: 1008.96}, {X: 450.68, Y: 1282.08}, {X: 790.43, Y: 2722.51}, {X: 1337.91, Y: 2527.2}} {
				if g.Kind == Ding && shape.Dist(q, g.Points[0]) < 20 {
					fmt.Println("   ding", q, g)
				}
			}
			if g.Kind == Check {
				n++
			}
		}
		fmt.Println(c.file, n, "checks", len(res.Ghosts)-n, "dings")
		overlay(t, os.Getenv("WORNWOOD_PICTURES")+"/demo-"+c.file+".png", img, res.Ghosts, nil)
	}
}
