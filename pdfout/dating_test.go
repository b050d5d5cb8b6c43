package pdfout

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"wornwood/annotate/dating"
	"wornwood/capture/record"
	"wornwood/pdfout/pdfxtest"
	"wornwood/pdfout/reporttest"
)

// dated is the demonstration with so many pieces of evidence of every sort.
func dated(n int) *record.Record {
	r := reporttest.Demo(3)
	for i := range n {
		e := record.Evidence{ID: fmt.Sprint("e", i+1)}
		switch i % 6 {
		case 0:
			e.Kind, e.What, e.Code = record.CodeEvidence, "rhythm potentiometer", fmt.Sprintf("137-%02d%02d", 60+i%16, 1+i%52)
		case 1:
			e.Kind, e.What, e.Code = record.CodeEvidence, "speaker of the case", fmt.Sprintf("304%d%02d", i%10, 1+i%52)
		case 2:
			e.Kind, e.What, e.To, e.Source = record.DocumentEvidence, "receipt", 1975+i%3, "shown by the owner"
		case 3:
			e.Kind, e.What, e.From, e.To, e.Source = record.FeatureEvidence, "three-ply guard "+strings.Repeat("of the longer kind ", i%5), 1965, 1980, "day book"
		case 4:
			e.Kind, e.What, e.Code, e.SetAside = record.CodeEvidence, "tone potentiometer", "137-8134", "the potentiometer is called a later replacement"
		case 5:
			e.Kind, e.What, e.Code = record.CodeEvidence, "capacitor", "0.022"
		}
		r.Evidence = append(r.Evidence, e)
	}
	return r
}

// TestDatingLayout sets reports with 0, 1 and 40 pieces of evidence: nothing
// overlaps or leaves the margins, and the section is there only when it has
// something to say.
func TestDatingLayout(t *testing.T) {
	for _, n := range []int{0, 1, 7, 40, 120} {
		for _, paper := range []string{"A4", "Letter"} {
			t.Run(fmt.Sprint(n, " ", paper), func(t *testing.T) {
				rec := dated(n)
				path := build(t, rec, func(in *Input) { in.Paper = paper })
				for i, p := range readWords(t, path) {
					checkSheet(t, i+1, p)
				}
				text := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", path, "-")), " ")
				if got := strings.Contains(text, "What the dated parts allow"); got != (n > 0) {
					t.Errorf("the section is there: %v", got)
				}
				if n > 0 && !strings.Contains(text, "it gives the instrument no year") {
					t.Error("the section does not say what it is worth")
				}
				for _, w := range []string{"made in", "built in", "Made in", "Built in"} {
					if strings.Contains(text, w) {
						t.Errorf("the report says %q", w)
					}
				}
			})
		}
	}
}

// The section's bars and table are of the archival form, by Apache PDFBox's
// preflight.
func TestDatingIsArchival(t *testing.T) {
	pdfxtest.Preflight(t, build(t, dated(12), func(in *Input) { in.Probe = true }))
}

// TestDatingTables puts the serial number's line of a shop's own table into the
// report; a table's characters that cannot be printed do no harm.
func TestDatingTables(t *testing.T) {
	table := dating.ReadSerials("tables/serials.csv", []byte("pattern,first,last,from year,to year,source\n#####,40000,44999,1973,1975,day book \U0001F3B8\n"))
	if len(table.Bad) > 0 {
		t.Fatal(table.Bad)
	}
	path := build(t, reporttest.Demo(1), func(in *Input) { in.Tables = []dating.Table{table} })
	text := strings.Join(strings.Fields(pdfxtest.Output(t, "pdftotext", "-layout", path, "-")), " ")
	for _, want := range []string{"The dated evidence allows 1973 to 1975. Both ends are set by the serial number 41873.", "day book"} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}

// TestDatingIsDrawn holds the bars to what they show: the claimed year's band
// ends where the axis has that year, as poppler reads the drawing's words.
func TestDatingIsDrawn(t *testing.T) {
	words := readWords(t, build(t, dated(7), nil))
	page := slices.IndexFunc(words, func(p sheetOfWords) bool {
		return slices.ContainsFunc(p.Words, func(w word) bool { return w.Text == "claimed:" })
	})
	if page < 0 {
		t.Fatal("no page names the claimed year over the bars")
	}
	var ticks []word
	var claimed word
	for i, w := range words[page].Words {
		if len(w.Text) == 4 && (strings.HasPrefix(w.Text, "19") || strings.HasPrefix(w.Text, "20")) && w.Y1-w.Y0 < 12 {
			if words[page].Words[i-1].Text == "claimed:" {
				claimed = w
				continue
			}
			if claimed.Text != "" && w.Y0 > claimed.Y0 && w.Y0 < claimed.Y0+20 {
				ticks = append(ticks, w)
			}
		}
	}
	if claimed.Text != "1974" || len(ticks) < 3 {
		t.Fatalf("claimed %v over %d years of an axis", claimed, len(ticks))
	}
	// Years lie evenly: the middle of 1974, by the outer years of the axis, lies
	// under the claim's name.
	mid := func(w word) float64 { return (w.X0 + w.X1) / 2 }
	var y0, y1 int
	if _, err := fmt.Sscan(ticks[0].Text, &y0); err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Sscan(ticks[len(ticks)-1].Text, &y1); err != nil {
		t.Fatal(err)
	}
	per := (mid(ticks[len(ticks)-1]) - mid(ticks[0])) / float64(y1-y0)
	want := mid(ticks[0]) + (1974.5-float64(y0))*per
	name := (words[page].Words[slices.Index(words[page].Words, claimed)-1].X0 + claimed.X1) / 2
	if d := name - want; d > 3 || d < -3 {
		t.Errorf("the claim's name stands %.1f points off the middle of 1974", d)
	}
}
