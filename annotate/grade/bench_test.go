package grade

import (
	"fmt"
	"math"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// benchMarks are n marks as an examination has them: dings and scratches all
// over, some worn areas, and every tenth a check over the whole of a side.
func benchMarks(n int) []record.Mark {
	var out []record.Mark
	for i := range n {
		x, y := float64(i*37%200)-100, 480+float64(i*53%240)
		side, region := outline.Front, "front/body"
		if i%2 == 1 {
			side, region = outline.Back, "back/body"
		}
		switch {
		case i%10 == 0:
			out = append(out, at("finish check", record.Through, areaOn(side, region, rect(-170, 340, 340, 430))))
		case i%10 < 4:
			var worn []shape.Pt
			for k := range 60 {
				r, a := 30+5*math.Sin(float64(k)), float64(k)*math.Pi/30
				worn = append(worn, shape.Pt{X: x + r*math.Cos(a), Y: y + r*math.Sin(a)})
			}
			out = append(out, at("wear-through", record.Through, record.Place{Side: string(side), Region: region, Shape: record.AreaShape, Points: worn}))
		case i%10 < 7:
			out = append(out, at("scratch", record.InFinish, lineOn(side, region, shape.Pt{X: x, Y: y}, shape.Pt{X: x + 60, Y: y + 25})))
		default:
			out = append(out, at("ding", record.IntoWood, pointOn(side, region, x, y)))
		}
	}
	return out
}

// BenchmarkGrade is one edit's grade; the window asks for it after each.
func BenchmarkGrade(b *testing.B) {
	d, err := DrawingFor(record.Instrument{})
	if err != nil {
		b.Fatal(err)
	}
	for _, n := range []int{0, 30, 200} {
		rec := inspectedRecord(b, benchMarks(n)...)
		mustGrade(b, rec, d) // the drawing's rasters are made once
		b.Run(fmt.Sprintf("%d marks", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				mustGrade(b, rec, d)
			}
		})
	}
}

// BenchmarkFirstGrade includes drawing the outline and its rasters.
func BenchmarkFirstGrade(b *testing.B) {
	rec := inspectedRecord(b, benchMarks(30)...)
	for b.Loop() {
		d, err := outline.New(outline.Params{})
		if err != nil {
			b.Fatal(err)
		}
		mustGrade(b, rec, d)
	}
}
