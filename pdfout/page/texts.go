package page

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/pdf"
	"wornwood/pdfout/prose"
)

// notExamined are the sentences about what nobody looked at: the examiner's
// own, and those that follow from parts and positions.
func (l *layout) notExamined() []string {
	var out []string
	own := map[string]bool{}
	for _, s := range l.r.Record.NotExamined {
		own[upper(strings.TrimSuffix(clean(s), "."))+"."] = true
	}
	for _, s := range prose.Gaps(l.told()) {
		text := s.Text
		if !own[text] {
			text = l.phrase("prose", text)
		}
		out = append(out, text)
	}
	return out
}

func (l *layout) notExaminedSection() {
	l.section("notexamined", l.say("section.notExamined"), 16)
	l.bullets(l.notExamined(), l.say("front.nothingLeft"))
}

// bullets sets short sentences one under the other, each on its own hairline.
func (l *layout) bullets(list []string, none string) {
	if len(list) == 0 {
		list = []string{none}
	}
	l.d.Group("L", func() {
		for _, s := range list {
			lines := paint.Wrap(s, textFont, measure)
			h := float64(len(lines))*lead(textFont) + 1.8
			if h < l.bottom-l.top {
				l.need(h)
			}
			l.d.Group("LI", func() { l.rowLines("LBody", l.left, l.y+0.9, lines, textFont) })
			l.y += h
			l.hair(l.left, l.y, measure)
		}
	})
}

// inspectedWords says how much was looked at.
func (l *layout) inspectedWords() string {
	if len(l.r.Grade.NotInspected) == 0 {
		return l.say("inspected.all")
	}
	return l.say("inspected.not", l.partList(l.r.Grade.NotInspected))
}

// verifying says how anybody can check the report.
func (l *layout) verifying() {
	l.section("verify", l.say("section.verify"), 60)
	for _, s := range l.checkWords() {
		l.para(l.left, measure, s, textFont, paint.Black)
		l.y += 1.8
	}
	l.y += 1
	l.facts([][2]string{
		{l.say("verify.record"), l.r.RecordHash},
		{l.say("verify.key"), orDash(fingerprint(l.r.Signer.Key, 0))},
		{l.say("verify.rubric"), l.r.Grade.RubricHash},
	})
}

func (l *layout) checkWords() []string {
	who := orDash(l.r.Signer.Name)
	out := []string{
		l.say("verify.reader"), l.say("verify.key.owner", who), l.say("verify.program") + l.ownRubricWords(), l.say("verify.byHand"), l.say("verify.paper"),
	}
	if l.r.Signer.Key == "" {
		out = append([]string{l.say("verify.unsigned")}, out[2:]...)
	}
	return out
}

// ownRubricWords says where a rubric of the shop's own is to be found.
func (l *layout) ownRubricWords() string {
	if l.r.Rubric.Shipped() {
		return ""
	}
	return " " + l.say("verify.ownRubric", l.phrase("origin", l.r.Rubric.Origin()))
}

// facts is a list of digests, each behind its name.
func (l *layout) facts(rows [][2]string) {
	l.need(float64(len(rows)) * 5)
	for _, r := range rows {
		l.d.Tag("P", func() {
			l.d.Text(l.left, l.y+3, strings.ToUpper(r[0]), labelFont, paint.Faint)
			s, f := paint.Fit(r[1], hashFont.Sized(7), measure-34, 5.6)
			l.d.Text(l.left+34, l.y+3, s, f, paint.Black)
		})
		l.y += 4.6
		l.hair(l.left, l.y, measure)
	}
}

// scaleWordsSection explains the classes and what the index means.
func (l *layout) scaleWordsSection() {
	l.section("scale", l.say("section.scale"), 58)
	l.para(l.left, measure, l.say("scale.explained"), textFont, paint.Black)
	l.y += 2
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("scale.class"), width: 16, font: ledgerBold}, {head: l.say("scale.word"), width: 44, font: ledgerFont}, {head: l.say("scale.index"), width: 40, font: ledgerFont}, {head: "", width: 78, font: ledgerFont, ink: paint.Dim},
	}}
	var rows [][]cell
	for _, c := range l.r.Rubric.Scale() {
		here := ""
		font := ledgerFont
		if c.Class == l.r.Grade.Class {
			here, font = l.say("scale.here"), ledgerBold
		}
		rows = append(rows, []cell{words(fmt.Sprint(c.Class)), {text: upper(l.word("scale", c.Word)), font: &font}, words(l.say("scale.range", l.plain(c.To, 1), l.plain(c.From, 1))), words(here)})
	}
	t.draw(rows)
	l.y += 2
	l.para(l.left, measure, l.say("scale.rest", l.stateWeights(), clean(l.r.Grade.Rubric)), textFont, paint.Black)
}

// stateWeights says what each state counts, from the rubric.
func (l *layout) stateWeights() string {
	var out []string
	for _, s := range record.States() {
		if v, ok := l.r.Rubric.Originality[s]; ok {
			out = append(out, l.say("scale.counts", l.word("state", string(s)), l.figures(trimZero(plain(v, 1)))))
		}
	}
	return l.list(out)
}

// cautions are general; they stand where they matter and never instead of a
// licensed trade or a local rule.
func (l *layout) cautions() {
	l.section("cautions", l.say("section.cautions"), 40)
	l.bullets(l.cautionList(), "")
}

func (l *layout) cautionList() []string {
	out := []string{l.say("caution.report"), l.say("caution.strings"), l.say("caution.lacquer"), l.say("caution.ultraviolet")}
	i := l.r.Record.Instrument
	if i.Electronics != "" || strings.Contains(i.Class, "electric") || strings.HasPrefix(i.Class, "solid") {
		out = append(out, l.say("caution.electric"))
	}
	out = append(out, l.materialCautions()...)
	return append(out, l.say("caution.local"))
}

// signatures draws the two boxes for the signatures and keeps their places.
func (l *layout) signatures() {
	const h = 25.0
	l.section("signatures", l.say("section.signatures"), h+6)
	w := (measure - 6) / 2
	boxes := []struct{ label, note, name, contents string }{
		{l.say("sign.issued"), l.say("sign.issuedNote", l.places["verify"].page), "Examiner", l.say("sign.issuedField")},
		{l.say("sign.received"), l.say("sign.receivedNote"), "Buyer", l.say("sign.receivedField")},
	}
	for i, b := range boxes {
		x := l.left + float64(i)*(w+6)
		l.d.Box(x, l.y, w, h, 0.8, paint.Black)
		l.tagLabel("P", x+2.5, l.y+4.6, b.label)
		s, f := paint.Fit(orDash(b.note), smallFont, w-5, 6)
		l.d.Text(x+2.5, l.y+h-2, s, f, paint.Dim)
		l.fields = append(l.fields, pdf.Field{Name: b.name, Page: l.d.Page(), Rect: l.d.Rect(x+2, l.y+6, w-4, h-11.5), Contents: b.contents})
	}
	l.y += h + 3
}
