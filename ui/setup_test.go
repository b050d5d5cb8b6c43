//go:build ci

package ui

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"wornwood/capture/record"
	"wornwood/ui/view"
)

// gridNow shows the grid of positions, laid out and with the keyboard.
func (w *Window) gridNow(t *testing.T) *playGrid {
	t.Helper()
	w.ShowScreen(view.SetupScreen)
	s := w.frame.now.(*setupScreen)
	s.show(1)
	settle(w)
	w.win.Canvas().Focus(s.play.grid)
	return s.play.grid
}

func (w *Window) soundAt(str, fret int) record.Sound {
	return w.exam.s.Scene().Record.Playing.At(str, fret)
}

// TestPlayingByKeys sets sounds in the grid by letters and steps by arrows.
func TestPlayingByKeys(t *testing.T) {
	w := demoWindow(t, large, false)
	g := w.gridNow(t)
	typeText(t, w, "bd") // string 1, frets 1 and 2
	press(w, fyne.KeyDown, fyne.KeyLeft)
	typeText(t, w, "hx") // string 2, fret 2; x is no sound
	if w.soundAt(1, 1) != record.Buzz || w.soundAt(1, 2) != record.Dead || w.soundAt(2, 2) != record.Choke {
		t.Errorf("the sounds are %q, %q, %q", w.soundAt(1, 1), w.soundAt(1, 2), w.soundAt(2, 2))
	}
	if at := g.m.Cursor(); at != (view.Cell{String: 2, Fret: 3}) {
		t.Errorf("the cursor is at %+v", at)
	}
	press(w, fyne.KeyEnd)
	typeText(t, w, "bb") // the last fret, then string 3 at fret 1
	if n := g.m.Frets(); w.soundAt(2, n) != record.Buzz || w.soundAt(3, 1) != record.Buzz {
		t.Errorf("after the last fret the letters went elsewhere")
	}
	checkHeader(t, w, lookAt(w))
}

// middleOf is the middle of a position of the grid.
func middleOf(g *playGrid, str, fret int) fyne.Position {
	cw, ch := g.cell()
	return fyne.NewPos(stringHead+(float32(fret)-0.5)*cw, fretHead+(float32(str)-0.5)*ch)
}

// TestEveryPositionWithinAMinute fills the whole grid letter by letter. 132
// keystrokes at a keyboard take a practised hand some 40 seconds, so the
// program may take a tenth of a second for each at the very most; what it takes
// is logged.
func TestEveryPositionWithinAMinute(t *testing.T) {
	w := demoWindow(t, large, false)
	g := w.gridNow(t)
	if g.m.Strings() != 6 || g.m.Frets() != 22 {
		t.Fatalf("the demonstration has %d strings and %d frets", g.m.Strings(), g.m.Frets())
	}
	w.try(g.m.RestNotTried)
	letters, keys, began := "cbhd", 0, time.Now()
	for s := range 6 {
		for f := range 22 {
			typeText(t, w, letters[(s+f)%4:(s+f)%4+1])
			keys++
		}
	}
	each := time.Since(began) / time.Duration(keys)
	t.Logf("%d keys, %v each", keys, each.Round(100*time.Microsecond))
	if keys != 132 || each > 100*time.Millisecond {
		t.Errorf("%d keys at %v", keys, each)
	}
	for s := range 6 {
		for f := range 22 {
			want, _ := view.SoundOf(rune(letters[(s+f)%4]))
			if got := w.soundAt(s+1, f+1); got != want {
				t.Fatalf("string %d fret %d is %q, not %q", s+1, f+1, got, want)
			}
		}
	}
}

// pointerOn presses and drags the pointer on the grid.
func pointerOn(g *playGrid) (down func(fyne.Position, fyne.KeyModifier), drag func(fyne.Position)) {
	return func(p fyne.Position, mod fyne.KeyModifier) {
			e := &desktop.MouseEvent{Button: desktop.MouseButtonPrimary, Modifier: mod}
			e.Position = p
			g.MouseDown(e)
		}, func(p fyne.Position) {
			e := &fyne.DragEvent{}
			e.Position = p
			g.Dragged(e)
		}
}

