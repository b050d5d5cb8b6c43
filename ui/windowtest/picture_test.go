//go:build window

package windowtest

import (
	"bufio"
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"path/filepath"
)

// picture is a screenshot of the window, three bytes a pixel.
type picture struct {
	w, h int
	pix  []byte
}

// readPPM reads the plainest of picture formats, in which screenshots come:
// "P6", width, height and 255, then the pixels (Netpbm, ppm(5)).
func readPPM(b []byte) (*picture, error) {
	r := bufio.NewReader(bytes.NewReader(b))
	var p picture
	var most int
	if _, err := fmt.Fscanf(r, "P6\n%d %d\n%d\n", &p.w, &p.h, &most); err != nil || most != 255 {
		return nil, fmt.Errorf("read screenshot: head is not that of an 8-bit PPM: %v", err)
	}
	p.pix = make([]byte, 3*p.w*p.h)
	if _, err := io.ReadFull(r, p.pix); err != nil {
		return nil, fmt.Errorf("read screenshot: %w", err)
	}
	return &p, nil
}

// at is the colour of a pixel as 0xRRGGBB, -1 outside.
func (p *picture) at(x, y int) int {
	if x < 0 || y < 0 || x >= p.w || y >= p.h {
		return -1
	}
	i := 3 * (y*p.w + x)
	return int(p.pix[i])<<16 | int(p.pix[i+1])<<8 | int(p.pix[i+2])
}

// same says that two pictures agree in every pixel of a rectangle.
func (p *picture) same(q *picture, r image.Rectangle) bool { return p.differing(q, r) == 0 }

// differing counts the pixels of a rectangle in which two pictures differ.
func (p *picture) differing(q *picture, r image.Rectangle) int {
	n := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if p.at(x, y) != q.at(x, y) {
				n++
			}
		}
	}
	return n
}

// colours counts the different colours in a rectangle: a photo has thousands, a
// plain ground one.
func (p *picture) colours(r image.Rectangle) int {
	seen := map[int]bool{}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			seen[p.at(x, y)] = true
		}
	}
	return len(seen)
}

// runs finds, down the column x, the stretches of a colour that are at least
// least pixels high, and returns their middles: the places of fields to click.
func (p *picture) runs(x, colour, least int) []image.Point {
	var out []image.Point
	from := -1
	for y := 0; y <= p.h; y++ {
		if p.at(x, y) == colour {
			if from < 0 {
				from = y
			}
			continue
		}
		if from >= 0 && y-from >= least {
			out = append(out, image.Pt(x, (from+y)/2))
		}
		from = -1
	}
	return out
}

// save writes the picture as PNG.
func (p *picture) save(path string) error {
	m := image.NewNRGBA(image.Rect(0, 0, p.w, p.h))
	for i := range p.w * p.h {
		m.SetNRGBA(i%p.w, i/p.w, color.NRGBA{p.pix[3*i], p.pix[3*i+1], p.pix[3*i+2], 255})
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(f, m)
}
