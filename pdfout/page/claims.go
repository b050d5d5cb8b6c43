package page

import (
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// claims lists what is said about the instrument, by whom and on what ground.
func (l *layout) claims() {
	list := l.r.Record.Claims
	if len(list) == 0 {
		return
	}
	l.section("claims", "What is claimed", 24)
	if s := l.contradicted(); s != "" {
		l.para(l.left, measure, s, strongFont, paint.Black)
		l.y += 2
	}
	t := table{l: l, x: l.left, cols: []column{
		{head: "About", width: 27, font: strongFont},
		{head: "Claim", width: 58, font: textFont},
		{head: "Who says so", width: 34, font: textFont},
		{head: "What supports it", width: 37, font: textFont},
		{head: "Standing", width: 22, font: strongFont},
	}}
	var rows [][]cell
	for i := range list {
		c := &list[i]
		rows = append(rows, []cell{words(upper(clean(c.About))), words(clean(c.Text)), words(orDash(c.By)), words(l.claimSupport(c)), words(upper(string(c.Standing)))})
	}
	t.note = "Documented: a paper was shown. Seen: the examiner saw it on the instrument. Stated: somebody says so. " +
		"Unsupported: nothing was found for it. Contradicted: something was found against it."
	t.draw(rows)
}

// identityRow is one line of what the instrument is.
type identityRow struct{ name, value string }

// identity lists what was entered about the instrument, in the order of page 1.
func (l *layout) identity() []identityRow {
	i := l.r.Record.Instrument
	var rows []identityRow
	add := func(name, value string) {
		if value = clean(value); value != "" {
			rows = append(rows, identityRow{name, value})
		}
	}
	add("Scale", l.scaleWords())
	add("Finish", joined(i.Colour, i.Coating))
	add("Body, neck", joined(l.material(i.Body, "body"), l.material(i.Neck, "neck")))
	add("Fingerboard", l.material(i.Fingerboard, "fingerboard"))
	add("Hardware", i.Hardware)
	add("Electronics", i.Electronics)
	add("Inlays", l.material(i.Inlays, "inlays"))
	for _, c := range l.r.Record.Claims {
		add(upper(clean(c.About))+" claim", claimWords(c))
	}
	if i.Mass > 0 {
		add("Mass", plain(i.Mass, 2)+" kg")
	}
	add("With it", l.withIt())
	add("Materials", l.material(i.Material, ""))
	return rows
}

func joined(a, b string) string {
	if a, b = clean(a), clean(b); a == "" || b == "" {
		return a + b
	} else if len(a)+len(b) > 0 {
		return a + ", " + b
	}
	return ""
}

// claimWords is a claim in one line: what, who says so, how it stands.
func claimWords(c record.Claim) string {
	s := "“" + clean(c.Text) + "”"
	if by := clean(c.By); by != "" {
		s += ", stated by " + by
	}
	switch c.Standing {
	case record.Documented:
		return s + ", documented"
	case record.Seen:
		return s + ", seen"
	case record.Unsupported:
		return s + ", nothing seen that supports it"
	case record.Contradicted:
		return s + ", contradicted by what was found"
	}
	return s + ", no document seen"
}

func (l *layout) scaleWords() string {
	d := l.r.Drawing
	i := l.r.Record.Instrument
	var out []string
	if i.ScaleLength > 0 {
		out = append(out, trimZero(plain(i.ScaleLength, 1))+" mm")
	}
	if i.Frets > 0 {
		out = append(out, count(d.Frets, "fret", "frets"))
	}
	if i.Strings > 0 {
		out = append(out, count(d.Strings, "string", "strings"))
	}
	if i.LeftHanded {
		out = append(out, "left-handed")
	}
	s := ""
	for k, o := range out {
		if k > 0 {
			s += ", "
		}
		s += o
	}
	return s
}

func trimZero(s string) string {
	if n := len(s); n > 2 && s[n-2:] == ".0" {
		return s[:n-2]
	}
	return s
}

// fullIdentity repeats the identity in full, when page 1 had no room for it.
func (l *layout) fullIdentity() {
	l.section("identity", "Identity in full", 20)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "", width: 40, font: textFont, ink: paint.Dim}, {head: "", width: measure - 40, font: textFont},
	}}
	i := l.r.Record.Instrument
	var rows [][]cell
	for _, r := range append([]identityRow{{"Maker", clean(i.Maker)}, {"Model", clean(i.Model)}, {"Edition", clean(i.Edition)},
		{"Year, as claimed", clean(i.Year)}, {"Serial", clean(i.Serial)}, {"Class", clean(i.Class)}}, l.identity()...) {
		if r.value != "" {
			rows = append(rows, []cell{words(r.name), words(upper(r.value))})
		}
	}
	t.draw(rows)
}