// TestPlayingByPointer paints a stroke as one change.
func TestPlayingByPointer(t *testing.T) {
	w := demoWindow(t, small, false)
	g := w.gridNow(t)
	down, drag := pointerOn(g)
	before := w.exam.s.Scene().Record.Playing
	g.m.SetBrush(record.Dead)
	down(middleOf(g, 3, 2), 0)
	drag(middleOf(g, 3, 6)) // a quick pointer: what lies between is painted too
	drag(middleOf(g, 4, 7))
	if w.soundAt(3, 4) == record.Dead {
		t.Error("said before the button came up")
	}
	if g.draw.shown[2][3] != record.Dead {
		t.Error("the stroke is not shown while it is painted")
	}
	g.MouseUp(nil)
	for f := 2; f <= 6; f++ {
		if w.soundAt(3, f) != record.Dead {
			t.Errorf("string 3 fret %d is %q", f, w.soundAt(3, f))
		}
	}
	if w.soundAt(4, 7) != record.Dead || w.exam.s.Scene().Undo != "6 positions: dead" {
		t.Errorf("%q, undo says %q", w.soundAt(4, 7), w.exam.s.Scene().Undo)
	}
	menuItem(t, w, "Edit", "Undo").Action()
	for s := 1; s <= 6; s++ {
		for f := 1; f <= g.m.Frets(); f++ {
			if w.soundAt(s, f) != before.At(s, f) {
				t.Fatalf("string %d fret %d is not as it was", s, f)
			}
		}
	}
}

// TestBlocksByPointer selects from heads, by dragging and with Shift, and fills
// what is selected.
func TestBlocksByPointer(t *testing.T) {
	w := demoWindow(t, small, false)
	g := w.gridNow(t)
	down, drag := pointerOn(g)
	down(fyne.NewPos(10, middleOf(g, 5, 1).Y), 0) // the head of string 5
	g.MouseUp(nil)
	typeText(t, w, "b")
	down(fyne.NewPos(middleOf(g, 1, 9).X, 5), 0) // the head of fret 9
	g.MouseUp(nil)
	typeText(t, w, "h")
	for f := 1; f <= g.m.Frets(); f++ {
		if want := map[bool]record.Sound{true: record.Choke, false: record.Buzz}[f == 9]; w.soundAt(5, f) != want {
			t.Errorf("string 5 fret %d is %q", f, w.soundAt(5, f))
		}
	}
	g.m.SetBrush("")
	down(middleOf(g, 1, 1), 0)
	drag(middleOf(g, 2, 3))
	g.MouseUp(nil)
	typeText(t, w, "d")
	down(middleOf(g, 6, 20), 0)
	g.MouseUp(nil)
	down(middleOf(g, 6, 22), fyne.KeyModifierShift)
	g.MouseUp(nil)
	typeText(t, w, "n")
	if w.soundAt(2, 3) != record.Dead || w.soundAt(6, 21) != record.NotTried {
		t.Errorf("the blocks are %q and %q", w.soundAt(2, 3), w.soundAt(6, 21))
	}
	g.KeyDown(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	press(w, fyne.KeyUp, fyne.KeyLeft)
	g.KeyUp(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	if from, to := g.m.Block(); from != (view.Cell{String: 5, Fret: 20}) || to != (view.Cell{String: 6, Fret: 21}) {
		t.Errorf("the block reaches from %+v to %+v", from, to)
	}
}

// TestSetupStands shows both panels at both sizes, light and dark: nothing
// sticks out or lies over another, and what they are there for is on them.
func TestSetupStands(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := demoWindow(t, v.size, v.dark)
			m := view.NewSetup(w.exam.s, w.bench)
			m.Gauge = "feeler gauge"
			for id, text := range map[string]string{"string height, bass, fret 12": "5/64 in", "string height, treble, fret 12": "2.3", "relief": "8 thou", "fret crown, fret 7": "0.85", "nut gap, bass, fret 1": "0"} {
				if err := m.Set(id, text); err != nil {
					t.Fatal(err)
				}
			}
			w.try(func() error { return m.SetBacklash(3, "8") })
			w.try(func() error { return m.SetFeel(3, "stiff") })
			w.ShowScreen(view.SetupScreen)
			s := w.frame.now.(*setupScreen)
			for i, tab := range setupTabs {
				s.show(i)
				img := capture(t, w, "setup-"+tab+"-"+v.name)
				checkPicture(t, tab, img, v.size, v.dark)
				seen := lookAt(w)
				for _, f := range seen.faults() {
					t.Errorf("%s: %s", tab, f)
				}
				checkHeader(t, w, seen)
				want := map[string][]string{
					"Readings":  {"Bass, fret 12", "1.5 to 2.5 mm", "read 5/64 in", "outside", "1.98", "0.85", "fret 7", "3  G3", "stiff", "Truss rod", "Relief read with"},
					"Positions": {"1  E4", "6  E2", "22", "The rest is clean", "buzz"},
				}[tab]
				for _, text := range want {
					if !seen.has(text) {
						t.Errorf("%s does not say %q", tab, text)
					}
				}
				if len(seen.cut) > 0 {
					t.Errorf("%s, shortened: %q", tab, seen.cut)
				}
			}
			s.unit.Set(0)
			s.unit.OnChanged(1)
			s.show(0)
			capture(t, w, "setup-inches-"+v.name)
			seen := lookAt(w)
			for _, f := range seen.faults() {
				t.Errorf("inches: %s", f)
			}
			for _, text := range []string{"5/64", ".008", ".060 to .098 in", "in"} {
				if !seen.has(text) {
					t.Errorf("in inches it does not say %q", text)
				}
			}
		})
	}
}

