//go:build bench

package main

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// makePhotos writes n different JPEG files of w x h pixels into dir: some
// textured pictures, each copied under comments of its own, so that hashes
// differ while the work of decoding stays that of a real photo.
func makePhotos(dir string, n, pictures, w, h, quality int) ([]string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	var base [][]byte
	for i := range pictures {
		b := new(bytes.Buffer)
		if err := jpeg.Encode(b, texture(w, h, uint64(i)), &jpeg.Options{Quality: quality}); err != nil {
			return nil, err
		}
		base = append(base, b.Bytes())
	}
	var paths []string
	for i := range n {
		p := filepath.Join(dir, fmt.Sprintf("photo-%03d.jpg", i))
		if err := os.WriteFile(p, withComment(base[i%len(base)], fmt.Sprintf("number %06d", i)), 0o644); err != nil {
			return nil, err
		}
		paths = append(paths, p)
	}
	return paths, nil
}

func withComment(jpg []byte, text string) []byte {
	n := len(text) + 2
	out := append([]byte{}, jpg[:2]...)
	out = append(out, 0xFF, 0xFE, byte(n>>8), byte(n))
	out = append(out, text...)
	return append(out, jpg[2:]...)
}

// texture is grain, soft colour and some noise: as hard to compress as wood.
func texture(w, h int, seed uint64) image.Image {
	rnd := rand.New(rand.NewPCG(seed, 24))
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	row := make([]int, w)
	for y := range h {
		for x := range w {
			row[x] = (row[x]*7 + rnd.IntN(256)) / 8
			v := 90 + (x*120/w+y*60/h)/2 + (row[x]-128)/2 + rnd.IntN(16)
			img.Y[y*img.YStride+x] = uint8(min(255, max(0, v)))
		}
	}
	for i := range img.Cb {
		img.Cb[i] = uint8(100 + i*20/len(img.Cb))
		img.Cr[i] = uint8(160 - i*10/len(img.Cr))
	}
	return img
}
