package draw

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// A label keeps its size whatever the line, and never covers an end of it.
func TestDimensionLabels(t *testing.T) {
	st := ScreenLight()
	room := shape.Rect{Max: shape.Pt{X: 900, Y: 600}}
	rapid.Check(t, func(t *rapid.T) {
		var ds []Dimension
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			at := shape.Pt{X: rapid.Float64Range(80, 820).Draw(t, "x"), Y: rapid.Float64Range(60, 540).Draw(t, "y")}
			d := Dimension{Points: []shape.Pt{at}, Label: "31.4 ± 0.3 mm", Warn: rapid.Bool().Draw(t, "warn")}
			for range rapid.IntRange(1, 3).Draw(t, "more") {
				at = shape.Add(at, shape.Pt{X: rapid.Float64Range(-200, 200).Draw(t, "dx"), Y: rapid.Float64Range(-150, 150).Draw(t, "dy")})
				d.Points = append(d.Points, at)
			}
			ds = append(ds, d)
		}
		boxes := DimensionBoxes(ds, room, nil, st)
		for i, b := range boxes {
			if b.Empty() {
				continue
			}
			w, h := ds[i].tag().Size(st)
			if math.Abs(b.Dx()-w) > 1e-9 || math.Abs(b.Dy()-h) > 1e-9 {
				t.Fatalf("the label is %vx%v, its words need %vx%v", b.Dx(), b.Dy(), w, h)
			}
			for _, e := range []shape.Pt{ds[i].Points[0], ds[i].Points[len(ds[i].Points)-1]} {
				if distToRect(e, b) < 1 {
					t.Fatalf("label %d at %v covers an end of its line at %v", i, b, e)
				}
			}
		}
	})
}

func TestDimensionLabelCases(t *testing.T) {
	st := ScreenLight()
	room := shape.Rect{Max: shape.Pt{X: 400, Y: 300}}
	line := func(a, b shape.Pt) Dimension { return Dimension{Points: []shape.Pt{a, b}, Label: "31.4 mm"} }
	middle := func(r shape.Rect) shape.Pt { return r.Center() }
	level := DimensionBoxes([]Dimension{line(shape.Pt{X: 50, Y: 150}, shape.Pt{X: 350, Y: 150})}, room, nil, st)[0]
	if m := middle(level); math.Abs(m.X-200) > 1 || m.Y >= 150 || level.Max.Y > 150-dimClear+1 {
		t.Errorf("on a level line the label is at %v, not above its middle", level)
	}
	long := DimensionBoxes([]Dimension{line(shape.Pt{X: 300, Y: 150}, shape.Pt{X: 5000, Y: 150})}, room, nil, st)[0]
	if !room.Contains(long.Min) || !room.Contains(long.Max) {
		t.Errorf("the label of a line that runs out of the view is at %v", long)
	}
	if b := DimensionBoxes([]Dimension{line(shape.Pt{X: -300, Y: -10}, shape.Pt{X: -20, Y: -50})}, room, nil, st)[0]; !b.Empty() {
		t.Errorf("a line out of sight has its label at %v", b)
	}
	ring := Dimension{Closed: true, Label: "236 mm²", Points: []shape.Pt{{X: 100, Y: 100}, {X: 300, Y: 100}, {X: 300, Y: 220}, {X: 100, Y: 220}}}
	if m := middle(DimensionBoxes([]Dimension{ring}, room, nil, st)[0]); shape.Dist(m, shape.Pt{X: 200, Y: 160}) > 1 {
		t.Errorf("the label of a ring is at %v", m)
	}
	two := []Dimension{line(shape.Pt{X: 100, Y: 150}, shape.Pt{X: 200, Y: 150}), line(shape.Pt{X: 100, Y: 152}, shape.Pt{X: 200, Y: 152})}
	if b := DimensionBoxes(two, room, nil, st); overlaps(b[0], b[1]) {
		t.Errorf("labels %v and %v overlap", b[0], b[1])
	}
	ends := []Dimension{line(shape.Pt{X: 50, Y: 150}, shape.Pt{X: 350, Y: 150}), line(shape.Pt{X: 200, Y: 140}, shape.Pt{X: 200, Y: 20})}
	if b := DimensionBoxes(ends, room, nil, st)[0]; distToRect(ends[1].Points[0], b) < dimClear-1 {
		t.Errorf("the label %v covers the end of another line", b)
	}
	taken := shape.Rect{Min: shape.Pt{X: 150, Y: 100}, Max: shape.Pt{X: 250, Y: 149}}
	if b := DimensionBoxes([]Dimension{line(shape.Pt{X: 50, Y: 150}, shape.Pt{X: 350, Y: 150})}, room, []shape.Rect{taken}, st)[0]; overlaps(b, taken) {
		t.Errorf("the label %v stands on what was taken", b)
	}
}

// A suggestion never looks like a mark: nothing is filled, every line is broken,
// nothing is written.
func TestGhostsAreHollow(t *testing.T) {
	gs := []Ghost{
		{Shape: record.PointShape, Points: []shape.Pt{{X: 50, Y: 50}}},
		{Shape: record.LineShape, Points: []shape.Pt{{X: 10, Y: 10}, {X: 60, Y: 30}, {X: 90, Y: 90}}, Strong: true},
		{Shape: record.AreaShape, Points: []shape.Pt{{X: 10, Y: 10}, {X: 60, Y: 30}, {X: 90, Y: 90}}},
	}
	for name, st := range styles() {
		l := GhostOps(gs, st)
		if len(l) == 0 {
			t.Fatal("nothing is drawn")
		}
		for _, op := range l {
			if op.Kind != PathOp || op.Fill.A > 0 || len(op.Dash) == 0 {
				t.Errorf("%s: %v", name, op)
			}
		}
	}
}

