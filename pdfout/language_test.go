package pdfout

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
	"wornwood/pdfout/catalogue"
	"wornwood/pdfout/page"
	"wornwood/pdfout/paint"
	"wornwood/pdfout/reporttest"
)

// leftInEnglish lays a record out in a language and lists what the program's
// own words and sentences had no translation for.
func leftInEnglish(t testing.TB, lang string, r *record.Record) []string {
	t.Helper()
	in := Input{Record: r, Photos: &reporttest.Photos{Small: true}, Created: issuedAt, Signer: testSigner, Language: lang}
	if err := in.judge(); err != nil {
		t.Fatal(err)
	}
	d, err := paint.New(paint.Options{Width: 210, Height: 297, Title: "x", Created: issuedAt, Sheets: true})
	if err != nil {
		t.Fatal(err)
	}
	var left []string
	text := in.text.Watched(func(group, english string) { left = append(left, group+": "+english) })
	if _, err := page.Lay(context.Background(), d, &page.Report{Record: r, Grade: in.Grade, Drawing: in.Drawing, Rubric: in.Rubric, Photos: in.Photos, Text: text,
		Inches: true, Created: issuedAt, RecordHash: strings.Repeat("ab", 32), Signer: testSigner, Draft: true}, nil); err != nil {
		t.Fatal(err)
	}
	slices.Sort(left)
	return slices.Compact(left)
}

// richRecords have something of every section.
func richRecords(t *testing.T) map[string]*record.Record {
	out := map[string]*record.Record{
		"empty": {Schema: record.Schema, Instrument: record.Instrument{Class: "solid-body double-cutaway"}}, "demo": reporttest.Demo(12), "marks": reporttest.Many(200, 2),
		"electronics": wired(3), "setup": setUp(), "intonation": intoned(), "papers": papers(4),
	}
	for _, n := range []int{1, 7, 40} {
		out[fmt.Sprint("dated ", n)] = dated(n)
	}
	for _, class := range outline.Classes() {
		for _, answer := range []string{"", "seen", "not opened"} {
			out[class+" "+answer] = told(t, class, answer)
		}
	}
	return out
}

// Whatever a record says, a report in another language says none of the
// program's own words in English.
func TestNothingLeftInEnglish(t *testing.T) {
	for _, lang := range catalogue.Languages()[1:] {
		for name, r := range richRecords(t) {
			for _, s := range leftInEnglish(t, lang, r) {
				t.Errorf("%s, %s: %s", lang, name, s)
			}
		}
	}
}

// The same of records of anything.
func TestRandomRecordsInOtherLanguages(t *testing.T) {
	for _, lang := range catalogue.Languages()[1:] {
		rapid.Check(t, func(rt *rapid.T) {
			if left := leftInEnglish(t, lang, reporttest.Random(rt, grade.Default().Kinds())); len(left) > 0 {
				rt.Fatalf("%s: %s", lang, strings.Join(left, "\n"))
			}
		})
	}
}
