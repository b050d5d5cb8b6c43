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
	l.section("claims", l.say("section.claims"), 24)
	if s := l.contradicted(); s != "" {
		l.para(l.left, measure, s, strongFont, paint.Black)
		l.y += 2
	}
	t := table{l: l, x: l.left, cols: []column{
		{head: l.say("claims.about"), width: 27, font: strongFont},
		{head: l.say("claims.claim"), width: 58, font: textFont},
		{head: l.say("claims.who"), width: 34, font: textFont},
		{head: l.say("claims.support"), width: 37, font: textFont},
		{head: l.say("claims.standing"), width: 22, font: strongFont},
	}}
	var rows [][]cell
	for i := range list {
		c := &list[i]
		rows = append(rows, []cell{words(upper(l.usually("subject", c.About))), words(clean(c.Text)), words(orDash(c.By)), words(l.claimSupport(c)), words(upper(l.word("standing", string(c.Standing))))})
	}
	t.note = l.say("claims.note")
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
	add(l.say("identity.scale"), l.scaleWords())
	add(l.say("identity.finish"), joined(i.Colour, i.Coating))
	add(l.say("identity.bodyNeck"), joined(l.material(i.Body, "body"), l.material(i.Neck, "neck")))
	add(l.say("identity.board"), l.material(i.Fingerboard, "fingerboard"))
	add(l.say("identity.hardware"), i.Hardware)
	add(l.say("identity.electronics"), i.Electronics)
	add(l.say("identity.inlays"), l.material(i.Inlays, "inlays"))
	for _, c := range l.r.Record.Claims {
		add(l.say("identity.claim", upper(l.usually("subject", c.About))), l.claimWords(c))
	}
	if i.Mass > 0 {
		add(l.say("identity.mass"), l.plain(i.Mass, 2)+" kg")
	}
	add(l.say("identity.withIt"), l.withIt())
	add(l.say("identity.materials"), l.material(i.Material, ""))
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
func (l *layout) claimWords(c record.Claim) string {
	s := l.quoted(c.Text)
	if by := clean(c.By); by != "" {
		s = l.say("claim.by", s, by)
	}
	switch c.Standing {
	case record.Documented:
		return l.say("claim.documented", s)
	case record.Seen:
		return l.say("claim.seen", s)
	case record.Unsupported:
		return l.say("claim.unsupported", s)
	case record.Contradicted:
		return l.say("claim.contradicted", s)
	}
	return l.say("claim.noDocument", s)
}

func (l *layout) scaleWords() string {
	d := l.r.Drawing
	i := l.r.Record.Instrument
	var out []string
	if i.ScaleLength > 0 {
		out = append(out, l.figures(trimZero(plain(i.ScaleLength, 1)))+" mm")
	}
	if i.Frets > 0 {
		out = append(out, l.sayCount("scale.frets", d.Frets))
	}
	if i.Strings > 0 {
		out = append(out, l.sayCount("scale.strings", d.Strings))
	}
	if i.LeftHanded {
		out = append(out, l.say("scale.left"))
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
	l.section("identity", l.say("section.identity"), 20)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "", width: 40, font: textFont, ink: paint.Dim}, {head: "", width: measure - 40, font: textFont},
	}}
	i := l.r.Record.Instrument
	var rows [][]cell
	for _, r := range append([]identityRow{{l.say("identity.maker"), clean(i.Maker)}, {l.say("identity.model"), clean(i.Model)}, {l.say("identity.edition"), clean(i.Edition)},
		{l.say("identity.year"), clean(i.Year)}, {l.say("identity.serial"), clean(i.Serial)}, {l.say("identity.class"), l.usually("class", i.Class)}}, l.identity()...) {
		if r.value != "" {
			rows = append(rows, []cell{words(r.name), words(upper(r.value))})
		}
	}
	t.draw(rows)
}
