package ui

import (
	"fyne.io/fyne/v2"

	"wornwood/ui/look"
)

// datingScreen is being built.
type datingScreen struct{ root fyne.CanvasObject }

func newDatingScreen(w *Window) *datingScreen {
	return &datingScreen{root: look.Inset(28, 20, 28, 24, look.NewText("Dating", look.Title, look.Ink).Bold())}
}

func (s *datingScreen) object() fyne.CanvasObject { return s.root }

func (s *datingScreen) refresh() {}
