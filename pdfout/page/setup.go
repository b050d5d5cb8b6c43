package page

import (
	"slices"
	"strconv"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/annotate/units"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// readings lists what was measured, each beside its usual range; crowns taken
// fret by fret come after them on a line of their own.
func (l *layout) readings() {
	all := l.r.Grade.Playing.Readings
	list := slices.DeleteFunc(slices.Clone(all), func(r grade.ReadingLine) bool { return l.pieceOf(r) > 0 })
	if len(all) == 0 {
		return
	}
	l.y += 3
	l.label(l.say("readings.title"), 28)
	if len(list) > 0 {
		l.readingTable(list)
	}
	l.crowns(all)
}

func (l *layout) readingTable(list []grade.ReadingLine) {
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("readings.reading"), width: 70, font: ledgerFont},
		{head: l.say("readings.value"), width: 34, font: ledgerFont},
		{head: l.say("readings.by"), width: 26, font: ledgerFont, ink: paint.Dim},
		{head: l.say("readings.usual"), width: 30, font: ledgerFont, ink: paint.Dim},
		{head: "", width: 18, right: true, font: ledgerBold},
	}}
	if l.r.Inches {
		t.cols[0].width, t.cols[1].width = 58, 46
	}
	how := map[string]string{}
	for _, r := range l.r.Record.Readings {
		how[r.ID] = clean(r.Value.How)
	}
	var rows [][]cell
	for _, r := range list {
		remark := ""
		if r.Outside {
			remark = l.say("readings.outside")
		}
		rows = append(rows, []cell{words(upper(l.reading(r.Reading))), words(l.figures(printedMinus(valueText(r))) + l.inches(r)), words(orDash(l.usuallyPhrase("how", how[r.Reading]))), words(orDash(l.usual(r.Usual))), words(remark)})
	}
	t.note = l.say("readings.note")
	t.draw(rows)
}

// valueText is a reading as the report prints it: the number of a fret has no
// decimals, and no unit behind it.
func valueText(r grade.ReadingLine) string {
	if r.Unit == "fret" {
		return strconv.FormatFloat(r.Value, 'f', -1, 64)
	}
	return clean(r.Text)
}

// pieceOf is the fret whose crown a reading is, 0 for any other reading.
func (l *layout) pieceOf(r grade.ReadingLine) int {
	_, n, _ := l.r.Rubric.SetupReading(l.r.Drawing.Class, r.Reading)
	return n
}

// inches is a length in inches behind its millimetres, where the bench works in
// them: fractions as on a rule, thousandths where those are read.
func (l *layout) inches(r grade.ReadingLine) string {
	if !l.r.Inches || r.Unit != "mm" {
		return ""
	}
	style := units.Sixtyfourths
	if s, _, ok := l.r.Rubric.SetupReading(l.r.Drawing.Class, r.Reading); ok && s.Fine {
		style = units.Thousandths
	}
	return " (" + l.figures(printedMinus(units.Format(r.Value, units.Inch, style))) + ")"
}

// printedMinus gives a figure below 0 the sign of that name.
func printedMinus(s string) string {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return "−" + rest
	}
	return s
}

// perRow is how many crowns stand side by side.
const perRow = 12

// crowns lists the heights of fret crowns under the numbers of their frets,
// those outside the usual range in bold.
func (l *layout) crowns(all []grade.ReadingLine) {
	var list []grade.ReadingLine
	outside := 0
	for _, r := range all {
		if l.pieceOf(r) > 0 {
			list = append(list, r)
			if r.Outside {
				outside++
			}
		}
	}
	if len(list) == 0 {
		return
	}
	note := l.say("crowns.usual", l.usual(list[0].Usual)) + " " + l.say(map[bool]string{true: "crowns.none", false: "crowns.bold"}[outside == 0])
	for len(list) > 0 {
		n := min(perRow, len(list))
		l.y += 2
		t := table{l: l, x: l.left, dense: true, cols: []column{{head: l.say("crowns.fret"), width: 22, font: ledgerFont, ink: paint.Dim}}}
		if n == len(list) {
			t.note = note
		}
		mm, in := []cell{words(l.say("crowns.mm"))}, []cell{words(l.say("crowns.inches"))}
		for _, r := range list[:n] {
			t.cols = append(t.cols, column{head: strconv.Itoa(l.pieceOf(r)), width: (measure - 22) / perRow, font: ledgerFont})
			font := ledgerFont
			if r.Outside {
				font = ledgerBold
			}
			mm = append(mm, cell{text: l.plain(r.Value, 2), font: &font})
			in = append(in, cell{text: l.figures(units.Figure(r.Value, units.Inch, units.Thousandths)), font: &font})
		}
		rows := [][]cell{mm}
		if l.r.Inches {
			rows = append(rows, in)
		}
		t.draw(rows)
		list = list[n:]
	}
}

// setup lists the answers on truss rod, nut, neck angle, strings and tuners.
func (l *layout) setup() {
	p := l.r.Record.Setup
	if p == nil {
		return
	}
	var rows [][]cell
	add := func(name, value string) {
		if value = clean(value); value != "" {
			rows = append(rows, []cell{words(name), words(upper(value))})
		}
	}
	add(l.say("setup.trussRod"), l.usually("trussRod", p.TrussRod))
	add(l.say("setup.capo"), l.usually("capo", p.Capo))
	add(l.say("setup.neckAngle"), l.usually("neckAngle", p.NeckAngle))
	add(l.say("setup.nut"), l.usually("nut", p.Nut))
	add(l.say("setup.strings"), p.StringSet)
	add(l.say("setup.tuning"), p.Tuning)
	if p.A4 > 0 {
		add(l.say("setup.a4"), l.figures(record.Quantity{Value: p.A4}.String())+" Hz")
	}
	add(l.say("setup.tuners"), l.tunerWords(p.Tuners))
	add(l.say("setup.note"), p.Note)
	if len(rows) == 0 {
		return
	}
	l.y += 3
	l.label(l.say("setup.title"), 28)
	t := table{l: l, x: l.left, dense: true, cols: []column{{width: 58, font: ledgerFont, ink: paint.Dim}, {width: measure - 58, font: ledgerFont}}}
	t.draw(rows)
}

// tunerWords names the tuners by how they feel, then those with a backlash:
// "smooth: strings 1, 2, 4; stiff: string 3. Backlash: string 3 8°".
func (l *layout) tunerWords(list []record.Tuner) string {
	var out, lash []string
	for _, feel := range record.TunerAnswers() {
		var on []int
		for _, t := range list {
			if t.Feel == feel {
				on = append(on, t.String)
			}
		}
		if len(on) > 0 {
			out = append(out, l.say("tuners.on", len(on), l.word("tuner", feel), numbers(on)))
		}
	}
	for _, t := range list {
		if t.Backlash != nil {
			lash = append(lash, l.say("tuners.lash", t.String, l.figures(record.Quantity{Value: t.Backlash.Value}.String())))
		}
	}
	if len(lash) > 0 {
		out = append(out, l.say("tuners.backlash", strings.Join(lash, ", ")))
	}
	return strings.Join(out, "; ")
}
