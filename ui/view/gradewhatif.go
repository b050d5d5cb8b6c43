package view

import (
	"fmt"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// outcome is the grade as supposed, nil where that cannot be. What was asked of
// the same record once is not computed again.
func (v *Grade) outcome(s grade.Supposition) *grade.Outcome {
	sc := v.s.Scene()
	if sc.Case == nil {
		return nil
	}
	if v.seen != sc {
		v.seen, v.asked = sc, map[grade.Supposition]*grade.Outcome{}
	}
	o, ok := v.asked[s]
	if !ok {
		var err error
		if o, err = sc.Case.WhatIf(s); err != nil {
			o = nil // the screen leaves the line out
		}
		v.asked[s] = o
	}
	return o
}

// Choose makes a line of the ledger the one that is explained; -1 none.
func (v *Grade) Choose(line int) {
	v.chosen, v.mark = -1, 0
	if rows := v.Ledger(); line >= 0 && line < len(rows) {
		v.chosen, v.mark = line, rows[line].Mark
	}
}

// Chosen is the line that is explained, -1 for none. It stays with its mark.
func (v *Grade) Chosen() int {
	if v.chosen < 0 {
		return -1
	}
	for i, r := range v.Ledger() {
		if r.Mark == v.mark {
			return i
		}
	}
	return -1
}

// WhatIf is one supposition with what would come of it.
type WhatIf struct{ Words, Figures string }

// LineDetail explains one line of the ledger.
type LineDetail struct {
	Mark  int    // 0 for the line of the cap
	Title string // "Mark 5: ding, into the wood"
	How   []string
	If    []WhatIf
}

// Detail explains the chosen line; ok is false when none is.
func (v *Grade) Detail() (d LineDetail, ok bool) {
	i := v.Chosen()
	if i < 0 {
		return d, false
	}
	sc := v.s.Scene()
	l := sc.Grade.Ledger[i]
	d = LineDetail{Mark: l.Mark, Title: l.Text}
	if l.Mark == 0 {
		c := sc.Grade.Cap
		d.How = []string{fmt.Sprintf("A structural flaw of class %d by itself; the whole can be one class better, class %d, whose highest index is %.1f. That takes another %.1f points.", c.FlawClass, c.Class, c.Limit, l.Points)}
		d.If = v.ifs(grade.Supposition{Without: c.Mark})
		return d, true
	}
	d.Title = fmt.Sprintf("Mark %d: %s", l.Mark, lower(l.Text))
	d.How = append(d.How, fmt.Sprintf("Importance %d (%s) and intensity %d make score %d, factor %.2f. It costs %.1f of the %.1f points lost.",
		l.Importance, importanceWord(l.Importance), l.Intensity, l.Score, l.Factor, l.Shown, 100-*sc.Grade.Index))
	for _, c := range l.Covers {
		d.How = append(d.How, v.coverWords(c, l))
	}
	if l.Remark != "" {
		d.How = append(d.How, Capital(l.Remark)+".")
	}
	m := sc.Record.MarkByNumber(l.Mark)
	d.If = v.ifs(v.markSuppositions(m)...)
	if s := grade.RepairedMark(*m); s != "" {
		d.How = append(d.How, s)
	}
	return d, true
}

func lower(s string) string {
	if s == "" {
		return s
	}
	if s[0] >= 'A' && s[0] <= 'Z' {
		return string(s[0]-'A'+'a') + s[1:]
	}
	return s
}

func importanceWord(i int) string {
	return [...]string{"appearance only", "protection or function impaired", "structure or function lost"}[max(0, min(2, i))]
}

// coverWords says what a mark covers of a part and what that makes of it.
func (v *Grade) coverWords(c grade.Cover, l grade.Line) string {
	for _, p := range v.s.Scene().Grade.Parts {
		if p.Part == c.Part {
			return fmt.Sprintf("%s of the %s, whose share is %s %%: by itself it adds %.4f to the part's R, which is %.4f.", Capital(percent(c.Share)), c.Part, short(p.Share), c.Share*(l.Factor-1), p.R)
		}
	}
	return ""
}

// markSuppositions are what can be asked of a mark: its absence, the other
// depths, and what a repair would leave.
func (v *Grade) markSuppositions(m *record.Mark) []grade.Supposition {
	out := []grade.Supposition{{Without: m.Number}}
	for _, d := range record.Depths() {
		if m.Reading != nil || d != m.Depth {
			out = append(out, grade.Supposition{Mark: m.Number, Depth: d})
		}
	}
	if k, ok := grade.AfterRepair(m.Kind); ok {
		if _, known := v.s.Rubric().Kind(k); known {
			out = append(out, grade.Supposition{Mark: m.Number, Kind: k, Depth: record.InFinish})
		}
	}
	return out
}

// ifs computes suppositions; the words of depths are those of the mark's kind.
func (v *Grade) ifs(list ...grade.Supposition) []WhatIf {
	var out []WhatIf
	for _, s := range list {
		o := v.outcome(s)
		if o == nil {
			continue
		}
		words := Capital(o.Words)
		if m := v.s.Scene().Record.MarkByNumber(s.Mark); m != nil {
			kind := m.Kind
			if s.Kind != "" {
				kind = s.Kind
			}
			k, _ := v.s.Rubric().Kind(kind)
			words = fmt.Sprintf("As “%s”", k.DepthWord(s.Depth))
			if s.Kind != "" {
				words = fmt.Sprintf("As a %s, “%s”", s.Kind, k.DepthWord(s.Depth))
			}
		}
		if s.Without != 0 {
			words = "Without it"
		}
		out = append(out, WhatIf{words, o.Figures()})
	}
	return out
}

// UnseenRow is a part that was not inspected, and the index if it were.
type UnseenRow struct {
	Part           record.PartID
	Share          string
	Sound, WornOut string
}

// Unseen lists the parts that were not inspected.
func (v *Grade) Unseen() []UnseenRow {
	g := v.s.Scene().Grade
	if g == nil {
		return nil
	}
	var out []UnseenRow
	for _, p := range g.Parts {
		if p.Inspected || !p.Fitted {
			continue
		}
		row := UnseenRow{Part: p.Part, Share: short(p.Share) + " %", Sound: "–", WornOut: "–"}
		if o := v.outcome(grade.Supposition{Part: p.Part, Sound: true}); o != nil {
			row.Sound = indexAndWord(o)
		}
		if o := v.outcome(grade.Supposition{Part: p.Part, WornOut: true}); o != nil {
			row.WornOut = indexAndWord(o)
		}
		out = append(out, row)
	}
	return out
}

// indexAndWord is the index, with the class's word where it is another.
func indexAndWord(o *grade.Outcome) string {
	if o.Index() == nil {
		return "–"
	}
	s := fmt.Sprintf("%.1f", *o.Index())
	if o.ClassChanges() {
		s += ", " + o.Result.Word
	}
	return s
}

// StateRow is one part with what its state takes from originality.
type StateRow struct {
	Part  record.PartID
	Share string
	State string
	Takes string // points of originality, "" for none, "not known"
}

// States lists the parts that are fitted with their states.
func (v *Grade) States() []StateRow {
	sc := v.s.Scene()
	if sc.Grade == nil {
		return nil
	}
	known := 0.0
	for _, p := range sc.Grade.Parts {
		if _, ok := sc.Rubric.Originality[p.State]; ok && p.Fitted {
			known += p.Share
		}
	}
	var out []StateRow
	for _, p := range sc.Grade.Parts {
		if !p.Fitted {
			continue
		}
		row := StateRow{Part: p.Part, Share: short(p.Share) + " %", State: string(p.State), Takes: "not known"}
		if o, ok := sc.Rubric.Originality[p.State]; ok {
			row.Takes = ""
			if o < 1 {
				row.Takes = fmt.Sprintf("−%.1f", 100*p.Share*(1-o)/known)
			}
		}
		out = append(out, row)
	}
	return out
}

// OriginalityWords is the second answer in a sentence.
func (v *Grade) OriginalityWords() string {
	g := v.s.Scene().Grade
	if g == nil || g.Originality == nil {
		return "No part's state was said, so there is no figure."
	}
	s := fmt.Sprintf("%.1f of 100", *g.Originality)
	if len(g.UnknownState) > 0 {
		s += fmt.Sprintf(", between %.1f and %.1f with the parts of which nothing was said", g.OriginalityLow, g.OriginalityHigh)
	}
	return s + "."
}

// ChoosePart makes a part the one whose other states are shown; "" none.
func (v *Grade) ChoosePart(p record.PartID) { v.part = p }

// ChosenPart is that part.
func (v *Grade) ChosenPart() record.PartID { return v.part }

// IfStates is the originality with the chosen part in each other state.
func (v *Grade) IfStates() []WhatIf {
	g := v.s.Scene().Grade
	if g == nil || v.part == "" {
		return nil
	}
	var out []WhatIf
	for _, p := range g.Parts {
		if p.Part != v.part {
			continue
		}
		for _, st := range record.States() {
			if st == p.State || st == record.NotSeen {
				continue
			}
			if o := v.outcome(grade.Supposition{Part: v.part, State: st}); o != nil && o.Result.Originality != nil {
				out = append(out, WhatIf{Capital(string(st)), fmt.Sprintf("%.1f", *o.Result.Originality)})
			}
		}
	}
	return out
}
