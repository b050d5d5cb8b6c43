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
				dbg = func(step string, mask []bool, w, h int) {
					if os.Getenv("ONLY") != "" {
						writeMask(filepath.Join(dir, name+"-"+step+".png"), mask, w, h)
					}
				}
				debug = os.Getenv("ONLY") != ""
				start := time.Now()
				r, err := Silhouette(context.Background(), img, Options{})
				if err != nil {
					t.Error(err)
					continue
				}
				el := time.Since(start)
				got := scaledMask(r.Mask, s.w, s.h)
				q := iou(got, truth)
				sum[kind] = append(sum[kind], q)
				if q < 0.95 || os.Getenv("ONLY") != "" {
					fmt.Printf("%-40s %.4f %v\n", name, q, el.Round(time.Millisecond))
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

func scaledMask(m *image.Alpha, w, h int) []bool {
	out := make([]bool, w*h)
	for i := range out {
		x, y := i%w*m.Rect.Dx()/w, i/w*m.Rect.Dy()/h
		out[i] = m.Pix[y*m.Stride+x] > 127
	}
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
