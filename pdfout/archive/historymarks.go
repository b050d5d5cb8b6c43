package archive

import (
	"fmt"
	"strings"

	"wornwood/annotate/compare"
	"wornwood/capture/record"
	"wornwood/pdfout/prose"
)

// MarkStory is one flaw through all examinations.
type MarkStory struct {
	Title string `json:"title"` // kind and depth, as last listed
	Where string `json:"where"` // in words, "" where it is on photos only
	// Cells has one entry for each examination of the history; an empty fate
	// where the mark was not heard of yet, or no longer.
	Cells []MarkCell `json:"cells"`
}

// MarkCell is what one examination says of a mark.
type MarkCell struct {
	Fate   compare.Fate `json:"fate,omitempty"`
	Number int          `json:"number,omitempty"` // of the mark in that report; 0 where it is not listed
	Title  string       `json:"title,omitempty"`
	Size   string       `json:"size,omitempty"`
	Words  string       `json:"words,omitempty"` // how it changed
}

// Listed says whether the report lists the mark.
func (c MarkCell) Listed() bool { return c.Number > 0 }

// story is a mark that is being followed.
type story struct {
	cells []MarkCell
	last  record.Mark // as last listed, its places naming their parts
	at    int         // where it was last listed
	where string
	ended bool // gone with its part
}

type stories struct {
	all            []*story
	looks          []Look
	contradictions []Contradiction
	more           bool // not all marks are followed
}

// followMarks finds the same marks from examination to examination. Each record
// is compared with what every mark was when it was last listed, so that a mark
// which one examiner left out is found again in the next record.
func followMarks(looks []Look) *stories {
	s := &stories{looks: looks}
	for i := range looks {
		if looks[i].rec != nil {
			s.step(i)
		}
	}
	return s
}

func (s *stories) step(i int) {
	l := &s.looks[i]
	s.more = s.more || len(l.rec.Marks) < l.Marks
	before := -1
	for p := i - 1; p >= 0 && before < 0; p-- {
		if s.looks[p].rec != nil {
			before = p
		}
	}
	var open []*story
	var last []record.Mark
	for _, t := range s.all {
		if !t.ended {
			open, last = append(open, t), append(last, t.last)
		}
	}
	for _, p := range compare.Pairs(last, l.rec.Marks, nil, l.draw) {
		switch {
		case p.Later < 0:
			s.lost(open[p.Earlier], i, before)
		case p.Earlier < 0:
			s.begin(&l.rec.Marks[p.Later], i, before)
		default:
			s.goOn(open[p.Earlier], &l.rec.Marks[p.Later], i, before)
		}
	}
}

func cellOf(m *record.Mark, c compare.Change) MarkCell {
	return MarkCell{Fate: c.Fate, Number: m.Number, Title: clean(m.Title(), 80), Size: m.ShortSize(), Words: c.Words}
}

func (s *stories) put(t *story, i int, c MarkCell) {
	for len(t.cells) < len(s.looks) {
		t.cells = append(t.cells, MarkCell{})
	}
	t.cells[i] = c
}

func (s *stories) listed(t *story, m *record.Mark, i int) {
	l := &s.looks[i]
	t.last, t.at = compare.Resolved(*m, l.draw), i
	if l.draw != nil {
		if w := prose.Where(l.draw, m); w != "" {
			t.where = clean(w, 160)
		}
	}
}

func (s *stories) begin(m *record.Mark, i, before int) {
	if len(s.all) >= maxStories {
		s.more = true
		return
	}
	t := &story{}
	s.all = append(s.all, t)
	s.listed(t, m, i)
	c := compare.Change{Fate: compare.New}
	if before >= 0 && !s.lookedBefore(t, before) {
		c.Words = "its part was not looked at before"
	}
	s.put(t, i, cellOf(m, c))
	if before < 0 {
		t.cells[i].Fate = "" // nothing to be new against
		return
	}
	text := fmt.Sprintf("New: %s (mark %d%s).", t.named(), m.Number, sized(m))
	if c.Words != "" {
		text = fmt.Sprintf("Listed for the first time: %s (mark %d%s); %s.", t.named(), m.Number, sized(m), c.Words)
	}
	s.say(i, text)
}

