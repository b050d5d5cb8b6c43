package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/ui/look"
)

// setupScreen is how the instrument plays: its positions one by one.
type setupScreen struct {
	root fyne.CanvasObject
	play *playPanel
}

func newSetupScreen(w *Window) *setupScreen {
	s := &setupScreen{play: newPlayPanel(w, func() []string { return nil })}
	s.root = look.Inset(28, 16, 28, 20, look.Rows(look.Inset(0, 0, 0, 8, look.NewText("Setup", look.Title, look.Ink).Bold()), look.Flex(1, s.play.root)))
	return s
}

func (s *setupScreen) object() fyne.CanvasObject { return s.root }

func (s *setupScreen) refresh() { s.play.refresh() }