// A projected pin makes no claim of its depth, a marked one does.
func TestProjectedPinsAreAlike(t *testing.T) {
	st := OnPhoto()
	pin := Pin{Number: 3, At: shape.Pt{X: 20, Y: 20}, Projected: true}
	for lv := range 3 {
		pin.Level = lv
		if got, want := PinOps(pin, 10, st).String(), PinOps(Pin{Number: 3, At: pin.At, Projected: true}, 10, st).String(); got != want {
			t.Errorf("level %d is drawn\n%s, level 0\n%s", lv, got, want)
		}
	}
	dashed := false
	for _, op := range PinOps(pin, 10, st) {
		dashed = dashed || len(op.Dash) > 0
	}
	if !dashed {
		t.Error("its ring is whole")
	}
}

// No leader runs over another pin's figure.
func TestLeadersLieUnderDiscs(t *testing.T) {
	pins := []Pin{
		{Number: 1, At: shape.Pt{X: 20, Y: 20}},
		{Number: 2, At: shape.Pt{X: 60, Y: 20}, Leader: true, Tip: shape.Pt{X: 0, Y: 20}, Anchor: shape.Pt{X: 0, Y: 20}},
	}
	l := PinsOps(pins, 10, OnPhoto())
	lastLeader, firstDisc := -1, len(l)
	for i, op := range l {
		if op.Kind == PathOp && op.Fill.A > 0 {
			firstDisc = min(firstDisc, i)
		} else if op.Kind == PathOp && op.Stroke.A > 0 {
			lastLeader = max(lastLeader, i)
		}
	}
	if lastLeader < 0 || lastLeader > firstDisc {
		t.Errorf("the last leader is operation %d, the first disc %d", lastLeader, firstDisc)
	}
}

func styles() map[string]Style {
	return map[string]Style{"light": ScreenLight(), "dark": ScreenDark(), "photo": OnPhoto(), "paper": Paper()}
}

// over is the ink as it looks on a ground.
func (i Ink) over(g Ink) Ink {
	a := float64(i.A) / 255
	mix := func(x, y uint8) uint8 { return uint8(float64(x)*a + float64(y)*(1-a) + 0.5) }
	return Ink{mix(i.R, g.R), mix(i.G, g.G), mix(i.B, g.B), 255}
}

// Words in tags are readable whatever shines through them (4.5:1, WCAG 2.2
// criterion 1.4.3), and lines stand out from their ground (3:1, criterion
// 1.4.11): on outlines from the sheet and the finish, on photos, of whose ground
// nothing is known, from their own halo.
func TestOverlayContrast(t *testing.T) {
	for name, st := range styles() {
		for _, g := range []Ink{Hex(0), Hex(0x777777), Hex(0xFFFFFF)} {
			if c := contrast(st.TagText, st.Tag.over(g)); c < 4.5 {
				t.Errorf("%s: words in a tag over %v have contrast %.2f", name, g, c)
			}
		}
		grounds := []Ink{st.Ground, st.Finish}
		if name == "photo" {
			grounds = []Ink{st.LineHalo.over(Hex(0x777777)), st.LineHalo.over(Hex(0))}
		}
		for what, ink := range map[string]Ink{"guide": st.Guide, "measure": st.Measure, "warning": st.Warn} {
			for _, g := range grounds {
				if c := contrast(ink, g); c < 3 {
					t.Errorf("%s: %s on %v has contrast %.2f", name, what, g, c)
				}
			}
		}
	}
}

// The overlays' operations, on a photo.
func TestGoldenOverlays(t *testing.T) {
	st := OnPhoto()
	room := shape.Rect{Max: shape.Pt{X: 300, Y: 200}}
	l := DimensionLines([]Dimension{{Points: []shape.Pt{{X: 20, Y: 20}, {X: 120, Y: 40}}}, {Points: []shape.Pt{{X: 20, Y: 80}, {X: 60, Y: 90}, {X: 80, Y: 70}}, Warn: true}}, st)
	l = append(l, ScaleOps([]ScaleMark{
		{At: shape.Pt{X: 200, Y: 50}, Off: shape.Pt{X: 1, Y: -0.5}},
		{At: shape.Pt{X: 250, Y: 50}, Residual: 1.2, Active: true},
		{At: shape.Pt{X: 200, Y: 90}, Off: shape.Pt{X: 4}, Wild: true}}, room, false, st)...)
	l = append(l, PatchOps([]Patch{
		{Ring: []shape.Pt{{X: 20, Y: 120}, {X: 60, Y: 120}, {X: 60, Y: 150}, {X: 20, Y: 150}}},
		{Ring: []shape.Pt{{X: 100, Y: 120}, {X: 140, Y: 120}, {X: 140, Y: 150}, {X: 100, Y: 150}}, Joined: true}}, room, st)...)
	l = append(l, PatchFrame(shape.Rect{Min: shape.Pt{X: 160, Y: 120}, Max: shape.Pt{X: 220, Y: 160}}, st)...)
	l = append(l, ProjectedOps(record.LineShape, []shape.Pt{{X: 10, Y: 180}, {X: 90, Y: 190}}, 1, st)...)
	l = append(l, HandleOps([]Handle{{At: shape.Pt{X: 100, Y: 180}}, {At: shape.Pt{X: 120, Y: 180}, Active: true}, {At: shape.Pt{X: 140, Y: 180}, Kind: BetweenHandle}, {At: shape.Pt{X: 160, Y: 180}, Kind: ArmHandle}}, st)...)
	l = append(l, SnapOps(shape.Pt{X: 180, Y: 180}, true, st)...)
	golden(t, "overlays-photo", l.String())
}
