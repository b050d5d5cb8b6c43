package ui

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// tieGrid is the examination's photos in small, each of which a click ties to
// something or unties. The badge is the number by which the report's list of
// photos calls it, on those that are tied.
type tieGrid struct {
	root    *fyne.Container
	said    *look.Text
	grid    *fyne.Container
	scroll  *container.Scroll // that the grid lies in
	thumbs  *thumbs
	tiles   []*look.Thumb
	ids     []string
	toggle  func(photo string)
	caption string
}

var tieSize = fyne.NewSize(84, 62)

func newTieGrid(caption string, t *thumbs, toggle func(photo string)) *tieGrid {
	s := &tieGrid{thumbs: t, toggle: toggle, caption: caption, said: look.NewText(caption, look.Caption, look.Dim)}
	s.grid = container.New(&told{layout.NewGridWrapLayout(tieSize), s.load})
	s.root = look.Spaced(4, s.said, look.On(look.PhotoStrip, look.Inset(6, 6, 2, 6, s.grid)))
	return s
}

// within names the scroll that the grid lies in, which brings pictures as they
// come into sight.
func (s *tieGrid) within(sc *container.Scroll) {
	s.scroll = sc
	sc.OnScrolled = func(fyne.Position) { s.load() }
}

// told is a layout that tells when it was done.
type told struct {
	inner fyne.Layout
	then  func()
}

// MinSize is called by the toolkit.
func (l *told) MinSize(o []fyne.CanvasObject) fyne.Size { return l.inner.MinSize(o) }

// Layout is called by the toolkit.
func (l *told) Layout(o []fyne.CanvasObject, s fyne.Size) {
	l.inner.Layout(o, s)
	l.then()
}

// set shows the photos; nothing is made anew while they are the same.
func (s *tieGrid) set(ties []view.PhotoTie, frozen bool) {
	var ids, tied []string
	for i, t := range ties {
		ids = append(ids, t.ID)
		if t.Tied {
			tied = append(tied, fmt.Sprint(i+1))
		}
	}
	if !slices.Equal(ids, s.ids) {
		s.ids, s.tiles, s.grid.Objects = ids, nil, nil
		for _, id := range ids {
			t := look.NewThumb(tieSize.Width, tieSize.Height, func() {
				if !frozen {
					s.toggle(id)
				}
			})
			s.tiles = append(s.tiles, t)
			s.grid.Objects = append(s.grid.Objects, t)
		}
		s.grid.Refresh()
	}
	for i, t := range ties {
		n := 0
		if t.Tied {
			n = i + 1
		}
		s.tiles[i].Set(t.Caption, n, t.Tied)
	}
	switch {
	case len(ties) == 0:
		s.said.SetText(s.caption + ": the examination has none yet")
	case len(tied) > 0:
		s.said.SetText(s.caption + ": " + strings.Join(tied, ", "))
	default:
		s.said.SetText(s.caption + ": none; click one to tie it")
	}
	s.load()
}

// load brings the pictures that are in sight; hundreds of photos must not be
// decoded to look at six of them.
func (s *tieGrid) load() {
	if s.scroll == nil || s.scroll.Size().Height == 0 {
		return // not laid out yet
	}
	above := s.root.Position().Y + s.said.Size().Height
	for i, t := range s.tiles {
		y := above + t.Position().Y - s.scroll.Offset.Y
		if y > -2*tieSize.Height && y < s.scroll.Size().Height+tieSize.Height {
			t.SetImage(s.thumbs.get(s.ids[i]))
		}
	}
}
