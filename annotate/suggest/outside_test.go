package suggest

import (
	"bytes"
	"encoding/json"
	"image"
	"math"
	"math/rand/v2"
	"os/exec"
	"slices"
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

// question is what outside.py is asked, outsideAnswer what it says.
type question struct {
	W     int            `json:"w"`
	H     int            `json:"h"`
	Plane []float32      `json:"plane"`
	Blurs []blurring     `json:"blurs"`
	Lines [][][2]float64 `json:"lines"`
	Stray float64        `json:"stray"`
	RGB   []int          `json:"rgb"`
}

type blurring struct {
	Sigma float64 `json:"sigma"`
	Reach int     `json:"reach"`
}

type outsideAnswer struct {
	Blurred [][]float64
	Thinned [][][2]float64
	Grey    []int
}

// ask makes a random plane, walks and colours.
func ask(die *rand.Rand) question {
	q := question{W: 61, H: 47, Stray: 0.8}
	for range q.W * q.H {
		q.Plane = append(q.Plane, die.Float32())
	}
	for _, s := range []float64{1.4, 2, 2.8, 4} {
		q.Blurs = append(q.Blurs, blurring{s, int(math.Ceil(2.6 * s))})
	}
	for range 40 {
		var line [][2]float64
		x, y, a := 0.0, 0.0, 0.0
		for range 5 + die.IntN(200) {
			line = append(line, [2]float64{x, y})
			a += 0.2 * die.NormFloat64()
			x, y = x+math.Cos(a), y+math.Sin(a)
		}
		q.Lines = append(q.Lines, line)
	}
	for range 1500 {
		q.RGB = append(q.RGB, die.IntN(256))
	}
	return q
}

// TestAgainstOutside compares blurring with scipy.ndimage.gaussian_filter,
// thinning with skimage.measure.approximate_polygon, and luma with pillow's
// conversion to grey.
func TestAgainstOutside(t *testing.T) {
	q := ask(rand.New(rand.NewPCG(4, 4)))
	var answer outsideAnswer
	outside(t, q, &answer)
	if len(answer.Blurred) != len(q.Blurs) || len(answer.Thinned) != len(q.Lines) || len(answer.Grey) != len(q.RGB)/3 {
		t.Fatalf("outside answered %d, %d and %d questions", len(answer.Blurred), len(answer.Thinned), len(answer.Grey))
	}
	p := &plane{q.W, q.H, q.Plane}
	for i, b := range q.Blurs {
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
	for i, l := range q.Lines {
		var got [][2]float64
		for _, r := range shape.Thin(points(l), q.Stray) {
			got = append(got, [2]float64{r.X, r.Y})
		}
		if !slices.Equal(got, answer.Thinned[i]) {
			t.Fatalf("line %d thinned to %v, outside %v", i, got, answer.Thinned[i])
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, len(q.RGB)/3, 1))
	for i, v := range q.RGB {
		img.Pix[i/3*4+i%3] = uint8(v)
	}
	for i, v := range grey(img, img.Rect).Pix {
		if d := int(v) - answer.Grey[i]; d < -1 || d > 1 {
			t.Fatalf("grey %d of %v, outside %d", v, q.RGB[3*i:3*i+3], answer.Grey[i])
		}
	}
}

func points(l [][2]float64) (out []shape.Pt) {
	for _, p := range l {
		out = append(out, shape.Pt{X: p[0], Y: p[1]})
	}
	return out
}
