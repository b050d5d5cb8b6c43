package page

import (
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
	l.section("parts", l.say("section.parts"), 30)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("parts.part"), width: 27, font: ledgerBold},
		{head: l.say("parts.share"), width: 12, right: true, font: ledgerFont, ink: paint.Dim},
		{head: l.say("col.state"), width: 27, font: ledgerFont},
		{head: l.say("parts.judged"), width: 24, font: ledgerFont},
		{head: l.say("parts.signs"), width: 56, font: ledgerFont},
		{head: l.say("parts.photos"), width: 13, font: ledgerFont},
		{head: l.say("col.points"), width: 19, right: true, font: ledgerFont},
	}}
	var rows [][]cell
	for _, p := range l.r.Grade.Parts {
		rows = append(rows, l.partRow(p))
	}
	t.note = l.say("parts.note")
	if l.anySign() {
		t.note += " " + l.say("parts.signsNote")
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
			judged = l.wordList("method", said.Judged)
		}
		remark, photos = l.partRemark(said), l.photoColumn(said.Photos)
		if said.Reversible != "" {
			undone = l.say("parts." + said.Reversible)
		}
	}
	cost, word := l.say("parts.notInspected"), upper(l.word("state", string(p.State)))
	switch {
	case !p.Fitted:
		cost = l.say("parts.notFitted")
	case p.Inspected:
		cost = l.plain(-p.Points, 1)
	}
	if p.State == record.NotSeen {
		word = l.say("parts.notJudged")
	}
	font := ledgerFont
	if p.Fitted && !slices.Contains([]record.State{record.Original, record.NotSeen}, p.State) {
		font = ledgerBold
	}
	if undone != "" {
		word += "\n" + undone
	}
	return []cell{words(upper(l.part(p.Part))), words(l.plain(p.Share, 0) + " %"), {text: word, font: &font}, words(judged), words(remark), words(photos), words(cost)}
}

// partRemark is what does not go together, the signs that were seen, how many
// were looked for, and the note, each on lines of its own.
func (l *layout) partRemark(p *record.Part) string {
	list := signs.For(l.r.Drawing.Class, p.ID)
	var out []string
	for _, s := range signs.Against(*p, list) {
		out = append(out, upper(l.phrase("signs", s))+".")
	}
	var seen []signs.Sign
	answered, closed := 0, 0
	for _, t := range signs.Count(*p, list) {
		seen = append(seen, t.Seen...)
		answered, closed = answered+t.Looked(), closed+t.NotOpened
	}
	switch {
	case len(seen) > 0:
		out = append(out, l.say("signs.seen", l.signNames(seen)))
		fallthrough
	case answered > 0:
		s := l.say("signs.looked", answered, len(list))
		if len(seen) == 0 {
			s += ", " + l.say("signs.none")
		}
		if closed > 0 {
			s += "; " + l.say("signs.closed", closed)
		}
		out = append(out, s+".")
	case closed > 0:
		out = append(out, l.say("signs.allClosed", closed, len(list)))
	}
	if n := clean(p.Note); n != "" {
		out = append(out, upper(n))
	}
	return strings.Join(out, "\n")
}

// signNames lists signs as they stand in a sentence.
func (l *layout) signNames(list []signs.Sign) string {
	if l.t.IsEnglish() {
		return signs.Names(list)
	}
	var out []string
	for _, s := range list {
		out = append(out, l.lower(l.word("sign", s.Ask)))
	}
	return strings.Join(out, "; ")
}

// photoColumn is photos by their number, in a column that says that it holds
// photos.
func (l *layout) photoColumn(ids []string) string {
	return numbers(l.photosOf(ids))
}
