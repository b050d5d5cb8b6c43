package suggest

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func TestDev(t *testing.T) {
	cons := []float64{0.06, 0.10, 0.15, 0.25, 0.40}
	if s := os.Getenv("CON"); s != "" {
		v, _ := strconv.ParseFloat(s, 64)
		cons = []float64{v}
	}
	sens := 0.5
	if s := os.Getenv("SENS"); s != "" {
		sens, _ = strconv.ParseFloat(s, 64)
	}
	for i, s := range surfaces {
		if f := os.Getenv("SURF"); f != "" && !strings.Contains(s.name, f) {
			continue
		}
		base, ring := s.picture(t)
		line := fmt.Sprintf("%-36s", s.name)
		for _, c := range cons {
			img, marks := paintMarks(t, base, ring, c, uint64(i+1))
			res, err := Find(t.Context(), img, ring, Options{Sensitivity: sens})
			if err != nil {
				t.Fatal(err)
			}
			a, b := match(Check, res.Ghosts, marks), match(Ding, res.Ghosts, marks)
			line += fmt.Sprintf(" | %.2f %.2f(%d) , %.2f %.2f(%d)", a.recall(), a.precision(), a.ghosts-a.right, b.recall(), b.precision(), b.ghosts-b.right)
			if d := os.Getenv("WORNWOOD_PICTURES"); d != "" {
				overlay(t, fmt.Sprintf("%s/%02d-%.2f.png", d, i, c), img, res.Ghosts, marks)
			}
			if c == cons[len(cons)-1] {
				line += " " + fmt.Sprint(res.Grainy)
			}
		}
		fmt.Println(line)
	}
}

func overlay(t *testing.T, file string, img image.Image, ghosts []Ghost, marks []painted) {
	b := img.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, b.Dx(), 2*b.Dy()))
	draw.Draw(out, b, img, b.Min, draw.Src)
	draw.Draw(out, b.Add(image.Pt(0, b.Dy())), img, b.Min, draw.Src)
	dot := func(x, y float64, c color.RGBA) { out.SetRGBA(int(x), int(y)+b.Dy(), c) }
	for _, m := range marks {
		for _, p := range m.line {
			dot(p.X, p.Y+2, color.RGBA{0, 0, 255, 255})
		}
		if m.kind == Ding {
			for d := -m.radius; d <= m.radius; d++ {
				dot(m.centre.X+d, m.centre.Y-m.radius, color.RGBA{0, 0, 255, 255})
				dot(m.centre.X+d, m.centre.Y+m.radius, color.RGBA{0, 0, 255, 255})
			}
		}
	}
	for _, g := range ghosts {
		c := color.RGBA{0, 255, 0, 255}
		part := []record.Kind{}
		_ = part
		if g.Kind == Ding {
			c = color.RGBA{255, 0, 255, 255}
			for d := -6.0; d <= 6; d++ {
				dot(g.Points[0].X+d, g.Points[0].Y, c)
				dot(g.Points[0].X, g.Points[0].Y+d, c)
			}
		}
		for i := 1; i < len(g.Points); i++ {
			for k := range 8 {
				p, q, t := g.Points[i-1], g.Points[i], float64(k)/8
				dot(p.X+(q.X-p.X)*t, p.Y+(q.Y-p.Y)*t, c)
			}
		}
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, out); err != nil {
		t.Fatal(err)
	}
}

func TestPitFeatures(t *testing.T) {
	for i, s := range surfaces {
		base, ring := s.picture(t)
		for _, c := range []float64{0.15, 0.25} {
			img, marks := paintMarks(t, base, ring, c, uint64(i+1))
			g, err := prepare(img, ring, Options{})
			if err != nil {
				t.Fatal(err)
			}
			all, _ := findPits(t.Context(), g)
			b := boundsAt(0.5)
			all = alone(slices.DeleteFunc(all, func(p pit) bool { return !p.reaches(b) }))
			for _, p := range all {
				hit := ""
				at := g.toPhoto(p.at)
				for _, m := range marks {
					if m.kind == Ding && shape.Dist(at, m.centre) < math.Max(6, m.radius) {
						hit = fmt.Sprintf("d%.0f,%.0f,r%.1f", m.centre.X, m.centre.Y, m.radius)
					}
					if m.kind == Check && shape.DistToPolyline(at, m.line) < 8 {
						hit = "check"
					}
				}
				fmt.Printf("F,%d,%.2f,%s,%.0f %.0f,%.1f,%.4f,%.2f,%.2f,%.3f,%.2f\n", i, c, strings.ReplaceAll(hit, ",", "_"), p.at.X, p.at.Y, p.radius, p.energy, p.stand, p.rise, p.contrast, p.pair)
			}
		}
	}
}
