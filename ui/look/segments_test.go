//go:build ci

package look

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// Words of unequal length share a narrow row by their lengths: none lies over
// its neighbour, and a tap on a word chooses that word.
func TestSegmentsOfUnequalWords(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false))
	words := []string{"in the finish", "through the finish", "open"}
	got := -1
	s := NewSegments(words, func(i int) { got = i })
	w := test.NewTempWindow(t, s)
	for _, width := range []float32{s.MinSize().Width, 294, 600} {
		s.Resize(fyne.NewSize(width, 30))
		w.Canvas().Capture()
		end := float32(0)
		for i, l := range s.labels {
			need, x := l.MinSize().Width, l.Position().X
			if x < end-0.01 || l.Size().Width < need+4 || x+l.Size().Width > width+0.01 {
				t.Errorf("at %.0f, %q has %.0f units from %.0f, it needs %.0f", width, l.Text, l.Size().Width, x, need)
			}
			end = x + l.Size().Width
			s.Set(-1)
			test.TapAt(s, fyne.NewPos(x+l.Size().Width/2, 10))
			if got != i {
				t.Errorf("at %.0f, a tap on %q chose %d", width, words[i], got)
			}
		}
		if width == 600 && s.labels[0].Size() != s.labels[2].Size() {
			t.Errorf("with room enough the words have %v and %v", s.labels[0].Size(), s.labels[2].Size())
		}
	}
}

// Where there is no room at all the words are cut rather than laid over one
// another.
func TestSegmentsWithoutRoom(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(New(false))
	s := NewSegments([]string{"within adjustment", "at the end of adjustment", "past adjustment"}, nil)
	w := test.NewTempWindow(t, s)
	s.Resize(fyne.NewSize(240, 30))
	w.Canvas().Capture()
	for i, l := range s.labels {
		if l.MinSize().Width > l.Size().Width || l.Text == "" || l.Text == s.options[i] {
			t.Errorf("%q needs %.0f units and has %.0f", l.Text, l.MinSize().Width, l.Size().Width)
		}
	}
}
