//go:build ci

package look

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"

	"wornwood/icons"
)

// relLuminance and contrast are after WCAG 2.2, "relative luminance" and
// "contrast ratio" (formula from memory; black on white must give 21).
func relLuminance(c color.NRGBA) float64 {
	lin := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func contrast(a, b color.NRGBA) float64 {
	x, y := relLuminance(a), relLuminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// Text keeps 4.5:1 on every ground it stands on (WCAG 2.2, criterion 1.4.3),
// dots and focus rings 3:1 less the quiet ones that a form tells apart too
// (criterion 1.4.11).
func TestContrast(t *testing.T) {
	if c := contrast(hex(0), hex(0xFFFFFF)); math.Abs(c-21) > 1e-9 {
		t.Fatalf("black on white gives %.3f", c)
	}
	grounds := []fyne.ThemeColorName{ground, Panel, Sheet, Here, Over}
	for name, p := range map[string]palette{"light": light, "dark": dark} {
		if len(p) != len(light) {
			t.Errorf("%s has %d colours, light has %d", name, len(p), len(light))
		}
		check := func(text, on fyne.ThemeColorName, least float64) {
			if c := contrast(p[text], p[on]); c < least {
				t.Errorf("%s: %s on %s has contrast %.2f, less than %.1f", name, text, on, c, least)
			}
		}
		for _, g := range grounds {
			check(Ink, g, 7)
			check(Dim, g, 4.5)
			check(Accent, g, 4.5)
			check(Bad, g, 4.5)
		}
		check(OnAccent, Accent, 4.5)
		check(OnStrong, Strong, 4.5)
		check(OnPhoto, PhotoStrip, 4.5)
		check(Good, ground, 2.9)
		check(Missing, ground, 2.2)
	}
}

// The toolkit's own names lead to our colours and typefaces, and no colour of
// a name that widgets here use is missing.
func TestTheme(t *testing.T) {
	test.NewTempApp(t)
	for _, th := range []*Theme{New(false), New(true)} {
		for n := range th.p {
			if _, _, _, a := th.Color(n, 0).RGBA(); a == 0 {
				t.Errorf("dark %v: %s is invisible", th.Dark(), n)
			}
		}
		if th.Color(theme.ColorNamePrimary, 0) != th.Color(Accent, 0) {
			t.Error("the toolkit's primary colour is not the accent")
		}
		if th.Color("no such colour", 0) == nil {
			t.Error("an unknown colour is nil")
		}
		if th.Font(fyne.TextStyle{Bold: true}).Name() != "sans-semibold.ttf" || th.Font(fyne.TextStyle{}).Name() != "sans.ttf" {
			t.Error("other typefaces than our own")
		}
		if th.Icon(theme.IconNameSearch) == nil || th.Size(theme.SizeNameText) != Body {
			t.Error("icon or size missing")
		}
	}
}

func savePNG(t *testing.T, name string, m image.Image) {
	t.Helper()
	dir := os.Getenv("WORNWOOD_PICTURES")
	if dir == "" {
		return
	}
	f, err := os.Create(dir + "/" + name + ".png")
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, m); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

// wood is a made-up picture for thumbnails.
func wood(w, h int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			g := 0.6 + 0.2*math.Sin(float64(y)/7+2*math.Sin(float64(x)/40))
			m.SetRGBA(x, y, color.RGBA{uint8(150 * g), uint8(90 * g), uint8(52 * g), 255})
		}
	}
	return m
}

