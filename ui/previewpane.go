package ui

import (
	"context"
	"image"
	"image/color"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"wornwood/pdfout"
	"wornwood/ui/look"
	"wornwood/ui/task"
	"wornwood/ui/view"
)

// previewPane shows the pages of the report below one another. The report is
// laid out beside the window after every change; a page is drawn when it comes
// into sight.
type previewPane struct {
	w       *Window
	m       *view.Report
	root    fyne.CanvasObject
	caption *look.Text
	fit     *look.Segments
	scroll  *container.Scroll
	column  *fyne.Container
	pages   []*previewPage

	whole  bool // a whole page in sight, not the whole width
	laid   *pdfout.Preview
	laying *task.Task // nil while nothing is laid out
	stale  bool       // the examination changed while it was
	work   sync.WaitGroup
}

// previewPage is one page: its paper, and its picture once it was drawn.
type previewPage struct {
	box     *fyne.Container
	image   *canvas.Image
	pixels  int // width that was drawn or is being drawn
	version *pdfout.Preview
}

const (
	previewGap    float32 = 18
	previewMargin float32 = 24
)

func newPreviewPane(w *Window, m *view.Report) *previewPane {
	p := &previewPane{w: w, m: m, caption: look.NewText("", look.Small, look.Dim)}
	p.fit = look.NewSegments([]string{"width", "whole page"}, func(i int) {
		p.whole = i == 1
		p.column.Refresh()
		p.see()
	})
	p.fit.Set(0)
	p.column = container.New(&pageLayout{p})
	p.scroll = container.NewVScroll(p.column)
	p.scroll.OnScrolled = func(fyne.Position) { p.see() }
	head := look.Inset(20, 8, 20, 8, look.SpacedColumns(16, look.Flex(1, look.Rows(look.Space(), p.caption, look.Space())), look.Fixed(190, 0, p.fit)))
	p.root = look.Rows(look.Fixed(0, 46, head), look.NewRule(), look.Flex(1, container.NewStack(canvas.NewRectangle(previewGround), p.scroll)))
	return p
}

// previewGround is mid-grey, like the ground of photos: a coloured or white
// surround changes how a page looks.
var previewGround = color.Gray{0x8a}

// follow lays the report out anew when the examination has changed.
func (p *previewPane) follow() {
	if p.laying != nil {
		p.stale = true
		return
	}
	x := p.w.exam
	job := p.m.Preview(p.w.bench, p.w.bench.Settings().Paper, p.w.now(), x.pictures)
	if job == nil {
		p.show(nil)
		return
	}
	p.stale = false
	p.laying = task.New(p.w.ctx, func(ctx context.Context, _ func(int, int, string)) error { return job.Run(ctx) },
		func(f func()) { fyne.Do(f) }, func(task.Progress) {}, func(err error) {
			defer p.work.Done()
			p.laying = nil
			if err != nil {
				p.caption.SetText(view.Words(err))
			} else {
				p.show(job.Pages())
			}
			if p.stale && p.w.exam == x {
				p.follow()
			}
		})
	p.work.Add(1)
	p.laying.Start()
}

func (p *previewPane) show(laid *pdfout.Preview) {
	p.laid = laid
	n := 0
	if laid != nil {
		n = laid.Pages()
		p.caption.SetText(p.m.PreviewCaption(n))
	}
	for len(p.pages) < n {
		img := canvas.NewImageFromImage(nil)
		img.FillMode, img.ScaleMode = canvas.ImageFillStretch, canvas.ImageScaleSmooth
		pg := &previewPage{image: img, box: container.NewStack(canvas.NewRectangle(color.White), img)}
		p.pages = append(p.pages, pg)
		p.column.Add(pg.box)
	}
	if len(p.pages) > n {
		p.pages = p.pages[:n]
		p.column.Objects = p.column.Objects[:n]
	}
	p.column.Refresh()
	p.see()
}

// size is the size of a page on the screen.
func (p *previewPane) size() fyne.Size {
	if p.laid == nil {
		return fyne.Size{}
	}
	w, h := p.laid.Size()
	room := p.scroll.Size()
	width := max(120, room.Width-2*previewMargin)
	if p.whole {
		width = min(width, max(120, (room.Height-2*previewGap)*float32(w/h)))
	}
	return fyne.NewSize(width, width*float32(h/w))
}

// see draws the pages in sight, and those next to them.
func (p *previewPane) see() {
	c := fyne.CurrentApp().Driver().CanvasForObject(p.scroll)
	if p.laid == nil || c == nil {
		return
	}
	size := p.size()
	px := int(size.Width * c.Scale())
	top, bottom := p.scroll.Offset.Y-size.Height, p.scroll.Offset.Y+p.scroll.Size().Height+size.Height
	for i, pg := range p.pages {
		y := previewGap + float32(i)*(size.Height+previewGap)
		if y+size.Height < top || y > bottom || (pg.version == p.laid && pg.pixels == px) {
			continue
		}
		pg.version, pg.pixels = p.laid, px
		p.work.Add(1)
		go p.draw(pg, i+1, p.laid, px)
	}
}

// draw makes a page's picture beside the window: at once with the photos that
// are decoded, then with all.
func (p *previewPane) draw(pg *previewPage, n int, laid *pdfout.Preview, px int) {
	defer p.work.Done()
	wide, _ := laid.Size()
	k := float64(px) / wide
	show := func(img image.Image) {
		fyne.Do(func() {
			if pg.version == laid && pg.pixels == px {
				pg.image.Image = img
				pg.image.Refresh()
			}
		})
	}
	img, whole, err := laid.RenderAtOnce(n, k)
	if err != nil {
		return // a page that cannot be drawn stays white; issuing says why
	}
	show(img)
	if whole {
		return
	}
	if img, err = laid.Render(n, k); err == nil {
		show(img)
	}
}

// pageLayout stands pages below one another, in the middle.
type pageLayout struct{ p *previewPane }

func (l *pageLayout) MinSize(list []fyne.CanvasObject) fyne.Size {
	s := l.p.size()
	return fyne.NewSize(120, previewGap+float32(len(list))*(s.Height+previewGap))
}

func (l *pageLayout) Layout(list []fyne.CanvasObject, room fyne.Size) {
	s := l.p.size()
	for i, o := range list {
		o.Resize(s)
		o.Move(fyne.NewPos((room.Width-s.Width)/2, previewGap+float32(i)*(s.Height+previewGap)))
	}
	l.p.see()
}
