package grade

import (
	"math"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// part finds one part's result.
func part(t *testing.T, res *Result, id record.PartID) PartResult {
	t.Helper()
	for _, p := range res.Parts {
		if p.Part == id {
			return p
		}
	}
	t.Fatalf("no result for %q", id)
	return PartResult{}
}

func lineOn(side outline.Side, region string, pts ...shape.Pt) record.Place {
	return record.Place{Side: string(side), Region: region, Shape: record.LineShape, Points: pts}
}

// The share of a part that one drawn place covers, against plane geometry: the
// raster's error is below a row of cells around the edge.
func TestDrawnCoverage(t *testing.T) {
	const r, front = 10.0, 95000.0
	for name, c := range map[string]struct {
		place record.Place
		area  float64
		part  record.PartID
		of    float64
	}{
		"point":                       {pointOn(outline.Front, "front/body", 100, 400), math.Pi * r * r, record.FrontFinish, front},
		"line":                        {lineOn(outline.Front, "front/body", shape.Pt{X: 50, Y: 300}, shape.Pt{X: 150, Y: 400}), math.Pi*r*r + 2*r*100*math.Sqrt2, record.FrontFinish, front},
		"area, no halo":               {areaOn(outline.Front, "front/body", rect(50, 300, 60, 70)), 60 * 70, record.FrontFinish, front},
		"point on the edge, clipped":  {pointOn(outline.Front, "front/body", 0, 400), math.Pi * r * r / 2, record.FrontFinish, front},
		"area past the edge, clipped": {areaOn(outline.Front, "front/body", rect(-50, 300, 100, 70)), 50 * 70, record.FrontFinish, front},
		"one of two sides":            {areaOn(outline.BassSide, "bass-side/edge", sideRect), 26000, record.SidesFinish, 52000},
		"no region, point":            {pointOn(outline.Front, "", 100, 400), math.Pi * r * r, record.FrontFinish, front},
		"no region, area":             {areaOn(outline.Front, "", rect(200, 300, 120, 70)), 50 * 70, record.FrontFinish, front},
		"unknown region":              {pointOn(outline.Front, "front/tail", 100, 400), math.Pi * r * r, record.FrontFinish, front},
	} {
		t.Run(name, func(t *testing.T) {
			res := mustGrade(t, inspectedRecord(t, at("ding", record.InFinish, c.place)), testDrawing())
			got := part(t, res, c.part).Covered * c.of
			near(t, "mm2 covered", got, c.area, 0.01*c.area)
		})
	}
}

func TestNeighbouringRegionsDoNotCount(t *testing.T) {
	// The area lies over front and board; it belongs to the board.
	res := mustGrade(t, inspectedRecord(t, at("ding", record.InFinish, areaOn(outline.Front, "front/board", rect(0, 200, 352, 300)))), testDrawing())
	near(t, "front", part(t, res, record.FrontFinish).Covered, 0, 0)
	near(t, "board", part(t, res, record.Fingerboard).Covered, 0.6, 1e-9)
}

func TestPieces(t *testing.T) {
	d := testDrawing()
	fret := func(i int) shape.Pt { return shape.Lerp(fretRect(i).Min, fretRect(i).Max, 0.5) }
	for name, c := range map[string]struct {
		place  record.Place
		kind   record.Kind
		part   record.PartID
		pieces float64
		of     float64
	}{
		"named":                         {piecesOn(record.Frets, 2, 4), "fret wear", record.Frets, 3, testFrets},
		"point on a fret":               {pointOn(outline.Front, "front/fret-3", fret(3).X, fret(3).Y), "lifted fret", record.Frets, 1, testFrets},
		"point, region at the anchor":   {pointOn(outline.Front, "", fret(3).X, fret(3).Y), "lifted fret", record.Frets, 1, testFrets},
		"point far from any fret":       {pointOn(outline.Front, "front/board", 352, 68), "lifted fret", record.Frets, 0, testFrets},
		"point near a fret":             {pointOn(outline.Front, "front/fret-3", fret(3).X, fret(3).Y+5), "lifted fret", record.Frets, 1, testFrets},
		"point beside a fret":           {pointOn(outline.Front, "front/board", 376, 63), "lifted fret", record.Frets, 1, testFrets},
		"line beside a fret":            {lineOn(outline.Front, "front/board", shape.Pt{X: 376, Y: 63}, shape.Pt{X: 377, Y: 63}), "fret wear", record.Frets, 0, testFrets},
		"line across frets":             {lineOn(outline.Front, "front/fret-3", fret(3), fret(9)), "fret wear", record.Frets, 7, testFrets},
		"area over frets":               {areaOn(outline.Front, "", rect(370, 35, 100, 90)), "fret wear", record.Frets, 5, testFrets},
		"area named for the board":      {areaOn(outline.Front, "front/board", rect(300, 35, 132, 90)), "fret wear", record.Frets, 5, testFrets},
		"a knob":                        {pointOn(outline.Front, "front/control-2", 455, 95), "scratchy control", record.Electronics, 1, testElectronics},
		"corrosion over three tuners":   {areaOn(outline.Back, "back/tuner-1", rect(440, 230, 50, 100)), "corrosion", record.Tuners, 3, testStrings},
		"a share of a counted part":     {statedOn(record.Frets, 0.25), "fret wear", record.Frets, 5, testFrets},
		"area with pieces of its own":   {record.Place{Side: "front", Region: "front/fret-3", Shape: record.AreaShape, Points: ring(fretRect(3)), Pieces: []int{3, 4, 5}}, "fret wear", record.Frets, 3, testFrets},
		"pieces that do not exist":      {piecesOn(record.Frets, testFrets, testFrets+3), "fret wear", record.Frets, 1, testFrets},
		"the same piece named twice":    {record.Place{Part: record.Frets, Pieces: []int{7, 7}}, "fret wear", record.Frets, 1, testFrets},
		"pieces of what is not counted": {piecesOn(record.Neck, 1, 2), "ding", record.Neck, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			res := mustGrade(t, inspectedRecord(t, at(c.kind, record.Through, c.place)), d)
			near(t, "share", part(t, res, c.part).Covered, c.pieces/c.of, 1e-12)
			if (c.pieces == 0) != (len(res.Ledger[0].Parts) == 0) || (c.pieces == 0 && res.Ledger[0].Remark == "") {
				t.Errorf("line %+v", res.Ledger[0])
			}
		})
	}
}

