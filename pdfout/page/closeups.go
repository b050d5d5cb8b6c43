package page

import (
	"wornwood/annotate/draw"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// closeUps shows every mark that has a place on a photo, four in a row. The
// pin stands below the picture; two ticks outside its frame point at the flaw,
// so that nothing lies over what is to be seen.
func (l *layout) closeUps() {
	if l.err = l.cutCloseUps(); l.err != nil {
		return
	}
	const apart, across = 5.0, 4
	cellTall := cropTall + 11.5
	col, begun := 0, false
	for i := range l.r.Record.Marks {
		m := &l.r.Record.Marks[i]
		for _, j := range l.closest(m) {
			ph := l.r.Record.PhotoByID(m.Photos[j].Photo)
			if !begun {
				l.section("closeups", l.say("section.closeups"), cellTall)
				begun = true
			}
			if col == across {
				col = 0
				l.y += cellTall + 2
			}
			if col == 0 {
				l.need(cellTall)
			}
			x, y := l.left+float64(col)*(cropWide+apart), l.y+1.5
			if l.err = l.closeUp(m, j, ph, x, y); l.err != nil {
				return
			}
			col++
		}
	}
	if begun {
		l.y += cellTall + 2
	}
}

// closeUp draws the close-up of a mark's j-th place on a photo.
func (l *layout) closeUp(m *record.Mark, j int, ph *record.Photo, x, y float64) error {
	place := m.Photos[j]
	region := cropRegion(place, ph)
	p, cut := l.crops[cropKey{m.Number, j}]
	if !cut {
		var err error
		if p, err = l.picture(ph); err != nil {
			return err
		}
	}
	l.d.Figure(l.say("closeup.alt", m.Number, l.kindWords(m)), x, y, cropWide, cropTall, func() {
		if cut {
			l.d.Place(p, x, y, cropWide, cropTall)
			return
		}
		k := cropWide / region.Dx() // mm to a pixel of the photo
		l.d.ClipBox(x, y, cropWide, cropTall, func() {
			l.d.Place(p, x-region.Min.X*k, y-region.Min.Y*k, float64(ph.Width)*k, float64(ph.Height)*k)
		})
	})
	l.d.Box(x, y, cropWide, cropTall, 0.3, paint.Black)
	aim := draw.AnchorOf(place.Shape, place.Points)
	ax := x + min(max((aim.X-region.Min.X)/region.Dx(), 0), 1)*cropWide
	ay := y + min(max((aim.Y-region.Min.Y)/region.Dy(), 0), 1)*cropTall
	l.d.Line(ax, y-1.5, ax, y-0.3, 0.9, paint.Black)
	l.d.Line(x-1.5, ay, x-0.3, ay, 0.9, paint.Black)
	l.closeUpCaption(m, ph, x, y+cropTall+1.4)
	return nil
}

func (l *layout) closeUpCaption(m *record.Mark, ph *record.Photo, x, y float64) {
	const w = cropWide - 6
	l.d.Tag("Caption", func() {
		l.pin(m.Number, level(m), x+2.3, y+2.5)
		lines := paint.Clamp(paint.Wrap(l.kindWords(m), smallFont, w), 2, smallFont, w)
		for i, s := range lines {
			l.d.Text(x+6, y+2.3+float64(i)*3.1, s, smallFont, paint.Black)
		}
		from, f := paint.Fit(l.say("closeup.from", l.photoName(ph)), smallFont.Sized(6.6), w, 6)
		l.d.Text(x+6, y+2.3+float64(len(lines))*3.1, from, f, paint.Dim)
	})
}

// photoName is how the report calls a photo: its number in the list and the
// view it fills or its caption.
func (l *layout) photoName(ph *record.Photo) string {
	for i := range l.r.Record.Photos {
		if &l.r.Record.Photos[i] == ph || l.r.Record.Photos[i].ID == ph.ID {
			if t := l.photoTitle(ph); t != "" {
				return l.say("photo.titled", i+1, t)
			}
			return l.say("photo.named", i+1)
		}
	}
	return l.say("photo.some")
}

func (l *layout) photoTitle(ph *record.Photo) string {
	if v := clean(ph.View); v != "" {
		return l.usually("photoView", v)
	}
	return clean(ph.Caption)
}
