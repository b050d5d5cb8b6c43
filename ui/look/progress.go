package look

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// Progress is one line about long work: what is done, a count, a thin bar and a
// button that cancels. It is hidden while nothing goes on.
type Progress struct {
	Object  *fyne.Container // what goes on the screen
	what    *Text
	count   *Text
	bar     *bar
	cancel  *Button
	stopped bool
}

// NewProgress makes the line; cancel is called once for each Begin at most.
func NewProgress(cancel func()) *Progress {
	p := &Progress{what: NewText("", Small, Ink), count: NewText("", Small, Dim).Whole(), bar: newBar()}
	p.cancel = NewButton("Cancel", "close", Quiet, func() {
		if p.stopped {
			return
		}
		p.stopped = true
		p.cancel.Disable()
		p.what.SetText("Cancelling …")
		cancel()
	})
	p.Object = SpacedColumns(12, Flex(1, p.what), p.count, Fixed(180, 0, p.bar), p.cancel)
	p.Object.Hide()
	return p
}

// Begin shows the line.
func (p *Progress) Begin(what string) {
	p.stopped = false
	p.cancel.Enable()
	p.Step(0, 0, what)
	p.Object.Show()
}

// Step shows how far the work is; a total of 0 is not known yet.
func (p *Progress) Step(done, total int, what string) {
	if !p.stopped {
		p.what.SetText(what)
	}
	if total > 0 {
		p.count.SetText(fmt.Sprintf("%d of %d", done, total))
		p.bar.set(float32(done) / float32(total))
	} else {
		p.count.SetText("")
		p.bar.set(0)
	}
	p.Object.Refresh()
}

// End hides the line.
func (p *Progress) End() { p.Object.Hide() }

// bar is a thin bar of progress.
type bar struct {
	widget.BaseWidget
	share      float32
	back, fill *canvas.Rectangle
}

func newBar() *bar {
	b := &bar{}
	b.ExtendBaseWidget(b)
	return b
}

func (b *bar) set(share float32) {
	share = max(0, min(1, share))
	if b.share != share {
		b.share = share
		b.Refresh()
	}
}

func (b *bar) CreateRenderer() fyne.WidgetRenderer {
	b.back, b.fill = box(), box()
	r := newRenderer(b, []fyne.CanvasObject{b.back, b.fill})
	const thick = 4
	r.layout = func(s fyne.Size) {
		y := middle(s.Height, thick)
		b.back.Move(fyne.NewPos(0, y))
		b.back.Resize(fyne.NewSize(s.Width, thick))
		b.fill.Move(fyne.NewPos(0, y))
		b.fill.Resize(fyne.NewSize(s.Width*b.share, thick))
	}
	r.min = func() fyne.Size { return fyne.NewSize(60, thick) }
	r.paint = func() {
		b.back.CornerRadius, b.fill.CornerRadius = thick/2, thick/2
		b.back.FillColor, b.fill.FillColor = ink(b, Border), ink(b, Accent)
	}
	r.paint()
	return r
}