func gallery() fyne.CanvasObject {
	head := On(Panel, Inset(14, 8, 14, 8, SpacedColumns(26,
		NewButton("", "back", Quiet, nil),
		Flex(1, Rows(NewText("Halden & Rowe Larkfoot Standard, 1974", Title, Ink).Bold(), NewText("No. 41873 · sunburst, nitrocellulose · examined before listing, 14 Nov 2026 · draft", Small, Dim))),
		NewFigure("Condition · honestly worn", "78", "71–79 of 100"),
		NewFigure("Originality", "94", "2 parts changed"),
		NewFigure("Plays clean", "130", "of 132 positions"),
		Centred(NewButton("Issue report", "", Main, nil)))))
	tools := SpacedColumns(4, NewButton("Pin", "pin", Quiet, nil), NewButton("Line", "line", Quiet, nil), NewButton("Area", "area", Quiet, nil), NewButton("Set scale", "scale", Plain, nil), NewButton("Undo", "undo", Plain, nil))
	tools.Objects[0].(*Button).SetChosen(true)
	off := NewButton("Redo", "redo", Plain, nil)
	off.Disable()
	tools.Add(off)
	thumbs := []fyne.CanvasObject{}
	for i, s := range []string{"front", "back", "board", "head front", "bass side"} {
		th := NewThumb(100, 76, nil)
		th.SetImage(wood(200, 152))
		th.Set(s, []int{4, 0, 1, 12, 0}[i], i == 2)
		thumbs = append(thumbs, th)
	}
	prog := NewProgress(func() {})
	prog.Begin("Importing")
	prog.Step(3, 12, "Importing photos · frame-0016.jpg")
	var icon []fyne.CanvasObject
	for _, n := range icons.Names() {
		icon = append(icon, NewIcon(n, Ink, 22))
	}
	middle := Inset(20, 16, 20, 16, Spaced(14, tools,
		SpacedColumns(8, NewButton("Open the demo", "folder", Main, nil), NewButton("Import photos", "import", Plain, nil), NewButton("Check a report", "verify", Plain, nil)),
		On(PhotoStrip, Inset(8, 8, 8, 8, SpacedColumns(7, thumbs...))),
		prog.Object,
		SpacedColumns(8, NewPinBadge(1, 0, 22), NewPinBadge(2, 1, 22), NewPinBadge(3, 2, 22), NewPinBadge(14, 1, 22), NewText("pins in the finish, through it, into the wood", Body, Ink).Whole()),
		SpacedColumns(8, NewIcon("warning", Missing, 18), NewText("Two parts were not inspected.", Body, Ink).Whole(), NewIcon("check", Good, 18), NewText("unaltered since signed", Body, Ink).Whole(), NewIcon("close", Bad, 18), NewText("the file was changed", Body, Bad).Whole()),
		container.NewGridWrap(fyne.NewSize(40, 40), icon...)))
	status := On(Panel, Inset(14, 4, 14, 4, SpacedColumns(24, NewText("22 of 24 views photographed", Small, Ink).Whole(), NewText("7 marks", Small, Ink).Whole(), Space(), NewText("every change saved · 10:42:07", Small, Dim).Whole())))
	return On(ground, Rows(head, NewRule(), Flex(1, Columns(galleryRail(), NewRule(), Flex(1, middle), NewRule(), Fixed(330, 0, gallerySide()))), NewRule(), status))
}

func galleryRail() fyne.CanvasObject {
	rail := []fyne.CanvasObject{}
	for i, s := range []struct{ label, icon string }{{"Identity", "identity"}, {"Photos", "photos"}, {"Marks", "marks"}, {"Parts", "parts"}, {"Electronics", "electronics"}, {"Setup", "setup"}, {"Dating", "dating"}, {"Grade", "grade"}, {"Report", "report"}} {
		r := NewRailItem(s.label, s.icon, nil)
		r.Set(i == 2, []Status{Complete, Complete, NoDot, Incomplete, Incomplete, Complete, NotStarted, NoDot, NoDot}[i])
		rail = append(rail, r)
	}
	return On(Panel, Rows(rail...))
}

