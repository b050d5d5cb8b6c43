package page

import (
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// extras lists what comes with the instrument.
func (l *layout) extras() {
	list := annotate.SortedExtras(l.r.Record.Extras)
	if len(list) == 0 {
		return
	}
	l.section("extras", l.say("section.extras"), 24)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("extras.kind"), width: 27, font: ledgerBold},
		{head: l.say("col.what"), width: 55, font: ledgerFont},
		{head: l.say("extras.number"), width: 15, right: true, font: ledgerFont},
		{head: l.say("col.state"), width: 30, font: ledgerFont},
		{head: l.say("extras.remark"), width: 31, font: ledgerFont},
		{head: l.say("extras.shown"), width: 20, font: ledgerFont, ink: paint.Dim},
	}}
	var rows [][]cell
	for _, e := range list {
		state := l.say("extras.notJudged")
		if e.State != "" {
			state = upper(l.word("state", string(e.State)))
		}
		rows = append(rows, []cell{words(upper(orDash(l.word("extra", e.Kind)))), words(upper(orDash(e.What))), words(fmt.Sprint(max(1, e.Number))), words(state),
			words(upper(clean(e.Note))), words(l.fileNumbers(e.Files))})
	}
	t.draw(rows)
}

// fileNumbers names photos by their number in the list of photos, attachments
// by their file's name.
func (l *layout) fileNumbers(ids []string) string {
	out := upper(l.photoNumbers(ids))
	for _, id := range ids {
		for _, a := range l.r.Record.Attachments {
			if a.ID == id {
				out = strings.TrimPrefix(out+", ", ", ") + clean(a.Name)
			}
		}
	}
	return out
}

// withIt is what comes with it in a line: the words of the form or, where
// there are none, the first things of the list.
func (l *layout) withIt() string {
	if w := clean(l.r.Record.Instrument.WithIt); w != "" {
		return w
	}
	var out []string
	list := annotate.SortedExtras(l.r.Record.Extras)
	for i, e := range list {
		if i == 3 && len(list) > 4 {
			out = append(out, l.sayCount("extras.moreThings", len(list)-i))
			break
		}
		out = append(out, l.extraWords(e))
	}
	return strings.Join(out, ", ")
}

// extraWords is a thing in a few words: "2 truss-rod keys" is for the examiner
// to write; a number stands behind.
func (l *layout) extraWords(e record.Extra) string {
	s := clean(e.What)
	if s == "" {
		s = l.word("extra", e.Kind)
	}
	if e.Number > 1 {
		s += fmt.Sprintf(" (%d)", e.Number)
	}
	return s
}
