package view

import (
	"slices"
	"strings"

	"wornwood/annotate/electronics"
	"wornwood/capture/record"
)

// FileChoice is a photo or an attached drawing that something can be tied to.
type FileChoice struct{ ID, Name string }

// PhotoName is what a photo is called in a list: its view or caption, and its
// file.
func PhotoName(p record.Photo) string {
	return join(" · ", Capital(firstOf(p.View, p.Caption)), p.Name)
}

func firstOf(s ...string) string {
	for _, x := range s {
		if x != "" {
			return x
		}
	}
	return ""
}

// Tied are the photos of the chosen component; a photo that was taken out of
// the examination is left out.
func (v *Electronics) Tied() []FileChoice {
	c := v.Chosen()
	if c == nil {
		return nil
	}
	return v.files(c.Photos, false)
}

// Tieable are the photos that the chosen component is not tied to.
func (v *Electronics) Tieable() []FileChoice {
	c := v.Chosen()
	if c == nil {
		return nil
	}
	return v.others(c.Photos, false)
}

// files names those of the IDs that the examination has.
func (v *Electronics) files(ids []string, attachments bool) []FileChoice {
	var out []FileChoice
	for _, f := range v.others(nil, attachments) {
		if slices.Contains(ids, f.ID) {
			out = append(out, f)
		}
	}
	return out
}

// others lists photos, and drawings and documents where asked for, that are
// not among the IDs.
func (v *Electronics) others(ids []string, attachments bool) []FileChoice {
	rec := v.s.Scene().Record
	var out []FileChoice
	for _, p := range rec.Photos {
		if !slices.Contains(ids, p.ID) {
			out = append(out, FileChoice{p.ID, PhotoName(p)})
		}
	}
	for _, a := range rec.Attachments {
		if attachments && (a.Kind == "drawing" || a.Kind == "document") && !slices.Contains(ids, a.ID) {
			out = append(out, FileChoice{a.ID, join(" · ", Capital(firstOf(a.About, a.Kind)), a.Name)})
		}
	}
	return out
}

// Tie ties the chosen component to a photo; Untie undoes it.
func (v *Electronics) Tie(photo string) error {
	return v.s.SetComponent(v.Selected, "Photo", func(c *record.Component) {
		if !slices.Contains(c.Photos, photo) {
			c.Photos = append(c.Photos, photo)
		}
	})
}

// Untie takes a photo off the chosen component.
func (v *Electronics) Untie(photo string) error {
	return v.s.SetComponent(v.Selected, "Photo", func(c *record.Component) {
		c.Photos = slices.DeleteFunc(c.Photos, func(id string) bool { return id == photo })
	})
}

func (v *Electronics) wiring() record.Wiring {
	if w := v.s.Scene().Record.Wiring; w != nil {
		return *w
	}
	return record.Wiring{}
}

// WiringFields are the fields of what was seen of the wiring.
func WiringFields() []WiringField { return slices.Clone(wiringFields) }

// WiringField is one field of the wiring, for window and verb.
type WiringField struct {
	Key, Label, Unit, Hint string
	Choices                []string
	Lines                  int
	Get                    func(w record.Wiring) string
	Put                    func(w *record.Wiring, text string) error
}

var wiringFields = []WiringField{
	{Key: "seen", Label: "Wiring", Choices: append([]string{NotJudged}, record.SignAnswers()...),
		Get: func(w record.Wiring) string { return w.Seen },
		Put: func(w *record.Wiring, t string) error { return putWord(&w.Seen, "seen", t, record.SignAnswers()) }},
	{Key: "state", Label: "State", Choices: append([]string{NotJudged}, wordsOf(record.States())...),
		Get: func(w record.Wiring) string { return string(w.State) },
		Put: func(w *record.Wiring, t string) error {
			s := string(w.State)
			err := putWord(&s, "state", t, wordsOf(record.States()))
			w.State = record.State(s)
			return err
		}},
	{Key: "solder", Label: "Solder", Hint: "dull and undisturbed, re-flowed at two lugs …",
		Get: func(w record.Wiring) string { return w.Solder },
		Put: func(w *record.Wiring, t string) error { w.Solder = strings.TrimSpace(t); return nil }},
	{Key: "cable", Label: "Cable", Unit: "pF", Hint: "usual: 500",
		Get: func(w record.Wiring) string { return electronics.ShownFigure(w.CableCapacitance) },
		Put: func(w *record.Wiring, t string) error { return putFigure(&w.CableCapacitance, "cable", t, "pF") }},
	{Key: "load", Label: "Amplifier's input", Unit: "kΩ", Hint: "usual: 1000",
		Get: func(w record.Wiring) string { return electronics.ShownFigure(w.Load) },
		Put: func(w *record.Wiring, t string) error { return putFigure(&w.Load, "load", t, "kΩ") }},
	{Key: "note", Label: "Note", Lines: 2,
		Get: func(w record.Wiring) string { return w.Note },
		Put: func(w *record.Wiring, t string) error { w.Note = strings.TrimSpace(t); return nil }},
}

// PutWiring enters a text into a field of the wiring.
func (v *Electronics) PutWiring(f WiringField, text string) error {
	w := v.wiring()
	old := f.Get(w)
	if text = strings.TrimSpace(text); text == old {
		return nil
	}
	if err := f.Put(&w, text); err != nil {
		return err
	}
	if f.Get(w) == old {
		return nil
	}
	return v.s.SetWiring(f.Label, func(to *record.Wiring) { files := to.Files; *to = w; to.Files = files })
}

// Wired is a field's text now.
func (v *Electronics) Wired(f WiringField) string { return f.Get(v.wiring()) }

// WiringFiles are the photos and drawings of the wiring, and WiringTieable
// those that could be.
func (v *Electronics) WiringFiles() []FileChoice   { return v.files(v.wiring().Files, true) }
func (v *Electronics) WiringTieable() []FileChoice { return v.others(v.wiring().Files, true) }

// TieWiring adds a photo or a drawing to the wiring; UntieWiring takes it away.
func (v *Electronics) TieWiring(id string) error {
	return v.s.SetWiring("File", func(w *record.Wiring) {
		if !slices.Contains(w.Files, id) {
			w.Files = append(w.Files, id)
		}
	})
}

// UntieWiring takes a photo or a drawing off the wiring.
func (v *Electronics) UntieWiring(id string) error {
	return v.s.SetWiring("File", func(w *record.Wiring) {
		w.Files = slices.DeleteFunc(w.Files, func(f string) bool { return f == id })
	})
}
