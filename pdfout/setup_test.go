package pdfout

import (
	"fmt"
	"strings"
	"testing"

	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// setUp is the demo's record with everything that a setup can say.
func setUp() *record.Record {
	r := reporttest.Demo(0)
	read := func(id string, mm, u float64, how string) {
		r.Readings = append(r.Readings, record.Reading{ID: id, Value: record.Quantity{Value: mm, Uncertainty: u, How: how}, Unit: "mm"})
	}
	read("string height, bass, fret 1", 0.508, 0.0073, "feeler gauge; read 20 thou")
	read("straightedge above the bridge", -0.4, 0.03, "straightedge and feeler gauge")
	for f := 1; f <= 22; f++ {
		read(fmt.Sprintf("fret crown, fret %d", f), 1.1-0.02*float64(f%13), 0.003, "calliper")
	}
	r.Setup = &record.Setup{TrussRod: "works both ways", Capo: "capo at fret 1, last fret held", NeckAngle: "above the bridge", Nut: "low slots", Tuning: "D4 B3 G3 D3 A2 D2", A4: 442,
		StringSet: ".010 to .046", Note: strings.Repeat("The third string sits on a shim of paper. ", 12),
		Tuners: []record.Tuner{{String: 1, Feel: "smooth"}, {String: 2, Feel: "smooth"}, {String: 3, Feel: "stiff", Backlash: &record.Quantity{Value: 8}}, {String: 6, Backlash: &record.Quantity{Value: 22.5}}}}
	return r
}

// The report says the readings in mm and, where the bench works in inches, in
// those too; crowns in one paragraph; the answers; nothing over another.
func TestSetupInTheReport(t *testing.T) {
	for _, inches := range []bool{false, true} {
		t.Run(fmt.Sprintf("inches %v", inches), func(t *testing.T) {
			path := build(t, setUp(), func(in *Input) { in.Inches = inches })
			for i, p := range readWords(t, path) {
				checkSheet(t, i+1, p)
			}
			text := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", path, "-")), " ")
			want := []string{"1.95 ± 0.05 mm", "0.508 ± 0.007 mm", "−0.40 ± 0.03 mm", "feeler gauge; read", "20 thou", "Crown, mm 1.08 1.06 1.04 1.02 1.00", "Usual: above 0.9, up to 1.5 mm. Those in bold are outside it.",
				"Works both ways", "Capo at fret 1, last fret held", "Low slots", "D4 B3 G3 D3 A2 D2", "442 Hz", ".010 to .046",
				"Smooth: strings 1, 2; stiff: string 3; backlash of the button: string 3 8°, string 6 22.5°", "The third string sits on a shim of paper."}
			if inches {
				// 1.95 mm is .0768 in, 1.3 thousandths from 5/64; 0.508 mm is .020 in
				// exactly; 0.40 mm is .0157 in, 0.1 thousandth from 1/64.
				want = append(want, "(.077 in)", "(.020 in)", "(−1/64 in)", "inches .043 .042")
			}
			for _, w := range want {
				if !strings.Contains(text, w) {
					t.Errorf("the report does not say %q", w)
				}
			}
			if !inches && strings.Contains(text, " in)") {
				t.Error("inches where the bench has none")
			}
		})
	}
}

// An instrument without frets has no positions, and the report says so instead
// of that none was tried.
func TestFretlessReport(t *testing.T) {
	r := &record.Record{Schema: record.Schema, Instrument: record.Instrument{Class: "violin"}, Readings: []record.Reading{
		{ID: "string height, bass, end of fingerboard", Value: record.Quantity{Value: 5.5}, Unit: "mm"}}}
	text := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", build(t, r, nil), "-")), " ")
	if !strings.Contains(text, "It has no frets") || strings.Contains(text, "No position was tried") || !strings.Contains(text, "4.5 to 6 mm") {
		t.Error(text)
	}
}