// TestSetupOfEveryFamily shows the screen for instruments of other kinds, which
// come while it is open: it follows, stays on its panel, and nothing sticks out.
func TestSetupOfEveryFamily(t *testing.T) {
	w := demoWindow(t, small, false)
	identity := view.NewIdentity(w.exam.s).Fields()[0]
	w.ShowScreen(view.SetupScreen)
	for _, c := range []struct{ class, says, frets string }{
		{"violin", "Fingerboard projection", ""}, {"electric bass long-horn", "Bass, fret 17", "fret 12"}, {"banjo", "Bass, fret 12", "fret 12"},
		{"mandolin teardrop", "Treble, fret 12", "fret 12"}, {"lap steel", "Bass, at the nut", ""}, {"flat-top parlour", "Saddle above the bridge", "fret 12"},
	} {
		for i, tab := range setupTabs {
			w.frame.now.(*setupScreen).show(i)
			if err := identity.Set(c.class); err != nil {
				t.Fatal(err)
			}
			s := w.frame.now.(*setupScreen)
			if s.at != i {
				t.Errorf("%s: the panel is %d, was %d", c.class, s.at, i)
			}
			capture(t, w, "setup-"+tab+"-"+c.class)
			seen := lookAt(w)
			for _, f := range seen.faults() {
				t.Errorf("%s, %s: %s", c.class, tab, f)
			}
			if len(seen.cut) > 0 {
				t.Errorf("%s, %s, shortened: %q", c.class, tab, seen.cut)
			}
			if tab == "Readings" && (!seen.has(c.says) || (c.frets != "" && !seen.has(c.frets)) || seen.has("Fret crowns") != (c.frets != "")) {
				t.Errorf("%s does not say %q or %q", c.class, c.says, c.frets)
			}
			if tab == "Positions" && s.play.grid.draw != nil && s.play.grid.m.Strings() != len(s.play.grid.draw.strings) {
				t.Errorf("%s has %d strings, the grid %d", c.class, s.play.grid.m.Strings(), len(s.play.grid.draw.strings))
			}
		}
	}
}

// TestReadingsByKeys types readings one after another with Enter, crowns
// likewise, and finds a slip refused with the sentence that says why.
func TestReadingsByKeys(t *testing.T) {
	w := bareWindow(t, large, false)
	w.ShowScreen(view.SetupScreen)
	settle(w)
	s := w.frame.now.(*setupScreen)
	saved := func(id string) float64 {
		for _, r := range w.exam.s.Scene().Record.Readings {
			if r.ID == id {
				return r.Value.Value
			}
		}
		return -1
	}
	s.readings.rows[2].field.Focus(w.win.Canvas())
	for _, text := range []string{"0.5", "20 thou"} {
		typeText(t, w, text)
		press(w, fyne.KeyReturn)
	}
	if saved("string height, bass, fret 1") != 0.5 || saved("string height, treble, fret 1") != 0.508 {
		t.Errorf("read %v and %v", saved("string height, bass, fret 1"), saved("string height, treble, fret 1"))
	}
	s.readings.crowns.every.OnChanged(1)
	settle(w)
	if n := len(s.readings.crowns.fields); n != 22 {
		t.Fatalf("%d fields for crowns", n)
	}
	s.readings.crowns.fields[0].Focus(w.win.Canvas())
	for range 22 {
		typeText(t, w, "1.05")
		press(w, fyne.KeyReturn)
	}
	if saved("fret crown, fret 1") != 1.05 || saved("fret crown, fret 22") != 1.05 {
		t.Errorf("crowns %v and %v", saved("fret crown, fret 1"), saved("fret crown, fret 22"))
	}
	capture(t, w, "setup-every-crown")
	for _, f := range lookAt(w).faults() {
		t.Error(f)
	}
	s.readings.rows[0].field.Focus(w.win.Canvas())
	typeText(t, w, "x")
	press(w, fyne.KeyReturn)
	if seen := lookAt(w); !strings.Contains(seen.joined(), "no length") {
		t.Errorf("a slip is answered by %s", seen.joined())
	}
}
