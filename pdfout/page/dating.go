package page

import (
	"fmt"
	"strings"

	"wornwood/annotate/dating"
	"wornwood/pdfout/paint"
)

// dating says what the dated parts and papers allow: in sentences, as bars over
// years with the claimed ones across, and piece by piece. A record without any
// has no such section.
func (l *layout) dating() {
	r := dating.OfRecord(l.r.Record, l.r.Tables, l.r.Created)
	if len(r.Pieces) == 0 {
		return
	}
	l.section("dating", l.say("section.dating"), 34)
	all := r.Sentences()
	for _, s := range all[:len(all)-1] {
		l.para(l.left, measure, l.dated(s), textFont, paint.Black)
		l.y += 0.8
	}
	l.y += 2
	l.datingBars(r)
	l.y += 4
	l.datingTable(r, all[len(all)-1])
}

// printed is a sentence fit for paper. Sentences quote the shop's own tables,
// whose characters nobody has checked.
func printed(s string) string { return replaced(clean(s)) }

// dated is a sentence of the dating in the report's language.
func (l *layout) dated(s string) string { return l.phrase("dating", printed(s)) }

// piece is what a piece of evidence is called.
func (l *layout) piece(s string) string { return l.usuallyPhrase("piece", printed(s)) }

// Measures of the bars, mm.
const (
	barNames = 62.0
	barRow   = 5.4
	barTall  = 1.8
	barAxis  = 8.0
)

// barsAt is the chart with the edges of its years on the page.
type barsAt struct {
	l           *layout
	r           *dating.Result
	c           *dating.Chart
	left, right float64
}

func (b *barsAt) x(at float64) float64 { return b.c.X(at, b.left, b.right) }

// datingBars draws the chart; where it does not fit the page it goes on under
// an axis of its own.
func (l *layout) datingBars(r *dating.Result) {
	b := &barsAt{l: l, r: r, c: r.Chart(), left: l.left + barNames, right: l.right - 2}
	if b.c.To <= b.c.From {
		return // no piece has a date
	}
	rows := b.c.Rows
	for first := true; first || len(rows) > 0; first = false {
		l.need(barAxis + 3*barRow)
		n := min(len(rows), int((l.bottom-l.y-barAxis-barRow-1)/barRow))
		now := rows[:n]
		rows = rows[n:]
		h := barAxis + barRow*float64(n)
		if len(rows) == 0 {
			h += barRow + 1
		}
		alt := l.say("dating.alt", fmt.Sprintf("%.0f", b.c.From), fmt.Sprintf("%.0f", b.c.To))
		l.d.Figure(alt, l.left, l.y, measure, h, func() { b.draw(now, l.y, h, len(rows) == 0) })
		l.y += h
		if len(rows) > 0 {
			l.newPage()
		}
	}
}

// draw draws an axis, some rows and, at the end, what the evidence allows.
func (b *barsAt) draw(rows []dating.ChartRow, y, h float64, last bool) {
	l := b.l
	b.ground(y+barAxis, h-barAxis)
	b.axis(y)
	y += barAxis
	for i := range rows {
		b.row(&rows[i], y)
		y += barRow
		l.hair(l.left, y, measure)
	}
	if !last {
		return
	}
	l.d.Line(l.left, y, l.right, y, 0.7, paint.Black)
	y++
	l.d.Text(l.left+6, y+barRow/2+rise(ledgerBold)/2, l.say("dating.together"), ledgerBold, paint.Black)
	for _, bar := range b.c.Foot {
		b.bar(bar, y+(barRow-barTall)/2, barTall, paint.Black, false)
	}
	if len(b.c.Foot) == 0 {
		word := l.say("dating.noYear")
		if b.r.Counted == 0 {
			word = l.say("dating.nothing")
		}
		l.d.Text(b.left+1, y+barRow/2+rise(ledgerFont)/2, word, ledgerFont, paint.Black)
	}
}

// ground draws the claimed years, dotted at their edges, and the years of the
// axis.
func (b *barsAt) ground(y, h float64) {
	l := b.l
	for _, c := range b.c.Claims {
		l.d.Fill(b.x(c.From), y, max(0.6, b.x(c.To)-b.x(c.From)), h, paint.Ink{R: 0xe6, G: 0xe6, B: 0xe3})
	}
	for _, t := range b.c.Ticks {
		l.d.Line(b.x(t.At), y, b.x(t.At), y+h, 0.25, paint.Hair)
	}
	for _, c := range b.c.Claims {
		if !c.OpenFrom {
			l.d.Line(b.x(c.From), y, b.x(c.From), y+h, 0.5, paint.Black)
		}
		if !c.OpenUntil {
			l.d.Line(b.x(c.To), y, b.x(c.To), y+h, 0.5, paint.Black)
		}
	}
}

