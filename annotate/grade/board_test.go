package grade

import (
	"fmt"
	"math"
	"testing"

	"wornwood/annotate/outline"
	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// The rectangles of the test drawing, in mm on the front and the back. Their
// areas are those of the table worked by hand.
var (
	frontRect = rect(0, 200, 250, 380)   // 95 000 mm2
	boardRect = rect(300, 0, 52, 500)    // 26 000
	backRect  = rect(0, 200, 250, 380)   // 95 000
	neckRect  = rect(300, 0, 60, 700)    // 42 000
	headRect  = rect(400, 0, 100, 130)   // 13 000
	sideRect  = rect(0, 0, 50, 520)      // 26 000, twice
	outerRect = rect(-40, -20, 600, 900) // of the silhouette
)

const testFrets, testStrings, testElectronics = 20, 6, 5

func rect(x, y, w, h float64) shape.Rect {
	return shape.Rect{Min: shape.Pt{X: x, Y: y}, Max: shape.Pt{X: x + w, Y: y + h}}
}

func ring(r shape.Rect) []shape.Pt {
	return []shape.Pt{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}}
}

// testDrawing is a solid body made of rectangles.
func testDrawing() *outline.Drawing { return scaledDrawing(1) }

// scaledDrawing is the same drawing in a unit of which k go into a millimetre.
func scaledDrawing(k float64) *outline.Drawing {
	side := func(s outline.Side, regs ...outline.Region) outline.SideDrawing {
		for i := range regs {
			regs[i].Side = s
			regs[i].Path = regs[i].Path.Transform(shape.Affine{k, 0, 0, 0, k, 0})
		}
		b := outerRect
		b.Min, b.Max = shape.Mul(b.Min, k), shape.Mul(b.Max, k)
		return outline.SideDrawing{Side: s, Bounds: b, Silhouette: shape.Polygon(ring(b)...), Regions: regs}
	}
	reg := func(id string, part record.PartID, piece int, r shape.Rect) outline.Region {
		return outline.Region{ID: id, Name: id, Part: part, Piece: piece, Path: shape.Polygon(ring(r)...)}
	}
	front := []outline.Region{reg("front/body", record.FrontFinish, 0, frontRect), reg("front/board", record.Fingerboard, 0, boardRect),
		reg("front/nut", record.Nut, 0, rect(300, -10, 52, 5)), reg("front/bridge", record.Bridge, 0, rect(300, 600, 60, 100)),
		reg("front/guard", record.Guard, 0, rect(300, 720, 60, 60)), reg("front/binding", record.Binding, 0, rect(-20, 200, 5, 380))}
	for i := 1; i <= testFrets; i++ {
		front = append(front, reg(fmt.Sprintf("front/fret-%d", i), record.Frets, i, fretRect(i)))
	}
	for i := 1; i <= testElectronics; i++ {
		front = append(front, reg(fmt.Sprintf("front/control-%d", i), record.Electronics, i, rect(450, float64(i)*40, 20, 20)))
	}
	back := []outline.Region{reg("back/body", record.BackFinish, 0, backRect), reg("back/neck", record.Neck, 0, neckRect), reg("back/head", record.Headstock, 0, headRect)}
	for i := 1; i <= testStrings; i++ {
		back = append(back, reg(fmt.Sprintf("back/tuner-%d", i), record.Tuners, i, rect(450, 200+float64(i)*40, 20, 20)))
	}
	return &outline.Drawing{
		Params: outline.Params{Class: "solid-body double-cutaway", ScaleLength: 648, Frets: testFrets, Strings: testStrings, BodyScale: 1},
		Sides: []outline.SideDrawing{side(outline.Front, front...), side(outline.Back, back...),
			side(outline.BassSide, reg("bass-side/edge", record.SidesFinish, 0, sideRect)),
			side(outline.TrebleSide, reg("treble-side/edge", record.SidesFinish, 0, sideRect))},
	}
}

// fretRect is a fret of 2 mm; frets lie 20 mm apart, clear of the board.
func fretRect(i int) shape.Rect { return rect(380, float64(i)*20, 52, 2) }

// areaOn is a drawn area.
func areaOn(side outline.Side, region string, r shape.Rect) record.Place {
	return record.Place{Side: string(side), Region: region, Shape: record.AreaShape, Points: ring(r)}
}

func pointOn(side outline.Side, region string, x, y float64) record.Place {
	return record.Place{Side: string(side), Region: region, Shape: record.PointShape, Points: []shape.Pt{{X: x, Y: y}}}
}

func statedOn(part record.PartID, share float64) record.Place {
	return record.Place{Part: part, Coverage: &share}
}

func piecesOn(part record.PartID, from, to int) record.Place {
	pl := record.Place{Part: part}
	for i := from; i <= to; i++ {
		pl.Pieces = append(pl.Pieces, i)
	}
	return pl
}

// inspectedRecord has every part of the class inspected and original.
func inspectedRecord(t testing.TB, marks ...record.Mark) *record.Record {
	shares, err := Default().Shares("solid-body double-cutaway")
	if err != nil {
		t.Fatal(err)
	}
	rec := &record.Record{Schema: record.Schema}
	rec.Instrument.Class = "solid-body double-cutaway"
	for _, s := range shares {
		rec.Parts = append(rec.Parts, record.Part{ID: s.Part, State: record.Original, Inspected: true})
	}
	for i, m := range marks {
		m.Number = i + 1
		rec.Marks = append(rec.Marks, m)
	}
	return rec
}

func setPart(rec *record.Record, p record.Part) {
	for i := range rec.Parts {
		if rec.Parts[i].ID == p.ID {
			rec.Parts[i] = p
			return
		}
	}
	rec.Parts = append(rec.Parts, p)
}

func mustGrade(t fataler, rec *record.Record, d *outline.Drawing) *Result {
	res, err := Grade(rec, d, Default())
	if err != nil {
		t.Fatal(err)
	}
	return res
}

type fataler interface{ Fatal(args ...any) }

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, tolerance)
	}
}
