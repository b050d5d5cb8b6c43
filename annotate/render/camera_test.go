package render

import (
	"math"
	"testing"
)

// The homography must agree with the camera itself on the whole plane.
func TestHomographyIsTheCamera(t *testing.T) {
	m := demoModel(t)
	for _, v := range Views() {
		if v.Side != "front" && v.Side != "back" {
			continue
		}
		_, cam, _ := v.setUp(m, v.Width)
		s := sheetOf(v.Side)
		h := cam.homography(s.at(0, 0, v.height), s.u, s.v)
		for x := -160.0; x <= 160; x += 64 {
			for y := -160.0; y <= 760; y += 92 {
				px, py := cam.pixel(s.at(x, y, v.height))
				hx, hy := apply(h, x, y)
				if math.Abs(px-hx) > 1e-6 || math.Abs(py-hy) > 1e-6 {
					t.Fatalf("%s: (%g,%g) mm is at (%.3f,%.3f) by the camera, (%.3f,%.3f) by the homography", v.File, x, y, px, py, hx, hy)
				}
			}
		}
	}
}

// A picture of the front must not be a mirror image: bass on the left and the
// head up when the camera is not turned.
func TestPicturesAreNotMirrored(t *testing.T) {
	m := demoModel(t)
	for _, v := range Views() {
		if v.Name != "whole" && v.Name != "whole back" {
			continue
		}
		_, cam, _ := v.setUp(m, v.Width)
		bassHorn, _ := cam.pixel(vec{-120, 370, -22})
		trebleHorn, _ := cam.pixel(vec{110, 400, -22})
		_, head := cam.pixel(vec{0, -150, 0})
		_, end := cam.pixel(vec{0, 760, 0})
		if left := bassHorn < trebleHorn; left != (v.Side == "front") {
			t.Errorf("%s: bass horn at x=%.0f, treble horn at %.0f", v.File, bassHorn, trebleHorn)
		}
		if head > end {
			t.Errorf("%s: the head is below the body", v.File)
		}
	}
}

func apply(h [3][3]float64, x, y float64) (float64, float64) {
	w := h[2][0]*x + h[2][1]*y + h[2][2]
	return (h[0][0]*x + h[0][1]*y + h[0][2]) / w, (h[1][0]*x + h[1][1]*y + h[1][2]) / w
}
