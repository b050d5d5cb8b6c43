package trace

import (
	"math"
	"math/rand/v2"
	"testing"
)

type peerPhoto struct {
	RGB []byte `json:"rgb"` // base64 in JSON
	W   int    `json:"w"`
	H   int    `json:"h"`
	Box [4]int `json:"box"`
}

type peerJob struct {
	Photos  []peerPhoto  `json:"photos"`
	Colours [][3]float64 `json:"colours"`
}

type peerAnswer struct {
	Masks [][]byte     `json:"masks"`
	Lab   [][3]float64 `json:"lab"`
}

// boxOf is the box around a mask, a little larger, as a person would draw it.
func boxOf(m []bool, w, h int) [4]int {
	x0, y0, x1, y1 := w, h, 0, 0
	for i, is := range m {
		if is {
			x0, y0, x1, y1 = min(x0, i%w), min(y0, i/w), max(x1, i%w), max(y1, i/w)
		}
	}
	x0, y0, x1, y1 = max(1, x0-6), max(1, y0-6), min(w-2, x1+6), min(h-2, y1+6)
	return [4]int{x0, y0, x1 - x0, y1 - y0}
}

// OpenCV's grabCut on the same photos, in the same run, is given the box around the
// instrument, which our tracer has to do without.
func TestSilhouetteBesideGrabCut(t *testing.T) {
	var job peerJob
	var shots []shot
	for _, s := range stamps(t, 300, 450)[1:5] {
		for _, kind := range []string{"graded", "shadowed"} {
			c := sound(s, kind, 4)[1]
			rgb := make([]byte, 0, 3*s.w*s.h)
			for i := range s.w * s.h {
				rgb = append(rgb, c.img.Pix[4*i:4*i+3]...)
			}
			shots = append(shots, c)
			job.Photos = append(job.Photos, peerPhoto{rgb, s.w, s.h, boxOf(c.truth, s.w, s.h)})
		}
	}
	job.Colours = [][3]float64{}
	var answer peerAnswer
	python(t, "peer.py", job, &answer)
	var ours, theirs float64
	for i, c := range shots {
		score, _, _ := scoreOf(t, c)
		mask := make([]bool, len(c.truth))
		for j, v := range answer.Masks[i] {
			mask[j] = v == 1
		}
		peer := iou(mask, c.truth)
		t.Logf("%-28s ours %.3f, grabCut %.3f", c.name, score, peer)
		ours, theirs = ours+score/float64(len(shots)), theirs+peer/float64(len(shots))
	}
	t.Logf("mean: ours %.4f, grabCut %.4f", ours, theirs)
	if ours < theirs-0.005 {
		t.Errorf("mean intersection over union %.4f, grabCut's %.4f", ours, theirs)
	}
}

// Colours agree with OpenCV's conversion of float32 sRGB to CIELAB.
func TestLabAgreesWithOpenCV(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 2))
	job := peerJob{Photos: []peerPhoto{}}
	for range 3000 {
		job.Colours = append(job.Colours, [3]float64{255 * rnd.Float64(), 255 * rnd.Float64(), 255 * rnd.Float64()})
	}
	for _, v := range []float64{0, 1, 5, 128, 255} {
		job.Colours = append(job.Colours, [3]float64{v, v, v})
	}
	var answer peerAnswer
	python(t, "peer.py", job, &answer)
	if len(answer.Lab) != len(job.Colours) {
		t.Fatalf("%d answers", len(answer.Lab))
	}
	for i, c := range job.Colours {
		got, want := labOf(float32(c[0]), float32(c[1]), float32(c[2])), answer.Lab[i]
		off := math.Sqrt(math.Pow(float64(got.L)-want[0], 2) + math.Pow(float64(got.A)-want[1], 2) + math.Pow(float64(got.B)-want[2], 2))
		// OpenCV itself works with tables: its error is of this size.
		if off > 0.5 {
			t.Errorf("%v is %v, says OpenCV %v", c, got, want)
		}
	}
}
