package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"wornwood/annotate/shape"
)

// randomParams is a view that somebody might take.
func randomParams(r *rand.Rand) (frame, params) {
	var t params
	f := (0.6 + 2*r.Float64()) * 6000
	tilt, way := 0.75*r.Float64(), 2*math.Pi*r.Float64()
	t[logFocal], t[distort] = math.Log(f), -0.06+0.1*r.Float64()
	t[tiltX], t[tiltY], t[spin] = tilt*math.Cos(way), tilt*math.Sin(way), 6*r.Float64()
	t[atX], t[atY] = 2000*(r.Float64()-0.5), 1400*(r.Float64()-0.5)
	t[logScale] = math.Log(3 + 20*r.Float64())
	return frame{midPx: shape.Pt{X: 3000, Y: 2000}, midMM: shape.Pt{X: 40, Y: 300}, mirror: r.IntN(4) == 0}, t
}

// rodrigues is the turn as an axis times its angle.
func rodrigues(m mat) [3]float64 {
	c := (m[0][0] + m[1][1] + m[2][2] - 1) / 2
	v := [3]float64{m[2][1] - m[1][2], m[0][2] - m[2][0], m[1][0] - m[0][1]}
	s := math.Sqrt(v[0]*v[0]+v[1]*v[1]+v[2]*v[2]) / 2
	k := math.Atan2(s, c) / (2 * s)
	return [3]float64{k * v[0], k * v[1], k * v[2]}
}

// Source: projectPoints of OpenCV, with its k1: pixels of 200 random views
// must agree to a millionth of a pixel. And the way back: the ray of a pixel
// meets the plane where the point was.
func TestCameraAgainstOpenCV(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	var q question
	var all [][]shape.Pt
	for range 200 {
		f, p := randomParams(r)
		l := p.lens()
		v := viewProblem{F: l.f, Cx: f.midPx.X, Cy: f.midPx.Y, K1: l.k1, Rvec: rodrigues(l.turn),
			Tvec: [3]float64{l.shiftX / l.scale, l.shiftY / l.scale, l.f / l.scale}}
		var row []shape.Pt
		for range 8 {
			mm, h := shape.Pt{X: 40 + 80*(r.Float64()-0.5), Y: 300 + 60*(r.Float64()-0.5)}, 30*(r.Float64()-0.5)
			px, ok := f.toPx(&p, mm, h)
			if !ok {
				t.Fatalf("a point before the camera is not seen")
			}
			back, ok := f.toMM(&p, px, h)
			if d := shape.Dist(back, mm); !ok || d > 1e-9 {
				t.Errorf("back at %v, %.3g mm from where it was", back, d)
			}
			if f.mirror {
				px.X = 2*f.midPx.X - px.X
			}
			v.Points = append(v.Points, [3]float64{mm.X - f.midMM.X, mm.Y - f.midMM.Y, -h})
			row = append(row, px)
		}
		q.Views, all = append(q.Views, v), append(all, row)
	}
	a := askPeers(t, q)
	worst := 0.0
	for i, row := range all {
		for j, s := range row {
			o := a.Pixels[i][j]
			worst = math.Max(worst, shape.Dist(s, shape.Pt{X: o[0], Y: o[1]}))
		}
	}
	t.Logf("at most %.2g px from OpenCV's", worst)
	if worst > 1e-6 {
		t.Errorf("a pixel lies %.3g px from OpenCV's", worst)
	}
}

// The derivatives of the fit against differences.
func TestSlopes(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 50 {
		_, p := randomParams(r)
		o := observation{p: vec{60 * (r.Float64() - 0.5), 40 * (r.Float64() - 0.5), 10 * (r.Float64() - 0.5)}, nut: 0.3, mid: 0.7, w: [3]float64{1, 0, 1}}
		l, lean := p.lens(), leans(&p)
		dx, dy, _, ok := o.slopes(&l, &p, &lean)
		if !ok {
			t.Fatal("a point before the camera is not seen")
		}
		pr := problem{obs: []observation{o}}
		pose := pr.poseAt(&p, []bool{true})
		for i := range p {
			const h = 1e-6
			a, b := p, p
			a[i], b[i] = a[i]+h, b[i]-h
			la, lb := a.lens(), b.lens()
			d := shape.Sub(o.off(&lb, &b), o.off(&la, &a)) // off falls as the pixel moves on
			if e := math.Hypot(d.X/(2*h)-dx[i], d.Y/(2*h)-dy[i]); e > 1e-4*(1+math.Hypot(dx[i], dy[i])) {
				t.Errorf("unknown %d: %g %g, differences %g %g", i, dx[i], dy[i], d.X/(2*h), d.Y/(2*h))
			}
			if j := i - firstPose; j >= 0 {
				if want := dx[i]*dx[i] + dy[i]*dy[i]; math.Abs(pose.a[j][j]-want) > 1e-9*want {
					t.Errorf("unknown %d: the pose's own equations have %g, want %g", i, pose.a[j][j], want)
				}
			}
		}
	}
}

// What the lens cannot show is said, and stays finite.
func TestBeyondTheHorizon(t *testing.T) {
	var p params
	p[logFocal], p[tiltX], p[logScale], p[distort] = math.Log(3000), 1.1, math.Log(5), -0.05
	f := frame{midPx: shape.Pt{X: 2000, Y: 2000}}
	sky := 0
	for y := -4000.0; y <= 8000; y += 50 {
		for _, x := range []float64{-3000, 2000, 7000} {
			mm, ok := f.toMM(&p, shape.Pt{X: x, Y: y}, 0)
			if !mm.Finite() {
				t.Fatalf("pixel %g, %g: %v", x, y, mm)
			}
			if !ok {
				sky++
				continue
			}
			if px, ok := f.toPx(&p, mm, 0); !ok || shape.Dist(px, shape.Pt{X: x, Y: y}) > 1e-5 {
				t.Fatalf("pixel %g, %g comes back at %v", x, y, px)
			}
		}
	}
	if sky == 0 {
		t.Error("a view tilted by 63 degrees has no sky")
	}
	for _, mm := range []shape.Pt{{Y: 1e5}, {Y: -1e5}, {X: 1e6}} {
		if px, ok := f.toPx(&p, mm, 0); !px.Finite() {
			t.Errorf("%v appears at %v, %v", mm, px, ok)
		}
	}
}
