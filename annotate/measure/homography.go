package measure

import (
	"fmt"
	"math"

	"wornwood/annotate/shape"
)

// Homography is the projective map from points of a plane to points of a
// photo, as the rows of its 3 x 3 matrix with the last element 1 (norm 1 where that is
// zero). It takes four or more points: a normalised direct linear transform
// (Hartley and Zisserman, algorithm 4.2), then least squares on the distances in the
// photo by Levenberg and Marquardt's method. The error says what is wrong
// with the points.
func Homography(plane, photo []shape.Pt) ([9]float64, error) {
	if err := checkPairs(plane, photo); err != nil {
		return [9]float64{}, err
	}
	return homographyOf(plane, photo, everyOne(len(plane)), true)
}

func everyOne(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

func checkPairs(plane, photo []shape.Pt) error {
	if len(plane) != len(photo) {
		return fmt.Errorf("there are %d points of the plane for %d of the photo", len(plane), len(photo))
	}
	if len(plane) < 4 {
		return fmt.Errorf("%d points do not settle a view of a plane: give 4 or more", len(plane))
	}
	for i := range plane {
		if !plane[i].Finite() || !photo[i].Finite() {
			return fmt.Errorf("point %d is not an ordinary number", i+1)
		}
	}
	return nil
}

// Project maps a point by a homography. It is false for a point that the
// map sends to infinity.
func Project(h [9]float64, p shape.Pt) (shape.Pt, bool) {
	x, y, w := h[0]*p.X+h[1]*p.Y+h[2], h[3]*p.X+h[4]*p.Y+h[5], h[6]*p.X+h[7]*p.Y+h[8]
	q := shape.Pt{X: x / w, Y: y / w}
	return q, q.Finite()
}

// homographyOf is the map through the chosen points, refined if asked to.
func homographyOf(plane, photo []shape.Pt, use []int, refine bool) ([9]float64, error) {
	a, aok := centring(plane, use)
	b, bok := centring(photo, use)
	if !aok || !bok {
		return [9]float64{}, fmt.Errorf("all points lie on one place: give points that lie apart")
	}
	if onOneLine(plane, use) || onOneLine(photo, use) {
		return [9]float64{}, fmt.Errorf("all points but one lie on one line: give four of which no three do")
	}
	p, q := make([]shape.Pt, len(use)), make([]shape.Pt, len(use))
	for k, i := range use {
		p[k], q[k] = a.Apply(plane[i]), b.Apply(photo[i])
	}
	h := least(gram(p, q))
	if refine {
		h = polish(h, p, q)
	}
	inv := b.Inverse()
	h = mul3(mul3([9]float64{inv[0], inv[1], inv[2], inv[3], inv[4], inv[5], 0, 0, 1}, h),
		[9]float64{a[0], a[1], a[2], a[3], a[4], a[5], 0, 0, 1})
	h = unit(h)
	for _, v := range h {
		if !finite(v) {
			return [9]float64{}, fmt.Errorf("the points do not settle a view of a plane")
		}
	}
	return h, nil
}

// unit makes the last element 1, or the length 1 where the last is next to nothing.
func unit(h [9]float64) [9]float64 {
	n := 0.0
	for _, v := range h {
		n = math.Hypot(n, v)
	}
	if math.Abs(h[8]) > 1e-12*n {
		n = h[8]
	}
	for i := range h {
		h[i] /= n
	}
	return h
}

// centring moves the middle of the points to the origin and their mean distance from it to √2.
func centring(pts []shape.Pt, use []int) (shape.Affine, bool) {
	var mid shape.Pt
	for _, i := range use {
		mid = shape.Add(mid, shape.Mul(pts[i], 1/float64(len(use))))
	}
	far := 0.0
	for _, i := range use {
		far += shape.Dist(pts[i], mid) / float64(len(use))
	}
	if !(far > 1e-12*(1+math.Hypot(mid.X, mid.Y))) || math.IsInf(far, 0) {
		return shape.Affine{}, false
	}
	k := math.Sqrt2 / far
	return shape.Translate(shape.Mul(mid, -1)).Then(shape.Scale(k, k)), true
}

// onOneLine says whether all points, or all but one, lie on one line: within a
// millionth of their extent.
func onOneLine(pts []shape.Pt, use []int) bool {
	for skip := -1; skip < len(use); skip++ {
		var rest []shape.Pt
		for k, i := range use {
			if k != skip {
				rest = append(rest, pts[i])
			}
		}
		if thickness(rest) < 1e-6 {
			return true
		}
		if len(use) > 12 && skip < 0 {
			return false // enough points: one more or less makes no line
		}
	}
	return false
}

// thickness is the extent of points across the line that fits them best, as a
// share of their extent along it: 0 on one line, 1 for a circle.
func thickness(pts []shape.Pt) float64 {
	var mid shape.Pt
	for _, p := range pts {
		mid = shape.Add(mid, shape.Mul(p, 1/float64(len(pts))))
	}
	var xx, xy, yy float64
	for _, p := range pts {
		d := shape.Sub(p, mid)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
	}
	angle := math.Atan2(2*xy, xx-yy) / 2
	s, c := math.Sincos(angle)
	var along, across float64
	for _, p := range pts {
		d := shape.Sub(p, mid)
		along += (d.X*c + d.Y*s) * (d.X*c + d.Y*s)
		across += (d.Y*c - d.X*s) * (d.Y*c - d.X*s)
	}
	if along == 0 {
		return 0
	}
	return math.Sqrt(across / along)
}

// gram is A'A of the direct linear transform's equations.
func gram(p, q []shape.Pt) [9][9]float64 {
	var m [9][9]float64
	for i := range p {
		x, y, u, v := p[i].X, p[i].Y, q[i].X, q[i].Y
		for _, r := range [2][9]float64{
			{-x, -y, -1, 0, 0, 0, u * x, u * y, u},
			{0, 0, 0, -x, -y, -1, v * x, v * y, v},
		} {
			for j := range r {
				for k := range r {
					m[j][k] += r[j] * r[k]
				}
			}
		}
	}
	return m
}

// polish moves h to the least sum of squared distances in the photo. The
// largest element is held: a homography has no size.
func polish(h [9]float64, p, q []shape.Pt) [9]float64 {
	held := 0
	for i, v := range h {
		if math.Abs(v) > math.Abs(h[held]) {
			held = i
		}
	}
	cost := reprojection(h, p, q)
	for damp, tries := 1e-6, 0; tries < 60; tries++ {
		m := slopes(h, p, q, held)
		f, ok := m.cholesky(damp)
		if !ok {
			damp = max(damp*10, 1e-9)
			continue
		}
		step := f.solve(&m.b)
		try, j, small := h, 0, true
		for i := range try {
			if i != held {
				try[i] += step[j]
				small = small && math.Abs(step[j]) < 1e-15*math.Abs(h[held])
				j++
			}
		}
		if c := reprojection(try, p, q); c < cost {
			h, cost, damp = try, c, damp*0.1
		} else if damp = damp * 10; small || damp > 1e6 {
			break
		}
	}
	return h
}

// slopes are the normal equations of one step of polish.
func slopes(h [9]float64, p, q []shape.Pt, held int) *normal {
	m := &normal{n: 8}
	for i := range p {
		x, y := p[i].X, p[i].Y
		w := h[6]*x + h[7]*y + h[8]
		u, v := (h[0]*x+h[1]*y+h[2])/w, (h[3]*x+h[4]*y+h[5])/w
		du := [9]float64{x / w, y / w, 1 / w, 0, 0, 0, -u * x / w, -u * y / w, -u / w}
		dv := [9]float64{0, 0, 0, x / w, y / w, 1 / w, -v * x / w, -v * y / w, -v / w}
		var a, b [dim]float64
		copy(a[:held], du[:held])
		copy(a[held:], du[held+1:])
		copy(b[:held], dv[:held])
		copy(b[held:], dv[held+1:])
		m.add(&a, q[i].X-u)
		m.add(&b, q[i].Y-v)
	}
	return m
}

// reprojection is the sum of squared distances in the photo.
func reprojection(h [9]float64, p, q []shape.Pt) float64 {
	s := 0.0
	for i := range p {
		r, ok := Project(h, p[i])
		if !ok {
			return math.Inf(1)
		}
		d := shape.Sub(r, q[i])
		s += d.X*d.X + d.Y*d.Y
	}
	return s
}

func mul3(a, b [9]float64) [9]float64 {
	var c [9]float64
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				c[3*i+j] += a[3*i+k] * b[3*k+j]
			}
		}
	}
	return c
}
