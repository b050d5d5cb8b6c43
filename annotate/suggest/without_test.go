package suggest

import (
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

func row(y float64, xs ...float64) []shape.Pt {
	var out []shape.Pt
	for _, x := range xs {
		out = append(out, shape.Pt{X: x, Y: y})
	}
	return out
}

func square(x0, y0, x1, y1 float64) []shape.Pt {
	return []shape.Pt{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}
}

func TestWithout(t *testing.T) {
	line := Ghost{Kind: Check, Shape: record.LineShape, Points: row(100, 100, 180, 300)}
	ding := Ghost{Kind: Ding, Shape: record.PointShape, Points: row(100, 100), Radius: 5}
	large := Ghost{Kind: Ding, Shape: record.PointShape, Points: row(100, 100), Radius: 20}
	place := func(s record.Shape, p []shape.Pt) record.PhotoPlace { return record.PhotoPlace{Shape: s, Points: p} }
	for _, c := range []struct {
		name  string
		ghost Ghost
		at    record.PhotoPlace
		stays bool
	}{
		{"ding on a point within 8 px", ding, place(record.PointShape, row(100, 107.9)), false},
		{"ding on a point 9 px away", ding, place(record.PointShape, row(100, 109)), true},
		{"large ding on a point within its radius", large, place(record.PointShape, row(100, 119)), false},
		{"ding on a line", ding, place(record.LineShape, row(104, 0, 300)), false},
		{"ding inside an area", ding, place(record.AreaShape, square(0, 0, 400, 400)), false},
		{"ding outside an area", ding, place(record.AreaShape, square(120, 0, 400, 400)), true},
		{"line beside itself, 7 px off", line, place(record.LineShape, row(107, 100, 300)), false},
		{"line beside itself, 9 px off", line, place(record.LineShape, row(109, 100, 300)), true},
		{"line of which a piece was dismissed", line, place(record.LineShape, row(101, 240, 290)), false},
		{"line of which half was dismissed with more", line, place(record.LineShape, row(101, 195, 900)), false},
		{"line of which a third was dismissed with more", line, place(record.LineShape, row(101, 240, 900)), true},
		{"line crossed by another", line, place(record.LineShape, []shape.Pt{{X: 200, Y: 0}, {X: 200, Y: 300}}), true},
		{"line on a point", line, place(record.PointShape, row(100, 200)), true},
		{"line mostly in an area", line, place(record.AreaShape, square(150, 50, 500, 500)), false},
		{"line hardly in an area", line, place(record.AreaShape, square(280, 50, 500, 500)), true},
		{"place without points", line, place(record.LineShape, nil), true},
	} {
		for _, list := range [][2][]record.PhotoPlace{{{c.at}, nil}, {nil, {c.at}}} {
			if got := Without([]Ghost{c.ghost}, list[0], list[1]); (len(got) == 1) != c.stays {
				t.Errorf("%s: %d left", c.name, len(got))
			}
		}
	}
}

// TestDismissedStayDismissed dismisses everything that one search found and
// looks again, at another place of the slider and in a smaller area.
func TestDismissedStayDismissed(t *testing.T) {
	img, marks, ring := demoPainted(t)
	first, err := Find(t.Context(), img, ring, Options{Sensitivity: 0.4})
	if err != nil {
		t.Fatal(err)
	}
	if len(first.Ghosts) < len(marks)/2 {
		t.Fatalf("%d ghosts for %d marks", len(first.Ghosts), len(marks))
	}
	var gone []record.PhotoPlace
	for _, g := range first.Ghosts {
		gone = append(gone, record.PhotoPlace{Shape: g.Shape, Points: g.Points})
	}
	r := shape.RectAround(ring...).Grow(-15)
	again, err := Find(t.Context(), img, square(r.Min.X, r.Min.Y, r.Max.X, r.Max.Y), Options{Sensitivity: 0.6})
	if err != nil {
		t.Fatal(err)
	}
	before := match(Check, again.Ghosts, marks)
	left := Without(again.Ghosts, gone, nil)
	checks, dings := match(Check, left, marks), match(Ding, left, marks)
	if before.hits < 4 {
		t.Fatalf("the second search found only %d checks", before.hits)
	}
	found := match(Check, first.Ghosts, marks).hits + match(Ding, first.Ghosts, marks).hits
	if n := len(marks) - found; checks.hits+dings.hits > n {
		t.Errorf("%d marks were never found, %d came back", n, checks.hits+dings.hits)
	}
}
