package page

import (
	"strings"

	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// frontPins is how many pins the small drawings of page 1 hold and stay
// legible.
const frontPins = 24

func (l *layout) costliest(n int) []record.Mark {
	worst, _, _ := l.worst(n)
	var out []record.Mark
	for _, m := range worst {
		out = append(out, *m)
	}
	return out
}

// frontMap draws front, back and board with their pins between the cursor and
// foot, as large as the height allows.
func (l *layout) frontMap(foot float64) {
	d := l.r.Drawing
	front, back := d.Side(outline.Front), d.Side(outline.Back)
	if front == nil || back == nil {
		return
	}
	label := l.say("map.title")
	if len(l.r.Record.Marks) > frontPins {
		l.only = l.costliest(frontPins)
		label = l.say("map.costliest", frontPins)
	}
	defer func() { l.only = nil }()
	l.tagLabel("H2", l.left, l.y+2.2, label)
	top, tall := l.y+4, foot-l.y-9
	if tall < 15 {
		return
	}
	views := l.frontViews(tall)
	wide := 0.0
	for _, v := range views {
		wide += v.frame.Dx()
	}
	room := measure - 56
	apart := min(14, (room-wide)/float64(len(views)))
	x := l.left + (room-wide-apart*float64(len(views)-1))/2
	shown := map[int]bool{}
	for _, v := range views {
		s := v.moved(x, top)
		for _, p := range l.pinsOn(s) {
			shown[p.Number] = true
		}
		l.frontView(s, v.name, top+tall+3.6)
		x += s.frame.Dx() + apart
	}
	l.frontKey(l.left+measure-50, top, tall, len(shown))
}

// named is a view with what to call it.
type named struct {
	sheet
	name string
}

// moved is the view with its top left corner elsewhere.
func (s sheet) moved(x, y float64) sheet {
	return scaled(s.side, s.bounds, s.view.Factor(), x, y, false)
}

// frontViews are front, back and board, and then whatever else has marks, as
// long as there is room for it.
func (l *layout) frontViews(tall float64) []named {
	d := l.r.Drawing
	fb, bb := bodyBounds(d.Side(outline.Front)), bodyBounds(d.Side(outline.Back))
	scale := min(tall/max(fb.Dy(), bb.Dy()), 44/max(fb.Dx(), bb.Dx()))
	views := []named{
		{scaled(outline.Front, fb, scale, 0, 0, false), l.say("view.front")},
		{scaled(outline.Back, bb, scale, 0, 0, false), l.say("view.back")},
	}
	wide := views[0].frame.Dx() + views[1].frame.Dx()
	names := map[string]string{"Board": "view.board", "Neck": "view.neck", "Head": "view.head", "Sides": "view.side"}
	for _, board := range []bool{true, false} {
		for _, v := range d.Views() {
			name, ok := names[v.Group]
			if !ok || (v.Group == "Board") != board {
				continue
			}
			s := scaled(v.Side, v.Bounds, min(tall/v.Bounds.Dy(), scale*1.6), 0, 0, false)
			if !board && len(l.pinsOn(s)) == 0 || wide+s.frame.Dx()+float64(len(views))*9 > measure-58 {
				continue
			}
			wide += s.frame.Dx()
			views = append(views, named{s, l.say(name)})
		}
	}
	return views
}

func (l *layout) frontView(s sheet, name string, captionY float64) {
	n := len(l.pinsOn(s))
	old := l.style
	l.style.radius *= 0.82
	l.drawSheet(s, l.sheetWords(s, name), 2)
	l.style = old
	words := name
	if n == 0 {
		words = l.say("map.noMarks", name)
	}
	words = strings.ToUpper(words)
	l.d.Tag("Caption", func() {
		l.d.Centre((s.frame.Min.X+s.frame.Max.X)/2, captionY, words, labelFont.Sized(6), paint.Faint)
	})
}

// frontKey is the key to the pins, and where the other sides are drawn.
func (l *layout) frontKey(x, y, tall float64, shown int) {
	l.tagLabel("P", x, y+2.2, l.say("map.howDeep"))
	y = l.depthKey(x, y+4.5)
	p, ok := l.places["outlines"]
	if !ok || tall < 30 {
		return
	}
	s := l.say("map.allSides", p.page)
	if l.only != nil {
		s = l.say("map.allMarks", len(l.r.Record.Marks), p.page)
	} else if rest := len(l.r.Record.Marks) - shown; rest > 0 {
		s = upper(l.sayCount("map.elsewhere", rest, p.page))
	}
	lines := paint.Wrap(s, smallFont, 50)
	l.d.Lead(x, y, 50, 8, p.page, p.y-4, func() {
		for i, line := range lines {
			l.d.Text(x, y+3.4+float64(i)*lead(smallFont), line, smallFont, paint.Dim)
		}
	})
}

// issuer says who issues the report, when, with which key, beside the code.
func (l *layout) issuer(y float64) {
	l.d.Line(l.left, y-2.5, l.right, y-2.5, 0.5, paint.Hair)
	const size = 19.0
	l.drawQR(l.left, y, size)
	x := l.left + size + 5
	w := l.right - x
	e := l.r.Record.Examination
	who := clean(l.r.Signer.Name)
	if who == "" {
		who = orDash(joined(e.Examiner, e.Shop))
	}
	line := l.say("issuer.issued", l.t.DateTime(l.r.Created))
	if l.r.Signer.Key != "" {
		line = l.say("issuer.signed", l.t.DateTime(l.r.Created), fingerprint(l.r.Signer.Key, 4))
	}
	bold := strongFont.Sized(9)
	name, f := paint.Fit(who+",", bold, w*0.5, 6.5)
	l.d.Tag("P", func() {
		l.d.Text(x, y+3.6, name, f, paint.Black)
		at := x + paint.Width(name, f) + 1.2
		s, tf := paint.Fit(line, textFont.Sized(8.6), l.right-at, 5.8)
		l.d.Text(at, y+3.6, s, tf, paint.Black)
	})
	pages := l.say("issuer.lastPages")
	if p, ok := l.places["verify"]; ok {
		pages = l.say("issuer.page", p.page)
	}
	inside, end := l.say("issuer.inside"), ""
	if n := len(l.r.Record.Photos); n > 0 {
		inside = l.sayCount("issuer.insidePhotos", n)
		end = " " + l.say("issuer.originals")
	}
	s := l.say("issuer.note", inside, pages) + end
	lines := paint.Wrap(s+" "+l.rubricWords(), smallFont, w)
	l.setLines("P", x, y+6, lines, smallFont, paint.Dim)
}
