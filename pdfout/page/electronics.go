package page

import (
	"strings"
	"time"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// electronics lists the components with what was measured on them, what
// deserves a look and why, the wiring and the batteries. A record that lists
// none has no such section; its parts say whether there are any.
func (l *layout) electronics() {
	rec := l.r.Record
	if len(rec.Components) == 0 && rec.Wiring == nil {
		return
	}
	l.section("electronics", l.say("section.electronics"), 30)
	if len(rec.Components) > 0 {
		l.componentTable()
	}
	l.wiring()
	l.electronicsFindings()
	l.responses()
}

func (l *layout) componentTable() {
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("electronics.component"), width: 34, font: ledgerBold},
		{head: l.say("electronics.type"), width: 30, font: ledgerFont},
		{head: l.say("electronics.measured"), width: 26, font: ledgerFont},
		{head: l.say("electronics.room"), width: 19, font: ledgerFont},
		{head: l.say("electronics.at20"), width: 25, font: ledgerFont},
		{head: l.say("electronics.code"), width: 20, font: ledgerFont},
		{head: l.say("electronics.works"), width: 24, font: ledgerFont},
	}}
	var rows, remarks [][]cell
	corrected := false
	for _, c := range electronics.Sorted(l.r.Record.Components) {
		w := electronics.LineOf(c)
		corrected = corrected || w.At20 != ""
		name := words(upper(l.phrase("component", electronics.Name(c))))
		rows = append(rows, []cell{name, words(orDash(l.usuallyPhrase("componentType", w.What))), words(orDash(l.measured(w.Measured))), words(orDash(l.figures(w.Room))), words(orDash(l.measured(w.At20))),
			words(orDash(w.Code)), words(orDash(strings.Trim(l.word("works", w.Works)+", "+l.word("state", w.State), ", ")))})
		if r := l.componentRemark(c); r != "" {
			remarks = append(remarks, []cell{name, words(r)})
		}
	}
	if corrected {
		t.note = l.say("electronics.note")
	}
	t.draw(rows)
	if len(remarks) > 0 {
		more := table{l: l, x: l.left, dense: true, cols: []column{{head: l.say("electronics.remarks"), width: 34, font: ledgerBold}, {head: "", width: measure - 34, font: ledgerFont}}}
		l.y += 3
		more.draw(remarks)
	}
}

// componentRemark is what has no column: further measurements, the note, and
// the photos that show it.
func (l *layout) componentRemark(c record.Component) string {
	var out []string
	for _, s := range []string{l.moreOf(c), clean(c.Note), l.photoNumbers(c.Photos)} {
		if s = clean(s); s != "" {
			out = append(out, upper(s))
		}
	}
	return strings.Join(out, ". ")
}

// photoNumbers names photos by their number in the report's list; one that the
// examination does not have any more is left out.
func (l *layout) photoNumbers(ids []string) string {
	nums := l.photosOf(ids)
	if len(nums) == 0 {
		return ""
	}
	return l.say("photo.list", len(nums), numbers(nums))
}

// photosOf are the numbers of photos in the report's list.
func (l *layout) photosOf(ids []string) []int {
	var nums []int
	for i, p := range l.r.Record.Photos {
		for _, id := range ids {
			if p.ID == id {
				nums = append(nums, i+1)
			}
		}
	}
	return nums
}

// measured is a value with its unit, or the word that stands for one.
func (l *layout) measured(s string) string {
	if w := l.usually("measured", s); w != s {
		return w
	}
	return l.figures(s)
}

// moreOf is what else was measured, item by item.
func (l *layout) moreOf(c record.Component) string {
	var out []string
	for _, s := range strings.Split(electronics.MoreOf(c), ", ") {
		out = append(out, l.phrase("componentMore", s))
	}
	return strings.Join(out, ", ")
}

// wiring says what was seen of the wiring.
func (l *layout) wiring() {
	w := l.r.Record.Wiring
	if w == nil {
		return
	}
	var out []string
	say := map[string]string{"seen": "wiring.seen", "not seen": "wiring.not-seen", "not opened": "wiring.not-opened"}
	if id := say[w.Seen]; id != "" {
		out = append(out, l.say(id))
	}
	if w.State != "" {
		out = append(out, l.say("wiring.state", l.word("state", string(w.State))))
	}
	if s := clean(w.Solder); s != "" {
		out = append(out, l.say("wiring.solder", s))
	}
	if s := clean(w.Note); s != "" {
		out = append(out, upper(strings.TrimSuffix(s, ".")))
	}
	if s := l.photoNumbers(w.Files); s != "" {
		out = append(out, l.say("wiring.shown", s))
	}
	var drawings []string
	for _, a := range l.r.Record.Attachments {
		for _, id := range w.Files {
			if a.ID == id {
				drawings = append(drawings, clean(a.Name))
			}
		}
	}
	if len(drawings) > 0 {
		out = append(out, l.say("wiring.drawn", l.list(drawings)))
	}
	if len(out) == 0 {
		return
	}
	l.y += 3
	l.label(l.say("electronics.wiring"), 6)
	l.para(l.left, measure, strings.Join(out, ". ")+".", textFont, paint.Black)
}

// electronicsFindings lists what deserves a look, as of the examination's day.
func (l *layout) electronicsFindings() {
	found := electronics.Check(l.r.Record, time.Time{})
	if len(found) == 0 {
		return
	}
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "", width: 18, font: ledgerBold},
		{head: l.say("col.what"), width: 66, font: ledgerFont},
		{head: l.say("findings.why"), width: 94, font: ledgerFont, ink: paint.Dim},
	}}
	names := map[electronics.Severity]string{electronics.Wrong: "finding.wrong", electronics.Look: "finding.look", electronics.Note: "finding.note"}
	var rows [][]cell
	for _, f := range found {
		rows = append(rows, []cell{words(l.say(names[f.Severity])), words(upper(l.phrase("finding", f.Text))), words(upper(l.phrase("why", f.Why)))})
	}
	l.y += 3
	t.note = l.say("findings.note")
	l.label(l.say("findings.title"), t.together(rows, true))
	t.draw(rows)
}
