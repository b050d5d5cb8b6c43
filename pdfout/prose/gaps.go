package prose

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/signs"
	"wornwood/capture/record"
)

// Gaps says what nobody looked at: the examiner's own sentences, and those that
// follow from parts, positions, signs, wiring and light. A record that leaves
// nothing out has none.
func Gaps(s Source) []Sentence {
	t := &teller{Source: s}
	said := func(text string, rests ...Fact) {
		t.say(NotExamined, 1, text, append([]Fact{GapFact(len(t.list) + 1)}, rests...)...)
	}
	for _, own := range s.Record.NotExamined {
		said(ownGap(own))
	}
	said(notInspectedSentence(s.Grade.NotInspected), partFacts(s.Grade.NotInspected)...)
	said(notJudgedSentence(s.Grade.UnknownState), partFacts(s.Grade.UnknownState)...)
	said(notTriedSentence(s.Grade.Playing.Tried, s.Grade.Playing.Total), fact(OfGrade, "playing"))
	said(notOpenedSentence(s), OpeningFact)
	if all := strings.ToLower(Text(t.list)); !strings.Contains(all, "ultraviolet") && !usedUltraviolet(s.Record.Parts) {
		said("Ultraviolet light: not used to judge any part.", UltravioletFact)
	}
	return t.list
}

func partFacts(parts []record.PartID) []Fact {
	var out []Fact
	for _, p := range parts {
		out = append(out, PartFact(p))
	}
	return out
}

// ownGap is what the examiner wrote, as a sentence.
func ownGap(s string) string {
	if s = strings.TrimSuffix(clean(s), "."); s == "" {
		return ""
	}
	return s + "."
}

func notInspectedSentence(parts []record.PartID) string {
	if len(parts) == 0 {
		return ""
	}
	return "Condition not inspected: " + strings.Join(partNames(parts), ", ") + "."
}

func notJudgedSentence(parts []record.PartID) string {
	if len(parts) == 0 {
		return ""
	}
	return "Originality not judged: " + strings.Join(partNames(parts), ", ") + "."
}

func notTriedSentence(tried, total int) string {
	switch {
	case total <= tried:
		return ""
	case tried == 0:
		return "No position on the fingerboard was tried."
	}
	return fmt.Sprintf("Not tried: %s of %d positions on the fingerboard.", number(total-tried), total)
}

// notOpenedSentence names the parts that have signs for which something would
// have had to be opened.
func notOpenedSentence(s Source) string {
	var out []string
	for _, p := range s.Grade.Parts {
		said := s.Record.PartByID(p.Part)
		if said == nil {
			continue
		}
		n := 0
		for _, t := range signs.Count(*said, signs.For(s.Drawing.Class, p.Part)) {
			n += t.NotOpened
		}
		if n > 0 {
			out = append(out, fmt.Sprintf("%s (%d)", p.Part, n))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return "Signs that would have needed opening: " + strings.Join(out, ", ") + "."
}

// usedUltraviolet tells whether a part was judged under ultraviolet light, or
// a sign looked for under it.
func usedUltraviolet(parts []record.Part) bool {
	const uv = "ultraviolet light"
	for _, p := range parts {
		if slices.Contains(p.Judged, uv) {
			return true
		}
		for _, a := range p.Signs {
			if s, ok := signs.ByID(a.ID); ok && s.By == uv && a.Answer != "not opened" {
				return true
			}
		}
	}
	return false
}

// report says where to read everything.
func (t *teller) report() {
	t.say(Report, 2, reportSentence(t.Record.Examination), fact(OfExam, t.Record.Examination.ID))
}

func reportSentence(e record.Examination) string {
	s := "The condition report"
	if n := bare(e.Number); n != "" {
		s += " " + n
	}
	if d := date(e.Date); d != "" {
		s += ", examined on " + d
		if x := bare(e.Examiner); x != "" {
			s += " by " + x
		}
		s += ","
	}
	return s + " lists every mark with its place, its size and what it costs."
}
