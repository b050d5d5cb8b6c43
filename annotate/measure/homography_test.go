package measure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/shape"
)

func pairs(pts []shape.Pt) [][2]float64 {
	out := make([][2]float64, len(pts))
	for i, p := range pts {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}

// view is a random view of points of a plane.
type view struct {
	plane, photo, exact []shape.Pt // photo is exact with noise
	checks, truth       []shape.Pt // other points of the plane and where they appear
	wild                []bool
}

func randomView(r *rand.Rand, n int, noise float64) view {
	s := every.takePhoto(r, shape.Pt{X: 50, Y: 40}, 4+12*r.Float64())
	s.k1 = 0
	var v view
	place := func() shape.Pt { return shape.Pt{X: 120 * r.Float64(), Y: 90 * r.Float64()} }
	for len(v.plane) < n {
		p := place()
		if len(v.plane) < 4 { // the first four apart, so that the view is settled
			p = [4]shape.Pt{{}, {X: 120}, {X: 120, Y: 90}, {Y: 90}}[len(v.plane)]
			p = shape.Add(p, shape.Pt{X: 20 * (r.Float64() - 0.5), Y: 20 * (r.Float64() - 0.5)})
		}
		q := s.see(p, 0)
		v.plane, v.exact = append(v.plane, p), append(v.exact, q)
		v.photo = append(v.photo, shape.Add(q, shape.Pt{X: noise * r.NormFloat64(), Y: noise * r.NormFloat64()}))
	}
	for range 10 {
		p := place()
		v.checks, v.truth = append(v.checks, p), append(v.truth, s.see(p, 0))
	}
	v.wild = make([]bool, n)
	return v
}

// apart is the largest distance between where two maps send points.
func apart(g, h [9]float64, pts []shape.Pt) float64 {
	far := 0.0
	for _, p := range pts {
		a, _ := Project(g, p)
		b, _ := Project(h, p)
		far = math.Max(far, shape.Dist(a, b))
	}
	return far
}

func rmsOff(h [9]float64, plane, photo []shape.Pt, use func(int) bool) float64 {
	s, n := 0.0, 0.0
	for i := range plane {
		if use == nil || use(i) {
			q, _ := Project(h, plane[i])
			s, n = s+math.Pow(shape.Dist(q, photo[i]), 2), n+1
		}
	}
	return math.Sqrt(s / n)
}

// Source: findHomography of OpenCV, on 1000 random views: half without noise, where the
// two must agree to a millionth of the picture, half with, where ours must not lie
// further from the clicks than its refined result.
func TestHomographyAgainstOpenCV(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var q question
	var views []view
	for i := range 1000 {
		noise := 0.0
		if i%2 == 1 {
			noise = 0.2 + 2*r.Float64()
		}
		v := randomView(r, 4+r.IntN(27), noise)
		views = append(views, v)
		q.Homographies = append(q.Homographies, homographyProblem{Plane: pairs(v.plane), Photo: pairs(v.photo)})
	}
	a := askPeers(t, q)
	worst, better, rel := 0.0, 0, 0.0
	for i, v := range views {
		h, err := Homography(v.plane, v.photo)
		if err != nil {
			t.Fatalf("view %d: %v", i, err)
		}
		peer := a.Homographies[i].H
		if i%2 == 0 {
			d := apart(h, peer, v.checks) / 6000
			worst = math.Max(worst, d)
			if e := rmsOff(h, v.checks, v.truth, nil) / 6000; d > 1e-6 || e > 1e-9 {
				t.Errorf("view %d without noise: %.2g of the picture from OpenCV's, %.2g from the truth", i, d, e)
			}
			continue
		}
		ours, theirs := rmsOff(h, v.plane, v.photo, nil), rmsOff(peer, v.plane, v.photo, nil)
		if len(v.plane) > 4 {
			rel = math.Max(rel, ours/theirs-1)
		}
		if ours > theirs*(1+1e-7)+1e-7 {
			t.Errorf("view %d, %d points: %.9f px off, OpenCV %.9f", i, len(v.plane), ours, theirs)
		}
		if ours < theirs*(1-1e-9) {
			better++
		}
	}
	t.Logf("OpenCV %s: without noise at most %.1g of the picture apart; with noise at most %.1g of the residual worse, better in %d of 500", a.OpenCV, worst, math.Max(0, rel), better)
}

// Source: findHomography of OpenCV with RANSAC and LMEDS, on 200 random views
// with wild clicks among clicks of 1 pixel: one among eight or more, up to a quarter of many.
func TestWildClicksAgainstOpenCV(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	var q question
	var views []view
	for range 200 {
		n := 8 + r.IntN(25)
		v := randomView(r, n, 1)
		for k := range 1 + r.IntN(n/4) {
			i := (k*7 + 3) % n
			far, way := 25+400*r.Float64(), 2*math.Pi*r.Float64()
			v.photo[i] = shape.Add(v.exact[i], shape.Pt{X: far * math.Cos(way), Y: far * math.Sin(way)})
			v.wild[i] = true
		}
		views = append(views, v)
		for _, m := range []string{"ransac", "lmeds"} {
			q.Homographies = append(q.Homographies, homographyProblem{Plane: pairs(v.plane), Photo: pairs(v.photo), Method: m, Limit: 4})
		}
	}
	a := askPeers(t, q)
	var off [3][]float64
	for i, v := range views {
		h, fits, err := RobustHomography(v.plane, v.photo, 4)
		if err != nil {
			t.Fatalf("view %d: %v", i, err)
		}
		for k := range fits {
			if fits[k] && v.wild[k] && shape.Dist(v.photo[k], v.exact[k]) > 20 {
				t.Errorf("view %d: wild point %d of %d was used", i, k, len(fits))
			}
		}
		for k, g := range [][9]float64{h, a.Homographies[2*i].H, a.Homographies[2*i+1].H} {
			off[k] = append(off[k], rmsOff(g, v.checks, v.truth, nil))
		}
	}
	for k := range off {
		slices.Sort(off[k])
	}
	at := func(k int, share float64) float64 { return off[k][int(share*199)] }
	t.Logf("off the truth, median and 95 %%: ours %.2f %.2f px, RANSAC %.2f %.2f, LMEDS %.2f %.2f", at(0, 0.5), at(0, 0.95), at(1, 0.5), at(1, 0.95), at(2, 0.5), at(2, 0.95))
	for _, share := range []float64{0.5, 0.95} {
		if ours, theirs := at(0, share), math.Min(at(1, share), at(2, share)); ours > 1.05*theirs {
			t.Errorf("at %g of the views ours is %.2f px off the truth, OpenCV %.2f", share, ours, theirs)
		}
	}
}

func TestHomographyRefuses(t *testing.T) {
	sq := []shape.Pt{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}
	line := []shape.Pt{{}, {X: 1}, {X: 2}, {X: 3}}
	bent := []shape.Pt{{}, {X: 1}, {X: 2}, {X: 3, Y: 5}}
	one := []shape.Pt{{X: 2}, {X: 2}, {X: 2}, {X: 2}}
	for i, c := range []struct {
		plane, photo []shape.Pt
		want         string
	}{
		{sq[:3], sq[:3], "give 4 or more"},
		{sq, sq[:3], "there are 4 points"},
		{line, sq, "one line"}, {sq, line, "one line"}, {bent, sq, "one line"}, {sq, bent, "one line"},
		{one, sq, "on one place"}, {sq, one, "on one place"},
		{[]shape.Pt{{}, {X: 1}, {X: math.NaN()}, {Y: 1}}, sq, "point 3"},
	} {
		if h, err := Homography(c.plane, c.photo); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("case %d: %v, %v; want an error with %q", i, h, err, c.want)
		}
	}
	if _, _, err := RobustHomography(append(sq, shape.Pt{X: 0.5, Y: 0.4}), append(sq, shape.Pt{X: 9}), 1); err == nil || !strings.Contains(err.Error(), "6 or more") {
		t.Errorf("five points: %v", err)
	}
}

