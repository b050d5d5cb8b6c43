package trace

import (
	"context"
	"fmt"
	"image"
	"image/png"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"wornwood/capture/reduce"
	"wornwood/testdata"
)

func TestDemoProto(t *testing.T) {
	for _, f := range []string{"whole", "whole-back", "front", "back"} {
		data, err := fs.ReadFile(testdata.DemoPhotos(), f+".jpg")
		if err != nil {
			t.Fatal(err)
		}
		img, _, err := reduce.Decode(data, reduce.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		mf, err := os.Open("/tmp/ww/T/mask-" + f + ".png")
		if err != nil {
			t.Fatal(err)
		}
		m, _ := png.Decode(mf)
		fmt.Println(img.Bounds(), m.Bounds())
		pal := m.(*image.Paletted)
		w, h := img.Bounds().Dx(), img.Bounds().Dy()
		truth := make([]bool, w*h)
		if pal.Rect.Dx() == w {
			for i := range truth {
				truth[i] = pal.Pix[i] == 1
			}
		} else { // turned as stored
			for y := range h {
				for x := range w {
					ux, uy := h-1-y, x     // orientation 6
					if f == "whole-back" { // 8
						ux, uy = y, w-1-x
					}
					truth[y*w+x] = pal.Pix[uy*pal.Stride+ux] == 1
				}
			}
		}
		start := time.Now()
		r, err := Silhouette(context.Background(), img, Options{})
		if err != nil {
			t.Fatal(err)
		}
		el := time.Since(start)
		got := filled(r, w, h)
		fmt.Println(f, iou(got, truth), el, r.Reliable, r.Warnings, r.Figures)
		rgba := image.NewRGBA(img.Bounds())
		for y := range h {
			for x := range w {
				rgba.Set(x, y, img.At(x, y))
			}
		}
		overlay(filepath.Join("/tmp/ww/T/pic", f+".png"), rgba, got, truth)
	}
}
