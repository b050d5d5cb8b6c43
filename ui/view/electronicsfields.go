package view

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

// ComponentField is one field of a component's form, for the window and, by its
// Key, for the command line.
type ComponentField struct {
	Key         string // option of the verb: "resistance"
	Label, Unit string
	Hint        string
	Choices     []string // nil: typed
	Lines       int      // 2 or more: a text of several lines
	Fast        bool     // Enter goes on to the next of these, then to the next component
	Get         func(c record.Component) string
	Put         func(c *record.Component, text string) error
}

// NotJudged is the choice that takes a state or an answer away again.
const NotJudged = "not judged"

// ComponentFields are the fields of a kind, in the order of the form.
func ComponentFields(kind record.ComponentKind) []ComponentField {
	out := []ComponentField{textField("place", "Place", placeHints[kind], func(c *record.Component) *string { return &c.Place })}
	switch kind {
	case record.PickupComponent:
		out = append(out, pickupFields()...)
	case record.PotComponent:
		out = append(out, potFields()...)
	case record.CapacitorComponent:
		out = append(out, capacitorFields()...)
	case record.ResistorComponent:
		out = append(out, resistorFields()...)
	case record.BatteryComponent:
		out = append(out, batteryFields()...)
	}
	code := textField("code", "Code on it", codeHints[kind], func(c *record.Component) *string { return &c.Code })
	code.Fast = kind == record.PotComponent || kind == record.CapacitorComponent || kind == record.ResistorComponent
	note := textField("note", "Note", "", func(c *record.Component) *string { return &c.Note })
	note.Lines = 2
	return append(out, code, worksField(), stateField(), note)
}

var placeHints = map[record.ComponentKind]string{
	record.PickupComponent: "neck, bridge …", record.PotComponent: "neck volume, tone 1 …", record.CapacitorComponent: "neck tone …",
	record.BatteryComponent: "cavity, box at the back …", record.SwitchComponent: "pickup, phase …", record.JackComponent: "output",
}

var codeHints = map[record.ComponentKind]string{
	record.PotComponent: "date code, as 137 7634", record.CapacitorComponent: "223K, 22n, .022", record.ResistorComponent: "4K7, or its colours",
}

func textField(key, label, hint string, at func(*record.Component) *string) ComponentField {
	return ComponentField{Key: key, Label: label, Hint: hint,
		Get: func(c record.Component) string { return *at(&c) },
		Put: func(c *record.Component, t string) error { *at(c) = strings.TrimSpace(t); return nil }}
}

func quantityField(key, label, unit string, at func(*record.Component) **record.Quantity) ComponentField {
	return ComponentField{Key: key, Label: label, Unit: unit,
		Get: func(c record.Component) string {
			if c = electronics.Whole(c); *at(&c) != nil {
				return electronics.Shown(*at(&c), unit)
			}
			return ""
		},
		Put: func(c *record.Component, t string) error {
			q, err := electronics.Typed(t, unit)
			if err != nil {
				return fmt.Errorf("set %s: %w", strings.ToLower(label), err)
			}
			*c = electronics.Whole(*c)
			if old := *at(c); q != nil && q.How == "" && old != nil && old.Value < electronics.Open {
				q.How = old.How
			}
			*at(c) = q
			return nil
		}}
}

func figureField(key, label, unit string, at func(*record.Component) *float64) ComponentField {
	return ComponentField{Key: key, Label: label, Unit: unit,
		Get: func(c record.Component) string { c = electronics.Whole(c); return electronics.ShownFigure(*at(&c)) },
		Put: func(c *record.Component, t string) error {
			v, err := electronics.Figure(t, unit)
			if err != nil {
				return fmt.Errorf("set %s: %w", strings.ToLower(label), err)
			}
			*c = electronics.Whole(*c)
			*at(c) = v
			return nil
		}}
}

