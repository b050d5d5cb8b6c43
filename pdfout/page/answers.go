package page

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/paint"
)

func sortByCost(marks []*record.Mark, g *grade.Result) {
	slices.SortStableFunc(marks, func(a, b *record.Mark) int {
		return cmp.Or(cmp.Compare(g.MarkPoints(b.Number), g.MarkPoints(a.Number)), cmp.Compare(a.Number, b.Number))
	})
}

// answers draws the three answers beside each other.
func (l *layout) answers() {
	top := l.y
	l.d.Line(l.left, top, l.right, top, 0.7, paint.Black)
	const h = 26.5
	w := [3]float64{66, 56, 56}
	x := l.left
	for i, draw := range []func(x, y, w float64){l.conditionAnswer, l.originalityAnswer, l.playingAnswer} {
		inset := 0.0
		if i > 0 {
			l.d.Line(x, top+2.5, x, top+h-1.5, 0.35, paint.Hair)
			inset = 4
		}
		l.d.Group("Sect", func() { draw(x+inset, top, w[i]-inset-3) })
		x += w[i]
	}
	l.d.Line(l.left, top+h, l.right, top+h, 0.5, paint.Hair)
	l.y = top + h + 3
}

// answer sets one of the three answers: a label, a large figure and what it is
// out of. Label and figure are drawn one after the other, see Answers.
func (l *layout) answer(x, y, w float64, which int, of string) {
	a := Answers(l.r.Grade, l.t)[which]
	l.tagLabel("H2", x, y+5, a.Label)
	l.d.Tag("P", func() {
		l.d.Text(x-0.3, y+15.2, a.Figure, indexFont, paint.Black)
		at := x + paint.Width(a.Figure, indexFont) + 1.8
		s, f := paint.Fit(of, textFont, x+w-at, 6)
		l.d.Text(at, y+15.2, s, f, paint.Dim)
	})
}

func (l *layout) conditionAnswer(x, y, w float64) {
	g := l.r.Grade
	if g.Index == nil {
		l.answer(x, y, w, 0, l.say("answers.noPart"))
		return
	}
	of := l.say("answers.of100")
	if len(g.NotInspected) > 0 {
		of = l.say("answers.of100range", int(math.Floor(g.Low+1e-9)), int(math.Ceil(g.High-1e-9)))
	}
	l.answer(x, y, w, 0, of)
	l.classBar(x, y+18, w)
	s := l.say("answers.class", g.Class, l.word("scale", g.Word))
	if g.Provisional {
		s += " " + l.say("answers.provisional", l.plain(math.Floor(g.Inspected*100), 0))
	}
	if c := g.Cap; c != nil && c.Points > 0 {
		s += " " + l.say("answers.held", c.Mark)
	}
	s, f := paint.Fit(s, smallBold.Sized(7.6), w, 6)
	l.d.Text(x, y+24.6, s, f, paint.Black)
}

// classBar draws the scale from 0 to 100 cut into its six classes, the class
// the instrument is in darker, and the index as a stroke.
func (l *layout) classBar(x, y, w float64) {
	g := l.r.Grade
	at := func(v float64) float64 { return x + v/100*w }
	l.d.Figure(l.say("answers.bar", g.Class), x, y, w, 3, func() {
		for _, c := range l.r.Rubric.Scale() {
			ink := paint.Mist
			if c.Class == g.Class {
				ink = paint.Ink{R: 0x8c, G: 0x8d, B: 0x92}
			}
			l.d.Fill(at(c.From)+0.25, y, max(0.2, at(c.To)-at(c.From)-0.5), 2, ink)
		}
		if len(g.NotInspected) > 0 {
			l.d.Line(at(g.Low), y+2.9, at(g.High), y+2.9, 0.7, paint.Black)
		}
		l.d.Fill(at(*g.Index)-0.45, y-0.7, 0.9, 3.4, paint.Black)
	})
}

func (l *layout) originalityAnswer(x, y, w float64) {
	g := l.r.Grade
	if g.Originality == nil {
		l.answer(x, y, w, 1, l.say("answers.notJudged"))
		return
	}
	of := l.say("answers.of100")
	if g.OriginalityHigh-g.OriginalityLow >= 0.5 {
		of = l.say("answers.of100range", int(math.Floor(g.OriginalityLow+1e-9)), int(math.Ceil(g.OriginalityHigh-1e-9)))
	}
	l.answer(x, y, w, 1, of)
	var not []string
	for _, p := range g.NotOriginal {
		not = append(not, l.say("answers.partState", upper(l.part(p.Part)), l.word("state", string(p.State))))
	}
	if len(not) == 0 {
		not = []string{l.say("answers.allOriginal")}
		if len(g.UnknownState) > 0 {
			not = []string{l.say("answers.judgedOriginal")}
		}
	}
	l.few(x, y+18.2, w, not, "parts")
}

func (l *layout) playingAnswer(x, y, w float64) {
	g := l.r.Grade.Playing
	if g.Tried == 0 {
		l.answer(x, y, w, 2, l.say("answers.notTried"))
		return
	}
	of := l.say("answers.ofPositions", g.Tried)
	if g.Tried < g.Total {
		of = l.say("answers.ofTried", g.Tried, g.Total)
	}
	l.answer(x, y, w, 2, of)
	var lines []string
	for _, s := range strings.Split(strings.TrimSuffix(l.faultWords(0), "."), "; ") {
		if s != "" {
			lines = append(lines, upper(s)+".")
		}
	}
	for _, r := range g.Readings {
		if r.Outside {
			lines = append(lines, l.say("answers.outside", upper(l.reading(r.Reading)), l.figures(r.Text), l.usual(r.Usual)))
		}
	}
	if len(lines) == 0 {
		lines = []string{l.say("answers.noFault")}
	}
	l.few(x, y+18.2, w, lines, "playing")
}

// few sets whole sentences in two lines of small type; when some are left, the
// second line ends in where they are.
func (l *layout) few(x, y, w float64, list []string, section string) {
	f := smallFont.Sized(7.6)
	lines := paint.Wrap(strings.Join(list, " "), f, w)
	for n := len(list) - 1; len(lines) > 2 && n >= 0; n-- {
		lines = paint.Wrap(strings.Join(append(slices.Clone(list[:n]), l.more(len(list)-n, n == 0, section)), " "), f, w)
	}
	l.d.Tag("P", func() {
		for i, s := range lines {
			l.d.Text(x, y+2+float64(i)*lead(f), s, f, paint.Black)
		}
	})
}

// more says that so many sentences, or all of them, stand elsewhere.
func (l *layout) more(n int, all bool, section string) string {
	p, ok := l.places[section]
	switch {
	case all && ok:
		return l.say("more.restOn", p.page)
	case all:
		return l.say("more.rest")
	case ok:
		return upper(l.say("more.someOn", catalogue.InWords(n), p.page))
	}
	return upper(l.say("more.some", catalogue.InWords(n)))
}
