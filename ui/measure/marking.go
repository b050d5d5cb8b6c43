//go:build bench

package main

import (
	"context"
	"fmt"
	"image"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"wornwood/annotate/shape"
	"wornwood/annotate/suggest"
	"wornwood/annotate/trace"
	"wornwood/capture/reduce"

	"github.com/disintegration/imaging"
)

// marking measures what is computed beside the Marks screen: suggestions in
// four megapixels, against a ridge filter of scikit-image on the same area; and
// the silhouette of a photo of 24 megapixels, against OpenCV's GrabCut on the
// 1.5 megapixels that both work at. Decoding is not counted.
func marking(_, _ string) ([]measurement, error) {
	front, err := imaging.Open(filepath.Join("testdata", "demo", "front.jpg"))
	if err != nil {
		return nil, err
	}
	whole, err := imaging.Open(filepath.Join("testdata", "demo", "whole.jpg"))
	if err != nil {
		return nil, err
	}
	area := []shape.Pt{{X: 310, Y: 160}, {X: 2690, Y: 160}, {X: 2690, Y: 1840}, {X: 310, Y: 1840}}
	large := reduce.Resample(whole, 4000, 6000)
	return []measurement{
		{name: "suggest-4MP", unit: "s", rounds: 3, limit: 4, absolute: true, peer: python(ridges),
			ours: func() (float64, error) {
				return seconds(func() error {
					_, err := suggest.Find(context.Background(), front, area, suggest.Options{Sensitivity: 0.5})
					return err
				})
			}},
		{name: "silhouette-24MP", unit: "s", rounds: 3, limit: 2, absolute: true, peer: python(grabCut),
			ours: func() (float64, error) { return seconds(func() error { return silhouette(large) }) }},
	}, nil
}

func silhouette(img image.Image) error {
	_, err := trace.Silhouette(context.Background(), img, trace.Options{})
	return err
}

const ridges = `
import time
from skimage import io, filters
a = io.imread("testdata/demo/front.jpg", as_gray=True)[160:1840, 310:2690]
t = time.time()
filters.sato(a, sigmas=[0.8, 1.3, 2.0])
print(time.time() - t)`

const grabCut = `
import time
import cv2, numpy
a = cv2.resize(cv2.imread("testdata/demo/whole.jpg"), (1000, 1500))
m = numpy.zeros(a.shape[:2], numpy.uint8)
t = time.time()
cv2.grabCut(a, m, (30, 30, 940, 1440), numpy.zeros((1, 65)), numpy.zeros((1, 65)), 3, cv2.GC_INIT_WITH_RECT)
print(time.time() - t)`

// python runs a program that prints the seconds its own work took, without
// those of starting and reading.
func python(program string) func() (float64, error) {
	return func() (float64, error) {
		out, err := exec.Command("/usr/bin/python3", "-c", program).Output()
		if err != nil {
			return 0, fmt.Errorf("python3 with scikit-image and OpenCV: %w", err)
		}
		return strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
	}
}
