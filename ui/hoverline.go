package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// hoverLine is a line that tells when the pointer comes and goes.
type hoverLine struct {
	widget.BaseWidget
	content fyne.CanvasObject
	over    func(in bool)
}

var _ desktop.Hoverable = (*hoverLine)(nil)

func newHoverLine(content fyne.CanvasObject, over func(in bool)) *hoverLine {
	h := &hoverLine{content: content, over: over}
	h.ExtendBaseWidget(h)
	return h
}

// CreateRenderer is called by the toolkit, as the next three are.
func (h *hoverLine) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(h.content) }

// MouseIn is called by the toolkit.
func (h *hoverLine) MouseIn(*desktop.MouseEvent) { h.over(true) }

// MouseMoved is called by the toolkit.
func (h *hoverLine) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is called by the toolkit.
func (h *hoverLine) MouseOut() { h.over(false) }