// A homography whose last element is nothing sends the origin to infinity.
func TestHomographyThroughInfinity(t *testing.T) {
	want := [9]float64{0.2, 0, 1, 0, 0.3, 0.5, 0.01, 0, 0}
	var plane, photo []shape.Pt
	for _, p := range []shape.Pt{{X: 10, Y: 3}, {X: 40, Y: 8}, {X: 30, Y: 40}, {X: 12, Y: 33}, {X: 25, Y: 20}} {
		q, _ := Project(want, p)
		plane, photo = append(plane, p), append(photo, q)
	}
	h, err := Homography(plane, photo)
	if err != nil {
		t.Fatal(err)
	}
	if d := apart(h, want, plane); d > 1e-9 {
		t.Errorf("off by %g", d)
	}
	if _, ok := Project(want, shape.Pt{Y: 4}); ok {
		t.Error("a point at infinity has a place")
	}
}

func ExampleHomography() {
	plane := []shape.Pt{{}, {X: CardLong}, {X: CardLong, Y: CardShort}, {Y: CardShort}}
	photo := []shape.Pt{{X: 100, Y: 100}, {X: 956, Y: 100}, {X: 956, Y: 639.8}, {X: 100, Y: 639.8}}
	h, _ := Homography(plane, photo)
	mid, _ := Project(h, shape.Pt{X: CardLong / 2, Y: CardShort / 2})
	fmt.Printf("%.1f %.1f\n", mid.X, mid.Y)
	// Output: 528.0 369.9
}
