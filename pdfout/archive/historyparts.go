package archive

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/compare"
	"wornwood/capture/record"
)

// PartStory is what each examination calls a part.
type PartStory struct {
	Part    string   `json:"part"`
	States  []string `json:"states"` // one for each examination, "" where nothing was said
	Changed bool     `json:"changed"`
}

// partsOver lists the parts' states and says what they say together.
func (h *History) partsOver() {
	at := map[record.PartID]int{}
	for i := range h.Looks {
		if h.Looks[i].rec == nil {
			continue
		}
		for _, p := range h.Looks[i].rec.Parts {
			k, is := at[p.ID]
			if !is {
				k = len(h.Parts)
				at[p.ID] = k
				h.Parts = append(h.Parts, PartStory{Part: clean(string(p.ID), 60), States: make([]string, len(h.Looks))})
			}
			h.Parts[k].States[i] = string(p.State)
		}
		if p := h.before(i); p >= 0 {
			h.partsSince(p, i, at)
		}
	}
}

func (h *History) partsSince(p, i int, at map[record.PartID]int) {
	a, b := &h.Looks[p], &h.Looks[i]
	// What the record before did not see, an earlier one may have.
	seen := *a.rec
	seen.Parts = h.known(p)
	for _, c := range compare.Parts(&seen, b.rec) {
		part := clean(string(c.Part), 60)
		if c.Verdict == compare.Learnt {
			if p := b.rec.PartByID(c.Part); p != nil && slices.ContainsFunc(a.rec.Parts, func(o record.Part) bool { return o.ID == c.Part }) {
				h.say(i, "part", fmt.Sprintf("%s: %s; not seen before.", capital(part), c.Is))
			}
			continue
		}
		h.Parts[at[c.Part]].Changed = true
		h.say(i, "part", fmt.Sprintf("%s: %s, %s before.", capital(part), c.Is, c.Was))
		h.contradict(c, p, i, part)
	}
}

// known are the parts as last seen up to look i.
func (h *History) known(i int) []record.Part {
	var out []record.Part
	for k := 0; k <= i; k++ {
		if h.Looks[k].rec == nil {
			continue
		}
		for _, p := range h.Looks[k].rec.Parts {
			j := slices.IndexFunc(out, func(o record.Part) bool { return o.ID == p.ID })
			switch {
			case j < 0:
				out = append(out, p)
			case p.State != "" && p.State != record.NotSeen:
				out[j] = p
			}
		}
	}
	return out
}

// contradict says what a part's two states leave open.
func (h *History) contradict(c compare.PartChange, p, i int, part string) {
	from := h.saidBy(c.Part, c.Was, i)
	a, b := &h.Looks[from], &h.Looks[i]
	says := fmt.Sprintf("%s: %s on %s says %s, %s on %s says %s.", capital(part), a.By(), a.Report.Date, c.Was, b.By(), b.Report.Date, c.Is)
	out := Contradiction{Looks: []int{from, i}}
	switch {
	case c.Verdict == compare.Changed && (c.Is == record.LaterReplacement || c.Is == record.Missing):
		return // it was there and is not: nobody need be wrong
	case c.Verdict == compare.Changed && c.Is == record.PeriodReplacement:
		out.Text = says + " A replacement of the period was made long before either, so one of them is wrong."
		out.Certain = true
	case c.Verdict == compare.Changed:
		out.Text = says + " Either work was done in between, or one of them is wrong."
		if n := h.outlived(c.Part, from, i); c.Is == record.Refinished && n > 0 {
			out.Text += fmt.Sprintf(" %s in both reports at the same place, which speaks against it.", countMarks(n))
		}
	case c.Verdict == compare.Undone:
		out.Text = says + " Either an original one was put back, or one of them is wrong."
	case c.Verdict == compare.Cannot:
		out.Text, out.Certain = says+" That does not become original again, so one of them is wrong.", true
	default:
		out.Text = says
	}
	h.Contradictions = append(h.Contradictions, out)
}

// saidBy is the last examination before look i that gave the part that state.
func (h *History) saidBy(id record.PartID, st record.State, i int) int {
	for k := i - 1; k >= 0; k-- {
		if h.Looks[k].rec == nil {
			continue
		}
		if p := h.Looks[k].rec.PartByID(id); p != nil && p.State == st {
			return k
		}
	}
	return max(0, h.before(i))
}

func countMarks(n int) string {
	if n == 1 {
		return "One mark of the old finish stands"
	}
	return fmt.Sprintf("%d marks of the old finish stand", n)
}

// outlived counts the marks in the finish of a part that two examinations list at
// the same place: a refinish in between would have taken them away.
func (h *History) outlived(id record.PartID, a, b int) int {
	var early []record.Mark
	for _, m := range h.Looks[a].rec.Marks {
		m = compare.Resolved(m, h.Looks[a].draw)
		if slices.ContainsFunc(m.On, func(p record.Place) bool { return p.Part == id && len(p.Points) > 0 }) && m.Depth != record.IntoWood {
			early = append(early, m)
		}
	}
	n := 0
	for _, p := range compare.Pairs(early, h.Looks[b].rec.Marks, nil, h.Looks[b].draw) {
		if p.Earlier >= 0 && p.Later >= 0 && h.Looks[b].rec.Marks[p.Later].Kind == early[p.Earlier].Kind {
			n++
		}
	}
	return n
}

// facts says where two examinations give the instrument itself differently.
func (h *History) facts() {
	for i := range h.Looks {
		p := h.before(i)
		if p < 0 || h.Looks[i].rec == nil {
			continue
		}
		a, b := &h.Looks[p], &h.Looks[i]
		for _, f := range compare.Facts(&a.rec.Instrument, &b.rec.Instrument) {
			if strings.HasPrefix(f, "serial") && SerialKey(a.rec.Instrument.Serial) == SerialKey(b.rec.Instrument.Serial) {
				continue // O and 0, I and 1 are the same to a reader
			}
			h.Contradictions = append(h.Contradictions, Contradiction{Looks: []int{p, i}, Text: fmt.Sprintf("The reports of %s and %s differ: %s.", a.Report.Date, b.Report.Date, clean(f, 300))})
		}
	}
}
