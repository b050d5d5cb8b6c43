package outline

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/shape"
)

// Classes come in the order of the list of names and no class is outside it.
func TestClassesAreListed(t *testing.T) {
	if len(names) != 27 || len(Classes()) != 27 || Classes()[0] != "solid-body double-cutaway" {
		t.Errorf("%d names, the first class is %q", len(names), Classes()[0])
	}
	for n := range byName {
		if !slices.Contains(names, n) {
			t.Errorf("the class %q is not in the list of names", n)
		}
	}
}

// The table says what the curve is: length, width, bouts and waist of every
// class within one per cent of its figures. Those marked as read or from memory
// are the facts list's (violin 355, 168, 112, 206; square-shouldered flat-top
// 508 by 397 to 406; solid single-cutaway 330 wide; mandolin 340 by 254, the
// last two from memory, so within four per cent).
func TestBodiesHaveTheirFigures(t *testing.T) {
	for _, name := range Classes() {
		c := byName[name]
		d := drawing(t, Params{Class: name})
		box := shape.FromCurves(d.plan.body, true).Bounds()
		find := map[string]float64{}
		for _, side := range []Side{BassSide, TrebleSide} {
			for _, b := range d.plan.strips[side].bouts() {
				find[b.id] += math.Abs(b.at.X)
			}
		}
		for _, f := range []struct {
			what string
			got  float64
			want figure
		}{{"length", box.Dy(), c.body.length}, {"width", box.Dx(), c.body.width}, {"upper bout", find["upper-bout"], c.body.upper}, {"waist", find["waist"], c.body.waist}} {
			if f.want.mm != 0 && math.Abs(f.got-f.want.mm) > 0.01*f.want.mm {
				t.Errorf("%s: %s %.1f mm, the table says %g", name, f.what, f.got, f.want.mm)
			}
		}
		if c.body.length.mm == 0 || c.body.width.mm == 0 || c.body.depth.mm == 0 {
			t.Errorf("%s: the table lacks length, width or depth", name)
		}
		if c.limits[0] < 250 || c.limits[1] > 1300 || !within(c.scale.mm, c.limits[0], c.limits[1]) {
			t.Errorf("%s: scale %g in %v", name, c.scale.mm, c.limits)
		}
	}
}

// Every figure of every class has words and a source, and a size asked for is
// the size drawn.
func TestDimensionsAndSizes(t *testing.T) {
	for _, name := range Classes() {
		ds := Dimensions(name)
		if len(ds) < 20 {
			t.Errorf("%s lists %d figures", name, len(ds))
		}
		for _, q := range ds {
			if q.Name == "" || !slices.Contains([]string{read, memory, practice, drawn}, q.Source) || math.IsNaN(q.MM) {
				t.Errorf("%s: %+v", name, q)
			}
		}
		usual := shape.FromCurves(byName[name].body.curves(), true).Bounds()
		w, l := math.Round(1.06*usual.Dx()), math.Round(1.04*usual.Dy())
		d := drawing(t, Params{Class: name, BodyWidth: w, BodyLength: l})
		if b := shape.FromCurves(d.plan.body, true).Bounds(); math.Abs(b.Dx()-w) > 0.01 || math.Abs(b.Dy()-l) > 0.01 {
			t.Errorf("%s: asked for %g x %g mm, drawn %.2f x %.2f", name, l, w, b.Dy(), b.Dx())
		}
	}
	if Dimensions("harp") != nil {
		t.Error("figures of a class that does not exist")
	}
	untagged(t, reflect.TypeFor[class](), map[reflect.Type]bool{})
}

// untagged fails for a figure without words in any table.
func untagged(t *testing.T, ty reflect.Type, seen map[reflect.Type]bool) {
	for ty.Kind() == reflect.Pointer || ty.Kind() == reflect.Slice {
		ty = ty.Elem()
	}
	if ty.Kind() != reflect.Struct || seen[ty] || ty == reflect.TypeFor[figure]() {
		return
	}
	seen[ty] = true
	for i := range ty.NumField() {
		f := ty.Field(i)
		if f.Type == reflect.TypeFor[figure]() && f.Tag.Get("dim") == "" {
			t.Errorf("%s.%s has no words", ty, f.Name)
		}
		untagged(t, f.Type, seen)
	}
}

// Places have words everywhere on every class, and none speaks of what the
// class has not.
func TestPlacesFitTheClass(t *testing.T) {
	for _, name := range Classes() {
		d := drawing(t, Params{Class: name})
		for i := range d.Sides {
			s := &d.Sides[i]
			for x := s.Bounds.Min.X; x < s.Bounds.Max.X; x += 6.1 {
				for y := s.Bounds.Min.Y; y < s.Bounds.Max.Y; y += 7.3 {
					p := shape.Pt{X: x, Y: y}
					w := d.Place(s.Side, p)
					if (w == "") == s.Silhouette.Contains(p) || strings.Contains(w, "%") || strings.HasSuffix(w, ", ") {
						t.Errorf("%s, %s %v: %q", name, s.Side, p, w)
					}
					if strings.Contains(w, "horn") && !strings.HasPrefix(name, "solid") && !strings.HasPrefix(name, "electric") && name != "hollow archtop" && name != "thinline" {
						t.Errorf("%s has no horn: %q", name, w)
					}
					if c := d.plan.class; c.fretless && !c.lined && strings.Contains(w, "fret ") {
						t.Errorf("%s has no frets: %q", name, w)
					}
				}
			}
		}
	}
}

// Eight views of every class, each of something.
func TestViewsOfEveryClass(t *testing.T) {
	for _, name := range Classes() {
		d := drawing(t, Params{Class: name})
		if n := len(d.Views()); n != 8 {
			t.Errorf("%s has %d views", name, n)
		}
		for _, v := range d.Views() {
			if v.Bounds.Empty() || v.Bounds.Dx() < 20 || v.Bounds.Dy() < 50 {
				t.Errorf("%s: view %s shows %v", name, v.ID, v.Bounds)
			}
		}
		ids := map[string]bool{}
		for _, l := range d.Landmarks() {
			if ids[l.ID] || !l.At.Finite() {
				t.Errorf("%s: landmark %+v", name, l)
			}
			ids[l.ID] = true
		}
		for _, id := range []string{"nut-bass", "nut-treble", "board-end-bass", "board-end-treble", "saddles", "lower-bout-bass", "lower-bout-treble", "end"} {
			if !ids[id] {
				t.Errorf("%s has no landmark %s", name, id)
			}
		}
	}
}
