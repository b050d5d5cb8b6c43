package grade

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// drawMark is a random mark on the test drawing: drawn on a region (and at
// times past its edge), stated, or on named pieces.
func drawMark(t *rapid.T, n int) record.Mark {
	k := rapid.SampledFrom(Default().Kinds()).Draw(t, "kind")
	m := record.Mark{Number: n, Kind: k.Kind, Depth: rapid.SampledFrom(record.Depths()).Draw(t, "depth")}
	if k.Reading != "" && rapid.Bool().Draw(t, "measured") {
		m.Reading = &record.MarkReading{Kind: k.Reading, Quantity: record.Quantity{Value: rapid.Float64Range(0, 20).Draw(t, "reading")}}
	}
	for range rapid.IntRange(0, 3).Draw(t, "places") {
		m.On = append(m.On, drawPlace(t))
	}
	return m
}

func drawPlace(t *rapid.T) record.Place {
	parts := []record.PartID{record.FrontFinish, record.BackFinish, record.Neck, record.Frets, record.Tuners, record.Electronics, record.Binding}
	switch rapid.IntRange(0, 3).Draw(t, "how") {
	case 0:
		return statedOn(rapid.SampledFrom(parts).Draw(t, "part"), rapid.Float64Range(0, 1).Draw(t, "coverage"))
	case 1:
		from := rapid.IntRange(1, 5).Draw(t, "from")
		return piecesOn(rapid.SampledFrom(parts[3:6]).Draw(t, "part"), from, from+rapid.IntRange(0, 3).Draw(t, "more"))
	}
	side := rapid.SampledFrom(testDrawing().Sides).Draw(t, "side")
	reg := rapid.SampledFrom(side.Regions).Draw(t, "region")
	b := reg.Path.Bounds().Grow(5)
	pt := func(label string) shape.Pt {
		return shape.Pt{X: rapid.Float64Range(b.Min.X, b.Max.X).Draw(t, label+" x"), Y: rapid.Float64Range(b.Min.Y, b.Max.Y).Draw(t, label+" y")}
	}
	pl := record.Place{Side: string(side.Side), Region: reg.ID, Shape: record.PointShape, Points: []shape.Pt{pt("a")}}
	switch rapid.IntRange(0, 2).Draw(t, "shape") {
	case 0:
		pl.Shape, pl.Points = record.LineShape, append(pl.Points, pt("b"), pt("c"))
	case 1:
		r := shape.RectAround(pl.Points[0], pt("b"))
		pl.Shape, pl.Points = record.AreaShape, ring(r)
	}
	return pl
}

// drawRecord has random marks; parts are inspected or not, and at times not
// fitted, unless all is set.
func drawRecord(t *rapid.T, all bool) *record.Record {
	rec := &record.Record{Schema: record.Schema}
	rec.Instrument.Class = "solid-body double-cutaway"
	shares, err := Default().Shares(rec.Instrument.Class)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range shares {
		p := record.Part{ID: s.Part, State: rapid.SampledFrom(record.States()).Draw(t, "state"), Inspected: all || rapid.Bool().Draw(t, "inspected")}
		if all && p.State == record.NotFitted {
			p.State = record.NotSeen
		}
		rec.Parts = append(rec.Parts, p)
	}
	for i := range rapid.IntRange(0, 8).Draw(t, "marks") {
		rec.Marks = append(rec.Marks, drawMark(t, i+1))
	}
	return rec
}

// The promises that hold for any record.
func checkResult(t fataler, res *Result) { checkResultBy(t, res, Default()) }

func checkResultBy(t fataler, res *Result, r *Rubric) {
	fail := func(what string) { t.Fatal(what, *res) }
	lost, before := 0.0, 100.0
	if res.Index != nil {
		lost, before = 100-*res.Index, *res.BeforeCap
		if !(*res.Index >= 0 && *res.Index <= 100 && res.Low <= *res.Index+1e-9 && *res.Index <= res.High+1e-9) {
			fail("index outside 0..100 or outside its range")
		}
		if res.Class < 1 || res.Class > 6 || res.Word == "" || *res.Index > r.Top(res.Class)+1e-9 || *res.Index > before {
			fail("class and index do not agree")
		}
	} else if res.Class != 0 || res.Low != 0 || res.High != 100 && res.Inspected > 0 || !res.Provisional {
		fail("nothing was inspected and yet there is a grade")
	}
	points, tenths, parts := 0.0, 0, 0.0
	for _, l := range res.Ledger {
		points += l.Points
		tenths += Tenths(l.Shown)
		if l.Points < 0 || math.Abs(l.Shown-l.Points) > 0.1+1e-9 {
			fail("a line of the ledger is off")
		}
	}
	for _, p := range res.Parts {
		parts += p.Points
	}
	if math.Abs(points-lost) > 1e-9 || math.Abs(parts-(100-before)) > 1e-9 {
		fail("the ledger does not add up")
	}
	if res.Index != nil && tenths != 1000-Tenths(*res.Index) {
		fail("the printed ledger does not add up")
	}
	if o := res.Originality; o != nil && !(res.OriginalityLow <= *o+1e-9 && *o <= res.OriginalityHigh+1e-9 && *o >= 0 && *o <= 100) {
		fail("originality outside its range")
	}
}

