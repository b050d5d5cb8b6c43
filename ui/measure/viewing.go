//go:build bench

package main

import (
	"image"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"

	"wornwood/annotate/shape"
	"wornwood/ui/markview"
)

// The size of the photo and of the view that shows it, in pixels.
const (
	photoW, photoH = 6000, 4000
	viewW, viewH   = 1200, 800
)

// viewing measures one step of zooming or panning a photo of 24 megapixels: the
// resampling from the prepared pyramid, in processor time. The peer is the
// toolkit's own image, drawn smooth, zoomed by the same step.
func viewing(_, _ string) ([]measurement, error) {
	img := image.NewRGBA(image.Rect(0, 0, photoW, photoH))
	for i := range img.Pix {
		img.Pix[i] = uint8(i*7 + i/4096*13)
		if i%4 == 3 {
			img.Pix[i] = 255
		}
	}
	p := markview.NewPyramid(img)
	dst := image.NewRGBA(image.Rect(0, 0, viewW, viewH))
	fit := float64(viewW) / photoW
	ours := func(scale float64) func() (float64, error) {
		return func() (float64, error) {
			const steps = 20
			start := cpu()
			for i := range steps {
				s := scale
				x, y := float64(-i), float64(-2*i)
				if scale < 1 {
					s *= 1 + float64(i)/200 // a zoom, so that nothing can be kept
				}
				p.View(dst, shape.Affine{s, 0, x, 0, s, y})
			}
			return (cpu() - start) / steps, nil
		}
	}
	return []measurement{
		{name: "zoom-24MP-at-fit-CPU", unit: "ms", rounds: 5, limit: 12, absolute: true, ours: ours(fit), peer: toolkit(img, float32(fit))},
		{name: "pan-24MP-at-1:1-CPU", unit: "ms", rounds: 5, limit: 2, absolute: true, ours: ours(1), peer: toolkit(img, 1)},
	}, nil
}

// toolkit shows the photo as the toolkit's own image, drawn smooth, and changes
// its size by a step each time.
func toolkit(img image.Image, scale float32) func() (float64, error) {
	ci := canvas.NewImageFromImage(img)
	ci.ScaleMode, ci.FillMode = canvas.ImageScaleSmooth, canvas.ImageFillStretch
	test.NewApp()
	w := test.NewWindow(container.NewWithoutLayout(ci))
	w.SetPadded(false)
	w.Resize(fyne.NewSize(viewW, viewH))
	n := float32(0)
	return func() (float64, error) {
		n++
		start := cpu()
		ci.Resize(fyne.NewSize(photoW*scale+n, photoH*scale+n))
		ci.Refresh()
		w.Canvas().Capture()
		return cpu() - start, nil
	}
}
