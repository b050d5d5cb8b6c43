package page

import (
	"strconv"
	"strings"

	"wornwood/annotate/shape"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// playing shows the grid of positions and the readings.
func (l *layout) playing() {
	g := l.r.Grade.Playing
	l.section("playing", l.say("section.playing"), 50)
	switch {
	case l.r.Drawing.Fretless:
		l.para(l.left, measure, l.say("playing.fretless"), textFont, paint.Black)
	case g.Tried == 0:
		l.para(l.left, measure, l.say("playing.none"), textFont, paint.Black)
	default:
		l.para(l.left, measure, l.playsWords(), textFont, paint.Black)
		l.y += 2
		l.grid()
	}
	l.readings()
	l.setup()
}

// playsWords says how the instrument plays in a sentence or two.
func (l *layout) playsWords() string {
	g := l.r.Grade.Playing
	s := l.say("playing.some", g.Tried, g.Total, g.Clean)
	if g.Tried == g.Total {
		s = l.say("playing.all", g.Total, g.Clean)
		if g.Clean == g.Total {
			s = l.say("playing.clean", g.Total)
		}
	}
	if f := l.faultWords(0); f != "" {
		s += " " + f
	}
	return s
}

// faultWords names the positions that do not speak cleanly, by sound and
// string; most is how many groups are named, 0 all.
func (l *layout) faultWords(most int) string {
	type group struct {
		sound record.Sound
		str   int
		frets []int
	}
	var groups []*group
	find := func(s record.Sound, str int) *group {
		for _, g := range groups {
			if g.sound == s && g.str == str {
				return g
			}
		}
		groups = append(groups, &group{sound: s, str: str})
		return groups[len(groups)-1]
	}
	for _, f := range l.r.Grade.Playing.Faults {
		g := find(f.Sound, f.String)
		g.frets = append(g.frets, f.Fret)
	}
	names := map[record.Sound]string{record.Buzz: "fault.buzz", record.Choke: "fault.choke", record.Dead: "fault.dead"}
	var out []string
	for i, g := range groups {
		if most > 0 && i == most {
			out = append(out, l.sayCount("playing.moreStrings", len(groups)-most))
			break
		}
		out = append(out, l.say("playing.fault", len(g.frets), l.say(names[g.sound]), g.str, numbers(g.frets)))
	}
	if len(out) == 0 {
		return ""
	}
	return upper(strings.Join(out, "; ")) + "."
}

// grid draws every position: strings across, frets along.
func (l *layout) grid() {
	d := l.r.Drawing
	if d.Frets < 1 || d.Strings < 1 {
		return
	}
	const labelW = 16.0
	w := min(7.0, (measure-labelW)/float64(d.Frets))
	const h = 5.0
	tall := float64(d.Strings)*h + 12
	l.need(tall)
	x0, y0 := l.left+labelW, l.y+4
	l.d.Figure(l.say("playing.grid", l.playsWords()), l.left, l.y, measure, tall-7, func() {
		for f := 1; f <= d.Frets; f++ {
			l.d.Centre(x0+(float64(f)-0.5)*w, l.y+2.4, strconv.Itoa(f), smallFont.Sized(6.4), paint.Dim)
		}
		for s := 1; s <= d.Strings; s++ {
			y := y0 + (float64(s)-0.5)*h
			l.d.Text(l.left, y+0.9, l.say("playing.string", s), smallFont, paint.Dim)
			l.d.Line(x0, y, x0+w*float64(d.Frets), y, 0.3, paint.Hair)
			for f := 1; f <= d.Frets; f++ {
				l.sound(x0+(float64(f)-0.5)*w, y, l.r.Record.Playing.At(s, f))
			}
		}
		for f := 0; f <= d.Frets; f++ {
			l.d.Line(x0+float64(f)*w, y0, x0+float64(f)*w, y0+float64(d.Strings)*h, 0.3, paint.Hair)
		}
	})
	l.y = y0 + float64(d.Strings)*h + 3
	x := x0
	l.d.Tag("P", func() {
		for _, s := range record.Sounds() {
			l.sound(x+2, l.y+1, s)
			name := l.word("soundWord", string(s))
			l.d.Text(x+5, l.y+1.9, name, smallFont, paint.Dim)
			x += 10 + paint.Width(name, smallFont)
		}
	})
	l.y += 6
}

// sound draws the sign of a sound: a dot for clean, a ring for buzz, a half
// for choked, a disc for dead, a stroke for not tried. They differ by form.
func (l *layout) sound(x, y float64, s record.Sound) {
	black, white := paint.Black, paint.Paper
	const r = 1.5
	edge := paint.Pen{Fill: &white, Stroke: &black, Width: 0.7}
	switch s {
	case record.Clean:
		l.d.Path(paint.Disc(x, y, 0.5), paint.Pen{Fill: &black})
	case record.Buzz:
		l.d.Path(paint.Disc(x, y, r), edge)
	case record.Choke:
		l.d.Path(paint.Disc(x, y, r), edge)
		var half shape.Path
		half.MoveTo(shape.Pt{X: x, Y: y - r})
		half.CubicTo(shape.Pt{X: x - 1.33*r, Y: y - r}, shape.Pt{X: x - 1.33*r, Y: y + r}, shape.Pt{X: x, Y: y + r})
		half.Close()
		l.d.Path(half, paint.Pen{Fill: &black})
	case record.Dead:
		l.d.Path(paint.Disc(x, y, r), paint.Pen{Fill: &black, Stroke: &black, Width: 0.7})
	default:
		l.d.Path(paint.Disc(x, y, 0.9), paint.Pen{Fill: &white})
		l.d.Line(x-0.9, y, x+0.9, y, 0.7, paint.Black)
	}
}
