package dating

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/capture/record"
)

// Hedge is said wherever a result is shown.
const Hedge = "A date on a part is the date of that part. Parts lie in stock and are changed later, so this says what the dated parts allow; it gives the instrument no year."

// mostNamed is how many pieces a sentence names before it counts the rest.
const mostNamed = 4

// names lists pieces by name; those of one name are counted.
func (r *Result) names(idx []int) string {
	var out []string
	times := map[string]int{}
	for _, i := range idx {
		n := r.Pieces[i].Name()
		if times[n]++; times[n] == 1 {
			out = append(out, n)
		}
	}
	for k, n := range out {
		if times[n] > 1 {
			out[k] = fmt.Sprintf("%s (%d pieces)", n, times[n])
		}
	}
	if n := len(out) - mostNamed; n > 1 {
		out = append(out[:mostNamed], fmt.Sprintf("%d others", n))
	}
	return both(out)
}

// Sentence says what the evidence allows, and by which pieces.
func (r *Result) Sentence() string {
	switch {
	case r.Counted == 0 && len(r.Pieces) == 0:
		return "Nothing with a date is listed, so nothing is said about the year."
	case r.Counted == 0:
		return "No piece of the evidence counts and has a date, so nothing is said about the year."
	case len(r.Allows) == 0:
		return "The evidence contradicts itself: no year is left that all of it allows."
	}
	what := "The dated evidence allows "
	if r.onlyParts() {
		what = "The dated parts allow "
	}
	s := what + r.Allows.Words() + "."
	lo, hi := r.Allows.First(), r.Allows.Last()
	from, to := "", ""
	if !lo.IsZero() {
		from = r.names(r.binding(func(s Set) bool { return s.First() == lo }))
	}
	if !hi.IsZero() {
		to = r.names(r.binding(func(s Set) bool { return s.Last() == hi }))
	}
	switch {
	case from == "" && to == "":
		return s
	case from == to:
		return s + " Both ends are set by " + from + "."
	case to == "":
		return s + " The beginning is set by " + from + "."
	case from == "":
		return s + " The end is set by " + to + "."
	}
	return s + " The beginning is set by " + from + ", the end by " + to + "."
}

// onlyParts says whether all that counts are dated parts.
func (r *Result) onlyParts() bool {
	for _, i := range r.counted() {
		if p := r.Pieces[i]; p.Kind != record.CodeEvidence {
			return false
		}
	}
	return true
}

// binding are the pieces that count and whose weeks end where those of the whole
// do; none where pieces with gaps make the end only together.
func (r *Result) binding(ends func(Set) bool) []int {
	return slices.DeleteFunc(r.counted(), func(i int) bool { return !ends(r.Pieces[i].Allows) })
}

// mostTold is how many contradictions are written out.
const mostTold = 12

// ContradictionSentences says which pieces cannot stand together, one sentence
// a set.
func (r *Result) ContradictionSentences() []string {
	var out []string
	for k, set := range r.Contradictions {
		if k == mostTold {
			more := fmt.Sprint(len(r.Contradictions) - k)
			if len(r.Contradictions) >= mostSets {
				more = "at least " + more
			}
			out = append(out, fmt.Sprintf("There are %s further such contradictions.", more))
			break
		}
		var says []string
		for _, i := range set {
			says = append(says, r.Pieces[i].Name()+" allows "+r.Pieces[i].Allows.Words())
		}
		if len(set) == 1 {
			out = append(out, upper(says[0])+".")
			continue
		}
		out = append(out, upper(both(says))+": these cannot all hold.")
	}
	return out
}

// Sentence says how the claim stands in r, the result it is of.
func (c *Claim) Sentence(r *Result) string {
	name := "The claimed year " + c.Text
	if c.ID != "" {
		name = "The claim “" + c.Text + "”"
	}
	if !c.Read {
		return name + " could not be read as years, so it is not compared."
	}
	if w := c.Years.Words(); w != c.Text {
		name += " (read as " + w + ")"
	}
	switch c.Verdict {
	case Supported:
		return name + " is supported: the evidence allows " + r.Allows.Words() + " and nothing else."
	case Allowed:
		return name + " is allowed by the evidence, and so are other years: " + r.Allows.Words() + "."
	case PartAllowed:
		return name + " is allowed in part: of it the evidence allows " + c.Left.Words() + "."
	case Undecided:
		return name + " cannot be compared, because the evidence contradicts itself."
	case Contradicted:
		return name + " is contradicted by " + c.againstWords(r) + "."
	}
	return name + " is not compared: nothing that counts has a date."
}

func (c *Claim) againstWords(r *Result) string {
	var out []string
	parts := true
	for k, set := range c.Against {
		for _, i := range set {
			parts = parts && r.Pieces[i].Origin == FromComponent
		}
		switch {
		case k >= mostNamed:
		case len(set) == 1:
			p := &r.Pieces[set[0]]
			out = append(out, p.Name()+", which allows "+p.Allows.Words())
		default:
			out = append(out, r.names(set)+" together")
		}
	}
	if n := len(c.Against) - mostNamed; n > 0 {
		out = append(out, fmt.Sprintf("%d more", n))
	}
	s := strings.Join(out, "; and by ")
	if parts {
		s += "; unless what is dated there was changed later"
	}
	return s
}

// Told is the sentence of one piece, with what the other evidence leaves of an
// open decade.
func (r *Result) Told(i int) string {
	return upper(r.Pieces[i].Name()) + ": " + r.Says(i)
}

// Says is Told without the piece's name.
func (r *Result) Says(i int) string {
	p := &r.Pieces[i]
	s := p.says()
	if p.Read == nil || !p.Counts() || p.Bound != record.InOrAfter || len(r.Allows) == 0 || r.Allows.Last().IsZero() {
		return s
	}
	var left []Week
	for _, w := range p.Read.weeks {
		if w.Compare(r.Allows.Last()) <= 0 {
			left = append(left, w)
		}
	}
	if len(left) < len(p.Read.weeks) && len(left) > 0 {
		s += " If the part is original, the other evidence leaves it " + weekList(left) + "."
	}
	return s
}

// Sentences are all that is said of the result as a whole: what the evidence
// allows, what contradicts, how the claims stand, and at the end the hedge.
func (r *Result) Sentences() []string {
	out := append([]string{r.Sentence()}, r.ContradictionSentences()...)
	for i := range r.Claims {
		out = append(out, r.Claims[i].Sentence(r))
	}
	return append(out, Hedge)
}