// Without a drawn piece the number follows from frets, strings or the table.
func TestPiecesOfUndrawnParts(t *testing.T) {
	d := testDrawing()
	d.Sides = nil
	res := mustGrade(t, inspectedRecord(t, at("fret wear", record.Through, piecesOn(record.Frets, 1, 5)),
		at("tarnish", record.Through, piecesOn(record.Tuners, 1, 3)), at("dead pickup", record.InFinish, piecesOn(record.Electronics, 1, 2))), d)
	near(t, "frets", part(t, res, record.Frets).Covered, 0.25, 1e-12)
	near(t, "tuners", part(t, res, record.Tuners).Covered, 0.5, 1e-12)
	near(t, "electronics", part(t, res, record.Electronics).Covered, 2.0/6, 1e-12)
}

// Stated shares fill up what is left from the worst factor down.
func TestStatedAndDrawnFillThePart(t *testing.T) {
	res := mustGrade(t, inspectedRecord(t,
		at("ding", record.IntoWood, statedOn(record.FrontFinish, 0.5)),                               // factor 1.30 on 0.5
		at("ding", record.Through, areaOn(outline.Front, "front/body", rect(0, 200, 250, 380*0.25))), // 1.10 on 0.25 drawn
		at("chip", record.Through, statedOn(record.FrontFinish, 0.75)),                               // and 0.75 stated: half fits
		at("scratch", record.InFinish, statedOn(record.FrontFinish, 1)),                              // 1.02: no room is left
	), testDrawing())
	p := part(t, res, record.FrontFinish)
	near(t, "covered", p.Covered, 1, 1e-12)
	near(t, "R", p.R, 1+0.5*0.3+0.5*0.1, 1e-12)
	lost := 100 - *res.Index
	for i, want := range []float64{0.15, 0.5 * 0.25 * 0.1, 0.5 * 0.75 * 0.1, 0} {
		near(t, res.Ledger[i].Text, res.Ledger[i].Points, want/0.2*lost, 1e-9)
	}
}

