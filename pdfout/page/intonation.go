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
	l.section("intonation", "Intonation", 40)
	t := table{l: l, x: l.left, dense: true, cols: []column{
		{head: "String", width: 13, font: ledgerFont},
		{head: "Note", width: 13, font: ledgerFont, ink: paint.Dim},
		{head: "Open, Hz", width: 29, font: ledgerFont},
		{head: "Cents", width: 19, font: ledgerFont},
		{head: "Stopped, Hz", width: 29, font: ledgerFont},
		{head: "At fret", width: 14, font: ledgerFont, ink: paint.Dim},
		{head: "Against the open string", width: 61, font: ledgerBold},
	}}
	var rows [][]cell
	for _, x := range su.Intonations {
		rows = append(rows, intonationRow(in, x))
	}
	a4 := in.A4
	if a4 == 0 {
		a4 = pitch.A4
	}
	t.note = fmt.Sprintf("Cents are hundredths of a semitone of equal temperament, with A4 = %g Hz. ± is the standard uncertainty, from the spread over the note. "+
		"The figures include what the strings' gauge, age and height and the pressure of the hand do. ", a4) + l.heardFrom(su)
	t.draw(rows)
}

func intonationRow(in pitch.Instrument, x record.Intonation) []cell {
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
		octave = o.Words()
	}
	return []cell{words(fmt.Sprint(x.String)), words(note), words(hertz(x.Open)), words(cents), words(hertz(x.Stopped)), words(fmt.Sprint(fret)), words(octave)}
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
				out += fmt.Sprintf("Read in %s, kept by the shop; its SHA-256 begins with %s. ", clean(a.Name), a.ID[:12])
			}
		}
	}
	return out
}
