package measure

import (
	"encoding/json"
	"math"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// FuzzFit gives Fit scales of any kind and place: it must refuse in a sentence or
// give readings that are numbers. A bench or a report made elsewhere brings such.
func FuzzFit(f *testing.F) {
	for _, s := range []string{
		`{"kind":"card","points":[{"at":[100,100],"mm":[0,0]},{"at":[956,104],"mm":[85.6,0]},{"at":[950,640],"mm":[85.6,53.98]},{"at":[98,644],"mm":[0,53.98]}]}`,
		`{"kind":"two points","length":{"value":120},"points":[{"at":[10,20],"mm":[0,0]},{"at":[900,40],"mm":[120,0]}]}`,
		`{"kind":"ruler","points":[{"at":[10,20],"mm":[0,0]},{"at":[500,30],"mm":[50,0]},{"at":[990,41],"mm":[100,0]}]}`,
		`{"kind":"frets","side":"front","points":[{"name":"nut-bass","at":[400,10],"mm":[-21,0]},{"name":"nut-treble","at":[600,10],"mm":[21,0]},{"name":"fret-12-treble","at":[620,1500],"mm":[26,324]},{"name":"fret-12-bass","at":[380,1500],"mm":[-26,324]}]}`,
		`{"kind":"landmarks","points":[{"at":[0,0],"mm":[0,0]},{"at":[1e7,0],"mm":[1e-9,0]},{"at":[0,1e7],"mm":[0,1e7]},{"at":[1,1],"mm":[1,1],"noise":1e6}]}`,
	} {
		f.Add([]byte(s), 3000, 2000, 2600.0, 3.0)
	}
	f.Fuzz(func(t *testing.T, b []byte, w, h int, focal, height float64) {
		var s record.Scale
		if json.Unmarshal(b, &s) != nil {
			return
		}
		p, err := Fit(s, Camera{Width: w, Height: h, FocalPx: focal}, nil)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("refused without a word")
			}
			return
		}
		at := func(shape.Pt) Height { return Height{height, 1} }
		a, c, d := shape.Pt{X: 10, Y: 20}, shape.Pt{X: 400, Y: 90}, shape.Pt{X: 200, Y: 700}
		for _, q := range []record.Quantity{p.Length([]shape.Pt{a, c}, at), p.Area([]shape.Pt{a, c, d}, at), p.Angle(a, c, d, at), p.Width(a, d, nil)} {
			if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || q.Value < 0 || math.IsNaN(q.Uncertainty) || math.IsInf(q.Uncertainty, 0) || q.Uncertainty < 0 {
				t.Fatalf("reading %+v", q)
			}
		}
		p.Summary()
		p.Warnings(a, c)
		p.Residuals()
	})
}

func seedScale() record.Scale {
	s, err := CardScale([4]shape.Pt{{X: 100, Y: 100}, {X: 956, Y: 104}, {X: 950, Y: 640}, {X: 98, Y: 644}}, nil)
	if err != nil {
		panic(err)
	}
	return s
}

// BenchmarkFit is what a click on the scale costs.
func BenchmarkFit(b *testing.B) {
	s := seedScale()
	for b.Loop() {
		if _, err := Fit(s, Camera{Width: 6000, Height: 4000}, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLength is what the figure beside a line costs while it is drawn.
func BenchmarkLength(b *testing.B) {
	p, err := Fit(seedScale(), Camera{Width: 6000, Height: 4000}, nil)
	if err != nil {
		b.Fatal(err)
	}
	line := []shape.Pt{{X: 300, Y: 300}, {X: 600, Y: 350}}
	for b.Loop() {
		p.Length(line, nil)
	}
}

// BenchmarkRefineCorners is what finding a card on its edges costs, beside decoding the photo.
func BenchmarkRefineCorners(b *testing.B) {
	d := demoPhotos(b)["front.jpg"]
	img := demoGray(b, d.File)
	for b.Loop() {
		if _, _, err := RefineCorners(img, d.Card.Corners); err != nil {
			b.Fatal(err)
		}
	}
}
