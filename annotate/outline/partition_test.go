package outline

import (
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
)

// extremes are drawings of every class at the ends of what its instruments
// are; the first class, whose drawing may not move, has more of them.
func extremes() map[string]Params {
	out := map[string]Params{
		"usual":            {},
		"left-handed":      {LeftHanded: true},
		"short, few frets": {ScaleLength: 500, Frets: 12, Strings: 4},
		"short, twelve":    {ScaleLength: 500, Frets: 27, Strings: 12},
		"long, few frets":  {ScaleLength: 900, Frets: 12, Strings: 12},
		"long, many frets": {ScaleLength: 900, Frets: 27, Strings: 4},
		"small body":       {BodyScale: 0.9, Strings: 8},
		"large body":       {BodyScale: 1.2, Frets: 24},
		"fretless":         {Fretless: true, ScaleLength: 864, Strings: 5},
		"fanned":           {ScaleLength: 648, BassScale: 686, StraightFret: 7, Strings: 7},
	}
	for _, name := range Classes() {
		c := byName[name]
		box := shape.FromCurves(c.body.curves(), true).Bounds()
		out[name] = Params{Class: name}
		out[name+", left, small"] = Params{Class: name, LeftHanded: true, BodyWidth: math.Ceil(0.9 * box.Dx()), ScaleLength: max(c.limits[0], 0.92*c.scale.mm)}
		out[name+", large"] = Params{Class: name, BodyLength: math.Floor(1.08 * box.Dy()), BodyWidth: math.Floor(1.1 * box.Dx()), Strings: c.strings + 1,
			ScaleLength: min(c.limits[1], 1.03*c.scale.mm)}
		fan := Params{Class: name, ScaleLength: 0.97 * c.scale.mm, BassScale: 1.03 * c.scale.mm, StraightFret: 5}
		if !c.fretless {
			out[name+", fanned"] = fan
		}
	}
	return out
}

func eachExtreme(t *testing.T, check func(t *testing.T, d *Drawing)) {
	for name, p := range extremes() {
		t.Run(name, func(t *testing.T) { check(t, drawing(t, p)) })
	}
}

// eachSolid leaves out the classes that have no pickups and controls.
func eachSolid(t *testing.T, check func(t *testing.T, d *Drawing)) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		if d.plan.pickupCount > 0 {
			check(t, d)
		}
	})
}

// Every point inside a silhouette lies on exactly one region and no point
// outside does: random points, and a grid that hits the round figures on which
// edges lie.
func TestEveryPointHasOneRegion(t *testing.T) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		rng := rand.New(rand.NewPCG(3, 4))
		for i := range d.Sides {
			s := &d.Sides[i]
			box := s.Bounds.Grow(5)
			in := 0
			check := func(p shape.Pt) {
				inside := s.Silhouette.Contains(p)
				if inside {
					in++
				}
				if r, ok := d.RegionAt(s.Side, p); ok != inside {
					t.Errorf("%s %v: inside the silhouette %v, region %q", s.Side, p, inside, r.ID)
				}
			}
			for range 1200 {
				check(shape.Pt{X: box.Min.X + rng.Float64()*box.Dx(), Y: box.Min.Y + rng.Float64()*box.Dy()})
			}
			for x := math.Floor(box.Min.X); x < box.Max.X; x += 9 {
				for y := math.Floor(box.Min.Y); y < box.Max.Y; y += 6.5 {
					check(shape.Pt{X: x, Y: y})
				}
			}
			if in < 300 {
				t.Errorf("%s: only %d of the points were inside", s.Side, in)
			}
		}
	})
}

func TestRegionAtIsTopmost(t *testing.T) {
	d := drawing(t, Params{})
	rng := rand.New(rand.NewPCG(5, 6))
	for i := range d.Sides {
		s := &d.Sides[i]
		for range 2000 {
			p := shape.Pt{X: s.Bounds.Min.X + rng.Float64()*s.Bounds.Dx(), Y: s.Bounds.Min.Y + rng.Float64()*s.Bounds.Dy()}
			want := ""
			for _, r := range s.Regions {
				if r.Path.Contains(p) {
					want = r.ID
				}
			}
			if got, _ := d.RegionAt(s.Side, p); got.ID != want {
				t.Fatalf("%s %v: %q, the last region around it is %q", s.Side, p, got.ID, want)
			}
		}
	}
}

