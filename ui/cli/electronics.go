package cli

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/electronics"
	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

var electronicsVerb = &verb{name: "electronics", args: "BENCH [add KIND|set ID|remove ID|usual|wiring] [--resistance 7.2 ...] [--exam ID] | --decode CODE",
	short: "list pickups, controls, wiring and batteries with what deserves a look, or change them", run: runElectronics}

// electronicsFlags are the options of the verb: one for each field of a
// component and of the wiring, under the same keys as the forms.
type electronicsFlags struct {
	fields map[string]*string
	photos []string
	files  []string
}

func runElectronics(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print components, wiring and findings as JSON")
	decode := c.flags.String("decode", "", "read a `code` of a capacitor or resistor, or colour bands, and stop: 4K7, 223K, \"yellow violet red gold\"")
	volume := c.flags.Float64("volume", 10, "`place` of the volume controls, 0 to 10, for the response that the list ends with")
	tone := c.flags.Float64("tone", 10, "`place` of the tone controls, 0 to 10")
	netlist := c.flags.String("netlist", "", "print the `circuit` of a position of the switch, \"neck\" or \"neck and bridge\", as a SPICE netlist")
	f := c.electronicsFlags()
	if err := c.parse(0, 3); err != nil {
		return err
	}
	if *decode != "" {
		return c.decode(*decode, *asJSON)
	}
	if len(c.args) == 0 {
		return &usageError{"usage: wornwood electronics " + c.verb.args}
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		if *netlist != "" {
			return c.printNetlist(s.Scene().Record, *netlist)
		}
		if len(c.args) == 1 {
			return c.listElectronics(s, *asJSON, *volume, *tone)
		}
		return c.changeElectronics(s, f)
	})
}

func (c *call) electronicsFlags() *electronicsFlags {
	f := &electronicsFlags{fields: map[string]*string{}}
	for _, k := range view.AllComponentKeys() {
		f.fields[k.Key] = c.flags.String(k.Key, "", usageOf(k.Label, k.Unit, k.Choices))
	}
	for _, k := range view.WiringFields() {
		if f.fields[k.Key] == nil {
			f.fields[k.Key] = c.flags.String(k.Key, "", "wiring: "+usageOf(k.Label, k.Unit, k.Choices))
		}
	}
	c.flags.Func("photo", "`photo` that shows it, by name or the beginning of its ID; may be given again", func(t string) error {
		f.photos = append(f.photos, t)
		return nil
	})
	c.flags.Func("file", "`photo or drawing` of the wiring, by name or the beginning of its ID; may be given again", func(t string) error {
		f.files = append(f.files, t)
		return nil
	})
	return f
}

func usageOf(label, unit string, choices []string) string {
	s := "`value`: " + strings.ToLower(label)
	if unit != "" {
		s += " in " + unit
	}
	if len(choices) > 0 {
		s += ", one of " + strings.Join(choices, ", ")
	}
	return s
}

// given are the field options that stand on the command line.
func (c *call) given(f *electronicsFlags) map[string]string {
	out := map[string]string{}
	c.flags.Visit(func(fl *flag.Flag) {
		if v, ok := f.fields[fl.Name]; ok {
			out[fl.Name] = *v
		}
	})
	return out
}

func (c *call) changeElectronics(s *annotate.Session, f *electronicsFlags) error {
	what, arg := c.args[1], ""
	if len(c.args) == 3 {
		arg = c.args[2]
	}
	needs := map[string]string{"add": "a kind", "set": "the ID of a component", "remove": "the ID of a component"}
	if (needs[what] != "") != (arg != "") {
		return &usageError{fmt.Sprintf("'electronics BENCH %s' takes %s", what, firstWord(needs[what], "nothing more"))}
	}
	switch what {
	case "add":
		return c.addComponent(s, arg, f)
	case "set":
		return c.setComponent(s, arg, f)
	case "remove":
		return s.RemoveComponent(arg)
	case "usual":
		_, set := electronics.UsualSet(s.Scene().Record.Instrument.Class)
		ids, err := s.AddComponents("Add the usual components", set)
		if err == nil {
			c.print("%s\n", strings.Join(ids, " "))
		}
		return err
	case "wiring":
		return c.setWiring(s, f)
	}
	return &usageError{fmt.Sprintf("there is no %q of the electronics; it is add, set, remove, usual or wiring", what)}
}

func firstWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// kindOf reads a kind of component as people write one: its name, the
// beginning of it, or a short word.
func kindOf(word string) (record.ComponentKind, error) {
	short := map[string]record.ComponentKind{"pot": record.PotComponent, "cap": record.CapacitorComponent, "preamp": record.PreampComponent}
	w := strings.ToLower(word)
	if k, ok := short[w]; ok {
		return k, nil
	}
	var names []string
	for _, k := range record.ComponentKinds() {
		if string(k) == w {
			return k, nil
		}
		names = append(names, string(k))
	}
	return "", &usageError{fmt.Sprintf("there is no kind of component %q; the kinds are %s", word, strings.Join(names, ", "))}
}

func (c *call) addComponent(s *annotate.Session, kind string, f *electronicsFlags) error {
	k, err := kindOf(kind)
	if err != nil {
		return err
	}
	comp := electronics.New(k)
	if err := c.fill(s, &comp, f); err != nil {
		return err
	}
	id, err := s.AddComponent(comp)
	if err == nil {
		c.print("%s\n", id)
	}
	return err
}

func (c *call) setComponent(s *annotate.Session, id string, f *electronicsFlags) error {
	comp, ok := s.Component(id)
	if !ok {
		return fmt.Errorf("set component: no component %q is listed; 'wornwood electronics BENCH' lists them", id)
	}
	if err := c.fill(s, &comp, f); err != nil {
		return err
	}
	return s.SetComponent(id, "Values", func(to *record.Component) { *to = comp })
}

// fill puts the given options into a component. One that its kind does not have
// is refused.
func (c *call) fill(s *annotate.Session, comp *record.Component, f *electronicsFlags) error {
	given := c.given(f)
	for _, field := range view.ComponentFields(comp.Kind) {
		t, ok := given[field.Key]
		if !ok {
			continue
		}
		delete(given, field.Key)
		if err := field.Put(comp, t); err != nil {
			return err
		}
	}
	for key := range given {
		return &usageError{fmt.Sprintf("a %s has no --%s", comp.Kind, key)}
	}
	if len(f.files) > 0 {
		return &usageError{"--file is of the wiring; a component takes --photo"}
	}
	for _, name := range f.photos {
		p, err := findPhoto(s, name)
		if err != nil {
			return err
		}
		comp.Photos = append(comp.Photos, p.ID)
	}
	return nil
}

func (c *call) setWiring(s *annotate.Session, f *electronicsFlags) error {
	var w record.Wiring
	if old := s.Scene().Record.Wiring; old != nil {
		w = *old
		w.Files = append([]string(nil), old.Files...)
	}
	given := c.given(f)
	for _, field := range view.WiringFields() {
		if t, ok := given[field.Key]; ok {
			delete(given, field.Key)
			if err := field.Put(&w, t); err != nil {
				return err
			}
		}
	}
	for key := range given {
		return &usageError{fmt.Sprintf("the wiring has no --%s", key)}
	}
	if len(f.photos) > 0 {
		return &usageError{"the wiring takes --file, for photos and drawings alike"}
	}
	for _, name := range f.files {
		id, err := findFile(s, name)
		if err != nil {
			return err
		}
		w.Files = append(w.Files, id)
	}
	return s.SetWiring("Values", func(to *record.Wiring) { *to = w })
}

// findFile finds a photo or an attachment by its name or the beginning of its
// ID.
func findFile(s *annotate.Session, name string) (string, error) {
	for _, a := range s.Scene().Record.Attachments {
		if a.Name == name || (len(name) >= 6 && strings.HasPrefix(a.ID, name)) {
			return a.ID, nil
		}
	}
	p, err := findPhoto(s, name)
	if err != nil {
		return "", err
	}
	return p.ID, nil
}