// lookedBefore says whether the parts of a mark were inspected the time before.
func (s *stories) lookedBefore(t *story, before int) bool {
	if len(t.last.On) == 0 {
		return true
	}
	for i := range t.last.On {
		if p := s.looks[before].rec.PartByID(t.last.On[i].Part); p != nil && p.Inspected {
			return true
		}
	}
	return false
}

func (s *stories) goOn(t *story, m *record.Mark, i, before int) {
	was := t.last
	c := compare.Between(&was, m)
	again := t.at != before
	if again && c.Fate == compare.Same {
		c.Fate = compare.Again
	}
	if m.Since == "new" {
		s.contradictions = append(s.contradictions, Contradiction{Looks: []int{t.at, i}, Text: fmt.Sprintf("The report of %s calls mark %d (%s) new; the report of %s lists it as mark %d already.",
			s.looks[i].Report.Date, m.Number, lowerCase(m.Title()), s.looks[t.at].Report.Date, was.Number), Certain: true})
	}
	at, earlier := t.at, t.named()
	s.listed(t, m, i)
	s.put(t, i, cellOf(m, c))
	if c.Fate == compare.Same {
		return
	}
	name := t.named()
	if c.Fate == compare.Repaired {
		name = earlier
	}
	text := fmt.Sprintf("%s: %s (mark %d, mark %d on %s)", capital(string(c.Fate)), name, m.Number, was.Number, s.looks[at].Report.Date)
	if c.Words != "" {
		text += ": " + c.Words
	}
	s.say(i, text+".")
	if c.Fate == compare.Smaller {
		s.contradictions = append(s.contradictions, Contradiction{Looks: []int{at, i}, Text: fmt.Sprintf("%s is smaller on %s than on %s (%s). Flaws do not shrink: it was worked on, or one of the two was measured otherwise.",
			capital(t.named()), s.looks[i].Report.Date, s.looks[at].Report.Date, c.Words)})
	}
}

func (s *stories) lost(t *story, i, before int) {
	c := compare.Lost(&t.last, s.looks[t.at].look(), s.looks[i].look())
	if t.at == before || c.Fate != compare.NotListed {
		s.put(t, i, MarkCell{Fate: c.Fate, Words: c.Words})
	}
	switch {
	case c.Fate == compare.GoneWith:
		t.ended = true
		s.say(i, fmt.Sprintf("Gone with the part: %s (%s).", t.named(), c.Words))
	case t.at != before: // was said when it was first missed
	case c.Fate == compare.NotListed:
		s.say(i, fmt.Sprintf("Not listed any more: %s (mark %d on %s%s).", t.named(), t.last.Number, s.looks[t.at].Report.Date, sized(&t.last)))
		s.cannotVanish(t, i)
	}
}

// cannotVanish says so where a mark is not listed any more that nothing takes
// away without a trace: what reaches into the wood, a break, a repair.
func (s *stories) cannotVanish(t *story, i int) {
	k, why := string(t.last.Kind), ""
	switch {
	case strings.Contains(k, "break") || strings.Contains(k, "repaired"):
		why = "which no repair takes away"
	case strings.HasPrefix(k, "added"):
		why = "and wood that is gone does not come back"
	case t.last.Depth == record.IntoWood:
		why = "which reaches into the wood; a repair of it would be listed as one"
	default:
		return
	}
	s.contradictions = append(s.contradictions, Contradiction{Looks: []int{t.at, i}, Text: fmt.Sprintf("The report of %s lists mark %d, %s, %s. The report of %s looked at the same part and does not list it.",
		s.looks[t.at].Report.Date, t.last.Number, t.named(), why, s.looks[i].Report.Date)})
}

func (s *stories) say(i int, text string) {
	s.looks[i].Changes = append(s.looks[i].Changes, LookChange{"mark", text})
}

// named is the mark in a sentence: "ding, in the finish, upper bout".
func (t *story) named() string {
	out := lowerCase(clean(t.last.Title(), 80))
	if t.where != "" {
		out += ", " + t.where
	}
	return out
}

func sized(m *record.Mark) string {
	if s := m.ShortSize(); s != "" {
		return ", " + s
	}
	return ""
}

func lowerCase(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// told are the stories for reading: in the order in which they began, those of
// one examination by their numbers.
func (s *stories) told() []MarkStory {
	out := []MarkStory{}
	for _, t := range s.all {
		s.put(t, t.at, t.cells[t.at])
		out = append(out, MarkStory{Title: clean(t.last.Title(), 80), Where: t.where, Cells: t.cells})
	}
	return out
}
