package trace

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"wornwood/annotate/shape"
)

var colours = []color.RGBA{{235, 234, 230, 255}, {196, 198, 200, 255}, {125, 127, 130, 255}, {62, 63, 66, 255}, {72, 96, 132, 255}, {88, 112, 82, 255}, {206, 186, 152, 255}}

func TestProto(t *testing.T) {
	dir := os.Getenv("WORNWOOD_PICTURES")
	sum := map[string][]float64{}
	for _, s := range stamps(t) {
		truth := s.truth()
		for _, kind := range []string{"plain", "graded", "fabric", "shadowed"} {
			for ci, c := range colours {
				if os.Getenv("FAST") != "" && ci%3 != 0 {
					continue
				}
				if only := os.Getenv("ONLY"); only != "" && only != fmt.Sprintf("%s-%s-%d", s.name, kind, ci) {
					continue
				}
				rnd := rand.New(rand.NewPCG(uint64(ci), uint64(len(s.name))))
				var b backdrop
				switch kind {
				case "plain":
					b = plain(s.w, s.h, c)
				case "graded":
					b = graded(s.w, s.h, c, rnd)
				case "fabric":
					b = fabric(s.w, s.h, c, rnd)
				default:
					b = shadowed(s, c, rnd)
				}
				img := s.over(b, 2, rnd)
				name := fmt.Sprintf("%s-%s-%d", s.name, kind, ci)
				start := time.Now()
				r, err := Silhouette(context.Background(), img, Options{})
				if err != nil {
					t.Error(err)
					continue
				}
				el := time.Since(start)
				got := filled(r, s.w, s.h)
				q := iou(got, truth)
				sum[kind] = append(sum[kind], q)
				if q < 0.95 || !r.Reliable || os.Getenv("ONLY") != "" {
					fmt.Printf("%-40s %.4f %v %v %+v\n", name, q, el.Round(time.Millisecond), r.Reliable, r.Figures)
					overlay(filepath.Join(dir, name+".png"), img, got, truth)
				}
			}
		}
	}
	for k, v := range sum {
		lo, m := 1.0, 0.0
		for _, q := range v {
			lo = min(lo, q)
			m += q / float64(len(v))
		}
		fmt.Printf("%-10s n %d mean %.4f min %.4f\n", k, len(v), m, lo)
	}
}

// filled is the silhouette as pixels of the photo: what lies within ring and holes by the even-odd rule.
func filled(r *Result, w, h int) []bool {
	out := make([]bool, w*h)
	shape.FillPolygon(shape.Grid{Cell: 1, W: w, H: h}, append([][]shape.Pt{r.Ring}, r.Holes...), func(y, x0, x1 int) {
		for x := x0; x < x1; x++ {
			out[y*w+x] = true
		}
	})
	return out
}

func writeMask(file string, mask []bool, w, h int) {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i, in := range mask {
		if in {
			img.Pix[i] = 255
		}
	}
	f, _ := os.Create(file)
	png.Encode(f, img)
	f.Close()
}

func overlay(file string, img *image.RGBA, got, truth []bool) {
	out := image.NewRGBA(img.Rect)
	copy(out.Pix, img.Pix)
	for i := range got {
		switch {
		case got[i] && !truth[i]:
			out.Pix[4*i], out.Pix[4*i+1], out.Pix[4*i+2] = 255, 0, 0
		case !got[i] && truth[i]:
			out.Pix[4*i], out.Pix[4*i+1], out.Pix[4*i+2] = 0, 80, 255
		}
	}
	f, _ := os.Create(file)
	png.Encode(f, out)
	f.Close()
}

func TestDump(t *testing.T) {
	for _, s := range stamps(t) {
		rnd := rand.New(rand.NewPCG(6, uint64(len(s.name))))
		img := s.over(fabric(s.w, s.h, colours[6], rnd), 2, rnd)
		f, _ := os.Create("/tmp/ww/T/pic/raw-" + s.name + ".png")
		png.Encode(f, img)
		f.Close()
	}
}