func TestAnyRecord(t *testing.T) {
	d := testDrawing()
	rapid.Check(t, func(t *rapid.T) { checkResult(t, mustGrade(t, drawRecord(t, false), d)) })
}

// notAbove fails when the index rose.
func notAbove(t *rapid.T, what string, before, after *Result) {
	if *after.Index > *before.Index+1e-9 || after.Class < before.Class || after.Low > before.Low+1e-9 || after.High > before.High+1e-9 {
		t.Fatalf("%s raised the index from %v to %v (class %d to %d)", what, *before.Index, *after.Index, before.Class, after.Class)
	}
}

func TestMoreDamageNeverRaisesTheIndex(t *testing.T) {
	d := testDrawing()
	rapid.Check(t, func(t *rapid.T) {
		rec := drawRecord(t, true)
		rec.Marks = append(rec.Marks, drawMark(t, len(rec.Marks)+1))
		before := mustGrade(t, rec, d)

		more := *rec
		more.Marks = append(slices.Clone(rec.Marks), drawMark(t, len(rec.Marks)+1))
		notAbove(t, "a further mark", before, mustGrade(t, &more, d))

		deeper := *rec
		deeper.Marks = slices.Clone(rec.Marks)
		i := rapid.IntRange(0, len(rec.Marks)-1).Draw(t, "which")
		deeper.Marks[i] = deepen(t, deeper.Marks[i])
		notAbove(t, "a deeper mark", before, mustGrade(t, &deeper, d))

		larger := *rec
		larger.Marks = slices.Clone(rec.Marks)
		larger.Marks[i] = enlarge(t, larger.Marks[i])
		notAbove(t, "a larger mark", before, mustGrade(t, &larger, d))
	})
}

func deepen(t *rapid.T, m record.Mark) record.Mark {
	m.Depth = record.Depths()[min(2, m.Depth.Level()+rapid.IntRange(1, 2).Draw(t, "deeper"))]
	if m.Reading != nil {
		q := *m.Reading
		worse := rapid.Float64Range(0, 10).Draw(t, "worse")
		if q.Kind == record.CrownReading {
			worse = -min(worse, q.Value)
		}
		q.Value += worse
		m.Reading = &q
	}
	return m
}

func enlarge(t *rapid.T, m record.Mark) record.Mark {
	m.On = slices.Clone(m.On)
	by := rapid.Float64Range(0, 40).Draw(t, "larger by")
	for i := range m.On {
		pl := &m.On[i]
		switch {
		case pl.Coverage != nil:
			c := min(1, *pl.Coverage+by/100)
			pl.Coverage = &c
		case len(pl.Pieces) > 0:
			pl.Pieces = append(slices.Clone(pl.Pieces), rapid.IntRange(1, 6).Draw(t, "a further piece"))
		case pl.Shape == record.AreaShape:
			pl.Points = ring(shape.RectAround(pl.Points...).Grow(by))
		case pl.Shape == record.LineShape:
			end := pl.Points[len(pl.Points)-1]
			pl.Points = append(slices.Clone(pl.Points), shape.Pt{X: end.X + by, Y: end.Y - by})
		}
	}
	return m
}

