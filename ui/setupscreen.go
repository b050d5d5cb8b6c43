package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/ui/look"
)

// setupScreen is being built.
type setupScreen struct{ root fyne.CanvasObject }

func newSetupScreen(w *Window) *setupScreen {
	return &setupScreen{root: look.Inset(28, 20, 28, 24, look.NewText("Setup", look.Title, look.Ink).Bold())}
}

func (s *setupScreen) object() fyne.CanvasObject { return s.root }

func (s *setupScreen) refresh() {}
