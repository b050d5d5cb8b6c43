package grade

import (
	"fmt"
	"strings"

	"wornwood/capture/record"
)

// Explain says every step of the calculation in plain sentences, in the order
// in which it was made. The figures are rounded as printed; the Result's own
// are exact.
func (r *Result) Explain() []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	say("Graded by %s.", r.Rubric)
	r.explainInspected(say)
	r.explainMarks(say)
	r.explainParts(say)
	r.explainIndex(say)
	r.explainOriginality(say)
	r.explainPlaying(say)
	return out
}

type sayer func(format string, args ...any)

func (r *Result) explainInspected(say sayer) {
	if len(r.NotFitted) > 0 {
		say("Not fitted, so left out of every sum: %s.", joinParts(r.NotFitted))
	}
	if r.Index == nil {
		say("No part was inspected, so there is no index; it could be anything from 0 to 100.")
		return
	}
	if len(r.NotInspected) == 0 {
		say("Every fitted part was inspected.")
		return
	}
	say("Parts with %s of the shares were inspected; not inspected: %s.", percent(r.Inspected), joinParts(r.NotInspected))
}

func (r *Result) explainParts(say sayer) {
	for _, p := range r.Parts {
		if p.Inspected && p.R > 1 {
			say("%s: marks cover %s of it and its R is %.4f; with a share of %s in the whole it costs %.1f points.",
				upperFirst(string(p.Part)), percent(p.Covered), p.R, number(p.Share), p.Points)
		}
	}
}

func (r *Result) explainMarks(say sayer) {
	for _, l := range r.Ledger {
		if l.Mark == 0 {
			continue
		}
		s := fmt.Sprintf("Mark %d, %s: importance %d and intensity %d make score %d, factor %.2f", l.Mark, lowerFirst(l.Text), l.Importance, l.Intensity, l.Score, l.Factor)
		for i, c := range l.Covers {
			word := "; it covers"
			if i > 0 {
				word = " and"
			}
			s += fmt.Sprintf("%s %s of the %s", word, percent(c.Share), c.Part)
		}
		s += fmt.Sprintf("; %.1f points", l.Shown)
		if l.Remark != "" {
			s += " (" + l.Remark + ")"
		}
		say("%s.", s)
	}
}

func (r *Result) explainIndex(say sayer) {
	if r.Index == nil {
		return
	}
	say("R of the instrument, the parts inspected weighted by their shares, is %.4f.", r.Ratio)
	say("Index = 100 (1 − √(R − 1)) = %.1f.", *r.BeforeCap)
	if c := r.Cap; c != nil {
		counted := ""
		if c.CountedAs > 0 {
			counted = fmt.Sprintf(", counted as %s because what it does reaches further than what shows,", percent(c.CountedAs))
		}
		say("Mark %d is a structural flaw on %s of the %s%s and of class %d by itself; the instrument can be at most one class better, class %d, so the index is at most %.1f.",
			c.Mark, percent(c.Extent), c.Part, counted, c.FlawClass, c.Class, c.Limit)
		if c.Points > 0 {
			say("That takes another %.1f points.", c.Points)
		}
	}
	say("Condition index %.1f, class %d of 6: %s.", *r.Index, r.Class, r.Word)
	if len(r.NotInspected) > 0 {
		say("If the parts not inspected were worn out it would be %.1f, if they were sound %.1f.", r.Low, r.High)
	}
	if r.Provisional {
		say("The index is provisional, because too little was inspected.")
	}
}

func (r *Result) explainOriginality(say sayer) {
	if r.Originality == nil {
		say("Originality: nobody stated any part's, so there is no figure.")
		return
	}
	say("Originality %.1f of 100, the stated parts weighted by their shares.", *r.Originality)
	for _, p := range r.NotOriginal {
		say("%s: %s.", upperFirst(string(p.Part)), p.State)
	}
	if len(r.UnknownState) > 0 {
		say("Not stated: %s; with them originality lies between %.1f and %.1f.", joinParts(r.UnknownState), r.OriginalityLow, r.OriginalityHigh)
	}
}

func (r *Result) explainPlaying(say sayer) {
	p := r.Playing
	if p.Total > 0 {
		say("Playing: %d of %d positions speak cleanly; %d were tried.", p.Clean, p.Total, p.Tried)
	}
	for _, f := range p.Faults {
		say("String %d at fret %d: %s.", f.String, f.Fret, f.Sound)
	}
	if p.Tried > 0 {
		for _, s := range p.NotTried {
			say("String %d was not tried at %d of its frets.", s.String, len(s.Frets))
		}
	}
	if p.OffGrid > 0 {
		say("%d recorded positions do not exist on this instrument and were not counted.", p.OffGrid)
	}
	for _, q := range p.Readings {
		switch {
		case q.Outside:
			say("%s: %s, outside the usual %s.", upperFirst(q.Reading), q.Text, q.Usual)
		case q.Usual != "":
			say("%s: %s (usual: %s).", upperFirst(q.Reading), q.Text, q.Usual)
		default:
			say("%s: %s.", upperFirst(q.Reading), q.Text)
		}
	}
}

// percent is a share 0..1 in words; a share too small to print is said to be so.
func percent(share float64) string {
	if share > 0 && share < 0.0001 {
		return "under 0.01 %"
	}
	return number(100*share) + " %"
}

func joinParts(ps []record.PartID) string {
	s := make([]string, len(ps))
	for i, p := range ps {
		s[i] = string(p)
	}
	return strings.Join(s, ", ")
}
