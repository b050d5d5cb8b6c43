package page

import (
	"fmt"

	"wornwood/annotate/pitch"
	"wornwood/capture/record"
	"wornwood/pdfout/paint"
)

// intonation shows how far each string, stopped, is from its octave. Nothing is
// printed where none was read.
func (l *layout) intonation() {
	su := l.r.Record.Setup
	if su == nil || len(su.Intonations) == 0 {
		return
	}
	in := pitch.InstrumentOf(su, l.r.Drawing.Class, l.r.Drawing.Strings)
	l.section("intonation", l.say("section.intonation"), 40)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: l.say("intonation.string"), width: 13, font: ledgerFont},
		{head: l.say("intonation.note"), width: 13, font: ledgerFont, ink: paint.Dim},
		{head: l.say("intonation.open"), width: 29, font: ledgerFont},
		{head: l.say("intonation.cents"), width: 19, font: ledgerFont},
		{head: l.say("intonation.stopped"), width: 29, font: ledgerFont},
		{head: l.say("intonation.fret"), width: 14, font: ledgerFont, ink: paint.Dim},
		{head: l.say("intonation.octave"), width: 61, font: ledgerBold},
	}}
	var rows [][]cell
	for _, x := range su.Intonations {
		rows = append(rows, l.intonationRow(in, x))
	}
	a4 := in.A4
	if a4 == 0 {
		a4 = pitch.A4
	}
	t.note = l.say("intonation.about", l.figures(fmt.Sprintf("%g", a4))) + " " + l.heardFrom(su)
	t.draw(rows)
}

func (l *layout) intonationRow(in pitch.Instrument, x record.Intonation) []cell {
	fret := x.Fret
	if fret == 0 {
		fret = 12
	}
	note, cents, octave := "–", "–", "–"
	if x.String <= len(in.Tuning) {
		note = in.Tuning[x.String-1].String()
	}
	if want := in.Expected(pitch.Place{String: x.String}); want > 0 && x.Open != nil && x.Open.Value > 0 {
		cents = pitch.Signed(pitch.Cents(x.Open.Value, want))
	}
	if o, ok := pitch.IntonationOf(in, x); ok {
		octave = l.phrase("octave", o.Words())
	}
	return []cell{words(fmt.Sprint(x.String)), words(note), words(l.figures(hertz(x.Open))), words(l.figures(cents)), words(l.figures(hertz(x.Stopped))), words(fmt.Sprint(fret)), words(octave)}
}

// hertz is a pitch with its uncertainty, to a hundredth at least.
func hertz(q *record.Quantity) string {
	switch {
	case q == nil:
		return "–"
	case q.Uncertainty > 0.005:
		return fmt.Sprintf("%.2f ± %.2f", q.Value, q.Uncertainty)
	case q.Uncertainty > 0:
		return fmt.Sprintf("%.3f ± %.3f", q.Value, q.Uncertainty)
	}
	return fmt.Sprintf("%.2f", q.Value)
}

// heardFrom names the recordings that the pitches were read in.
func (l *layout) heardFrom(su *record.Setup) string {
	named := map[string]bool{}
	out := ""
	for _, x := range su.Intonations {
		for _, a := range l.r.Record.Attachments {
			if a.ID == x.File && !named[a.ID] {
				named[a.ID] = true
				out += l.say("intonation.from", clean(a.Name), a.ID[:12]) + " "
			}
		}
	}
	return out
}
