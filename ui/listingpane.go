package ui

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"wornwood/annotate/shape"
	"wornwood/capture/bench"
	"wornwood/ui/look"
	"wornwood/ui/view"
)

// listingPane shows the photos of a listing in their order: one large, to draw
// covers on, all small below it.
type listingPane struct {
	w       *Window
	m       *view.Listing
	root    fyne.CanvasObject
	caption *look.Text
	about   *look.Text
	out     *look.Button
	off     *look.Button
	photo   *coverPhoto
	strip   *fyne.Container
	thumbs  *thumbs
	small   []*look.Thumb
	shown   string // Photo.ID that is large
	chosen  int    // cover
	changed func() // after the listing changed
	run     func(func())
}

// newListingPane makes the pane; run runs something beside the window.
func newListingPane(w *Window, m *view.Listing, run func(func()), changed func()) *listingPane {
	p := &listingPane{w: w, m: m, thumbs: newThumbs(w.bench), photo: newCoverPhoto(), chosen: -1, run: run, changed: changed}
	p.caption, p.about = look.NewText("", look.Body, look.Ink).Bold(), look.NewText("", look.Small, look.Dim)
	p.out = look.NewButton("Leave it out", "", look.Plain, p.turn)
	p.off = look.NewButton("Take the cover off", "delete", look.Plain, p.takeOff)
	p.photo.OnCover = func(r shape.Rect) {
		p.do(func() error { return p.m.AddCover(p.shown, r) })
		p.choose(p.last())
	}
	p.photo.OnTap = func(at shape.Pt) { p.choose(p.m.CoverAt(p.shown, at)) }
	p.photo.OnDelete = p.takeOff
	head := look.Inset(20, 8, 20, 8, look.SpacedColumns(10, look.Flex(1, look.Rows(look.Space(), p.caption, p.about, look.Space())), look.Centred(p.off), look.Centred(p.out)))
	p.strip = look.SpacedColumns(6)
	below := look.Inset(14, 8, 14, 8, container.NewHScroll(look.Rows(p.strip, look.Space())))
	p.root = look.Rows(look.Fixed(0, 54, head), look.NewRule(), look.Flex(1, container.NewStack(canvas.NewRectangle(previewGround), look.Inset(16, 14, 16, 14, p.photo))),
		look.NewRule(), look.Fixed(0, 112, below))
	return p
}

func (p *listingPane) do(f func() error) {
	p.w.try(f)
	p.changed()
}

// last is the cover drawn last.
func (p *listingPane) last() int {
	for _, ph := range p.m.Photos() {
		if ph.Selected {
			return len(ph.Covers) - 1
		}
	}
	return -1
}

func (p *listingPane) choose(i int) {
	p.chosen = i
	p.refresh()
}

func (p *listingPane) takeOff() {
	if i := p.chosen; i >= 0 {
		p.chosen = -1
		p.do(func() error { return p.m.RemoveCover(p.shown, i) })
	}
}

// turn leaves the photo out, or takes it in again.
func (p *listingPane) turn() {
	for _, ph := range p.m.Photos() {
		if ph.Selected {
			p.do(func() error { return p.m.SetOut(ph.ID, !ph.Out) })
			return
		}
	}
}

func (p *listingPane) refresh() {
	list := p.m.Photos()
	taken := 0
	if len(p.small) != len(list) {
		p.small, p.strip.Objects = nil, nil
		for range list {
			i := len(p.small)
			t := look.NewThumb(108, 80, func() { p.pick(i) })
			p.small = append(p.small, t)
			p.strip.Add(look.Fixed(108, 80, t))
		}
		p.strip.Refresh()
	}
	for i, ph := range list {
		caption := ph.File
		if ph.File == "" {
			caption = "out: " + ph.Name
		} else {
			taken++
		}
		p.small[i].Set(caption, len(ph.Covers), ph.Selected)
		p.small[i].SetImage(p.thumbs.get(ph.ID))
		if ph.Selected {
			p.show(ph)
		}
	}
	show(p.photo, len(list) > 0)
	show(p.out, len(list) > 0)
	show(p.off, len(list) > 0)
	if len(list) == 0 {
		p.caption.SetText("No photo to show")
		p.about.SetText("Import photos on the Photos screen; the text can be made without.")
	}
}

// pick shows a photo of the strip.
func (p *listingPane) pick(i int) {
	if list := p.m.Photos(); i < len(list) {
		p.m.Select(list[i].ID)
		p.choose(-1)
	}
}

// show shows one photo large: at once what is decoded, then its large preview.
func (p *listingPane) show(ph view.ListingPhoto) {
	title, about := ph.File, "Drag over what nobody is to see: it is painted out in the listing's photo, never in the original."
	if ph.File == "" {
		title, about = view.Capital(ph.Name)+", left out", view.Capital(ph.Why)+"."
	}
	if n := len(ph.Covers); n > 0 {
		title += fmt.Sprintf(" · covered in %d", n) + plural(n, " place", " places")
	}
	p.caption.SetText(title)
	p.about.SetText(about)
	p.out.SetText(map[bool]string{true: "Take it in", false: "Leave it out"}[ph.Out])
	if p.chosen >= len(ph.Covers) {
		p.chosen = -1
	}
	if p.chosen >= 0 {
		p.off.Enable()
	} else {
		p.off.Disable()
	}
	rec := p.w.exam.s.Scene().Record.PhotoByID(ph.ID)
	p.photo.set(rec.Width, rec.Height, ph.Covers, p.chosen)
	if p.shown == ph.ID {
		return
	}
	p.shown = ph.ID
	p.photo.setImage(p.thumbs.get(ph.ID))
	b, id := p.w.bench, ph.ID
	p.run(func() {
		img, err := preview(b, id, bench.LargePreview)
		if err != nil {
			return // its place stays as it is: the check of the bench names the file
		}
		fyne.Do(func() {
			if p.shown == id {
				p.photo.setImage(img)
			}
		})
	})
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