func wholeField(key, label, unit string, at func(*record.Component) *int) ComponentField {
	return ComponentField{Key: key, Label: label, Unit: unit,
		Get: func(c record.Component) string {
			c = electronics.Whole(c)
			return electronics.ShownFigure(float64(*at(&c)))
		},
		Put: func(c *record.Component, t string) error {
			v, err := electronics.Figure(t, unit)
			if err != nil || v != float64(int(v)) || v > 1200 {
				return fmt.Errorf("set %s: %q is not a whole number", strings.ToLower(label), strings.TrimSpace(t))
			}
			*c = electronics.Whole(*c)
			*at(c) = int(v)
			return nil
		}}
}

// choiceField offers words; a word that begins with what was typed is taken
// from the command line too, so "log" is "logarithmic".
func choiceField(key, label string, choices []string, get func(*record.Component) string, put func(*record.Component, string)) ComponentField {
	return ComponentField{Key: key, Label: label, Choices: choices,
		Get: func(c record.Component) string { c = electronics.Whole(c); return get(&c) },
		Put: func(c *record.Component, t string) error {
			word, err := oneOf(t, choices)
			if err != nil {
				return fmt.Errorf("set %s: %w", strings.ToLower(label), err)
			}
			*c = electronics.Whole(*c)
			if word == NotJudged {
				word = ""
			}
			put(c, word)
			return nil
		}}
}

// oneOf finds the one choice that is meant: the word itself, else the only one
// that holds it; "" takes the answer away.
func oneOf(t string, choices []string) (string, error) {
	t = strings.ToLower(strings.TrimSpace(t))
	if t == "" {
		return "", nil
	}
	var found []string
	for _, c := range choices {
		if strings.ToLower(c) == t {
			return c, nil
		}
		if strings.Contains(" "+strings.ToLower(c), " "+t) {
			found = append(found, c)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	return "", fmt.Errorf("%q is none of the answers; they are: %s", t, strings.Join(choices, ", "))
}

func wordsOf[T ~string](list []T) []string {
	var out []string
	for _, v := range list {
		out = append(out, string(v))
	}
	return out
}

func worksField() ComponentField {
	return choiceField("works", "Works", append([]string{NotJudged}, record.WorksWords()...),
		func(c *record.Component) string { return c.Works }, func(c *record.Component, t string) { c.Works = t })
}

func stateField() ComponentField {
	return choiceField("state", "State", append([]string{NotJudged}, wordsOf(record.States())...),
		func(c *record.Component) string { return string(c.State) }, func(c *record.Component, t string) { c.State = record.State(t) })
}

// AllComponentKeys lists the keys of every kind's fields once, for the options
// of a verb; units and choices that differ from kind to kind stand together.
func AllComponentKeys() []ComponentField {
	var out []ComponentField
	for _, k := range record.ComponentKinds() {
		for _, f := range ComponentFields(k) {
			i := slices.IndexFunc(out, func(g ComponentField) bool { return g.Key == f.Key })
			if i < 0 {
				f.Choices = slices.Clone(f.Choices)
				out = append(out, f)
				continue
			}
			if !strings.Contains(out[i].Unit, f.Unit) {
				out[i].Unit += " or " + f.Unit
			}
			for _, c := range f.Choices {
				if !slices.Contains(out[i].Choices, c) {
					out[i].Choices = append(out[i].Choices, c)
				}
			}
		}
	}
	return out
}

func putWord(to *string, what, text string, choices []string) error {
	word, err := oneOf(text, append([]string{NotJudged}, choices...))
	if err != nil {
		return fmt.Errorf("set %s: %w", what, err)
	}
	if word == NotJudged {
		word = ""
	}
	*to = word
	return nil
}

func putFigure(to *float64, what, text, unit string) error {
	v, err := electronics.Figure(text, unit)
	if err != nil {
		return fmt.Errorf("set %s: %w", what, err)
	}
	*to = v
	return nil
}
