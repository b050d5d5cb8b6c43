//go:build ignore

// Outlines draws the contact sheets of all outlines: every class at one scale,
// front, back and unrolled sides, and in a second picture its head, neck and
// board. Run it from the repository's top folder:
//
//	go run testdata/outlines.go                        into icons/pictures
//	go run testdata/outlines.go -dir /tmp/x violin     only classes whose names hold a word
//	go run testdata/outlines.go -left -fan 30 -own     variations, to be looked at
package main

import (
	"flag"
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"os"
	"path/filepath"
	"strings"

	paint "wornwood/annotate/draw"
	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
)

func main() {
	dir := flag.String("dir", filepath.Join("icons", "pictures"), "folder to write to")
	scale := flag.Float64("scale", 0.3, "pixels to the millimetre of the sheet of bodies, before the size of a class is allowed for")
	left := flag.Bool("left", false, "left-handed")
	fan := flag.Float64("fan", 0, "mm that the bass scale is longer")
	flag.Parse()
	var ds []*outline.Drawing
	for _, class := range outline.Classes() {
		if !wanted(class, flag.Args()) {
			continue
		}
		p := outline.Params{Class: class, LeftHanded: *left}
		d, err := outline.New(p)
		if err == nil && *fan != 0 {
			p.BassScale = d.ScaleLength + *fan
			d, err = outline.New(p)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		ds = append(ds, d)
	}
	bodies, details := cells{}, cells{}
	for _, d := range ds {
		// A double bass and a ukulele on one sheet: large ones are drawn smaller,
		// less than in proportion, so that all can be read.
		k := *scale * 1.9 / (0.9 + d.Side(outline.Front).Bounds.Dy()/1000)
		bodies.add(d, k, "front", "back", "sides-bass", "sides-treble")
		details.add(d, k*1.6, "head-front", "head-back", "neck-back", "board")
	}
	for name, c := range map[string]cells{"outlines": bodies, "outline-details": details} {
		if err := c.write(filepath.Join(*dir, name+".png")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
}

func wanted(class string, words []string) bool {
	for _, w := range words {
		if strings.Contains(class, w) {
			return true
		}
	}
	return len(words) == 0
}

// cell is one class: its views side by side over its name.
type cell struct {
	title string
	views []outline.View
	d     *outline.Drawing
	k     float64
	w, h  float64
}

type cells []cell

const gap, caption, sheetWide = 18.0, 26.0, 2200.0

func (c *cells) add(d *outline.Drawing, k float64, ids ...string) {
	x := cell{title: d.Class, d: d, k: k}
	for _, id := range ids {
		for _, v := range d.Views() {
			if v.ID == id {
				x.views = append(x.views, v)
				x.w += v.Bounds.Dx()*k + gap
				x.h = max(x.h, v.Bounds.Dy()*k)
			}
		}
	}
	x.h += caption + gap
	x.w = max(x.w, paint.TextWidth(paint.SemiBold, 13, x.title)+gap)
	*c = append(*c, x)
}

// write lays the cells in rows and draws them.
func (c cells) write(path string) error {
	x, y, row := gap, gap, 0.0
	at := make([]shape.Pt, len(c))
	for i, q := range c {
		if x+q.w > sheetWide && x > gap {
			x, y, row = gap, y+row, 0
		}
		at[i] = shape.Pt{X: x, Y: y}
		x += q.w + gap
		row = max(row, q.h)
	}
	img := image.NewRGBA(image.Rect(0, 0, int(sheetWide), int(y+row+gap)))
	st := paint.ScreenLight()
	draw.Draw(img, img.Bounds(), image.NewUniform(st.Ground.Color()), image.Point{}, draw.Src)
	for i, q := range c {
		q.draw(img, at[i], st)
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer f.Close()
	return (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(f, img)
}

func (q cell) draw(img *image.RGBA, at shape.Pt, st paint.Style) {
	paint.Paint(img, paint.List{{Kind: paint.TextOp, Text: q.title, At: shape.Pt{X: at.X, Y: at.Y + 14}, Size: 13, Face: paint.SemiBold, Fill: st.Line}}, shape.Identity())
	x := at.X
	for _, v := range q.views {
		b := v.Bounds
		view := shape.Translate(shape.Mul(b.Min, -1)).Then(shape.Scale(q.k, q.k)).Then(shape.Translate(shape.Pt{X: x, Y: at.Y + caption}))
		// Only the view's part of the sheet is drawn.
		frame := image.Rect(int(x), int(at.Y+caption), int(x+b.Dx()*q.k)+1, int(at.Y+caption+b.Dy()*q.k)+1).Intersect(img.Bounds())
		sub, ok := img.SubImage(frame).(*image.RGBA)
		if ok && !frame.Empty() {
			paint.Paint(sub, paint.Outline(q.d.Side(v.Side), st), view)
		}
		x += b.Dx()*q.k + gap
	}
}
