package pdfout

import (
	"testing"

	"wornwood/pdfout/attacktest"
	"wornwood/pdfout/reporttest"
	"wornwood/pdfout/sign"
)

// fewestAttacks is how many altered reports the suite has at least. It is made
// from the report's own objects, so a report with more kinds has more.
const fewestAttacks = 120

// Every attack on a freshly issued report is refused, or explained where the
// file is whole in itself, and for the reason that the attack gives.
func TestAttacks(t *testing.T) {
	honest := reporttest.Demo(1)
	report := forgery{honest, nil, mustJSON(t, honest), mustJSON(t, gradeOf(t, honest))}.make(t)
	if v := verify(t, report, nil); !v.OK {
		t.Fatalf("the report is refused before it is attacked: %s", v.Worst())
	}
	stranger, err := sign.NewKey(sign.Subject{Name: "A. Stranger"}, issuedAt, rnd{})
	if err != nil {
		t.Fatal(err)
	}
	attacks, err := attacktest.All(report, stranger)
	if err != nil {
		t.Fatal(err)
	}
	if len(attacks) < fewestAttacks {
		t.Errorf("%d attacks, want %d or more", len(attacks), fewestAttacks)
	}
	names := map[string]bool{}
	for _, a := range attacks {
		if names[a.Name] {
			t.Errorf("two attacks are called %q", a.Name)
		}
		names[a.Name] = true
		t.Run(a.Name, func(t *testing.T) {
			v := verify(t, a.Data, nil)
			if v.OK != a.Explained || v.Countersigned {
				t.Errorf("ok %v, countersigned %v", v.OK, v.Countersigned)
			}
			said := false
			for _, c := range a.Says {
				said = said || v.Has(c)
			}
			if !said {
				t.Errorf("none of %v; it says:", a.Says)
				for _, l := range v.Lines {
					t.Logf("%s %s: %s", l.Standing, l.Code, l.Text)
				}
			}
		})
	}
}
