package page

import (
	"fmt"
	"math"
	"slices"
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

// parts lists every part with its state, how that was judged and what it lost.
func (l *layout) parts() {
	l.section("parts", "Parts", 30)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "Part", width: 34, font: ledgerBold},
		{head: "Share", width: 14, right: true, font: ledgerFont, ink: paint.Dim},
		{head: "State", width: 33, font: ledgerFont},
		{head: "Judged by", width: 32, font: ledgerFont},
		{head: "Condition", width: 21, font: ledgerFont},
		{head: "Remark", width: 31, font: ledgerFont},
		{head: "Points", width: 13, right: true, font: ledgerFont},
	}}
	var rows [][]cell
	for _, p := range l.r.Grade.Parts {
		said := l.r.Record.PartByID(p.Part)
		rows = append(rows, l.partRow(p.Part, plain(p.Share, 0)+" %", p.State, p.Fitted, p.Inspected, said, p.Points))
	}
	t.note = "Share is the part's weight in the index. A part with a mark on it counts as inspected. " +
		"Points are those lost on the part before a cap; they are the same points as in the ledger, sorted by part."
	t.draw(rows)
}

func (l *layout) partRow(id record.PartID, share string, state record.State, fitted, inspected bool, said *record.Part, points float64) []cell {
	judged, remark := "–", ""
	if said != nil {
		if len(said.Judged) > 0 {
			judged = clean(strings.Join(said.Judged, ", "))
		}
		remark = upper(clean(said.Note))
		switch said.Reversible {
		case "yes":
			remark = strings.TrimSpace(remark + " Reversible.")
		case "no":
			remark = strings.TrimSpace(remark + " Not reversible.")
		}
	}
	condition, cost := "not inspected", "–"
	if inspected {
		condition, cost = "inspected", plain(-points, 1)
	}
	word := upper(string(state))
	if !fitted {
		condition, cost = "not fitted", "–"
	}
	if state == record.NotSeen {
		word = "Originality not judged"
	}
	font := ledgerFont
	if fitted && !slices.Contains([]record.State{record.Original, record.NotSeen}, state) {
		font = ledgerBold
	}
	return []cell{words(upper(string(id))), words(share), {text: word, font: &font}, words(judged), words(condition), words(remark), words(cost)}
}