func (b *barsAt) axis(y float64) {
	l := b.l
	if c := b.r.Claim(); c != nil {
		text := l.say("dating.claimed", printed(c.Text))
		s, f := paint.Fit(text, smallBold, b.right-b.left, 6)
		w := paint.Width(s, f)
		mid := (b.x(b.c.Claims[0].From) + b.x(b.c.Claims[0].To)) / 2
		l.d.Text(min(max(mid-w/2, b.left), b.right-w), y+2.4, s, f, paint.Black)
	}
	for _, t := range b.c.Ticks {
		if w := paint.Width(t.Label, smallFont) / 2; b.x(t.At)+w <= l.right {
			l.d.Centre(b.x(t.At), y+barAxis-1.6, t.Label, smallFont, paint.Dim)
		}
	}
	l.d.Line(l.left, y+barAxis, l.right, y+barAxis, 0.7, paint.Black)
}

func (b *barsAt) row(row *dating.ChartRow, y float64) {
	l := b.l
	base := y + barRow/2 + rise(ledgerFont)/2
	l.d.Text(l.left, base, fmt.Sprint(row.Piece+1), ledgerBold, paint.Black)
	name := upper(l.piece(b.r.Pieces[row.Piece].What))
	if s := b.r.Sign(row); s != "" {
		name = s + "  " + name
	}
	lines := paint.Clamp(paint.Wrap(name, ledgerFont, barNames-9), 1, ledgerFont, barNames-9)
	if len(lines) > 0 {
		l.d.Text(l.left+6, base, lines[0], ledgerFont, paint.Black)
	}
	for _, bar := range row.Bars {
		b.bar(bar, y+(barRow-barTall)/2, barTall, paint.Dim, row.Hollow)
	}
	for _, block := range row.Blocks {
		x, w := b.x(block.From), max(0.9, b.x(block.To)-b.x(block.From))
		if row.Hollow {
			l.d.Fill(x, y+1, w, barRow-2, paint.Ink{R: 255, G: 255, B: 255})
			l.d.Box(x, y+1, w, barRow-2, 0.4, paint.Dim)
			continue
		}
		l.d.Fill(x, y+1, w, barRow-2, paint.Black)
	}
}

// bar draws one stretch of years; open ends are arrows, a hollow one is hatched.
func (b *barsAt) bar(bar dating.Bar, y, h float64, ink paint.Ink, hollow bool) {
	d := b.l.d
	x0, x1 := b.x(bar.From), b.x(bar.To)
	if bar.OpenFrom {
		x0 += h
	}
	if bar.OpenUntil {
		x1 -= h
	}
	if x1-x0 < 0.8 {
		mid := (x0 + x1) / 2
		x0, x1 = mid-0.4, mid+0.4
	}
	if hollow {
		d.Box(x0, y, x1-x0, h, 0.4, ink)
		for x := x0 + 0.8; x+h <= x1; x += 1.8 {
			d.Line(x, y+h, x+h, y, 0.3, ink)
		}
	} else {
		d.Fill(x0, y, x1-x0, h, ink)
	}
	arrow := func(x, way float64) {
		d.Line(x, y, x+way*h*0.6, y+h/2, 0.8, ink)
		d.Line(x+way*h*0.6, y+h/2, x, y+h, 0.8, ink)
	}
	if bar.OpenFrom {
		arrow(x0-0.4, -1)
	}
	if bar.OpenUntil {
		arrow(x1+0.4, 1)
	}
}

// datingTable says of every piece what it is and what it allows, by the numbers
// of the bars.
func (l *layout) datingTable(r *dating.Result, hedge string) {
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "", width: 7, font: ledgerBold},
		{head: l.say("col.what"), width: 40, font: ledgerBold},
		{head: l.say("dating.says"), width: 76, font: ledgerFont},
		{head: l.say("dating.source"), width: 34, font: ledgerFont, ink: paint.Dim},
		{head: l.say("dating.counts"), width: 21, font: ledgerFont},
	}}
	chart := r.Chart()
	var rows [][]cell
	for i := range r.Pieces {
		p := &r.Pieces[i]
		what := upper(l.piece(p.What))
		if p.Code != "" && p.Origin != dating.FromTable {
			what += " " + printed(p.Code)
		}
		counts := l.say("dating.yes")
		switch {
		case p.Aside != "":
			counts = l.say("dating.aside")
		case p.Undone != "":
			counts = l.say("dating.undated")
		case chart.Rows[i].Conflict():
			counts = l.say("dating.yesBut", l.dated(r.SignWords(&chart.Rows[i])))
		}
		remark := strings.TrimSpace(l.usuallyPhrase("datingSource", printed(p.Source)) + l.fileWords(p.Files))
		if n := printed(p.Note); n != "" {
			remark = strings.TrimLeft(remark+". "+upper(n), ". ")
		}
		rows = append(rows, []cell{words(fmt.Sprint(i + 1)), words(what), words(upper(l.dated(r.Says(i)))), words(orDash(upper(remark))), words(counts)})
	}
	t.note = l.say("dating.note", l.dated(hedge))
	t.draw(rows)
}

// fileWords names the photos and papers that show a piece.
func (l *layout) fileWords(ids []string) string {
	var out []string
	if s := l.photoNumbers(ids); s != "" {
		out = append(out, s)
	}
	for _, a := range l.r.Record.Attachments {
		for _, id := range ids {
			if a.ID == id {
				out = append(out, printed(a.Name))
			}
		}
	}
	if len(out) == 0 {
		return ""
	}
	return " (" + strings.Join(out, ", ") + ")"
}