// Three ways to the same areas that share little code: what is seen of each
// region, cut exactly; the cells of the raster; Green's theorem around the
// silhouette.
func TestAreasAgree(t *testing.T) {
	eachExtreme(t, func(t *testing.T, d *Drawing) {
		for i := range d.Sides {
			s := &d.Sides[i]
			m := d.Labels(s.Side, 0)
			sum, cells := 0.0, 0
			for j, r := range s.Regions {
				a := d.Area(r.ID)
				sum += a
				cells += m.Count[j]
				// A cell is in or out by its centre: a raster is off by at
				// most half a cell all along the edge, and by that much only
				// where edges run along rows or columns, as frets do.
				b := r.Path.Bounds()
				slack := 2 + m.Grid.Cell*(b.Dx()+b.Dy())
				if got := float64(m.Count[j]) * m.Grid.CellArea(); math.Abs(got-a) > slack {
					t.Errorf("%s: %.1f mm2 seen, raster %.1f", r.ID, a, got)
				}
				if own := r.Path.Area(); a > own*1.0001+0.01 {
					t.Errorf("%s: %.2f mm2 seen of %.2f", r.ID, a, own)
				}
			}
			want := s.Silhouette.Area()
			// Flattening to 0.005 mm along 2 m of edge may lose a few mm2.
			if math.Abs(sum-want) > 4 {
				t.Errorf("%s: regions sum to %.2f mm2, the silhouette has %.2f", s.Side, sum, want)
			}
			if got := float64(cells) * m.Grid.CellArea(); math.Abs(got-want) > m.Grid.Cell*(s.Bounds.Dx()+s.Bounds.Dy()) {
				t.Errorf("%s: raster %.0f mm2, the silhouette has %.0f", s.Side, got, want)
			}
		}
	})
}

func TestAreasAgainstMonteCarlo(t *testing.T) {
	d := drawing(t, Params{})
	rng := rand.New(rand.NewPCG(7, 8))
	const n = 60_000
	for i := range d.Sides {
		s := &d.Sides[i]
		hits := map[string]int{}
		for range n {
			p := shape.Pt{X: s.Bounds.Min.X + rng.Float64()*s.Bounds.Dx(), Y: s.Bounds.Min.Y + rng.Float64()*s.Bounds.Dy()}
			if r, ok := d.RegionAt(s.Side, p); ok {
				hits[r.ID]++
			}
		}
		box := s.Bounds.Dx() * s.Bounds.Dy()
		for _, r := range s.Regions {
			share := float64(hits[r.ID]) / n
			slack := 5*math.Sqrt(share*(1-share)/n)*box + 10*box/n
			if got, want := share*box, d.Area(r.ID); math.Abs(got-want) > slack {
				t.Errorf("%s: Monte Carlo %.0f +- %.0f mm2, Area %.0f", r.ID, got, slack, want)
			}
		}
	}
}

func TestLabelsAreRegionAt(t *testing.T) {
	d := drawing(t, Params{Strings: 7})
	for i := range d.Sides {
		s := &d.Sides[i]
		m := d.Labels(s.Side, 1.5)
		wrong := 0
		for k, l := range m.Label {
			c := m.Grid.Center(k%m.Grid.W, k/m.Grid.W)
			if s.indexAt(c) != int(l) {
				wrong++
			}
			if m.At(c) != int(l) {
				t.Fatalf("At(%v) is not the cell's label", c)
			}
		}
		// The raster is filled from curves flattened to cell/50; only centres
		// that close to an edge may differ.
		if wrong > len(m.Label)/2000 {
			t.Errorf("%s: %d of %d cells differ", s.Side, wrong, len(m.Label))
		}
	}
}

func TestLabelsTogether(t *testing.T) {
	d := drawing(t, Params{})
	var wg sync.WaitGroup
	maps := make([]*LabelMap, 8)
	for i := range maps {
		wg.Go(func() {
			maps[i] = d.Labels(Front, DefaultCell)
			d.Labels(Back, 2+float64(i%2))
			d.Area("front/body")
		})
	}
	wg.Wait()
	for _, m := range maps {
		if m != maps[0] {
			t.Error("the raster was made more than once")
		}
	}
	if g := d.Labels(Back, 1e-9).Grid; g.Cell != smallestCell {
		t.Errorf("cells of %g mm", g.Cell)
	}
}

// Any parameters in range give a drawing that holds.
func TestAnyParams(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		class := rapid.SampledFrom(Classes()).Draw(t, "class")
		lo, hi := ScaleRange(class)
		p := Params{
			Class:       class,
			ScaleLength: rapid.Float64Range(lo, hi).Draw(t, "scale"),
			Frets:       rapid.IntRange(1, 36).Draw(t, "frets"),
			Strings:     rapid.IntRange(1, 12).Draw(t, "strings"),
			LeftHanded:  rapid.Bool().Draw(t, "left"),
			BodyScale:   rapid.Float64Range(0.8, 1.3).Draw(t, "body"),
		}
		d, err := New(p)
		if err != nil && p.Strings > byName[class].strings && strings.Contains(err.Error(), "neck too wide") {
			return // more strings than the class has, and told so
		}
		if err != nil {
			t.Fatalf("draw %+v: %v", p, err)
		}
		for i := range d.Sides {
			s := &d.Sides[i]
			x := rapid.Float64Range(s.Bounds.Min.X-2, s.Bounds.Max.X+2).Draw(t, "x")
			y := rapid.Float64Range(s.Bounds.Min.Y-2, s.Bounds.Max.Y+2).Draw(t, "y")
			q := shape.Pt{X: x, Y: y}
			if _, ok := d.RegionAt(s.Side, q); ok != s.Silhouette.Contains(q) {
				t.Fatalf("%s %v: region %v, silhouette %v", s.Side, q, ok, !ok)
			}
			if place := d.Place(s.Side, q); (place != "") != s.Silhouette.Contains(q) {
				t.Fatalf("%s %v: place %q", s.Side, q, place)
			}
			checkInside(t, s)
		}
	})
}
