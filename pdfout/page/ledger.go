package page

import (
	"fmt"
	"math"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// ledger prints how the index came about, line by line; what is printed adds
// up as printed.
func (l *layout) ledger() {
	g := l.r.Grade
	l.section("ledger", l.say("section.ledger"), 30)
	if g.Index == nil {
		l.para(l.left, measure, l.say("ledger.none"), textFont, paint.Black)
		return
	}
	t := table{l: l, x: l.left, dense: true, bold: true, cols: []column{
		{head: l.say("col.no"), width: 10, font: ledgerBold},
		{head: l.say("col.what"), width: 82, font: ledgerFont},
		{head: l.say("ledger.countsFor"), width: 68, font: ledgerFont, ink: paint.Dim},
		{head: l.say("col.points"), width: 18, right: true, font: ledgerFont},
	}}
	rows := [][]cell{{words(""), words(l.say("ledger.nothing")), words(""), words(l.plain(100, 1))}}
	for _, line := range g.Ledger {
		no := ""
		if line.Mark > 0 {
			no = fmt.Sprint(line.Mark)
		}
		text := upper(l.phrase("ledger", line.Text))
		if r := clean(line.Remark); r != "" {
			text = l.say("ledger.remark", text, l.remarks(r))
		}
		rows = append(rows, []cell{words(no), words(text), words(l.partList(line.Parts)), words(l.plain(-line.Shown, 1))})
	}
	bold := ledgerBold
	rows = append(rows, []cell{words(""), {text: l.say("ledger.index"), font: &bold}, words(""), {text: l.t.Figures(PrintedIndex(g)), font: &bold}})
	t.note = l.rangeWords() + " " + l.rubricWords()
	t.draw(rows)
}

// rubricWords names the rubric and, where it is not one of the program's, says
// so in plain words.
func (l *layout) rubricWords() string {
	name, hash := clean(l.r.Grade.Rubric), grade.ShortHash(l.r.Grade.RubricHash)
	if o := l.r.Rubric.Origin(); o != "" {
		return l.say("rubric.byOwn", name, hash, l.phrase("origin", o))
	}
	return l.say("rubric.by", name, hash)
}

func (l *layout) partList(parts []record.PartID) string {
	var s []string
	for _, p := range parts {
		s = append(s, l.part(p))
	}
	return strings.Join(s, ", ")
}

// remarks are the remarks of a line of the ledger, parted by semicolons.
func (l *layout) remarks(s string) string {
	var out []string
	for _, r := range strings.Split(s, "; ") {
		out = append(out, l.phrase("ledger", r))
	}
	return strings.Join(out, "; ")
}

// rangeWords explains the range of the index and whether it is provisional.
func (l *layout) rangeWords() string {
	g := l.r.Grade
	if len(g.NotInspected) == 0 {
		return l.say("range.none")
	}
	s := l.say("range.some", l.partList(g.NotInspected), l.plain(g.High, 1), l.plain(g.Low, 1))
	if g.Provisional {
		s += " " + l.say("range.provisional", l.plain(math.Floor(g.Inspected*100), 0))
	}
	return s
}
