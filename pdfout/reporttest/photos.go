package reporttest

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"sync"
)

// Wide and Tall are the size of the photos that Photos gives, in pixels. They
// are no larger than a preview, so previews and originals are the same.
const (
	Wide = 1500
	Tall = 1000
)

// Photos is a source of made-up photos, one for each ID, the same each time.
type Photos struct {
	mu    sync.Mutex
	cache map[string][]byte
	Small bool // 150 by 100 pixels, for tests of many photos
}

// OriginalBytes is the photo.
func (p *Photos) OriginalBytes(id string) ([]byte, error) { return p.Preview(id, 2048) }

// Preview is the photo; sizes below 1500 give a small one.
func (p *Photos) Preview(id string, size int) ([]byte, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	key := fmt.Sprint(id, size < Wide)
	if b := p.cache[key]; b != nil {
		return b, nil
	}
	if p.cache == nil {
		p.cache = map[string][]byte{}
	}
	w, h := Wide, Tall
	if p.Small || size < Wide {
		w, h = 150, 100
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, Wood(w, h, id), &jpeg.Options{Quality: 90}); err != nil {
		return nil, err
	}
	p.cache[key] = b.Bytes()
	return b.Bytes(), nil
}

// Wood is a picture with bands like grain, dark at the rim, in a tone that
// depends on the seed.
func Wood(w, h int, seed string) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	n := uint32(2166136261)
	for _, c := range seed {
		n = (n ^ uint32(c)) * 16777619
	}
	tone := float64(n%97) / 97
	for y := range h {
		for x := range w {
			u, v := float64(x)/float64(w)-0.5, float64(y)/float64(h)-0.5
			n = n*1664525 + 1013904223
			light := math.Exp(-3.2*(u*u*1.2+v*v*1.6)) * (0.84 + 0.08*math.Sin(60*v+4*math.Sin(9*u+6*tone)) + 0.05*float64(n>>24)/255)
			img.SetRGBA(x, y, color.RGBA{clamp(light * 225), clamp(light * (110 + 50*tone)), clamp(light * (30 + 40*tone)), 255})
		}
	}
	return img
}

func clamp(v float64) uint8 { return uint8(min(255, max(0, v))) }
