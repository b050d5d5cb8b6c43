package ui

import (
	"image"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// historyShown is the longer side of a decoded photo, pixels; historyKept is how
// many are kept, so that going back and forth costs nothing and memory is
// bounded: 24 at 1400 pixels are at most 190 MB, usually half.
const (
	historyShown = 1400
	historyKept  = 24
)

// historyPhotos is the page of two photos of one view side by side. They are
// taken out of the reports beside the window.
type historyPhotos struct {
	s    *archiveHistory
	root fyne.CanvasObject
	view *look.Select
	side [2]*historySide
	none fyne.CanvasObject
	both fyne.CanvasObject

	work  sync.WaitGroup
	kept  map[view.HistoryPhoto]image.Image // nil for one that the report does not print
	wrong map[view.HistoryPhoto]string      // why one could not be taken out
	order []view.HistoryPhoto
	asked map[view.HistoryPhoto]bool
	run   int // of forget; what was asked for before is dropped
}

// historySide is one of the two photos.
type historySide struct {
	when    *look.Select
	img     *canvas.Image
	says    *look.Text
	looks   []int
	words   []string
	content fyne.CanvasObject
}

func newHistoryPhotos(s *archiveHistory) *historyPhotos {
	p := &historyPhotos{s: s}
	p.forget()
	p.view = look.NewSelect(nil, "no photos", func(t string) {
		for i, v := range s.m.Views() {
			if view.Capital(v) == t {
				s.m.SetView(i)
			}
		}
		p.show(s.m)
	})
	for i := range p.side {
		p.side[i] = p.newSide(i)
	}
	bar := look.SpacedColumns(10, look.Flex(1, p.side[0].when), look.Fixed(200, 0, p.view), look.Flex(1, p.side[1].when))
	p.both = look.Rows(bar, look.Fixed(0, 8, look.Space()), look.Flex(1, look.SpacedColumns(10, look.Flex(1, p.side[0].content), look.Flex(1, p.side[1].content))))
	p.none = look.Centred(look.NewText("None of the examinations has a photo with a view.", look.Body, look.Dim))
	p.root = container.NewStack(p.none, p.both)
	return p
}

func (p *historyPhotos) newSide(i int) *historySide {
	d := &historySide{img: canvas.NewImageFromImage(nil), says: look.NewText("", look.Small, look.OnPhoto).Middle()}
	d.img.FillMode, d.img.ScaleMode, d.img.Hidden = canvas.ImageFillContain, canvas.ImageScaleSmooth, true
	d.when = look.NewSelect(nil, "", func(t string) {
		for k, w := range d.words {
			if w == t {
				p.s.m.SetPair(i, d.looks[k])
			}
		}
		p.show(p.s.m)
	})
	d.content = look.On(look.PhotoStrip, container.NewStack(look.Centred(d.says), look.Inset(6, 6, 6, 6, d.img)))
	return d
}

// forget drops all pictures, for another instrument.
func (p *historyPhotos) forget() {
	p.run++
	p.kept, p.asked, p.order = map[view.HistoryPhoto]image.Image{}, map[view.HistoryPhoto]bool{}, nil
	p.wrong = map[view.HistoryPhoto]string{}
}

func (p *historyPhotos) show(m *view.ArchiveHistory) fyne.CanvasObject {
	views := m.Views()
	p.none.(*fyne.Container).Hidden, p.both.(*fyne.Container).Hidden = len(views) > 0, len(views) == 0
	if len(views) == 0 {
		return p.root
	}
	for i := range views {
		views[i] = view.Capital(views[i])
	}
	p.view.SetOptions(views)
	p.view.Set(views[m.View()])
	for i, d := range p.side {
		d.looks, d.words = m.PhotoLooks(), nil
		for _, k := range d.looks {
			d.words = append(d.words, m.Look(k).Date+", "+m.Look(k).By)
		}
		d.when.SetOptions(d.words)
		l := m.Look(m.Pair()[i])
		d.when.Set(l.Date + ", " + l.By)
		p.picture(d, m.Photo(m.Pair()[i]))
	}
	return p.root
}

// picture shows a photo, and asks for it where it is not there yet.
func (p *historyPhotos) picture(d *historySide, ph view.HistoryPhoto) {
	img, known := p.kept[ph]
	switch {
	case !known:
		d.says.SetText("Taking it out of the report…")
		p.ask(ph)
	case p.wrong[ph] != "":
		d.says.SetText(p.wrong[ph])
	case img == nil:
		d.says.SetText("The report does not print this photo.")
	default:
		d.says.SetText("")
	}
	if d.img.Image != img {
		d.img.Image = img
	}
	d.img.Hidden = img == nil
	d.img.Refresh()
}

func (p *historyPhotos) ask(ph view.HistoryPhoto) {
	if p.asked[ph] {
		return
	}
	p.asked[ph] = true
	m, run := p.s.m, p.run
	p.work.Add(1)
	go func() {
		img, err := m.Picture(p.s.w.ctx, ph, historyShown)
		fyne.Do(func() {
			defer p.work.Done()
			if run != p.run {
				return
			}
			delete(p.asked, ph)
			if err != nil {
				p.wrong[ph] = view.Words(err)
			}
			p.keep(ph, img)
			if p.s.page == photosPage {
				p.show(p.s.m)
			}
		})
	}()
}

func (p *historyPhotos) keep(ph view.HistoryPhoto, img image.Image) {
	p.kept[ph] = img
	if p.order = append(p.order, ph); len(p.order) > historyKept {
		delete(p.kept, p.order[0])
		delete(p.wrong, p.order[0])
		p.order = p.order[1:]
	}
}
