package view

import (
	"fmt"
	"sort"
	"strings"

	"wornwood/annotate/grade"
	"wornwood/capture/record"
)

// KindChoice is one kind as the list offers it.
type KindChoice struct {
	Kind  record.Kind
	Group string
	Usual bool // the kind occurs on the part that was hit
}

// Kinds lists the kinds that a few typed letters call up, the likeliest first,
// so that two letters and Enter choose one: kinds of the part that was hit
// before others; a kind that starts with the letters before one with a word
// that does, before one whose letters appear in order ("fw" finds fret wear).
func (v *Marks) Kinds(typed string) []KindChoice {
	typed = strings.ToLower(strings.TrimSpace(typed))
	part := v.hitPart()
	type ranked struct {
		KindChoice
		rank int
	}
	var list []ranked
	for _, k := range v.s.Rubric().Kinds() {
		r := match(string(k.Kind), typed)
		if r < 0 {
			continue
		}
		usual := part == "" || k.On(part)
		if !usual {
			r += 10
		}
		list = append(list, ranked{KindChoice{k.Kind, k.Group, usual}, r})
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].rank < list[j].rank })
	out := make([]KindChoice, len(list))
	for i, r := range list {
		out[i] = r.KindChoice
	}
	return out
}

func (v *Marks) hitPart() record.PartID {
	sc := v.s.Scene()
	if m := sc.Record.MarkByNumber(sc.Selected); m != nil {
		for _, p := range m.On {
			if reg, ok := sc.Drawing.Region(p.Region); ok {
				return reg.Part
			}
		}
	}
	return ""
}

// match ranks how letters call up a name: 0 it starts with them, 1 a later word
// does, 2 they are the words' initials, 3 they appear in order; -1 not at all.
func match(name, typed string) int {
	name = strings.ToLower(name)
	if typed == "" || strings.HasPrefix(name, typed) {
		return 0
	}
	words := strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == '-' })
	initials := ""
	for i, w := range words {
		initials += w[:1]
		if i > 0 && strings.HasPrefix(w, typed) {
			return 1
		}
	}
	if strings.HasPrefix(initials, typed) {
		return 2
	}
	rest := name
	for _, r := range typed {
		i := strings.IndexRune(rest, r)
		if i < 0 {
			return -1
		}
		rest = rest[i+len(string(r)):]
	}
	return 3
}

// SetKind gives the selected mark its kind.
func (v *Marks) SetKind(k record.Kind) error {
	return v.onSelected(func(n int) error { return v.s.SetKind(n, k) })
}

// KindTyped parts what is typed for a mark's kind: letters that call it up, and
// behind them 1 to 3 for how deep it goes, which is -1 where no figure stands.
func KindTyped(text string) (letters string, depth int) {
	text = strings.TrimSpace(text)
	if n := len(text) - 1; n >= 0 && text[n] >= '1' && text[n] <= '3' {
		return strings.TrimSpace(text[:n]), int(text[n] - '1')
	}
	return text, -1
}

// SetDepth gives the selected mark a depth, 0 to 2.
func (v *Marks) SetDepth(level int) error {
	return v.edit("Depth", func(m *record.Mark) { m.Depth = record.Depths()[level] })
}

// SetSince says how the selected mark stands against the last examination; the
// same word again takes it back.
func (v *Marks) SetSince(word string) error {
	return v.edit("Change", func(m *record.Mark) {
		if m.Since == word {
			word = ""
		}
		m.Since = word
	})
}

// SetNote gives the selected mark its note.
func (v *Marks) SetNote(text string) error {
	if p := v.Panel(); p != nil && p.Note == text {
		return nil
	}
	return v.edit("Note", func(m *record.Mark) { m.Note = text })
}

// SetReading gives the selected mark its measured intensity, "9.8" or
// "9.8 ± 0.4"; an empty text takes it away and the depth counts again.
func (v *Marks) SetReading(text string) error {
	p := v.Panel()
	if p == nil || p.Value == strings.TrimSpace(text) {
		return nil
	}
	info, _ := v.s.Rubric().Kind(p.Kind)
	q, err := Quantity(text)
	if err != nil {
		return fmt.Errorf("set %s: %w", info.Reading, err)
	}
	return v.edit("Reading", func(m *record.Mark) {
		m.Reading, m.Fade = nil, nil // patches go with the figure that was read from them
		if q != nil && info.Reading != "" {
			m.Reading = &record.MarkReading{Kind: info.Reading, Quantity: *q}
		}
	})
}

// SetSize gives the selected mark its length (width false) or width in mm.
func (v *Marks) SetSize(width bool, text string) error {
	p := v.Panel()
	if p == nil || (!width && p.Length == strings.TrimSpace(text)) || (width && p.Width == strings.TrimSpace(text)) {
		return nil
	}
	q, err := Quantity(text)
	if err != nil {
		return fmt.Errorf("set size: %w", err)
	}
	return v.edit("Size", func(m *record.Mark) {
		if width {
			m.Width = q
		} else {
			m.Length = q
		}
	})
}

// Quantity reads "3.1", "3,1 ± 0.2" or "3.1 +- 0.2"; nil for an empty text.
func Quantity(text string) (*record.Quantity, error) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "+-", "±"))
	if text == "" {
		return nil, nil
	}
	val, unc, _ := strings.Cut(text, "±")
	q := &record.Quantity{}
	var err error
	if q.Value, err = Number(val); err != nil {
		return nil, err
	}
	q.Uncertainty, err = Number(unc)
	return q, err
}

// Delete takes the selected mark away.
func (v *Marks) Delete() error { return v.onSelected(v.s.DeleteMark) }

// KindInfo is what the rubric says of the selected mark's kind.
func (v *Marks) KindInfo() (grade.KindInfo, bool) {
	if p := v.Panel(); p != nil {
		return v.s.Rubric().Kind(p.Kind)
	}
	return grade.KindInfo{}, false
}

func (v *Marks) edit(what string, f func(*record.Mark)) error {
	return v.onSelected(func(n int) error { return v.s.EditMark(n, what, f) })
}

func (v *Marks) onSelected(f func(int) error) error {
	n := v.s.Scene().Selected
	if n == 0 {
		return fmt.Errorf("no mark is selected")
	}
	return f(n)
}
