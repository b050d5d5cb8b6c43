package pdfout

import (
	"math"
	"strings"
	"testing"

	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// intoned is the demo's record with the intonation of its strings, string 3
// sharp of the octave by 4.1 cents and string 2 exact, and with hum.
func intoned() *record.Record {
	r := reporttest.Demo(0)
	file := strings.Repeat("ab12", 16)
	r.Attachments = []record.Attachment{{ID: file, Name: "larkfoot take 1.wav", Kind: "sound", Type: "audio/wav", Size: 9, Imported: "2026-11-14T16:05:00+01:00"}}
	hz := func(v, u float64) *record.Quantity { return &record.Quantity{Value: v, Uncertainty: u} }
	r.Setup = &record.Setup{A4: 442, Intonations: []record.Intonation{
		{String: 2, Open: hz(248.0647, 0.02), Stopped: hz(496.1294, 0.04), File: file},
		{String: 3, Fret: 12, Open: hz(196.8889, 0.004), Stopped: hz(2*196.8889*math.Exp2(4.1/1200), 0.03), File: file},
		{String: 6, Fret: 12, Open: hz(82, 0)},
	}}
	r.Readings = append(r.Readings, record.Reading{ID: "hum 50 Hz", Unit: "dB below the note", Value: record.Quantity{Value: 46.2, How: "recording, before the first note"}})
	return r
}

// The report says the intonation in words, with what it was read in. The octave
// of string 3 is 1200 log2 of the ratio less 1200; its open string at A4 = 442
// Hz should have 442 * 2^(-14/12) = 196.889 Hz.
func TestIntonationInTheReport(t *testing.T) {
	bare := build(t, reporttest.Demo(0), nil)
	if s := pdfxtest.Output(t, "pdftotext", "-layout", bare, "-"); strings.Contains(s, "Intonation") {
		t.Error("a report without intonation has a section for it")
	}
	path := build(t, intoned(), nil)
	for i, p := range readWords(t, path) {
		checkSheet(t, i+1, p)
	}
	text := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", path, "-")), " ")
	for _, w := range []string{"Intonation", "4.1 ± 0.1 cents sharp of the octave", "at the octave within 0.4 cents", "196.889 ± 0.004 0.0", "248.06 ± 0.02", "82.00",
		"A4 = 442 Hz", "Read in larkfoot take 1.wav, kept by the shop; its SHA-256 begins with ab12ab12ab12", "Hum 50 Hz", "46.2"} {
		if !strings.Contains(text, w) {
			t.Errorf("the report does not say %q", w)
		}
	}
}
