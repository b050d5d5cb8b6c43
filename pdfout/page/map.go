package page

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// outlines is the page on which every side of the instrument is drawn large,
// with the pins of all marks.
func (l *layout) outlines() {
	d := l.r.Drawing
	front, back := d.Side(outline.Front), d.Side(outline.Back)
	if front == nil || back == nil {
		return
	}
	l.lastLabel = ""
	l.newPage()
	l.section("outlines", l.say("section.outlines"), 100)
	fb, bb := bodyBounds(front), bodyBounds(back)
	const apart = 8.0
	scale := (measure - apart) / (fb.Dx() + bb.Dx())
	heads, strips := l.headViews(scale), l.stripViews(scale)
	tall := max(fb.Dy(), bb.Dy()) * scale
	if room := l.bottom - l.y - 8 - heads.tall - strips.tall; tall > room && room > 40 {
		scale *= room / tall
		tall = room
	}
	x := l.left + (measure-apart-(fb.Dx()+bb.Dx())*scale)/2
	l.captioned(scaled(outline.Front, fb, scale, x, l.y, false), l.word("view", "Front"), tall)
	l.captioned(scaled(outline.Back, bb, scale, x+fb.Dx()*scale+apart, l.y, false), l.word("view", "Back"), tall)
	l.y += tall + 8
	l.heads(heads)
	l.strips(strips)
}

// viewGroup is some views of the outline that are drawn at one scale, and the
// height that they take with their captions.
type viewGroup struct {
	views       []outline.View
	scale, tall float64
}

// headViews are the headstock from both sides, beside each other.
func (l *layout) headViews(scale float64) viewGroup {
	var g viewGroup
	tall, wide := 0.0, 0.0
	for _, v := range l.r.Drawing.Views() {
		if v.Group == "Head" {
			g.views = append(g.views, v)
			tall, wide = max(tall, v.Bounds.Dy()), wide+v.Bounds.Dx()
		}
	}
	if tall > 0 && wide > 0 {
		g.scale = min(scale*1.15, 0.18*l.d.Height()/tall*0.87, 90/wide)
	}
	g.tall = max(tall*g.scale, 26) + 9
	return g
}

// stripViews are what is long and narrow, lying one under the other: the edges
// of the body, the back of the neck, the board.
func (l *layout) stripViews(scale float64) viewGroup {
	var g viewGroup
	longest, across := 0.0, 0.0
	for _, v := range l.r.Drawing.Views() {
		if slices.Contains([]string{"Board", "Neck", "Sides"}, v.Group) {
			g.views = append(g.views, v)
			longest, across = max(longest, v.Bounds.Dy()), across+v.Bounds.Dx()
		}
	}
	if longest > 0 {
		g.scale = min(scale*1.1, (measure-22)/longest)
	}
	g.tall = across*g.scale + 1.5*float64(len(g.views)) + 2
	return g
}

// captioned draws a view and its name below a row of the given height.
func (l *layout) captioned(s sheet, name string, tall float64) {
	l.drawSheet(s, l.sheetWords(s, name), 3)
	l.d.Tag("Caption", func() {
		l.d.Centre((s.frame.Min.X+s.frame.Max.X)/2, s.frame.Min.Y+tall+4.5, strings.ToUpper(name), labelFont, paint.Faint)
	})
}

// sheetWords says what a drawing shows to who cannot see it.
func (l *layout) sheetWords(s sheet, name string) string {
	var nums []int
	for _, p := range l.pinsOn(s) {
		if !slices.Contains(nums, p.Number) {
			nums = append(nums, p.Number)
		}
	}
	slices.Sort(nums)
	if len(nums) == 0 {
		return l.say("map.drawing", l.lower(name))
	}
	return l.say("map.drawingWith", l.lower(name), l.markNumbers(nums))
}

// markNumbers is "mark 3" or "marks 1, 2 and 5".
func (l *layout) markNumbers(nums []int) string {
	var s []string
	for _, n := range nums {
		s = append(s, fmt.Sprint(n))
	}
	return l.say("marks.named", len(s), l.list(s))
}

// heads draws the headstock from both sides and, beside it, the key to the pins.
func (l *layout) heads(g viewGroup) {
	l.need(g.tall)
	x := l.left + 10
	for _, v := range g.views {
		s := scaled(v.Side, v.Bounds, g.scale, x, l.y, false)
		l.captioned(s, l.word("view", v.Name), g.tall-9)
		x += s.frame.Dx() + 16
	}
	kx := l.left + measure*0.66
	l.tagLabel("H3", kx, l.y+2.2, l.say("map.howDeep"))
	foot := l.depthKey(kx, l.y+5)
	if s := l.unplaced(); s != "" {
		w := l.right - kx
		l.setLines("P", kx, foot+2, paint.Clamp(paint.Wrap(s, smallFont, w), 4, smallFont, w), smallFont, paint.Dim)
	}
	l.y += g.tall
}

// strips draws the long views lying down, the head to the left.
func (l *layout) strips(g viewGroup) {
	for _, v := range g.views {
		tall := v.Bounds.Dx() * g.scale
		l.need(tall + 1)
		s := scaled(v.Side, v.Bounds, g.scale, l.left+22, l.y, true)
		name := l.word("view", v.Name)
		l.drawSheet(s, l.sheetWords(s, name), 2)
		l.d.Tag("Caption", func() {
			for i, w := range paint.Wrap(strings.ToUpper(name), labelFont, 20) {
				l.d.Text(l.left, l.y+tall/2+0.8+float64(i)*3, w, labelFont, paint.Faint)
			}
		})
		l.y += tall + 1.5
	}
	l.y += 2
}

// unplaced names the marks that have no place on the outline.
func (l *layout) unplaced() string {
	var nums []int
	for _, m := range l.r.Record.Marks {
		drawn := slices.ContainsFunc(m.On, func(p record.Place) bool {
			_, front := l.pieceOn(outline.Front, p)
			_, back := l.pieceOn(outline.Back, p)
			return front || back || (p.Side != "" && len(p.Points) > 0)
		})
		if !drawn {
			nums = append(nums, m.Number)
		}
	}
	if len(nums) == 0 {
		return ""
	}
	return l.say("map.unplaced", len(nums), upper(l.markNumbers(nums)))
}
