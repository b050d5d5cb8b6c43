package archive

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"wornwood/capture/record"
)

// Holding is one thing that a report says about where the instrument was or
// whose. It is what was written down, not what is true.
type Holding struct {
	Date string `json:"date"` // 2006-01-02
	Who  string `json:"who"`  // "" where only a text says it
	How  string `json:"how"`  // a clause: "examined there, before listing"
	Look int    `json:"examination"`
}

// held lists who had the instrument when, as far as the reports say: where it was
// examined and why, who countersigned a report of it, and what was claimed of
// owners and provenance, once each.
func (h *History) held() {
	claimed := map[string]bool{}
	for i := range h.Looks {
		l := &h.Looks[i]
		if l.rec == nil {
			continue
		}
		h.Held = append(h.Held, Holding{l.Report.Date, l.By(), "had it on that day and examined it" + purposeWords(l.rec.Examination.Purpose), i})
		for _, c := range l.rec.Claims {
			if about := fold(c.About); about != "owners" && about != "provenance" {
				continue
			}
			if key := fold(c.Text); key != "" && !claimed[key] {
				claimed[key] = true
				h.Held = append(h.Held, Holding{l.Report.Date, "", claimWords(c), i})
			}
		}
		h.countersigned(i)
	}
	slices.SortStableFunc(h.Held, func(a, b Holding) int { return cmp.Compare(a.Date, b.Date) })
}

func purposeWords(p record.Purpose) string {
	if p == "" {
		return ""
	}
	return ", " + clean(string(p), 40)
}

func claimWords(c record.Claim) string {
	s := "said of " + fold(c.About) + ": " + strings.TrimSuffix(clean(c.Text, 300), ".")
	if c.By != "" {
		s += "; by " + clean(c.By, 80)
	}
	return s + " (" + string(c.Standing) + ")"
}

// countersigned lists those who signed a version of the report after the
// examiner: a buyer who takes the instrument over does.
func (h *History) countersigned(i int) {
	l := &h.Looks[i]
	for k, s := range l.v.Signatures {
		if k == 0 || !s.Intact {
			continue
		}
		who := s.Signer
		if s.Known && s.KnownAs != "" {
			who = s.KnownAs
		}
		day, how := l.Report.Date, "countersigned the report"
		switch {
		case s.Proven != nil:
			day = s.Proven.Format(time.DateOnly)
		case s.Claimed != nil:
			day, how = s.Claimed.Format(time.DateOnly), how+", by the clock of whoever signed"
		}
		h.Held = append(h.Held, Holding{day, clean(who, 80), how, i})
	}
}
