package suggest

import (
	"bytes"
	"encoding/json"
	"image"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"

	"wornwood/annotate/shape"
)

// outside asks the Debian packages python3-skimage (with scipy and pillow) for
// their answers to the same problems.
func outside(t *testing.T, ask any, answer any) {
	t.Helper()
	data, err := json.Marshal(ask)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "/usr/bin/python3", "testdata/outside.py")
	cmd.Stdin = bytes.NewReader(data)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s (needs: apt-get install --no-install-recommends python3-skimage)", err, stderr.String())
	}
	if err := json.Unmarshal(out, answer); err != nil {
		t.Fatal(err)
	}
}

// TestAgainstOutside compares blurring with scipy.ndimage.gaussian_filter,
// thinning with skimage.measure.approximate_polygon, and luma with pillow's
// conversion to grey.
func TestAgainstOutside(t *testing.T) {
	die := rand.New(rand.NewPCG(4, 4))
	p := newPlane(61, 47)
	for i := range p.v {
		p.v[i] = die.Float32()
	}
	type blur struct {
		Sigma float64 `json:"sigma"`
		Reach int     `json:"reach"`
	}
	ask := struct {
		W     int            `json:"w"`
		H     int            `json:"h"`
		Plane []float32      `json:"plane"`
		Blurs []blur         `json:"blurs"`
		Lines [][][2]float64 `json:"lines"`
		Stray float64        `json:"stray"`
		RGB   []int          `json:"rgb"`
	}{W: p.w, H: p.h, Plane: p.v, Stray: 0.8}
	for _, s := range []float64{1.4, 2, 2.8, 4} {
		ask.Blurs = append(ask.Blurs, blur{s, int(math.Ceil(2.6 * s))})
	}
	for range 40 {
		var line [][2]float64
		x, y, a := 0.0, 0.0, 0.0
		for range 5 + die.IntN(200) {
			line = append(line, [2]float64{x, y})
			a += 0.2 * die.NormFloat64()
			x, y = x+math.Cos(a), y+math.Sin(a)
		}
		ask.Lines = append(ask.Lines, line)
	}
	img := image.NewRGBA(image.Rect(0, 0, 500, 1))
	for i := range 500 {
		for c := range 3 {
			v := die.IntN(256)
			img.Pix[4*i+c] = uint8(v)
			ask.RGB = append(ask.RGB, v)
		}
	}
	var answer struct {
		Blurred [][]float64
		Thinned [][][2]float64
		Grey    []int
	}
	outside(t, ask, &answer)
	for i, b := range ask.Blurs {
		got, err := p.blurred(t.Context(), b.Sigma)
		if err != nil {
			t.Fatal(err)
		}
		for k, want := range answer.Blurred[i] {
			if math.Abs(float64(got.v[k])-want) > 2e-6 {
				t.Fatalf("sigma %g: pixel %d is %g, outside %g", b.Sigma, k, got.v[k], want)
			}
		}
	}
	for i, l := range ask.Lines {
		var line []shape.Pt
		for _, q := range l {
			line = append(line, shape.Pt{X: q[0], Y: q[1]})
		}
		got := thinned(line, ask.Stray)
		if len(got) != len(answer.Thinned[i]) {
			t.Fatalf("line %d thinned to %d points, outside %d", i, len(got), len(answer.Thinned[i]))
		}
		for k, q := range answer.Thinned[i] {
			if got[k] != (shape.Pt{X: q[0], Y: q[1]}) {
				t.Fatalf("line %d, point %d is %v, outside %v", i, k, got[k], q)
			}
		}
	}
	for i, v := range grey(img, img.Rect).Pix {
		if d := int(v) - answer.Grey[i]; d < -1 || d > 1 {
			t.Fatalf("grey %d of %v, outside %d", v, ask.RGB[3*i:3*i+3], answer.Grey[i])
		}
	}
}
