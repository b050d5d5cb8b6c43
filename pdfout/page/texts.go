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
	for _, s := range prose.Gaps(l.told()) {
		out = append(out, s.Text)
	}
	return out
}

func (l *layout) notExaminedSection() {
	l.section("notexamined", "What was not examined", 16)
	l.bullets(l.notExamined(), "Nothing was left out that the record asks for.")
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
		return "Every part that is fitted was inspected."
	}
	return "Not inspected: " + partList(l.r.Grade.NotInspected) + "."
}

// verifying says how anybody can check the report.
func (l *layout) verifying() {
	l.section("verify", "How to check this report", 60)
	for _, s := range l.checkWords() {
		l.para(l.left, measure, s, textFont, paint.Black)
		l.y += 1.8
	}
	l.y += 1
	l.facts([][2]string{
		{"Record, sha-256", l.r.RecordHash},
		{"Key, sha-256", orDash(fingerprint(l.r.Signer.Key, 0))},
		{"Rubric, sha-256", l.r.Grade.RubricHash},
	})
}

func (l *layout) checkWords() []string {
	who := orDash(l.r.Signer.Name)
	out := []string{
		"Nothing needs to be installed for a first look: open the file in any PDF reader that checks signatures. It says whether a single byte has changed since the file was signed. " +
			"A reader that does not know the signer’s key calls the signer unknown or untrusted; that is to be expected of a key that a shop has made itself and says nothing against the file.",
		"A signature proves that the holder of one key signed these very bytes, no more. Whether the key belongs to " + who + " is for you to find out: " +
			"have its fingerprint read to you over the telephone, or compare it with the shop’s printed matter, and with the code on page 1. Compare all groups, not only the first.",
		"Wornwood’s own check (“wornwood verify” and the name of the file) says more: whether anything was added after signing, whether the record inside belongs to the printed digest, " +
			"and whether the grade printed here is what the rubric makes of that record. Both are attached to this file as record.json and grade.json, and any reader that lists attachments can save them." + l.ownRubricWords(),
		"By hand: “sha256sum record.json” must give the record’s digest below and at the foot of every page. With OpenSSL, the bytes that the signature’s byte range names can be put together as signed.bin and its " +
			"contents as signature.der; “openssl cms -verify -binary -noverify -inform DER -in signature.der -content signed.bin” then checks them.",
		"Printed on paper this report is a copy. A scan or a photo of it cannot be checked; ask for the file.",
	}
	if l.r.Signer.Key == "" {
		out = append([]string{"This report has not been signed. Nothing can be checked but the digest of the record."}, out[2:]...)
	}
	return out
}

// ownRubricWords says where a rubric of the shop's own is to be found.
func (l *layout) ownRubricWords() string {
	if l.r.Rubric.Shipped() {
		return ""
	}
	return " The rubric is not one of Wornwood’s: " + l.r.Rubric.Origin() + ". It is attached as rubric.json, so that the grade can be computed again by anybody; whether its numbers are fair is for you to judge."
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
	l.section("scale", "The words of the scale", 58)
	l.para(l.left, measure, "The condition index runs from 100, nothing found, down to 0. Each mark is weighed by what it impairs (appearance, protection or function, structure), "+
		"how deep it goes or what was measured, and how much of its part it covers; each part by its share of the whole. The first ding costs the most. "+
		"A structural flaw holds the whole to the class it allows. Originality and playing are separate answers and never mixed into the index.", textFont, paint.Black)
	l.y += 2
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "Class", width: 16, font: ledgerBold}, {head: "Word", width: 44, font: ledgerFont}, {head: "Index", width: 40, font: ledgerFont}, {head: "", width: 78, font: ledgerFont, ink: paint.Dim},
	}}
	var rows [][]cell
	for _, c := range l.r.Rubric.Scale() {
		here := ""
		font := ledgerFont
		if c.Class == l.r.Grade.Class {
			here, font = "this instrument", ledgerBold
		}
		rows = append(rows, []cell{words(fmt.Sprint(c.Class)), {text: upper(c.Word), font: &font}, words(fmt.Sprintf("%s to %s", plain(c.To, 1), plain(c.From, 1))), words(here)})
	}
	t.draw(rows)
	l.y += 2
	l.para(l.left, measure, "Originality is the share of the whole that is original; "+l.stateWeights()+". "+
		"Plays clean counts positions, string by string and fret by fret. "+
		"The tables are those of “"+clean(l.r.Grade.Rubric)+"”, named by its digest under “How to check this report”; the same record and the same tables give the same grade anywhere.", textFont, paint.Black)
}

// stateWeights says what each state counts, from the rubric.
func (l *layout) stateWeights() string {
	var out []string
	for _, s := range record.States() {
		if v, ok := l.r.Rubric.Originality[s]; ok {
			out = append(out, fmt.Sprintf("%s counts %s", s, trimZero(plain(v, 1))))
		}
	}
	return list(out)
}

// cautions are general; they stand where they matter and never instead of a
// licensed trade or a local rule.
func (l *layout) cautions() {
	l.section("cautions", "Cautions", 40)
	l.bullets(l.cautionList(), "")
}

func (l *layout) cautionList() []string {
	out := []string{
		"This is a condition report. It is not a valuation and not legal advice, and it is no opinion on authenticity: those belong to qualified experts. It says what was seen on the day named, by the means named.",
		"Strings and truss rods are under tension; loosen them step by step, and protect your eyes.",
		"Lacquer, solvents and decaying celluloid are flammable, and old celluloid gives off fumes that corrode metal nearby: keep it ventilated and apart.",
		"Ultraviolet lamps harm eyes and skin: wear rated glasses, keep the light short.",
	}
	i := l.r.Record.Instrument
	if i.Electronics != "" || strings.Contains(i.Class, "electric") || strings.HasPrefix(i.Class, "solid") {
		out = append(out, "Old solder and paint may hold lead: wash your hands. Take a battery out before storing or sending; never open a valve amplifier.")
	}
	out = append(out, l.materialCautions()...)
	return append(out, "Local codes and licensed trades come before anything said here.")
}

// signatures draws the two boxes for the signatures and keeps their places.
func (l *layout) signatures() {
	const h = 25.0
	l.section("signatures", "Signatures", h+6)
	w := (measure - 6) / 2
	boxes := []struct{ label, note, name, contents string }{
		{"Issued by the examiner", fmt.Sprintf("Signed electronically; page %d says how to check it", l.places["verify"].page), "Examiner", "Signature of the examiner who issued this report"},
		{"Received by the buyer", "Countersigned on receipt, when the instrument was compared with this report", "Buyer", "Signature of the buyer on receipt"},
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