func gallerySide() fyne.CanvasObject {
	depth := NewSegments([]string{"in finish", "through", "in wood"}, nil)
	depth.Set(2)
	since := NewSegments([]string{"unchanged", "grown", "new"}, nil)
	since.Set(0)
	where := NewSelect([]string{"front"}, "choose a part", nil)
	where.Set("Fingerboard, frets 9–20")
	none := NewSelect([]string{"front"}, "choose a part", nil)
	length := NewField("Length", "mm", nil)
	length.Set("62.0 ± 0.5")
	measured := NewField("Measured", "photo 3", nil)
	measured.Set("ΔE*ab 9.8 ± 0.4")
	note := NewNote("Note", 2, nil)
	note.Set("Lighter under the strings; inlays even.")
	rows := [][]string{{"1", "Ding, in finish", "front", "0.4"}, {"2", "Ding, into wood", "front", "1.6"}, {"3", "Wear-through", "front", "5.5"}, {"4", "Chip 3.1 ± 0.2 mm, a long description that is cut", "bass horn", "1.9"}, {"5", "Finish checks", "front", "9.3"}, {"6", "Scratch 14 mm", "head", "0.6"}, {"7", "Fade", "board", "2.7"}}
	table := NewTable([]Column{{Title: "", Width: 28}, {Title: "Mark"}, {Title: "Where", Width: 90, Dim: true}, {Title: "points", Width: 60, Right: true}},
		func() int { return len(rows) }, func(r, c int) string { return rows[r][c] })
	table.Select(6)
	return On(Panel, Inset(16, 14, 16, 14, Spaced(10,
		SpacedColumns(8, NewPinBadge(7, 2, 24), Flex(1, NewText("Fade", Title, Ink).Bold()), NewText("costs 2.7 points", Body, Dim).Whole()),
		Captioned("Where", where), Captioned("Part", none), Captioned("How deep", depth),
		SpacedColumns(10, Flex(1, measured), Flex(1, length)),
		Captioned("Since last examination", since), note,
		Fixed(0, table.Height(len(rows)), table.Object))))
}

// The gallery is for looking at; what is checked is that each variant paints in
// its own ground and that a change of theme reaches every widget.
func TestGallery(t *testing.T) {
	a := test.NewTempApp(t)
	for _, scale := range []float32{1, 2} {
		a.Settings().SetTheme(New(false))
		w := test.NewTempWindow(t, gallery())
		w.SetPadded(false)
		w.Canvas().(test.WindowlessCanvas).SetScale(scale)
		w.Resize(fyne.NewSize(1280, 720))
		lightPic := copied(w.Canvas().Capture())
		a.Settings().SetTheme(New(true))
		darkPic := copied(w.Canvas().Capture())
		name := map[float32]string{1: "gallery", 2: "gallery-2x"}[scale]
		savePNG(t, name+"-light", lightPic)
		savePNG(t, name+"-dark", darkPic)
		same, n := 0, 0
		for y := 0; y < lightPic.Rect.Dy(); y += 3 {
			for x := 0; x < lightPic.Rect.Dx(); x += 3 {
				l, d := lightPic.RGBAAt(x, y), darkPic.RGBAAt(x, y)
				if l.R > 215 && l.G > 215 && l.B > 215 {
					if n++; d.R > 200 {
						same++
					}
				}
			}
		}
		// White stays in badges, in pins, and where the light variant has dark text on the chosen ground.
		if n < 10000 || same*50 > n {
			t.Errorf("scale %v: %d of %d light points stay light in the dark variant", scale, same, n)
		}
	}
}

func copied(m image.Image) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, m.Bounds().Dx(), m.Bounds().Dy()))
	draw.Draw(out, out.Rect, m, m.Bounds().Min, draw.Src)
	return out
}

// The toolkit's own dialog and menu in our theme, and the focus rings.
func TestPopUps(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(New(false))
	chosen := ""
	s := NewSelect([]string{"front finish", "back finish", "neck", "fingerboard"}, "choose a part", func(w string) { chosen = w })
	s.Set("neck")
	seg := NewSegments([]string{"in finish", "through", "in wood"}, nil)
	f := NewField("Length", "mm", nil)
	f.Set("14")
	w := test.NewTempWindow(t, On(ground, Inset(20, 20, 20, 20, Spaced(10, Fixed(240, 0, s), Fixed(240, 0, seg), Fixed(240, 0, f)))))
	w.SetPadded(false)
	w.Resize(fyne.NewSize(620, 360))
	w.Canvas().Focus(seg)
	seg.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if seg.Chosen() != 0 {
		t.Errorf("the right arrow chose %d", seg.Chosen())
	}
	s.Tapped(nil)
	savePNG(t, "popup-select", w.Canvas().Capture())
	menu := w.Canvas().Overlays().Top()
	if menu == nil {
		t.Fatal("a tap opened no list")
	}
	w.Canvas().Overlays().Remove(menu)
	s.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if chosen != "fingerboard" {
		t.Errorf("the down arrow chose %q", chosen)
	}
	dialog.ShowConfirm("Issue the report?", "It is signed and never changes afterwards.", func(bool) {}, w)
	savePNG(t, "popup-dialog", w.Canvas().Capture())
	w.Canvas().Overlays().Remove(w.Canvas().Overlays().Top())
}

