package grade

import (
	"testing"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// drawnParts are the parts that a class's own drawing shows.
func drawnParts(t *testing.T, class string) map[record.PartID]bool {
	t.Helper()
	d, err := outline.New(outline.Params{Class: class})
	if err != nil {
		t.Fatal(err)
	}
	out := map[record.PartID]bool{}
	for _, s := range d.Sides {
		for _, r := range s.Regions {
			out[r.Part] = true
		}
	}
	return out
}

// Every class has its profile; each part that is drawn has a share, each part
// with a share can be marked (it is drawn, counted in pieces, or stated by kinds
// that occur on it), and what is optional is nothing that the drawing shows.
func TestProfileOfEveryClass(t *testing.T) {
	r := Default()
	for _, class := range outline.Classes() {
		shares, err := r.Shares(class)
		if err != nil {
			t.Error(err)
			continue
		}
		sum, drawn, has := 0.0, drawnParts(t, class), map[record.PartID]bool{}
		for _, s := range shares {
			sum += s.Share
			has[s.Part] = true
			kinds := 0
			for _, k := range r.Kinds() {
				if len(k.Parts) > 0 && k.On(s.Part) {
					kinds++
				}
			}
			if kinds == 0 {
				t.Errorf("%s: no kind of mark belongs to the %s", class, s.Part)
			}
			if s.Optional && drawn[s.Part] {
				t.Errorf("%s: the %s is drawn and yet optional", class, s.Part)
			}
			if s.Counted && !drawn[s.Part] && s.Per == "" && s.Pieces < 1 {
				t.Errorf("%s: nothing says how many pieces the %s has", class, s.Part)
			}
		}
		if sum != 100 {
			t.Errorf("%s: the shares sum to %v", class, sum)
		}
		for p := range drawn {
			if !has[p] {
				t.Errorf("%s: the %s is drawn and has no share", class, p)
			}
		}
	}
}

// What a dealer would say of any class, common practice: the face counts more
// than the back and the back more than the sides; the wood of the body at least
// a third of the whole; a nut is a small thing; a fretted neck's frets weigh
// about as much as its board; no single part is more than a quarter.
func TestSharesMakeSense(t *testing.T) {
	r := Default()
	for _, class := range outline.Classes() {
		shares, err := r.Shares(class)
		if err != nil {
			t.Fatal(err)
		}
		of := map[record.PartID]float64{}
		for _, s := range shares {
			of[s.Part] = s.Share
			if s.Share > 25 {
				t.Errorf("%s: the %s alone has %v", class, s.Part, s.Share)
			}
		}
		face := of[record.FrontFinish] + of[record.Top] + of[record.Belly]
		back, sides := of[record.BackFinish]+of[record.Back], of[record.SidesFinish]+of[record.Ribs]
		if class == "banjo" {
			if of[record.Rim] < of[record.Skin] {
				t.Error("a skin is renewed, a rim is the instrument")
			}
			continue
		}
		if !(face > back && back > sides && face+back+sides >= 33) {
			t.Errorf("%s: face %v, back %v, sides %v", class, face, back, sides)
		}
		if of[record.Nut] > 3 || (of[record.Frets] > 0 && (of[record.Frets] < 0.8*of[record.Fingerboard] || of[record.Frets] > 1.4*of[record.Fingerboard])) {
			t.Errorf("%s: nut %v, frets %v, board %v", class, of[record.Nut], of[record.Frets], of[record.Fingerboard])
		}
	}
}

// A flat-top's pickup counts once something was said of it, and only then; with
// rubric 2 the class had none at all.
func TestOptionalParts(t *testing.T) {
	inst := record.Instrument{Class: "flat-top auditorium"}
	d, err := DrawingFor(inst)
	if err != nil {
		t.Fatal(err)
	}
	rec := &record.Record{Instrument: inst}
	shares, err := Default().Shares(inst.Class)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range shares {
		if !s.Optional {
			rec.Parts = append(rec.Parts, record.Part{ID: s.Part, State: record.Original, Inspected: true})
		}
	}
	res := mustGrade(t, rec, d)
	if res.Inspected != 1 || len(res.NotInspected) != 0 || len(res.NotFitted) != 1 || res.NotFitted[0] != record.Electronics || len(res.UnknownState) != 0 {
		t.Errorf("nothing was said of a pickup: %+v", res)
	}
	rec.Parts = append(rec.Parts, record.Part{ID: record.Electronics, State: record.LaterReplacement})
	if res = mustGrade(t, rec, d); len(res.NotInspected) != 1 || len(res.NotFitted) != 0 || *res.Originality >= 100 {
		t.Errorf("the pickup is not counted: %+v", res)
	}
	rec.Parts = rec.Parts[:len(rec.Parts)-1]
	rec.Marks = []record.Mark{{Number: 1, Kind: "dead pickup", Depth: record.IntoWood, On: []record.Place{piecesOn(record.Electronics, 1, 1)}}}
	if res = mustGrade(t, rec, d); res.MarkPoints(1) <= 0 || len(res.NotFitted) != 0 {
		t.Errorf("a dead pickup costs nothing: %+v", res)
	}
	if _, err := Grade(rec, d, ByHash(FirstNamed)); err == nil {
		t.Error("rubric 2 knows the pickup of a flat-top")
	}
}
