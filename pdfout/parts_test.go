package pdfout

import (
	"fmt"
	"strings"
	"testing"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/annotate/signs"
	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// told is a record in which everything is said of every part of a class: every
// sign answered the same, or as the answers come round, photos tied, notes.
func told(t *testing.T, class, answer string) *record.Record {
	t.Helper()
	r := reporttest.Demo(24)
	r.Instrument.Class = class
	if class != "solid-body double-cutaway" {
		r.Instrument.ScaleLength, r.Instrument.Frets, r.Instrument.Strings = 0, 0, 0
		r.Marks, r.Playing = nil, record.Playing{}
	}
	shares, err := grade.Default().Shares(class)
	if err != nil {
		t.Fatal(err)
	}
	r.Parts = nil
	for i, sh := range shares {
		p := record.Part{ID: sh.Part, State: record.States()[i%6], Inspected: true, Judged: record.Methods()[:1+i%7], Note: "A note on what was found there and on what was not."}
		if p.State != record.Original && p.State != record.Missing {
			p.Reversible = []string{"yes", "no", ""}[i%3]
		}
		for k, s := range signs.For(class, sh.Part) {
			a := answer
			if a == "" {
				a = record.SignAnswers()[k%3]
			}
			p.Signs = append(p.Signs, record.Sign{ID: s.ID, Answer: a})
		}
		for k := range 1 + i%5 {
			p.Photos = append(p.Photos, r.Photos[(i+4*k)%len(r.Photos)].ID)
		}
		r.Parts = append(r.Parts, p)
	}
	for i := range 30 {
		r.Extras = append(r.Extras, record.Extra{ID: fmt.Sprint(i + 1), Kind: record.ExtraKinds()[i%6], What: fmt.Sprintf("thing %d of its kind, with what belongs to it", i+1),
			State: append(record.States(), "")[i%9], Number: i % 4, Files: []string{r.Photos[i%24].ID}, Note: "worn at the corners"})
	}
	return r
}

// However many signs are answered, on every class, the pages hold: nothing
// outside the margins, nothing over another.
func TestPartsLayout(t *testing.T) {
	for _, answer := range []string{"", "seen", "not opened"} {
		for _, class := range []string{outline.Classes()[0], "violin", "resonator", "banjo", "flat-top auditorium"} {
			for _, paper := range []string{"A4", "Letter"} {
				t.Run(strings.ReplaceAll(class+" "+answer+" "+paper, " ", "-"), func(t *testing.T) {
					for i, p := range readWords(t, build(t, told(t, class, answer), func(in *Input) { in.Paper = paper })) {
						checkSheet(t, i+1, p)
					}
				})
			}
		}
	}
}

// The report says what the record says of a part: the contradiction in words,
// the signs by name, the photos by number, and what comes with it.
func TestPartsInReport(t *testing.T) {
	r := reporttest.Demo(6)
	for i := range r.Parts {
		if p := &r.Parts[i]; p.ID == record.FrontFinish {
			p.Signs = []record.Sign{{ID: "finish-uv", Answer: "seen"}, {ID: "finish-ghosts", Answer: "seen"}, {ID: "finish-sanding", Answer: "seen"},
				{ID: "finish-screw-runs", Answer: "not seen"}, {ID: "finish-pocket-stamp", Answer: "not opened"}}
			p.Photos = []string{r.Photos[4].ID, r.Photos[1].ID, strings.Repeat("f", 64)}
		}
	}
	r.Instrument.WithIt = ""
	r.Extras = []record.Extra{{ID: "2", Kind: "removed parts", What: "open tuners", Number: 6, State: record.Original, Note: "two buttons cracked"},
		{ID: "1", Kind: "case", What: "hard case, tweed", Files: []string{r.Photos[2].ID}}}
	text := func(r *record.Record) string {
		return strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", build(t, r, nil), "-")), " ")
	}
	cells := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", build(t, r, nil), "-")), " ")
	for _, w := range []string{"Stated original; 3 signs of a refinish were seen.", "fluoresces unlike the protected finish", "sanding marks under the coat",
		"4 of 12 signs looked for; 1 not opened.", "What comes with it", "Hard case, tweed", "Open tuners", "Two buttons cracked", "Not judged", "Photo 3",
		"Signs that would have needed opening: front finish (1).", "Reversible", "after common practice", "Hard case, tweed, open tuners (6)"} {
		if !strings.Contains(cells, w) {
			t.Errorf("the report does not say %q", w)
		}
	}
	if strings.Contains(cells, "Ultraviolet light: not used") {
		t.Error("a sign was looked for under ultraviolet light, the report says that it was not used")
	}
	if first := strings.Index(cells, "Hard case, tweed"); first > strings.Index(cells, "Open tuners") {
		t.Error("what comes with it is not in the order of its numbers")
	}
	plain := text(reporttest.Demo(6))
	for _, w := range []string{"What comes with it", "signs looked for", "after common practice", "needed opening"} {
		if strings.Contains(plain, w) {
			t.Errorf("a report without signs and extras says %q", w)
		}
	}
	if !strings.Contains(plain, "Ultraviolet light: not used") || !strings.Contains(plain, "Original case, one key") {
		t.Error("a report without signs lost its words")
	}
}