// A field reports once, when it is left or Enter is pressed, and Escape takes
// back what was typed.
func TestField(t *testing.T) {
	test.NewTempApp(t)
	var got []string
	f := NewField("Length", "mm", func(s string) { got = append(got, s) })
	f.Set("14")
	w := test.NewTempWindow(t, f)
	w.Canvas().Focus(f.entry)
	test.Type(f.entry, "2")
	f.Set("99") // something else changed meanwhile; what is being typed stays
	if f.Text() != "214" {
		t.Errorf("while typing the field shows %q", f.Text())
	}
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	w.Canvas().Unfocus()
	if len(got) != 1 || got[0] != "214" {
		t.Errorf("reported %q", got)
	}
	w.Canvas().Focus(f.entry)
	test.Type(f.entry, "7")
	f.entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	w.Canvas().Unfocus()
	if len(got) != 1 || f.Text() != "214" {
		t.Errorf("after Escape %q, reported %q", f.Text(), got)
	}
}

// Flexible objects share what is left by their weights, hidden ones take none,
// nothing overlaps and nothing is left between.
func TestRows(t *testing.T) {
	test.NewTempApp(t)
	fix := func(h float32) fyne.CanvasObject { return Fixed(10, h, NewRule()) }
	a, b, c, d := fix(20), Flex(1, NewRule()), Flex(2, NewRule()), fix(30)
	hidden := fix(500)
	hidden.Hide()
	box := Rows(a, b, hidden, c, d)
	box.Resize(fyne.NewSize(100, 200))
	at := float32(0)
	for i, o := range []fyne.CanvasObject{a, b, c, d} {
		if o.Position().Y != at || o.Size().Height != []float32{20, 50, 100, 30}[i] || o.Size().Width != 100 {
			t.Errorf("object %d is at %v, %v", i, o.Position(), o.Size())
		}
		at += o.Size().Height
	}
}

// One that needs more than its share takes it from the others, not from what
// lies past the edge.
func TestLeastLengthBeforeShare(t *testing.T) {
	test.NewTempApp(t)
	a, b, c, d := Flex(1, Fixed(150, 10, NewRule())), Flex(2, Fixed(20, 10, NewRule())), Fixed(50, 10, NewRule()), Flex(1, NewRule())
	Columns(a, b, c, d).Resize(fyne.NewSize(290, 10))
	at := float32(0)
	for i, o := range []fyne.CanvasObject{a, b, c, d} {
		if o.Position().X != at || o.Size().Width != []float32{150, 60, 50, 30}[i] {
			t.Errorf("object %d is at %v, %v", i, o.Position(), o.Size())
		}
		at += o.Size().Width
	}
}

func TestTable(t *testing.T) {
	test.NewTempApp(t)
	n := 5000
	tab := NewTable([]Column{{Title: "Mark"}, {Title: "points", Width: 60, Right: true}}, func() int { return n }, func(r, c int) string { return "x" })
	picked := -1
	tab.OnSelect = func(r int) { picked = r }
	w := test.NewTempWindow(t, tab.Object)
	w.Resize(fyne.NewSize(300, 400))
	tab.Select(3)
	if picked != -1 {
		t.Error("showing a choice reported it")
	}
	tab.list.Select(4)
	if picked != 4 {
		t.Errorf("choosing row 4 reported %d", picked)
	}
	n = 2
	tab.Refresh()
	tab.Select(4) // beyond the end: none
}
