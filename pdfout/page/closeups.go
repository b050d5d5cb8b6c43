package page

import (
	"fmt"

	"wornwood/annotate/draw"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// closeUps shows every mark that has a place on a photo, four in a row. The
// pin stands below the picture; two ticks outside its frame point at the flaw,
// so that nothing lies over what is to be seen.
func (l *layout) closeUps() {
	if l.err = l.cutCloseUps(); l.err != nil || len(l.crops) == 0 {
		return
	}
	const apart, across = 5.0, 4
	cellTall := cropTall + 11.5
	l.section("closeups", "Close-ups", cellTall)
	col := 0
	for i := range l.r.Record.Marks {
		m := &l.r.Record.Marks[i]
		for j, place := range m.Photos {
			p, ok := l.crops[cropKey{m.Number, j}]
			if !ok {
				continue
			}
			if col == across {
				col = 0
				l.y += cellTall + 2
			}
			if col == 0 {
				l.need(cellTall)
			}
			l.closeUp(m, place, p, l.left+float64(col)*(cropWide+apart), l.y+1.5)
			col++
		}
	}
	l.y += cellTall + 2
}

func (l *layout) closeUp(m *record.Mark, place record.PhotoPlace, p paint.Picture, x, y float64) {
	ph := l.r.Record.PhotoByID(place.Photo)
	h := cropWide * float64(p.Height) / float64(p.Width)
	h = min(h, cropTall)
	w := h * float64(p.Width) / float64(p.Height)
	l.d.Figure(fmt.Sprintf("Close-up of mark %d: %s", m.Number, l.kindWords(m)), x, y, w, h, func() {
		l.d.Place(p, x, y, w, h)
	})
	l.d.Box(x, y, w, h, 0.3, paint.Black)
	region := cropRegion(place, ph)
	aim := draw.AnchorOf(place.Shape, place.Points)
	ax := x + min(max((aim.X-region.Min.X)/region.Dx(), 0), 1)*w
	ay := y + min(max((aim.Y-region.Min.Y)/region.Dy(), 0), 1)*h
	l.d.Line(ax, y-1.5, ax, y-0.3, 0.9, paint.Black)
	l.d.Line(x-1.5, ay, x-0.3, ay, 0.9, paint.Black)
	ty := y + h + 1.4
	l.d.Tag("Caption", func() {
		l.pin(m.Number, level(m), x+2.3, ty+2.5)
		lines := paint.Clamp(paint.Wrap(l.kindWords(m), smallFont, w-6), 2, smallFont, w-6)
		for i, s := range lines {
			l.d.Text(x+6, ty+2.3+float64(i)*3.1, s, smallFont, paint.Black)
		}
		from, f := paint.Fit("from "+l.photoName(ph), smallFont.Sized(6.6), w-6, 6)
		l.d.Text(x+6, ty+2.3+float64(len(lines))*3.1, from, f, paint.Dim)
	})
}

// photoName is how the report calls a photo: its number in the list and the
// view it fills or its caption.
func (l *layout) photoName(ph *record.Photo) string {
	for i := range l.r.Record.Photos {
		if &l.r.Record.Photos[i] == ph || l.r.Record.Photos[i].ID == ph.ID {
			s := fmt.Sprintf("photo %d", i+1)
			if t := photoTitle(ph); t != "" {
				s += ", " + t
			}
			return s
		}
	}
	return "a photo"
}

func photoTitle(ph *record.Photo) string {
	if v := clean(ph.View); v != "" {
		return v
	}
	return clean(ph.Caption)
}
