package grade

import (
	"testing"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// The rows of the table worked by hand in the product's description of the
// grade, with its areas front 95 000, back 95 000, sides 52 000, neck 42 000,
// headstock 13 000 and fingerboard 26 000 mm2. Each row is checked with drawn
// and with stated coverage, to 0.1 point as the table prints it.
type handRow struct {
	name   string
	index  float64
	before float64 // the cap; 0 for as index
	class  int
	drawn  []record.Mark
	stated []record.Mark
}

func at(kind record.Kind, depth record.Depth, on ...record.Place) record.Mark {
	return record.Mark{Kind: kind, Depth: depth, On: on}
}

// haloShare is the share of the front under one halo: pi 10^2 of 95 000 mm2.
const haloShare = 314.159265 / 95000

func handRows() []handRow {
	allFront, allBack := areaOn(outline.Front, "front/body", frontRect), areaOn(outline.Back, "back/body", backRect)
	allSides := []record.Place{areaOn(outline.BassSide, "bass-side/edge", sideRect), areaOn(outline.TrebleSide, "treble-side/edge", sideRect)}
	dot := pointOn(outline.Front, "front/body", 100.1, 350.1)
	through, light, deep := record.Through, record.InFinish, record.IntoWood
	return []handRow{
		{name: "nothing found", index: 100, class: 1},
		{name: "one light ding", index: 99.7, class: 1,
			drawn:  []record.Mark{at("ding", light, dot)},
			stated: []record.Mark{at("ding", light, statedOn(record.FrontFinish, haloShare))}},
		{name: "the same ding into the wood", index: 98.7, class: 1,
			drawn:  []record.Mark{at("ding", deep, dot)},
			stated: []record.Mark{at("ding", deep, statedOn(record.FrontFinish, haloShare))}},
		{name: "checking and lightly worn frets", index: 90.5, class: 1,
			drawn: []record.Mark{at("finish check", light, allFront, allBack), at("fret wear", light, piecesOn(record.Frets, 1, 6))},
			stated: []record.Mark{at("finish check", light, statedOn(record.FrontFinish, 1), statedOn(record.BackFinish, 1)),
				at("fret wear", light, statedOn(record.Frets, 0.3))}},
		{name: "checks through, rash, frets, metal", index: 73.2, class: 3,
			drawn: []record.Mark{at("finish check", through, append(allSides, allFront, allBack)...),
				at("buckle rash", light, areaOn(outline.Back, "back/body", rect(50, 300, 95, 100))),
				at("fret wear", through, piecesOn(record.Frets, 1, 16)),
				at("tarnish", through, piecesOn(record.Tuners, 1, 6)), at("tarnish", through, areaOn(outline.Front, "front/bridge", rect(300, 600, 60, 100)))},
			stated: []record.Mark{at("finish check", through, statedOn(record.FrontFinish, 1), statedOn(record.BackFinish, 1), statedOn(record.SidesFinish, 1)),
				at("buckle rash", light, statedOn(record.BackFinish, 0.1)), at("fret wear", through, statedOn(record.Frets, 0.8)),
				at("tarnish", through, statedOn(record.Tuners, 1), statedOn(record.Bridge, 1))}},
		{name: "repaired headstock break", index: 80, before: 85.3, class: 3,
			drawn: []record.Mark{at("headstock break", through, areaOn(outline.Back, "back/head", rect(400, 10, 100, 39)), areaOn(outline.Back, "back/neck", rect(300, 0, 60, 35))),
				at("fret wear", light, piecesOn(record.Frets, 3, 8)), at("surface scratches", light, areaOn(outline.Back, "back/body", rect(0, 250, 250, 76)))},
			stated: []record.Mark{at("headstock break", through, statedOn(record.Headstock, 0.3), statedOn(record.Neck, 0.05)),
				at("fret wear", light, statedOn(record.Frets, 0.3)), at("surface scratches", light, statedOn(record.BackFinish, 0.2))}},
	}
}

func TestTableWorkedByHand(t *testing.T) {
	d := testDrawing()
	for _, row := range handRows() {
		for how, marks := range map[string][]record.Mark{"drawn": row.drawn, "stated": row.stated} {
			t.Run(row.name+", "+how, func(t *testing.T) {
				res := mustGrade(t, inspectedRecord(t, marks...), d)
				near(t, "index", *res.Index, row.index, 0.05)
				if res.Class != row.class {
					t.Errorf("class %d, want %d", res.Class, row.class)
				}
				before := row.before
				if before == 0 {
					before = row.index
				}
				near(t, "index before the cap", *res.BeforeCap, before, 0.05)
				if (res.Cap != nil) != (row.before != 0) {
					t.Errorf("cap %+v", res.Cap)
				}
			})
		}
	}
}

// The last row's cap, field by field.
func TestCapOfTheHeadstockBreak(t *testing.T) {
	rows := handRows()
	res := mustGrade(t, inspectedRecord(t, rows[5].drawn...), testDrawing())
	c := res.Cap
	if c == nil {
		t.Fatal("the break does not cap the grade")
	}
	if c.Mark != 1 || c.Part != record.Headstock || c.FlawClass != 4 || c.Class != 3 {
		t.Errorf("cap %+v", *c)
	}
	near(t, "extent", c.Extent, 0.3, 1e-12)
	near(t, "limit", c.Limit, 80, 1e-9)
	near(t, "points", c.Points, *res.BeforeCap-80, 1e-9)
	last := res.Ledger[len(res.Ledger)-1]
	if last.Mark != 0 || last.Text != "Held to class 3 by mark 1 (headstock break, glued and sound)" {
		t.Errorf("the ledger's last line is %+v", last)
	}
	// A hair less than 30 % belongs to the lower extent: class 3, so class 2 at
	// best, and R = 1.0217 is class 2 already: nothing is held.
	// That is so where what shows is what counts, as in rubric 2.
	rows[5].stated[0].On[0] = statedOn(record.Headstock, 0.2999)
	less := inspectedRecord(t, rows[5].stated...)
	if res, err := Grade(less, testDrawing(), ByHash(FirstNamed)); err != nil || res.Cap != nil || res.Class != 2 {
		t.Errorf("at 29.99 %%: cap %+v, class %d, %v", res.Cap, res.Class, err)
	}
	if c := mustGrade(t, less, testDrawing()).Cap; c == nil || c.Extent != 0.2999 || c.CountedAs != 0.3 || c.FlawClass != 4 {
		t.Errorf("a break reaches further than what shows: %+v", c)
	}
}

// In the fifth row the rash lies over checks of the same factor. It adds
// nothing to the sum; the ledger shares the cells between the two.
func TestEqualFactorsShareTheCells(t *testing.T) {
	marks := handRows()[4].drawn
	d := testDrawing()
	with := mustGrade(t, inspectedRecord(t, marks...), d)
	without := mustGrade(t, inspectedRecord(t, append(marks[:1:1], marks[2:]...)...), d)
	near(t, "index", *with.Index, *without.Index, 1e-9)
	if with.MarkPoints(2) <= 0 {
		t.Errorf("the rash has %v points in the ledger", with.MarkPoints(2))
	}
	near(t, "what both cost", with.MarkPoints(1)+with.MarkPoints(2), without.MarkPoints(1), 1e-9)
	// Half of a tenth of the back, of front, back and sides as a whole.
	near(t, "the rash", with.MarkPoints(2)/without.MarkPoints(1), 0.5*0.1*12/37, 1e-9)
}

// What a worse mark covers wholly is not charged twice.
func TestAMarkUnderAWorseOneAddsNothing(t *testing.T) {
	dot := pointOn(outline.Front, "front/body", 100, 350)
	res := mustGrade(t, inspectedRecord(t, at("ding", record.IntoWood, dot), at("ding", record.InFinish, dot)), testDrawing())
	zero := mustGrade(t, inspectedRecord(t, at("ding", record.IntoWood, statedOn(record.FrontFinish, 0))), testDrawing())
	if l := zero.Line(1); l.Points != 0 || l.Remark != "covers nothing, so it costs nothing" {
		t.Errorf("line %+v", *l)
	}
	if l := res.Line(2); l.Points != 0 || l.Remark != "lies under worse marks, so it adds nothing" {
		t.Errorf("line %+v", *l)
	}
}
