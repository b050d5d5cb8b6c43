package suggest

import (
	"math"
	"strings"
	"testing"
)

// checkHelp holds the numbers in Help to what was measured, to 2 of 100.
func (m measured) checkHelp(t *testing.T) {
	at := func(contrast float64) int {
		for c, v := range contrasts {
			if v == contrast {
				return c
			}
		}
		t.Fatalf("no figures for contrast %g", contrast)
		return 0
	}
	s, g := m.pooled(true, at(promisedFrom), middle), m.pooled(false, at(grainFromContrast), middle)
	for _, v := range []struct {
		what     string
		said     int
		measured float64
	}{
		{"checks found on smooth finish", smoothChecksFound, s.checks.recall()},
		{"wrong checks on smooth finish", smoothChecksWrong, 1 - s.checks.precision()},
		{"dings found on smooth finish", smoothDingsFound, s.dings.recall()},
		{"wrong dings on smooth finish", smoothDingsWrong, 1 - s.dings.precision()},
		{"checks found on grain", grainChecksFound, g.checks.recall()},
		{"dings found on grain", grainDingsFound, g.dings.recall()},
	} {
		if math.Abs(float64(v.said)-100*v.measured) > 2 {
			t.Errorf("Help says %d of 100 %s, measured %.1f", v.said, v.what, 100*v.measured)
		}
	}
}

func TestHelpIsWhole(t *testing.T) {
	h := Help()
	for _, want := range []string{"by 15 per cent", "at 25 per cent", "dismiss", "not real damage"} {
		if !strings.Contains(h, want) {
			t.Errorf("Help lacks %q: %s", want, h)
		}
	}
	if strings.Contains(h, "%!") {
		t.Errorf("Help: %s", h)
	}
}
