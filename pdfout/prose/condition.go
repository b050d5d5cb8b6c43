package prose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"wornwood/annotate/colour"
	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// condition says the class, in short or with its figures, and how many marks
// there are.
func (t *teller) condition(short bool) {
	word := conditionSentence(t.Grade)
	if !short {
		word = indexSentence(t.Grade)
	}
	t.say(Condition, 0, word, fact(OfGrade, "condition"))
	rests := []Fact{fact(OfGrade, "condition")}
	for _, m := range t.Record.Marks {
		rests = append(rests, MarkFact(m.Number))
	}
	t.say(Condition, 0, t.marksSentence(), rests...)
}

func conditionSentence(g *grade.Result) string {
	if g.Index == nil {
		return "No part was inspected closely enough to grade its condition."
	}
	s := upper(clean(g.Word))
	if g.Provisional {
		s += " as far as it was inspected"
	}
	return s + "."
}

// indexSentence: "Condition 84.2 of 100, class 2 of 6: lightly worn."
func indexSentence(g *grade.Result) string {
	if g.Index == nil {
		return conditionSentence(g)
	}
	s := fmt.Sprintf("Condition %s of 100, class %d of 6: %s", Index(*g.Index), g.Class, clean(g.Word))
	if len(g.NotInspected) > 0 {
		s += fmt.Sprintf("; with the parts that were not inspected it could lie between %d and %d", int(math.Floor(g.Low+1e-9)), int(math.Ceil(g.High-1e-9)))
	}
	if g.Provisional {
		s += fmt.Sprintf(", and it is provisional, with %.0f %% of the shares inspected", math.Floor(g.Inspected*100))
	}
	return s + "."
}

// Index is an index as the ledger adds up to it: to a tenth.
func Index(v float64) string { return fmt.Sprintf("%.1f", v) }

// marksSentence says how many marks there are and which costs the most.
func (t *teller) marksSentence() string {
	marks := t.byCost()
	if len(marks) == 0 {
		return "No marks were made."
	}
	what := clean(string(marks[0].Kind))
	where, _, _ := strings.Cut(t.where(marks[0]), ";")
	what += " (" + lower(where) + ")"
	if len(marks) == 1 {
		return "One mark was made: " + what + "."
	}
	return upper(count(len(marks), "mark", "marks")) + " were made; the " + what + " costs the most."
}

// byCost are the marks, the dearest first.
func (t *teller) byCost() []*record.Mark {
	out := make([]*record.Mark, 0, len(t.Record.Marks))
	for i := range t.Record.Marks {
		out = append(out, &t.Record.Marks[i])
	}
	slices.SortStableFunc(out, func(a, b *record.Mark) int {
		return cmp.Or(cmp.Compare(t.Grade.MarkPoints(b.Number), t.Grade.MarkPoints(a.Number)), cmp.Compare(a.Number, b.Number))
	})
	return out
}

func (t *teller) where(m *record.Mark) string {
	if s := Where(t.Drawing, m); s != "" {
		return s
	}
	return "not drawn on the outline"
}

// mostMarks is how many marks are told one by one; a report lists all.
const mostMarks = 8

// allMarks tells the marks that are not told as grave.
func (t *teller) allMarks() {
	var told []string
	var rests []Fact
	left := 0
	for _, m := range t.byCost() {
		if t.IsGrave(m) || len(t.Record.Marks) == 1 { // a single one was told already
			continue
		}
		if rests = append(rests, MarkFact(m.Number)); len(told) == mostMarks {
			left++
			continue
		}
		told = append(told, t.markWords(m))
	}
	t.say(Condition, 3, plainMarksSentence(told, left, len(rests) < len(t.Record.Marks)), rests...)
}

// plainMarksSentence lists marks; others says that there are graver ones.
func plainMarksSentence(told []string, left int, others bool) string {
	if len(told) == 0 {
		return ""
	}
	s := verb(others, "They are: ", "The others: ") + strings.Join(told, "; ")
	if left > 0 {
		s += "; and " + count(left, "mark that costs", "marks that cost") + " less"
	}
	return s + "."
}

// markWords is a mark within a sentence: kind, depth or reading, place, size.
func (t *teller) markWords(m *record.Mark) string {
	out := []string{lower(clean(string(m.Kind)))}
	if w := t.depthWords(m); w != "" {
		out = append(out, w)
	}
	if w := Where(t.Drawing, m); w != "" {
		w, _, more := strings.Cut(w, ";")
		out = append(out, lower(w)+verb(more, "", " and elsewhere"))
	}
	if z := m.ShortSize(); z != "" {
		out = append(out, z)
	}
	if m.Since == "repaired" {
		out = append(out, "repaired since the last examination")
	}
	return strings.Join(out, ", ") + fmt.Sprintf(" (mark %d)", m.Number)
}

func (t *teller) depthWords(m *record.Mark) string {
	if m.Fade != nil && colour.Unreliable(m.Fade) == "" {
		return clean(colour.Words(m.Fade))
	}
	if w := grade.ReadingWords(*m); w != "" {
		return w
	}
	if k, ok := t.Rubric.Kind(m.Kind); ok {
		return k.DepthWord(m.Depth)
	}
	return clean(string(m.Depth))
}

// IsGrave tells whether a mark is one that no description may leave out: of
// the structure, or one by which a function is lost, or a repair of such.
func (s Source) IsGrave(m *record.Mark) bool {
	k, ok := s.Rubric.Kind(m.Kind)
	if !ok {
		return true // no grade is made of such a record
	}
	return k.Importance == 2 || k.Group == structureGroup || IsRepair(m)
}

// structureGroup is the rubric's heading over what holds an instrument together.
const structureGroup = "structure"

// IsRepair tells whether the mark is something that was repaired.
func IsRepair(m *record.Mark) bool {
	return m.Since == "repaired" || strings.HasPrefix(string(m.Kind), "repaired") || strings.Contains(string(m.Kind), "break") && m.Depth == record.Through
}

// grave tells the grave marks, the dearest first, at most so many of them one
// by one; 0 is all.
func (t *teller) grave(most, rank int) {
	var told []*record.Mark
	for _, m := range t.byCost() {
		if t.IsGrave(m) {
			told = append(told, m)
		}
	}
	for i, m := range told {
		if most > 0 && i == most {
			var rests []Fact
			for _, m := range told[i:] {
				rests = append(rests, MarkFact(m.Number))
			}
			t.say(Structure, rank, moreGraveSentence(len(told)-i), rests...)
			return
		}
		t.say(Structure, rank, t.graveSentence(m), MarkFact(m.Number))
	}
}

// graveSentence: "Structural: headstock break, glued and sound, headstock back
// (mark 4)."
func (t *teller) graveSentence(m *record.Mark) string {
	head := "Structural: "
	if k, ok := t.Rubric.Kind(m.Kind); ok && k.Group != structureGroup && k.Group != "violin family" {
		head = "Function impaired or lost: "
		if IsRepair(m) && k.Importance < 2 {
			head = "Repaired: "
		}
	}
	s := head + t.markWords(m)
	if c := t.Grade.Cap; c != nil && c.Mark == m.Number && c.Points > 0 {
		s += fmt.Sprintf("; it holds the index at %s", Index(c.Limit))
	}
	return s + "."
}

func moreGraveSentence(n int) string {
	return upper(count(n, "more mark is", "more marks are")) + " of the structure or of a lost function."
}
