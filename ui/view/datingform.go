package view

import (
	"fmt"
	"strconv"
	"strings"

	"wornwood/annotate/dating"
	"wornwood/capture/record"
)

// Fields is the form of the selected piece, in order; nil when none of the
// examiner's list is selected. Only what the kind needs is asked.
func (v *Dating) Fields() []Field {
	e := v.evidence()
	if e == nil {
		return nil
	}
	var kinds, bounds []string
	for _, k := range record.EvidenceKinds() {
		kinds = append(kinds, string(k))
	}
	for _, b := range record.Bounds() {
		bounds = append(bounds, string(b))
	}
	f := []Field{
		v.choice("Kind", kinds, func(e *record.Evidence) string { return string(e.Kind) }, func(e *record.Evidence, t string) {
			if e.Kind != record.EvidenceKind(t) {
				e.Kind, e.Bound = record.EvidenceKind(t), ""
			}
		}),
		v.free("What", whatHint(e.Kind), 1, func(e *record.Evidence) *string { return &e.What }),
	}
	if e.Kind == record.CodeEvidence || e.Kind == record.SerialEvidence || e.Code != "" {
		f = append(f, v.free("Code", "as read", 1, func(e *record.Evidence) *string { return &e.Code }))
	}
	f = append(f, v.choice("Allows years", bounds, func(e *record.Evidence) string { return string(boundOf(e)) },
		func(e *record.Evidence, t string) { e.Bound = record.Bound(t) }))
	return append(append(f, v.years(e)...),
		v.free("Source", "who says so, which book, which paper", 1, func(e *record.Evidence) *string { return &e.Source }),
		v.free("Note", "", 2, func(e *record.Evidence) *string { return &e.Note }),
		v.free("Set aside, because", "empty: it counts", 1, func(e *record.Evidence) *string { return &e.SetAside }),
	)
}

func boundOf(e *record.Evidence) record.Bound {
	if e.Bound == "" {
		return dating.UsualBound(e)
	}
	return e.Bound
}

// years are the fields of the years: one where the bound asks for one, else the
// first and the last.
func (v *Dating) years(e *record.Evidence) []Field {
	from, to := func(e *record.Evidence) *int { return &e.From }, func(e *record.Evidence) *int { return &e.To }
	switch {
	case e.Kind == record.CodeEvidence && e.Code != "":
		return []Field{v.year("Not before", "if its decade is known", from, nil), v.year("Not after", "if its decade is known", to, nil)}
	case e.Bound == record.InOrAfter:
		return []Field{v.year("Year", "", from, to)}
	case e.Bound == record.InOrBefore:
		return []Field{v.year("Year", "", to, from)}
	}
	return []Field{v.year("From", "open", from, nil), v.year("To", "open", to, nil)}
}

func whatHint(k record.EvidenceKind) string {
	switch k {
	case record.CodeEvidence:
		return "rhythm potentiometer"
	case record.SerialEvidence:
		return "serial number on the neck plate"
	case record.FeatureEvidence:
		return "three-ply guard"
	case record.DocumentEvidence:
		return "receipt"
	case record.InscribedDate:
		return "pencilled date in the neck pocket"
	}
	return ""
}

// set changes the selected piece.
func (v *Dating) set(what string, edit func(*record.Evidence)) error {
	e := v.evidence()
	if e == nil {
		return fmt.Errorf("set %s: no piece of the list is selected any more", strings.ToLower(what))
	}
	return v.s.SetEvidence(e.ID, what, edit)
}

func (v *Dating) get(at func(*record.Evidence) string) string {
	if e := v.evidence(); e != nil {
		return at(e)
	}
	return ""
}

func (v *Dating) choice(label string, choices []string, get func(*record.Evidence) string, set func(*record.Evidence, string)) Field {
	return Field{Label: label, Choices: choices,
		Get: func() string { return v.get(get) },
		Set: func(t string) error { return v.set(label, func(e *record.Evidence) { set(e, t) }) }}
}

func (v *Dating) free(label, hint string, lines int, at func(*record.Evidence) *string) Field {
	return Field{Label: label, Hint: hint, Lines: lines,
		Get: func() string { return v.get(func(e *record.Evidence) string { return *at(e) }) },
		Set: func(t string) error {
			return v.set(label, func(e *record.Evidence) { *at(e) = strings.TrimSpace(t) })
		}}
}

// year is the field of one year; other, where it is given, is cleared with it.
func (v *Dating) year(label, hint string, at, other func(*record.Evidence) *int) Field {
	return Field{Label: label, Unit: "year", Hint: hint,
		Get: func() string { return v.get(func(e *record.Evidence) string { return yearWords(*at(e)) }) },
		Set: func(t string) error {
			y, err := Year(t)
			if err != nil {
				return fmt.Errorf("set %s: %w", strings.ToLower(label), err)
			}
			return v.set("Years", func(e *record.Evidence) {
				if other != nil {
					*other(e) = 0
				}
				*at(e) = y
			})
		}}
}

func yearWords(y int) string {
	if y == 0 {
		return ""
	}
	return strconv.Itoa(y)
}

// Year reads a year of four digits, "" for 0.
func Year(t string) (int, error) {
	if t = strings.TrimSpace(t); t == "" {
		return 0, nil
	}
	y, err := strconv.Atoi(t)
	if err != nil || y < 1000 || y > 9999 {
		return 0, fmt.Errorf("%q is not a year of four digits, such as 1974", t)
	}
	return y, nil
}

// Usual says what the selected piece would allow by its kind alone, for the
// line under the choice.
func (v *Dating) Usual() string {
	e := v.evidence()
	if e == nil {
		return ""
	}
	switch dating.UsualBound(e) {
	case record.InOrAfter:
		return "usual: in or after, since the part may have lain in stock"
	case record.InOrBefore:
		return "usual: in or before, since the instrument was there by then"
	}
	return "usual: within these years"
}
