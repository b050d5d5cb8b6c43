package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/units"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// setupPanel is one of the Setup screen's panels.
type setupPanel interface {
	object() fyne.CanvasObject
	refresh()
}

// setupScreen is what was measured and how the instrument plays, in panels of
// which one is in sight.
type setupScreen struct {
	w      *Window
	m      *view.Setup
	root   fyne.CanvasObject
	tabs   *look.Segments
	unit   *look.Segments
	body   *fyne.Container
	panels []setupPanel
	at     int

	readings *readingPanel
	play     *playPanel
}

// setupTabs are the names of the panels.
var setupTabs = []string{"Readings", "Positions", "Sound"}

// lengthUnits are the units of the switch.
var lengthUnits = []units.Unit{units.MM, units.Inch}

func newSetupScreen(w *Window) *setupScreen {
	s := &setupScreen{w: w, m: view.NewSetup(w.exam.s, w.bench), body: container.NewStack()}
	s.readings, s.play = newReadingPanel(w, s.m), newPlayPanel(w, s.m.Notes)
	s.panels = []setupPanel{s.readings, s.play, newSoundPanel(w)}
	s.tabs = look.NewSegments(setupTabs, s.show)
	s.unit = look.NewSegments([]string{string(units.MM), string(units.Inch)}, func(i int) {
		w.try(func() error { return s.m.SetUnit(lengthUnits[i]) })
		s.refresh()
	})
	head := look.SpacedColumns(24, look.Centred(look.NewText("Setup", look.Title, look.Ink).Bold().Whole()), look.Centred(look.Fixed(330, 0, s.tabs)), look.Space(),
		look.SpacedColumns(8, look.Centred(look.NewText("Lengths in", look.Caption, look.Dim).Whole()), look.Centred(look.Fixed(88, 0, s.unit))))
	s.root = look.Rows(look.Inset(28, 12, 28, 10, head), look.NewRule(), look.Flex(1, s.body))
	s.show(0)
	return s
}

// show brings a panel into sight.
func (s *setupScreen) show(i int) {
	s.w.takeTyped()
	s.at = i
	s.tabs.Set(i)
	s.body.Objects = []fyne.CanvasObject{s.panels[i].object()}
	s.body.Refresh()
	s.refresh()
	if s.panels[i] == setupPanel(s.play) { // letters go to the grid without a click
		s.w.win.Canvas().Focus(s.play.grid)
	}
}

func (s *setupScreen) object() fyne.CanvasObject { return s.root }

// refresh follows a change. Only the panel in sight is brought up to date; the
// others are when they come.
func (s *setupScreen) refresh() {
	if s.readings.stale() {
		at := s.at
		s.w.ShowScreen(view.SetupScreen) // another class has other readings
		if now, ok := s.w.frame.now.(*setupScreen); ok && at != 0 {
			now.show(at)
		}
		return
	}
	for i, u := range lengthUnits {
		if u == s.m.Unit() {
			s.unit.Set(i)
		}
	}
	s.panels[s.at].refresh()
}