// An area between the centres of the cells lies on its part and costs nothing.
func TestTooSmallAnArea(t *testing.T) {
	rec := inspectedRecord(t, at("ding", record.InFinish, areaOn(outline.Front, "front/body", rect(100.1, 400.1, 0.05, 0.05))))
	setPart(rec, record.Part{ID: record.FrontFinish})
	res := mustGrade(t, rec, testDrawing())
	l := res.Ledger[0]
	if l.Points != 0 || l.Remark != "too small to be counted as an area; draw it as a point" || !part(t, res, record.FrontFinish).Inspected {
		t.Errorf("%+v", l)
	}
}

func TestUnplacedMarksAreListed(t *testing.T) {
	rec := inspectedRecord(t, record.Mark{Kind: "ding", Depth: record.InFinish},
		at("ding", record.InFinish, pointOn(outline.Front, "front/body", 800, 800)),
		at("ding", record.InFinish, pointOn(outline.Front, "", 800, 800)),
		at("ding", record.InFinish, pointOn("inside", "", 1, 1)),
		at("binding crack", record.InFinish, statedOn(record.Binding, 0.5)))
	setPart(rec, record.Part{ID: record.Binding, State: record.NotFitted})
	res := mustGrade(t, rec, testDrawing())
	near(t, "index", *res.Index, 100, 0)
	for i, want := range []string{"not placed on the outline", "drawn outside its region, front/body", "drawn outside the outline", `drawn on "inside"`, "said to be not fitted"} {
		if l := res.Ledger[i]; l.Points != 0 || !strings.Contains(l.Remark, want) {
			t.Errorf("mark %d: %+v, want the remark %q", l.Mark, l, want)
		}
	}
	if !slices.Equal(res.NotFitted, []record.PartID{record.Binding}) {
		t.Errorf("not fitted %v", res.NotFitted)
	}
}

// The real drawing: every region has a share, and what the session writes for
// a click on a fret or a knob is counted as its piece.
func TestOnTheDrawingsOfAllClasses(t *testing.T) {
	for _, class := range outline.Classes() {
		d, err := DrawingFor(record.Instrument{Class: class})
		if err != nil {
			t.Fatal(err)
		}
		shares, err := Default().Shares(class)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Default().spread(d); err != nil {
			t.Error(err)
		}
		for _, side := range d.Sides {
			for _, reg := range side.Regions {
				p := shares[slices.IndexFunc(shares, func(s Share) bool { return s.Part == reg.Part })]
				if p.Counted != (reg.Piece > 0) {
					t.Errorf("%s: %s has piece %d, its part counts pieces: %v", class, reg.ID, reg.Piece, p.Counted)
				}
			}
		}
	}
}

func TestHostileDetailIsRefused(t *testing.T) {
	d, err := DrawingFor(record.Instrument{})
	if err != nil {
		t.Fatal(err)
	}
	var zigzag []shape.Pt
	for i := range record.MaxPoints {
		zigzag = append(zigzag, shape.Pt{X: float64(i%300) - 150, Y: float64(i%2) * 1e6})
	}
	var marks []record.Mark
	for range 3 {
		marks = append(marks, at("ding", record.InFinish, record.Place{Side: "front", Shape: record.AreaShape, Points: zigzag}))
	}
	if _, err := Grade(inspectedRecord(t, marks...), d, Default()); err == nil || !strings.Contains(err.Error(), "more detail than can be counted") {
		t.Errorf("got %v", err)
	}
}

// What lies far outside takes no counting.
func TestFarCornersAreNotRefused(t *testing.T) {
	far := rect(-9e6, -9e6, 18e6, 18e6)
	res := mustGrade(t, inspectedRecord(t, at("ding", record.InFinish, areaOn(outline.Front, "front/body", far))), testDrawing())
	near(t, "front", part(t, res, record.FrontFinish).Covered, 1, 0)
}

func TestDrawingsAreKept(t *testing.T) {
	a, err := DrawingFor(record.Instrument{Frets: 21})
	if err != nil {
		t.Fatal(err)
	}
	if b, _ := DrawingFor(record.Instrument{Frets: 21}); b != a {
		t.Error("the same measures were drawn twice")
	}
	for n := range keptDrawings {
		if _, err := DrawingFor(record.Instrument{Frets: 10 + n}); err != nil {
			t.Fatal(err)
		}
	}
	if b, _ := DrawingFor(record.Instrument{Frets: 21}); b == a {
		t.Error("more drawings are kept than said")
	}
	if _, err := DrawingFor(record.Instrument{ScaleLength: 3}); err == nil {
		t.Error("a scale of 3 mm was drawn")
	}
}
