package render

import (
	"context"
	"crypto/sha256"
	"errors"
	"image"
	"math"
	"sync"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

var demoStudio = sync.OnceValues(NewStudio)

func studio(t testing.TB) *Studio {
	t.Helper()
	s, err := demoStudio()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func demoModel(t testing.TB) *model { return studio(t).model }

func view(t testing.TB, file string) View {
	t.Helper()
	for _, v := range Views() {
		if v.File == file {
			return v
		}
	}
	t.Fatalf("there is no view %s", file)
	return View{}
}

func photo(t *testing.T, s *Studio, v View, o Options) *image.RGBA {
	t.Helper()
	img, err := s.Photo(context.Background(), v, o)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func TestSamePictureForAnyNumberOfGoroutines(t *testing.T) {
	other, err := NewStudio()
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{"front.jpg", "treble-side.jpg"} {
		v := view(t, file)
		one := sha256.Sum256(photo(t, studio(t), v, Options{Width: 200, Samples: 4, Workers: 1}).Pix)
		if three := sha256.Sum256(photo(t, studio(t), v, Options{Width: 200, Samples: 4, Workers: 3}).Pix); three != one {
			t.Errorf("%s differs between one goroutine and three", file)
		}
		if again := sha256.Sum256(photo(t, other, v, Options{Width: 200, Samples: 4, Workers: 2}).Pix); again != one {
			t.Errorf("%s differs between two studios", file)
		}
		if finer := sha256.Sum256(photo(t, other, v, Options{Width: 200, Samples: 5, Workers: 2}).Pix); finer == one {
			t.Errorf("%s: the hash does not see the picture, four and five samples give the same", file)
		}
	}
}

func TestPhotoStopsWhenTold(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := studio(t).Photo(ctx, view(t, "front.jpg"), Options{Width: 300}); !errors.Is(err, context.Canceled) {
		t.Fatalf("a cancelled photo gives %v", err)
	}
}

// The tree must find what trying every object finds.
func TestTreeFindsTheNearestObject(t *testing.T) {
	m := demoModel(t)
	tr := newTree(m.objs)
	die := newDice(3, 4, 5)
	met := 0
	for range 4000 {
		o := vec{400*die.next() - 200, 1000*die.next() - 180, 300}
		d := vec{160*die.next() - 80, 160*die.next() - 80, -300}.unit()
		r := newRay(o, d)
		var want *object
		best := 1e5
		for _, obj := range m.objs {
			if h, ok := obj.shape.hit(&r, 1, best); ok {
				want, best = obj, h
			}
		}
		got, at := tr.nearest(&r, 1, 1e5, false)
		if got != want || math.Abs(at-best) > 1e-9 {
			t.Fatalf("from %v along %v: tree %v at %g, all %v at %g", o, d, got, at, want, best)
		}
		if got != nil {
			met++
		}
	}
	if met < 1000 {
		t.Fatalf("only %d of the rays met anything: the test looks past the instrument", met)
	}
}

// Every shape must lie inside the box it states, or rays would miss it; what
// is buried in another part may be cut off.
func TestShapesStayInTheirBoxes(t *testing.T) {
	objs := demoModel(t).objs
	buried := func(self *object, p vec) bool {
		for _, o := range objs {
			if m, ok := o.shape.(*marched); ok && o != self && m.dist(p) < 0 {
				return true
			}
		}
		return false
	}
	for _, o := range objs {
		m, ok := o.shape.(*marched)
		if !ok {
			continue
		}
		die := newDice(1, 2, 3)
		size := m.hi.sub(m.lo)
		for range 3000 {
			p := vec{m.lo.X + size.X*(1.4*die.next()-0.2), m.lo.Y + size.Y*(1.4*die.next()-0.2), m.lo.Z + size.Z*(1.4*die.next()-0.2)}
			in := p.max(m.lo) == p && p.min(m.hi) == p
			if d := m.dist(p); !in && d < -0.25 && !buried(o, p) {
				t.Errorf("%s is at %v, %.2f mm deep, outside its box %v to %v", o.name, p, -d, m.lo, m.hi)
				break
			}
		}
	}
}

// The marks must lie where their words say, by the outline's own regions.
func TestMarksLieOnTheOutline(t *testing.T) {
	d, err := outline.New(outline.Params{ScaleLength: demoScale})
	if err != nil {
		t.Fatal(err)
	}
	want := []record.PartID{record.FrontFinish, record.FrontFinish, record.FrontFinish, record.FrontFinish, record.FrontFinish,
		record.Headstock, record.Fingerboard, record.BackFinish, record.Fingerboard}
	marks := DemoMarks()
	if len(marks) != len(want) {
		t.Fatalf("%d marks, %d places known", len(marks), len(want))
	}
	for i, m := range marks {
		for _, p := range m.Points {
			r, ok := d.RegionAt(outline.Side(m.Side), p)
			if fret := want[i] == record.Fingerboard && r.Part == record.Frets; !ok || r.Part != want[i] && !fret {
				t.Errorf("mark %d, %s: %v is on %q (%s)", i+1, m.Kind, p, r.Name, r.Part)
			}
		}
		switch n := len(m.Points); {
		case m.Shape == record.PointShape && n != 1, m.Shape == record.LineShape && n < 2, m.Shape == record.AreaShape && n < 3:
			t.Errorf("mark %d, %s: %d points for a %s", i+1, m.Kind, n, m.Shape)
		}
		if m.Shape == record.LineShape {
			l := 0.0
			for k := 1; k < len(m.Points); k++ {
				l += hypot(m.Points[k].X-m.Points[k-1].X, m.Points[k].Y-m.Points[k-1].Y)
			}
			if math.Abs(l-m.Length) > 0.05 {
				t.Errorf("mark %d, %s: drawn %.2f mm long, recorded as %g", i+1, m.Kind, l, m.Length)
			}
		}
	}
}
