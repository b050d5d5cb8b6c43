package trace

import (
	"context"
	"fmt"
	"image"
	"os"
	"strings"
	"testing"
)

func TestDevOne(t *testing.T) {
	want := strings.Split(os.Getenv("ONLY"), ",")
	h := 800
	if os.Getenv("BIG") != "" {
		h = 1500
	}
	for _, s := range stamps(t, h*2/3, h) {
		for _, k := range []string{"plain", "graded", "fabric", "shadowed"} {
			for _, c := range sound(s, k, 7) {
				for _, w := range want {
					if c.name != w {
						continue
					}
					devDump = func(name string, mask []bool, w, h int) {
						g := image.NewGray(image.Rect(0, 0, w, h))
						for i, m := range mask {
							if m {
								g.Pix[i] = 255
							}
						}
						keep(t, c.name+"-"+name, g)
					}
					score, reliable, g := scoreOf(t, c)
					fmt.Println(c.name, score, reliable, g)
				}
			}
		}
	}
}

func TestDevDemo(t *testing.T) {
	img, _ := demoPhoto(t, "whole", 6)
	devDump = func(name string, mask []bool, w, h int) {
		g := image.NewGray(image.Rect(0, 0, w, h))
		for i, m := range mask {
			if m {
				g.Pix[i] = 255
			}
		}
		keep(t, "d-"+name, g)
	}
	Silhouette(context.Background(), img, Options{})
}
