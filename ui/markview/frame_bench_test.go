//go:build ci

package markview

import (
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// BenchmarkOverlay is what frames cost with the tools of the marks screen out:
// the loupe over a photo and over an outline, a snapping drag, many suggestions.
func BenchmarkOverlay(b *testing.B) {
	photo := NewPyramid(photo24())
	fresh := func(s Sheet) (*Controller, *Picture) {
		c := NewController()
		c.Resize(1200, 800, 1)
		s.Photo, s.Width, s.Height = photoID, 6000, 4000
		c.SetSheet(s)
		return c, &Picture{Photo: photo}
	}
	run := func(name string, c *Controller, pic *Picture, step func(i int)) {
		b.Run(name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				step(i)
				pic.Paint(c, int(c.w), int(c.h))
				i++
			}
		})
	}
	c, pic := fresh(Sheet{})
	run("photo at rest", c, pic, func(int) {})
	c, pic = fresh(Sheet{})
	c.SetTool(PickTool)
	run("photo, loupe hovering", c, pic, func(i int) { c.Move(p(300+float64(i%500), 300)) })
	c, pic = fresh(Sheet{Marks: []record.Mark{onPhoto(7, record.AreaShape, circleOf(3000, 2000, 600, 40)...)}, Selected: 7})
	c.Press(c.View().Apply(p(3600, 2000)), Primary)
	run("photo, corner dragged with loupe", c, pic, func(i int) { c.Move(p(700+float64(i%300), 300)) })
	var gs []Ghost
	for i := range 200 {
		gs = append(gs, Ghost{ID: i, Shape: record.LineShape, Points: []shape.Pt{p(float64(i*29), 500), p(float64(i*29+60), 700), p(float64(i*29+40), 900)}})
	}
	c, pic = fresh(Sheet{Ghosts: gs, Measures: measures(), Scale: scaleMarks()})
	run("photo, 200 suggestions", c, pic, func(i int) { c.Move(p(300+float64(i%500), 300)) })

	o := onFront(b, Sheet{})
	o.SetTool(LineTool)
	o.Press(o.at(-60, 520), Primary)
	o.Release(o.at(-60, 520))
	o.SetLoupe(LoupeOn)
	run("outline, snapping with loupe", o.Controller, &o.pic, func(i int) { o.Move(p(100+float64(i%200), 500)) })
}

func BenchmarkSnap(b *testing.B) {
	o := onFront(b, Sheet{})
	b.Run("edges of a side", func(b *testing.B) {
		for b.Loop() {
			newEdges(o.sheet.Side)
		}
	})
	e := newEdges(o.sheet.Side)
	b.Run("nearest, fitted", func(b *testing.B) {
		i := 0
		for b.Loop() {
			e.near(p(float64(i%300)-150, float64(i%600)), reach/o.Zoom())
			i++
		}
	})
}
