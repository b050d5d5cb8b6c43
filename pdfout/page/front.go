package page

import (
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// front is page 1: what it is, one good photo, the three answers, what costs
// the most, what was not examined, where the marks are, and who says so.
func (l *layout) front() {
	l.d.GoTo(1)
	l.lastLabel = ""
	l.y = 14.5
	l.header()
	l.summary()
	l.photoAndIdentity(l.photoHeight())
	l.answers()
	l.costsAndGaps()
	foot := l.d.Height() - 16
	l.frontMap(foot - 25)
	l.issuer(foot - 22.5)
}

// photoHeight is the height of the photo on page 1: some of the room that A4
// has and Letter has not goes to it.
func (l *layout) photoHeight() float64 { return 62 + (l.d.Height()-279.4)*0.45 }

// title is what the instrument is called in large type: its model, or what
// there is.
func (l *layout) title() string {
	i := l.r.Record.Instrument
	if s := strings.TrimSpace(clean(i.Model) + " " + clean(i.Edition)); s != "" {
		return s
	}
	return clean(i.Title())
}

// header is the heavy rule, the name and the examination's particulars.
func (l *layout) header() {
	x, w := l.left, 112.0
	l.d.Line(x, l.y, l.right, l.y, 2.6, paint.Black)
	label := l.say("title")
	if shop := clean(l.r.Record.Examination.Shop); shop != "" {
		label, _ = paint.Fit(l.say("front.label", label, shop), labelFont, w/1.25, labelFont.Size)
	}
	l.tagLabel("P", x, l.y+5.6, label)
	title, f := paint.Fit(l.title(), titleFont, w, 15)
	l.d.Tag("H1", func() { l.d.Text(x-0.4, l.y+15.4, title, f, paint.Black) })
	bold := strongFont.Sized(9.4)
	maker := l.makerLine()
	l.d.Tag("P", func() {
		at := x
		if maker != "" {
			var mf paint.Font
			maker, mf = paint.Fit(maker, bold, w*0.62, 7)
			l.d.Text(at, l.y+21.6, maker, mf, paint.Black)
			at += paint.Width(maker, mf) + 5
		}
		what, wf := paint.Fit(upper(l.classWords()), textFont.Sized(8.8), l.left+w-at, 6.6)
		l.d.Text(at, l.y+21.6, what, wf, paint.Black)
	})
	l.particulars(l.left + w + 5)
	l.y += 26
	l.d.Line(x, l.y, l.right, l.y, 0.5, paint.Hair)
	l.y += 3.6
}

// makerLine is the maker with the year that is claimed, "" when neither is known.
func (l *layout) makerLine() string {
	maker, year := clean(l.r.Record.Instrument.Maker), clean(l.r.Record.Instrument.Year)
	switch {
	case year == "":
		return maker
	case maker == "":
		return l.say("front.year", year)
	}
	return l.say("front.maker", maker, year)
}

// particulars is the small list at the right of the header.
func (l *layout) particulars(x float64) {
	e := l.r.Record.Examination
	rows := []struct {
		label, value string
		font         paint.Font
	}{
		{l.say("head.report"), orDash(e.Number), monoFont.Sized(8)},
		{l.say("head.serial"), orDash(l.r.Record.Instrument.Serial), monoFont.Sized(8)},
		{l.say("head.examined"), orDash(joined(l.date(e.Date), l.word("purpose", string(e.Purpose)))), textFont},
		{l.say("head.examiner"), orDash(e.Examiner), textFont},
	}
	for k, r := range rows {
		y := l.y + 5.6 + float64(k)*5.3
		l.d.Tag("P", func() {
			l.d.Text(x, y, strings.ToUpper(r.label), labelFont, paint.Faint)
			s, f := paint.Fit(r.value, r.font, l.right-x-17, 6)
			l.d.Text(x+17, y, s, f, paint.Black)
		})
	}
}

// photoAndIdentity is one good photo beside the list of what it is.
func (l *layout) photoAndIdentity(h float64) {
	const w = 112.0
	top := l.y
	if ph := l.best(); ph != nil {
		p, err := l.picture(ph)
		if err != nil {
			l.err = err
			return
		}
		l.d.Figure(l.say("front.photoAlt", orDash(l.photoTitle(ph))), l.left, top, w, h, func() { l.d.Cover(p, l.left, top, w, h) })
		s, f := paint.Fit(l.say("front.photoOf", upper(l.photoName(ph)), len(l.r.Record.Photos), upper(l.takenWords(ph.Taken, false))), smallFont.Sized(7), w, 6)
		l.d.Tag("Caption", func() { l.d.Text(l.left, top+h+3.2, s, f, paint.Dim) })
	} else {
		l.d.Box(l.left, top, w, h, 0.4, paint.Hair)
		l.d.Centre(l.left+w/2, top+h/2, l.say("front.noPhoto"), smallFont, paint.Dim)
	}
	l.identityList(l.left+w+5, top, measure-w-5, h+2)
	l.y = top + h + 6
}

// best is the photo for page 1: the first that fills the view that shows most,
// otherwise the first of all.
func (l *layout) best() *record.Photo {
	list := l.r.Record.Photos
	for _, view := range []string{"front", "whole"} {
		for i := range list {
			if list[i].View == view {
				return &list[i]
			}
		}
	}
	if len(list) == 0 {
		return nil
	}
	return &list[0]
}

// identityList sets the identity in the free height; what does not fit stands
// in full behind.
func (l *layout) identityList(x, top, w, h float64) {
	const nameW = 19.5
	f := textFont.Sized(7.7)
	y := top
	bottom := top + h
	rows := l.identity()
	l.d.Group("Table", func() {
		for k, r := range rows {
			lines := paint.Clamp(paint.Wrap(upper(r.value), f, w-nameW), 3, f, w-nameW)
			rowH := float64(len(lines))*lead(f) + 1.7
			last := bottom
			if k < len(rows)-1 {
				last -= 4.5
			}
			if y+rowH > last {
				l.moreIdentity(x, y)
				return
			}
			l.d.Group("TR", func() {
				name, nf := paint.Fit(r.name, smallFont, nameW-1.5, 6)
				l.d.Head(true, func() { l.d.Text(x, y+0.85+lead(f)*0.72, name, nf, paint.Dim) })
				l.d.Tag("TD", func() {
					for n, s := range lines {
						l.d.Text(x+nameW, y+0.85+lead(f)*(0.72+float64(n)), s, f, paint.Black)
					}
				})
			})
			y += rowH
			l.hair(x, y, w)
		}
	})
}

func (l *layout) moreIdentity(x, y float64) {
	p, ok := l.places["identity"]
	if !ok {
		return
	}
	l.d.Group("TR", func() {
		l.d.Tag("TD", func() {
			l.d.Text(x, y+3.6, l.say("front.inFull", p.page), smallFont, paint.Dim)
		})
	})
}

// identityOverflows tells whether page 1 cannot hold the whole identity. It
// counts as identityList does.
func (l *layout) identityOverflows() bool {
	i := l.r.Record.Instrument
	if paint.Width(l.title(), titleFont.Sized(15)) > 112 || paint.Width(clean(i.Maker)+clean(i.Year), strongFont) > 55 {
		return true
	}
	f := textFont.Sized(7.7)
	h := 0.0
	for _, r := range l.identity() {
		lines := paint.Wrap(upper(r.value), f, measure-112-5-19.5)
		if len(lines) > 3 {
			return true
		}
		h += float64(len(lines))*lead(f) + 1.7
	}
	return h > l.photoHeight()+2
}

// costsAndGaps sets the worst three marks beside what was not examined.
func (l *layout) costsAndGaps() {
	const w, apart = 88.0, 7.0
	top := l.y
	left := l.costs(l.left, top, w)
	right := l.gaps(l.left+w+apart, top, measure-w-apart)
	l.y = max(left, right) + 2.5
}

func (l *layout) costs(x, y, w float64) float64 {
	l.tagLabel("H2", x, y+2.2, l.say("front.costs"))
	y += 4.2
	worst, rest, restPoints := l.worst(3)
	if len(worst) == 0 {
		l.setLines("P", x, y+0.6, []string{l.say("front.noMarks")}, textFont, paint.Black)
		return y + 6
	}
	l.d.Group("L", func() {
		for _, m := range worst {
			s := l.kindWords(m) + ", " + l.lower(l.where(m))
			if z := l.size(m); z != "–" {
				s += ", " + z
			}
			lines := paint.Clamp(paint.Wrap(s, textFont, w-19), 2, textFont, w-19)
			h := float64(len(lines))*lead(textFont) + 1.8
			h = max(h, 5.4)
			l.d.Group("LI", func() {
				l.d.Tag("Lbl", func() { l.pin(m.Number, level(m), x+2.4, y+2.9) })
				l.d.Tag("LBody", func() {
					for n, line := range lines {
						l.d.Text(x+6.8, y+0.9+lead(textFont)*(0.72+float64(n)), line, textFont, paint.Black)
					}
					l.d.Right(x+w, y+0.9+lead(textFont)*0.72, l.points(m.Number), textFont, paint.Black)
				})
			})
			y += h
			l.hair(x, y, w)
		}
	})
	return l.restOfMarks(x, y, w, rest, restPoints)
}

// restOfMarks says what the marks that are not named cost together.
func (l *layout) restOfMarks(x, y, w float64, rest int, points float64) float64 {
	s := ""
	if rest > 0 {
		s = upper(l.sayCount("front.rest", rest, l.plain(points, 1))) + " "
	}
	if c := l.r.Grade.Cap; c != nil && c.Points > 0 {
		s += l.say("front.cap", c.Mark, l.plain(c.Limit, 1)) + " "
	}
	if p, ok := l.places["marks"]; ok {
		s += l.say("front.lists", p.page, l.number(len(l.r.Record.Marks)))
		lines := paint.Wrap(s, smallFont, w)
		l.d.Lead(x, y+0.5, w, 4*float64(len(lines)), p.page, p.y-4, func() {
			for n, line := range lines {
				l.d.Text(x, y+3.6+float64(n)*lead(smallFont), line, smallFont, paint.Dim)
			}
		})
		y += lead(smallFont) * float64(len(lines)-1)
	}
	return y + 5
}

func lower(s string) string {
	for i, r := range s {
		return strings.ToLower(string(r)) + s[i+len(string(r)):]
	}
	return s
}

// gaps lists what was not examined, as much as the height of three marks takes.
func (l *layout) gaps(x, y, w float64) float64 {
	l.tagLabel("H2", x, y+2.2, l.say("front.notExamined"))
	y += 4.2
	foot := y + 27
	list := l.notExamined()
	if len(list) == 0 {
		list = []string{l.say("front.nothingLeft")}
	}
	l.d.Group("L", func() {
		for i, s := range list {
			lines := paint.Clamp(paint.Wrap(s, textFont, w), 2, textFont, w)
			h := max(float64(len(lines))*lead(textFont)+1.8, 5.4)
			left := len(list) - i
			if y+h > foot-4.5 && left > 1 {
				p := l.places["notexamined"]
				more := l.sayCount("front.andMore", left, p.page)
				l.d.Group("LI", func() {
					l.d.Lead(x, y, w, 4.5, p.page, p.y-4, func() { l.d.Text(x, y+3.6, more, smallFont, paint.Dim) })
				})
				y += 4.5
				return
			}
			l.d.Group("LI", func() {
				l.d.Tag("LBody", func() {
					for n, line := range lines {
						l.d.Text(x, y+0.9+lead(textFont)*(0.72+float64(n)), line, textFont, paint.Black)
					}
				})
			})
			y += h
			l.hair(x, y, w)
		}
	})
	return y
}

// worst are the marks that cost the most, and how many are left with what they
// cost together, as the ledger prints it.
func (l *layout) worst(n int) (worst []*record.Mark, rest int, points float64) {
	marks := make([]*record.Mark, 0, len(l.r.Record.Marks))
	for i := range l.r.Record.Marks {
		marks = append(marks, &l.r.Record.Marks[i])
	}
	sortByCost(marks, l.r.Grade)
	for k, m := range marks {
		if k < n {
			worst = append(worst, m)
			continue
		}
		rest++
		if g := l.r.Grade.Line(m.Number); g != nil {
			points += g.Shown
		}
	}
	return worst, rest, points
}
