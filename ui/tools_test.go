//go:build ci

package ui

import (
	"strings"
	"testing"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
)

// marksOf is the Marks screen of the demonstration's window.
func marksOf(t *testing.T, w *Window) *marksScreen {
	t.Helper()
	w.ShowScreen("Marks")
	s, ok := w.frame.now.(*marksScreen)
	if !ok {
		t.Fatalf("the Marks screen is a %T", w.frame.now)
	}
	return s
}

// TestToolsStand shows every tool's panel at both sizes, light and dark: nothing
// sticks out or lies over another, and the panel says what the tool is for.
func TestToolsStand(t *testing.T) {
	says := map[string]string{"Measure": "no scale yet", "Fade": "Mark 7", "Scale": "No scale yet", "Suggest": "Nothing looked at yet", "Trace": "class's outline"}
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			w := demoWindow(t, v.size, v.dark)
			s := marksOf(t, w)
			s.m.Select(7)
			for _, x := range s.all {
				s.choose(x)
				capture(t, w, "tool-"+strings.ToLower(x.name())+"-"+v.name)
				seen := lookAt(w)
				for _, f := range seen.faults() {
					t.Errorf("%s: %s", x.name(), f)
				}
				if !strings.Contains(seen.joined(), says[x.name()]) {
					t.Errorf("%s does not say %q: %s", x.name(), says[x.name()], seen.joined())
				}
				s.choose(x) // again: back to the pin
				if s.tool != nil {
					t.Errorf("%s does not let go", x.name())
				}
			}
		})
	}
}

// TestScaleByClicking scales the front by its card with clicks on the canvas,
// measures on it, undoes the scale, and finds that the measure has none.
func TestScaleByClicking(t *testing.T) {
	w := demoWindow(t, large, false)
	s := marksOf(t, w)
	for i, x := range s.all {
		if x.name() == "Scale" {
			s.choose(s.all[i])
		}
	}
	front := ""
	for _, p := range w.exam.s.Scene().Record.Photos {
		if p.View == "front" {
			front = p.ID
		}
	}
	s.m.SetPhoto(front)
	s.refresh()
	s.tool.(*scaleTool).m.SetKind(1)
	for _, p := range []shape.Pt{{X: 2918.6, Y: 1371.7}, {X: 2484.8, Y: 1375.5}, {X: 2489.1, Y: 1648.3}, {X: 2923.8, Y: 1645.1}} {
		s.photo.Control.OnPick(p)
	}
	if w.exam.s.Scene().Record.PhotoByID(front).Scale == nil || len(s.photo.Control.Sheet().Scale) != 4 {
		t.Fatalf("not scaled: %s", lookAt(w).joined())
	}
	s.choose(s.all[0])
	s.photo.Control.OnMeasure([]shape.Pt{{X: 2918.6, Y: 1371.7}, {X: 2484.8, Y: 1375.5}})
	if txt := lookAt(w).joined(); !strings.Contains(txt, "± ") || !strings.Contains(txt, "Scaled by card") {
		t.Errorf("the measure's panel says: %s", txt)
	}
	if ms := s.photo.Control.Sheet().Measures; len(ms) != 1 || !strings.HasPrefix(ms[0].Label, "8") {
		t.Errorf("on the photo: %+v", ms)
	}
	if _, err := w.exam.s.Undo(); err != nil {
		t.Fatal(err)
	}
	s.refresh()
	if ms := s.photo.Control.Sheet().Measures; len(ms) != 1 || !ms[0].Warn {
		t.Errorf("without the scale: %+v", ms)
	}
}

// TestSuggestByDrawing draws an area, accepts one suggestion and dismisses
// another; only the accepted one is a mark.
func TestSuggestByDrawing(t *testing.T) {
	w := demoWindow(t, large, false)
	s := marksOf(t, w)
	for _, p := range w.exam.s.Scene().Record.Photos {
		if p.Name == "close-checks.jpg" {
			s.m.SetPhoto(p.ID)
		}
	}
	s.choose(s.all[3])
	before := len(w.exam.s.Scene().Record.Marks)
	s.photo.Control.OnPin(record.AreaShape, []shape.Pt{{X: 1250, Y: 300}, {X: 2300, Y: 300}, {X: 2300, Y: 1500}, {X: 1250, Y: 1500}})
	finish(t, w)
	ghosts := s.photo.Control.Sheet().Ghosts
	if len(ghosts) < 3 || len(w.exam.s.Scene().Record.Marks) != before {
		t.Fatalf("%d suggestions, %d marks more", len(ghosts), len(w.exam.s.Scene().Record.Marks)-before)
	}
	s.photo.Control.OnGhost(ghosts[0].ID, false)
	s.photo.Control.OnGhost(s.photo.Control.Sheet().Ghosts[0].ID, true)
	if n := len(w.exam.s.Scene().Record.Marks); n != before+1 {
		t.Errorf("%d marks more", n-before)
	}
	if now := s.photo.Control.Sheet().Ghosts; len(now) > len(ghosts)-2 {
		t.Errorf("%d suggestions of %d are still open", len(now), len(ghosts))
	}
}
