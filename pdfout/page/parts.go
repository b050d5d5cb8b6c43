package page

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/annotate/signs"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// parts lists every part with its state, how that was judged, the signs that
// were seen, and what it lost.
func (l *layout) parts() {
	l.section("parts", "Parts", 30)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "Part", width: 27, font: ledgerBold},
		{head: "Share", width: 12, right: true, font: ledgerFont, ink: paint.Dim},
		{head: "State", width: 27, font: ledgerFont},
		{head: "Judged by", width: 24, font: ledgerFont},
		{head: "Signs seen, remarks", width: 56, font: ledgerFont},
		{head: "Photos", width: 13, font: ledgerFont},
		{head: "Points", width: 19, right: true, font: ledgerFont},
	}}
	var rows [][]cell
	for _, p := range l.r.Grade.Parts {
		rows = append(rows, l.partRow(p))
	}
	t.note = "Share is the part's weight in the index. A part with points was inspected; one with a mark on it counts as inspected. " +
		"Points are those lost on the part before a cap; they are the same points as in the ledger, sorted by part."
	if l.anySign() {
		t.note += " Signs are what the trade looks for to tell a first finish or fitting from a later one, after common practice. " +
			"Each can have an innocent cause; where they do not go with the state, that is said and not decided."
	}
	t.draw(rows)
}

func (l *layout) anySign() bool {
	return slices.ContainsFunc(l.r.Record.Parts, func(p record.Part) bool { return len(p.Signs) > 0 })
}

func (l *layout) partRow(p grade.PartResult) []cell {
	judged, remark, photos, undone := "–", "", "", ""
	if said := l.r.Record.PartByID(p.Part); said != nil {
		if len(said.Judged) > 0 {
			judged = clean(strings.Join(said.Judged, ", "))
		}
		remark, photos = l.partRemark(said), l.photoColumn(said.Photos)
		undone = map[string]string{"yes": "Reversible", "no": "Not reversible"}[said.Reversible]
	}
	cost, word := "not inspected", upper(string(p.State))
	switch {
	case !p.Fitted:
		cost = "not fitted"
	case p.Inspected:
		cost = plain(-p.Points, 1)
	}
	if p.State == record.NotSeen {
		word = "Originality not judged"
	}
	font := ledgerFont
	if p.Fitted && !slices.Contains([]record.State{record.Original, record.NotSeen}, p.State) {
		font = ledgerBold
	}
	if undone != "" {
		word += "\n" + undone
	}
	return []cell{words(upper(string(p.Part))), words(plain(p.Share, 0) + " %"), {text: word, font: &font}, words(judged), words(remark), words(photos), words(cost)}
}

// partRemark is what does not go together, the signs that were seen, how many
// were looked for, and the note, each on lines of its own.
func (l *layout) partRemark(p *record.Part) string {
	list := signs.For(l.r.Drawing.Class, p.ID)
	var out []string
	for _, s := range signs.Against(*p, list) {
		out = append(out, upper(s)+".")
	}
	var seen []signs.Sign
	answered, closed := 0, 0
	for _, t := range signs.Count(*p, list) {
		seen = append(seen, t.Seen...)
		answered, closed = answered+t.Looked(), closed+t.NotOpened
	}
	switch {
	case len(seen) > 0:
		out = append(out, "Seen: "+signs.Names(seen)+".")
		fallthrough
	case answered > 0:
		s := fmt.Sprintf("%d of %d signs looked for", answered, len(list))
		if len(seen) == 0 {
			s += ", none seen"
		}
		if closed > 0 {
			s += fmt.Sprintf("; %d not opened", closed)
		}
		out = append(out, s+".")
	case closed > 0:
		out = append(out, fmt.Sprintf("%d of %d signs not opened.", closed, len(list)))
	}
	if n := clean(p.Note); n != "" {
		out = append(out, upper(n))
	}
	return strings.Join(out, "\n")
}

// photoColumn is photos by their number, in a column that says that it holds
// photos.
func (l *layout) photoColumn(ids []string) string {
	return strings.TrimPrefix(strings.TrimPrefix(l.photoNumbers(ids), "photos "), "photo ")
}
