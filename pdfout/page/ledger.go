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
	l.section("ledger", "Ledger", 30)
	if g.Index == nil {
		l.para(l.left, measure, "No part was inspected, so there is no condition index and nothing to add up.", textFont, paint.Black)
		return
	}
	t := table{l: l, x: l.left, dense: true, bold: true, cols: []column{
		{head: "No.", width: 10, font: ledgerBold},
		{head: "What", width: 82, font: ledgerFont},
		{head: "Counts for", width: 68, font: ledgerFont, ink: paint.Dim},
		{head: "Points", width: 18, right: true, font: ledgerFont},
	}}
	rows := [][]cell{{words(""), words("Nothing wrong"), words(""), words("100.0")}}
	for _, line := range g.Ledger {
		no := ""
		if line.Mark > 0 {
			no = fmt.Sprint(line.Mark)
		}
		text := upper(clean(line.Text))
		if r := clean(line.Remark); r != "" {
			text += " (" + r + ")"
		}
		rows = append(rows, []cell{words(no), words(text), words(partList(line.Parts)), words(plain(-line.Shown, 1))})
	}
	bold := ledgerBold
	rows = append(rows, []cell{words(""), {text: "Condition index", font: &bold}, words(""), {text: PrintedIndex(g), font: &bold}})
	t.note = l.rangeWords() + " " + l.rubricWords()
	t.draw(rows)
}

// rubricWords names the rubric and, where it is not one of the program's, says
// so in plain words.
func (l *layout) rubricWords() string {
	s := fmt.Sprintf("Graded by “%s”, sha-256 %s ….", clean(l.r.Grade.Rubric), grade.ShortHash(l.r.Grade.RubricHash))
	if o := l.r.Rubric.Origin(); o != "" {
		s = strings.TrimSuffix(s, ".") + ", " + o + "; its table is inside this file."
	}
	return s
}

func partList(parts []record.PartID) string {
	var s []string
	for _, p := range parts {
		s = append(s, clean(string(p)))
	}
	return strings.Join(s, ", ")
}

// rangeWords explains the range of the index and whether it is provisional.
func (l *layout) rangeWords() string {
	g := l.r.Grade
	if len(g.NotInspected) == 0 {
		return "Every part that is fitted was inspected, so the index has no range. It is printed to a tenth; the exact figures are in the attached grade."
	}
	s := fmt.Sprintf("Not inspected: %s. Were all of that sound, the index would be %s; were all of it worn out, %s.",
		partList(g.NotInspected), plain(g.High, 1), plain(g.Low, 1))
	if g.Provisional {
		s += fmt.Sprintf(" Only %s %% of the whole was inspected, so the index is provisional.", plain(math.Floor(g.Inspected*100), 0))
	}
	return s
}
