package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/ui/look"
)

// electronicsScreen is being built.
type electronicsScreen struct{ root fyne.CanvasObject }

func newElectronicsScreen(w *Window) *electronicsScreen {
	return &electronicsScreen{root: look.Inset(28, 20, 28, 24, look.NewText("Electronics", look.Title, look.Ink).Bold())}
}

func (s *electronicsScreen) object() fyne.CanvasObject { return s.root }

func (s *electronicsScreen) refresh() {}
