package ui

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"wornwood/ui/look"
	"wornwood/ui/view"
)

// tieStrip is a row of the examination's photos, each of which a click ties to
// something or unties. The badge is the number by which the report's list of
// photos calls it, on those that are tied.
type tieStrip struct {
	root    *fyne.Container
	said    *look.Text
	row     *fyne.Container
	scroll  *container.Scroll
	thumbs  *thumbs
	tiles   []*look.Thumb
	ids     []string
	toggle  func(photo string)
	none    fyne.CanvasObject
	caption string
}

const (
	tieWidth  float32 = 92
	tieHeight float32 = 66
	tieGap    float32 = 6
)

func newTieStrip(caption string, t *thumbs, toggle func(photo string)) *tieStrip {
	s := &tieStrip{thumbs: t, toggle: toggle, caption: caption, said: look.NewText(caption, look.Caption, look.Dim), row: look.SpacedColumns(tieGap)}
	s.scroll = container.NewHScroll(s.row)
	s.scroll.OnScrolled = func(fyne.Position) { s.load() }
	s.none = look.NewText("The examination has no photo yet", look.Small, look.Dim)
	s.root = look.Spaced(4, s.said, look.Fixed(0, tieHeight+8, container.NewStack(s.scroll, s.none)))
	return s
}

// set shows the photos; nothing is made anew while they are the same.
func (s *tieStrip) set(ties []view.PhotoTie, frozen bool) {
	var ids, tied []string
	for i, t := range ties {
		ids = append(ids, t.ID)
		if t.Tied {
			tied = append(tied, fmt.Sprint(i+1))
		}
	}
	if !slices.Equal(ids, s.ids) {
		s.ids, s.tiles, s.row.Objects = ids, nil, nil
		for _, id := range ids {
			t := look.NewThumb(tieWidth, tieHeight, func() {
				if !frozen {
					s.toggle(id)
				}
			})
			s.tiles = append(s.tiles, t)
			s.row.Add(t)
		}
	}
	for i, t := range ties {
		n := 0
		if t.Tied {
			n = i + 1
		}
		s.tiles[i].Set(t.Caption, n, t.Tied)
	}
	show(s.none, len(ties) == 0)
	switch {
	case len(tied) > 0:
		s.said.SetText(s.caption + ": " + strings.Join(tied, ", "))
	default:
		s.said.SetText(s.caption + ": none; click one to tie it")
	}
	s.load()
}

// load brings the pictures that are in sight; hundreds of photos must not be
// decoded to look at six of them.
func (s *tieStrip) load() {
	left, right := s.scroll.Offset.X, s.scroll.Offset.X+max(s.scroll.Size().Width, 900)
	for i, t := range s.tiles {
		if x := float32(i) * (tieWidth + tieGap); x+tieWidth >= left && x <= right {
			t.SetImage(s.thumbs.get(s.ids[i]))
		}
	}
}
