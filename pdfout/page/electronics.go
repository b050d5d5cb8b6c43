package page

import (
	"fmt"
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
	l.section("electronics", "Electronics", 30)
	if len(rec.Components) > 0 {
		l.componentTable()
	}
	l.wiring()
	l.electronicsFindings()
	l.responses()
}

func (l *layout) componentTable() {
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "Component", width: 34, font: ledgerBold},
		{head: "Type or nominal", width: 30, font: ledgerFont},
		{head: "Measured", width: 26, font: ledgerFont},
		{head: "Read at", width: 19, font: ledgerFont},
		{head: "At 20 °C", width: 25, font: ledgerFont},
		{head: "Code on it", width: 20, font: ledgerFont},
		{head: "Works, state", width: 24, font: ledgerFont},
	}}
	var rows, remarks [][]cell
	corrected := false
	for _, c := range electronics.Sorted(l.r.Record.Components) {
		w := electronics.LineOf(c)
		corrected = corrected || w.At20 != ""
		name := words(upper(clean(electronics.Name(c))))
		rows = append(rows, []cell{name, words(orDash(w.What)), words(orDash(w.Measured)), words(orDash(w.Room)), words(orDash(w.At20)),
			words(orDash(w.Code)), words(orDash(strings.Trim(w.Works+", "+w.State, ", ")))})
		if r := l.componentRemark(c); r != "" {
			remarks = append(remarks, []cell{name, words(r)})
		}
	}
	if corrected {
		t.note = "At 20 °C: the resistance divided by 1 + 0.00393 (t − 20), t being the room's temperature when it was read, after the handbooks' coefficient of copper."
	}
	t.draw(rows)
	if len(remarks) > 0 {
		more := table{l: l, x: l.left, dense: true, cols: []column{{head: "Remarks", width: 34, font: ledgerBold}, {head: "", width: measure - 34, font: ledgerFont}}}
		l.y += 3
		more.draw(remarks)
	}
}

// componentRemark is what has no column: further measurements, the note, and
// the photos that show it.
func (l *layout) componentRemark(c record.Component) string {
	var out []string
	for _, s := range []string{electronics.MoreOf(c), clean(c.Note), l.photoNumbers(c.Photos)} {
		if s = clean(s); s != "" {
			out = append(out, upper(s))
		}
	}
	return strings.Join(out, ". ")
}

// photoNumbers names photos by their number in the report's list; one that the
// examination does not have any more is left out.
func (l *layout) photoNumbers(ids []string) string {
	var nums []int
	for i, p := range l.r.Record.Photos {
		for _, id := range ids {
			if p.ID == id {
				nums = append(nums, i+1)
			}
		}
	}
	switch len(nums) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("photo %d", nums[0])
	}
	return "photos " + numbers(nums)
}

// wiring says what was seen of the wiring.
func (l *layout) wiring() {
	w := l.r.Record.Wiring
	if w == nil {
		return
	}
	var out []string
	say := map[string]string{"seen": "The wiring was seen", "not seen": "The wiring was not seen", "not opened": "The instrument was not opened, so the wiring was not seen"}
	if s := say[w.Seen]; s != "" {
		out = append(out, s)
	}
	if w.State != "" {
		out = append(out, "State: "+string(w.State))
	}
	if s := clean(w.Solder); s != "" {
		out = append(out, "Solder: "+s)
	}
	if s := clean(w.Note); s != "" {
		out = append(out, upper(strings.TrimSuffix(s, ".")))
	}
	if s := l.photoNumbers(w.Files); s != "" {
		out = append(out, "Shown on "+s)
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
		out = append(out, "Drawn in "+list(drawings))
	}
	if len(out) == 0 {
		return
	}
	l.y += 3
	l.label("Wiring", 6)
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
		{head: "What", width: 66, font: ledgerFont},
		{head: "Why", width: 94, font: ledgerFont, ink: paint.Dim},
	}}
	names := map[electronics.Severity]string{electronics.Wrong: "Wrong", electronics.Look: "Look again", electronics.Note: "Note"}
	var rows [][]cell
	for _, f := range found {
		rows = append(rows, []cell{words(names[f.Severity]), words(upper(clean(f.Text))), words(upper(clean(f.Why)))})
	}
	l.y += 3
	keep := t.headHeight()
	for _, r := range rows[:min(3, len(rows))] { // the table keeps three rows together, and the label stays with them
		_, h := t.measure(r)
		keep += h
	}
	l.label("What deserves a look", min(keep, 60))
	t.note = "These follow from the values above and from common practice, which is marked as such. They are reasons to look, not a verdict on the instrument."
	t.draw(rows)
}