func TestOrderDoesNotMatter(t *testing.T) {
	d := testDrawing()
	rapid.Check(t, func(t *rapid.T) {
		rec := drawRecord(t, false)
		other := *rec
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		other.Marks, other.Parts = slices.Clone(rec.Marks), slices.Clone(rec.Parts)
		for i := range other.Marks {
			on := slices.Clone(other.Marks[i].On)
			rnd.Shuffle(len(on), func(a, b int) { on[a], on[b] = on[b], on[a] })
			other.Marks[i].On = on
			other.Marks[i].Number += 100 // other numbers in another order
		}
		rnd.Shuffle(len(other.Marks), func(a, b int) {
			other.Marks[a], other.Marks[b] = other.Marks[b], other.Marks[a]
		})
		for i := range other.Marks {
			other.Marks[i].Number = other.Marks[i].Number*7%1000 + 1
		}
		rnd.Shuffle(len(other.Parts), func(a, b int) { other.Parts[a], other.Parts[b] = other.Parts[b], other.Parts[a] })
		a, b := mustGrade(t, rec, d), mustGrade(t, &other, d)
		if (a.Index == nil) != (b.Index == nil) || math.Abs(a.Low-b.Low) > 1e-9 || math.Abs(a.High-b.High) > 1e-9 || a.Class != b.Class {
			t.Fatalf("%+v\n%+v", a, b)
		}
		if a.Index != nil && math.Abs(*a.Index-*b.Index) > 1e-9 {
			t.Fatalf("index %v and %v", *a.Index, *b.Index)
		}
		for _, m := range rec.Marks {
			if n := (m.Number+100)*7%1000 + 1; math.Abs(a.MarkPoints(m.Number)-b.MarkPoints(n)) > 1e-9 {
				t.Fatalf("mark %d: %v and %v points", m.Number, a.MarkPoints(m.Number), b.MarkPoints(n))
			}
		}
	})
}

// The same instrument in half millimetres, the halo too, has the same grade.
func TestTheUnitDoesNotMatter(t *testing.T) {
	mm, half := testDrawing(), scaledDrawing(2)
	rubric := *Default()
	rubric.HaloMM, rubric.CellMM = 2*rubric.HaloMM, 2*rubric.CellMM
	// Few, because a drawing keeps one raster of unusual cells only.
	gen := rapid.Custom(func(t *rapid.T) *record.Record { return drawRecord(t, false) })
	for seed := range 12 {
		rec := gen.Example(seed)
		a := mustGrade(t, rec, mm)
		other := *rec
		other.Marks = slices.Clone(rec.Marks)
		for i := range other.Marks {
			on := slices.Clone(other.Marks[i].On)
			for j := range on {
				on[j].Points = slices.Clone(on[j].Points)
				for k, p := range on[j].Points {
					on[j].Points[k] = shape.Mul(p, 2)
				}
			}
			other.Marks[i].On = on
		}
		b, err := Grade(&other, half, &rubric)
		if err != nil {
			t.Fatal(err)
		}
		if a.Ratio != b.Ratio || a.Low != b.Low || a.High != b.High || a.Class != b.Class {
			t.Fatalf("R %v and %v", a.Ratio, b.Ratio)
		}
	}
}

// A halo covers pi 10^2 / 0.5^2 = 1257 cells; on the raster the count varies by
// the cells along its edge, at most 1.5 % in either direction.
func TestMovingASmallMark(t *testing.T) {
	d := testDrawing()
	inside := frontRect.Grow(-11)
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.SampledFrom(record.Depths()).Draw(t, "depth")
		lost := func(label string) float64 {
			x := rapid.Float64Range(inside.Min.X, inside.Max.X).Draw(t, label+" x")
			y := rapid.Float64Range(inside.Min.Y, inside.Max.Y).Draw(t, label+" y")
			rec := &record.Record{Parts: []record.Part{{ID: record.FrontFinish, Inspected: true}},
				Marks: []record.Mark{{Number: 1, Kind: "ding", Depth: depth, On: []record.Place{pointOn(outline.Front, "front/body", x, y)}}}}
			return 100 - *mustGrade(t, rec, d).Index
		}
		a, b := lost("here"), lost("there")
		if math.Abs(a*a-b*b) > 0.03*max(a*a, b*b) { // points lost go with the root of the area
			t.Fatalf("%v points here, %v there", a, b)
		}
	})
}

// Random records on the real drawing, in many places at once.
func TestAnyRecordOnTheRealDrawing(t *testing.T) {
	d, err := DrawingFor(record.Instrument{})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		rec := drawRecord(t, true)
		for i := range rec.Marks {
			for j := range rec.Marks[i].On {
				rec.Marks[i].On[j].Region = "" // the test drawing's regions are not here
			}
		}
		res := mustGrade(t, rec, d)
		checkResult(t, res)
		rec.Marks = append(rec.Marks, drawMark(t, len(rec.Marks)+1))
		notAbove(t, "a further mark", res, mustGrade(t, rec, d))
	})
}
