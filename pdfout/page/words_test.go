package page

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
	"wornwood/pdfout/prose"
	"wornwood/pdfout/reporttest"
)

func TestWords(t *testing.T) {
	l := &layout{} // English
	checks := map[string]string{
		numbers([]int{7, 1, 2, 3, 3, 5, 4}):                "1–5, 7",
		numbers([]int{2, 1}):                               "1, 2",
		numbers(nil):                                       "",
		l.list([]string{"a"}):                              "a",
		l.list([]string{"a", "b", "c"}):                    "a, b and c",
		l.sayCount("scale.frets", 0):                       "no frets",
		l.sayCount("scale.frets", 1):                       "one fret",
		l.sayCount("scale.frets", 13):                      "13 frets",
		fingerprint("7F2A91c40D55", 2):                     "7f2a 91c4",
		fingerprint("7F2A91c40D5", 0):                      "7f2a 91c4 0d5",
		clean("  two\n words\t e\u0301 "):                  "two words é",
		upper("ñandú"):                                     "Ñandú",
		figures(9876):                                      "9900",
		figures(0.123):                                     "0.12",
		figures(42):                                        "42",
		figures(0):                                         "0",
		l.appears("Rosewood"):                              "appears to be rosewood",
		l.appears("Appears to be ebony"):                   "Appears to be ebony",
		l.appears("maple"):                                 "maple",
		l.takenWords("2026-11-14T14:02:09.52+01:00", true): "2026-11-14 14:02:09 +01:00",
		l.takenWords("2026-11-14T14:02:09", true):          "2026-11-14 14:02:09, zone not recorded",
		l.takenWords("", true):                             "no camera date",
		l.takenWords("about noon", true):                   "about noon",
		l.bytesWords(4_812_345):                            "4.8 MB",
		l.bytesWords(1499):                                 "1 kB",
		l.claimWords(record.Claim{Text: "One of 60", By: "the seller", Standing: record.Stated}): "“One of 60”, stated by the seller, no document seen",
		l.claimWords(record.Claim{Text: "x", Standing: record.Contradicted}):                     "“x”, contradicted by what was found",
		QRText("CR-2026-0001", "ab", "cd"):                                                       "REPORT CR-2026-0001 RECORD SHA256 AB KEY CD",
		FooterDigest(Footer("abc", nil), nil):                                                    "abc",
		FooterDigest("another text", nil):                                                        "",
		l.t.DateTime(time.Date(2026, 1, 2, 3, 4, 0, 0, reporttest.Zone)):                         "2 January 2026 03:04 +01:00",
	}
	for got, want := range checks {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// The drawn size is that of the shape: a square of 100 mm has 100 cm², a line of
// a 3-4-5 triangle 50 mm.
func TestDrawnSize(t *testing.T) {
	l := &layout{} // English
	square := record.Place{Shape: record.AreaShape, Points: []record.Point{{}, {X: 100}, {X: 100, Y: 100}, {Y: 100}}}
	if got := l.drawnSize(square); got != "about 100 cm², drawn" {
		t.Error(got)
	}
	line := record.Place{Shape: record.LineShape, Points: []record.Point{{}, {X: 30, Y: 40}}}
	if got := l.drawnSize(line); got != "about 50 mm, drawn" {
		t.Error(got)
	}
	if got := l.drawnSize(record.Place{Shape: record.PointShape, Points: []record.Point{{}}}); got != "" {
		t.Error(got)
	}
}

func sentences(t *testing.T, r *record.Record) string {
	t.Helper()
	d, err := grade.DrawingFor(r.Instrument)
	if err != nil {
		t.Fatal(err)
	}
	g, err := grade.Grade(r, d, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	l := layout{r: &Report{Record: r, Grade: g, Drawing: d, Rubric: grade.Default()}}
	return prose.Text(prose.Lead(l.told()))
}

// The composed sentences say no more than the record holds.
func TestSentences(t *testing.T) {
	bare := &record.Record{Schema: record.Schema, Instrument: reporttest.Demo(0).Instrument}
	sound := reporttest.Demo(0)
	sound.Marks = nil
	for i := range sound.Parts {
		if sound.Parts[i].State != record.NotFitted {
			sound.Parts[i] = record.Part{ID: sound.Parts[i].ID, State: record.Original, Inspected: true}
		}
	}
	sound.Playing.Positions = nil
	partly := reporttest.Demo(0)
	partly.Parts, partly.Marks = partly.Parts[:3], partly.Marks[:1]
	partly.Playing = record.Playing{Positions: []record.Position{{String: 1, Fret: 1, Sound: record.Clean}, {String: 1, Fret: 2, Sound: record.Clean}}}
	cases := map[string]struct {
		r          *record.Record
		want, none []string
	}{
		"nothing recorded": {bare, []string{"No part was inspected", "No marks were made", "Originality was not judged", "It was not played"}, []string{"Clean", "not original"}},
		"all sound":        {sound, []string{"Clean. No marks were made.", "No part was found that is not original.", "It plays clean at all 132 positions."}, []string{"As far as"}},
		"demo":             {reporttest.Demo(0), []string{"Seven marks were made", "As far as parts were judged, the nut and tuners are not original", "130 of 132 positions tried"}, []string{"all 132"}},
		"partly looked at": {partly, []string{"as far as it was inspected", "One mark was made: ding", "As far as parts were judged, no part was found", "all 2 positions tried, of 132"}, []string{"all 132"}},
	}
	for name, c := range cases {
		got := sentences(t, c.r)
		for _, w := range c.want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: %q is not in: %s", name, w, got)
			}
		}
		for _, n := range c.none {
			if strings.Contains(got, n) {
				t.Errorf("%s: says %q: %s", name, n, got)
			}
		}
	}
}

// What the answers print is what Answers gives to a check, and adds up.
func TestPrintedIndex(t *testing.T) {
	r := reporttest.Many(120, 0)
	d, err := grade.DrawingFor(r.Instrument)
	if err != nil {
		t.Fatal(err)
	}
	g, err := grade.Grade(r, d, grade.Default())
	if err != nil {
		t.Fatal(err)
	}
	if diff := *g.Index - parse(t, PrintedIndex(g)); diff > 0.051 || diff < -0.051 {
		t.Errorf("printed %s for the index %g", PrintedIndex(g), *g.Index)
	}
	g.Index = nil
	if a := Answers(g, nil); a[0].Figure != "–" || a[0].Label != "CONDITION" {
		t.Errorf("%+v", a)
	}
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
