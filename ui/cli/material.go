package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"wornwood/annotate"
	"wornwood/annotate/caution"
	"wornwood/capture/bench"
	"wornwood/capture/record"
)

var materialVerb = &verb{name: "material", args: "BENCH [add NAME | set ID | remove ID] [options]",
	short: "list materials of legal weight with their cautions and what the entries name, or change the list", run: runMaterial}

type materialFlags struct {
	name, on, how, note *string
	docs, untie         []string
}

func (c *call) materialFlags() *materialFlags {
	fs := c.flags
	o := &materialFlags{
		name: fs.String("name", "", "`name`: "+strings.Join(caution.Names(), ", ")+", or another"),
		on:   fs.String("on", "", "`part` it is on, such as fingerboard"),
		how:  fs.String("how", "", "`word`: how it was judged: "+strings.Join(annotate.MaterialHow(), ", ")),
		note: fs.String("note", "", "`text`"),
	}
	fs.Func("document", "`attachment` that names it, by name or the beginning of its SHA-256; may be given again", func(t string) error {
		o.docs = append(o.docs, t)
		return nil
	})
	fs.Func("untie", "`attachment` to take off it; may be given again", func(t string) error {
		o.untie = append(o.untie, t)
		return nil
	})
	return o
}

func runMaterial(_ context.Context, c *call) error {
	exam := c.flags.String("exam", "", "`ID` of the examination; the only open one otherwise")
	asJSON := c.flags.Bool("json", false, "print materials, proposals and cautions as JSON")
	accept := c.flags.Bool("accept", false, "list everything that the entries name")
	o := c.materialFlags()
	if err := c.parse(1, 3); err != nil {
		return err
	}
	return c.withSession(c.args[0], *exam, func(_ *bench.Bench, _ *bench.Exam, s *annotate.Session) error {
		if len(c.args) == 1 {
			if *accept {
				if err := acceptAll(s); err != nil {
					return err
				}
			}
			return c.listMaterials(s, *asJSON)
		}
		what := c.args[1]
		if !slices.Contains([]string{"add", "set", "remove"}, what) || len(c.args) != 3 {
			return &usageError{"usage: wornwood material " + c.verb.args}
		}
		switch what {
		case "remove":
			return s.RemoveMaterial(c.args[2])
		case "add":
			m := record.Material{Name: c.args[2]}
			if err := o.fill(c, s, &m); err != nil {
				return err
			}
			id, err := s.AddMaterial(m)
			if err == nil {
				c.print("%s\n", id)
			}
			return err
		}
		m := s.Material(c.args[2])
		if m == nil {
			return fmt.Errorf("set material: none %q is listed; 'wornwood material BENCH' lists them", c.args[2])
		}
		if err := o.fill(c, s, m); err != nil {
			return err
		}
		return s.SetMaterial(m.ID, "Words", func(to *record.Material) { *to = *m })
	})
}

// fill gives a material what was said on the command line and leaves the rest.
func (o *materialFlags) fill(c *call, s *annotate.Session, m *record.Material) error {
	said := c.said()
	for name, p := range map[string]struct{ from, to *string }{"name": {o.name, &m.Name}, "on": {o.on, &m.On}, "how": {o.how, &m.How}, "note": {o.note, &m.Note}} {
		if said[name] {
			*p.to = *p.from
		}
	}
	var err error
	if m.Document, err = tiedTo(s, m.Document, o.docs, o.untie); err != nil {
		return err
	}
	if len(o.docs) > 0 && !said["how"] {
		m.How = "document"
	}
	return nil
}

func acceptAll(s *annotate.Session) error {
	for list := caution.Proposals(s.Scene().Record); len(list) > 0; list = caution.Proposals(s.Scene().Record) {
		if _, err := s.AddMaterial(list[0].As()); err != nil {
			return err
		}
	}
	return nil
}

// listedMaterials is what --json prints.
type listedMaterials struct {
	Materials []listedMaterial `json:"materials"`
	Proposals []proposal       `json:"proposals"` // named in entries and not listed
	Cautions  []string         `json:"cautions"`
}

type listedMaterial struct {
	record.Material
	Lacks string `json:"lacks,omitempty"`
}

type proposal struct {
	Name  string `json:"name"`
	On    string `json:"on,omitempty"`
	Where string `json:"where"`
}

func (c *call) listMaterials(s *annotate.Session, asJSON bool) error {
	rec := s.Scene().Record
	out := listedMaterials{Materials: []listedMaterial{}, Proposals: []proposal{}, Cautions: caution.Cautions(rec)}
	if out.Cautions == nil {
		out.Cautions = []string{}
	}
	for i := range rec.Materials {
		out.Materials = append(out.Materials, listedMaterial{rec.Materials[i], annotate.MaterialGap(rec, &rec.Materials[i])})
	}
	for _, p := range caution.Proposals(rec) {
		out.Proposals = append(out.Proposals, proposal{p.Material.Name, p.On, p.Where})
	}
	if asJSON {
		return c.printJSON(out)
	}
	for _, m := range out.Materials {
		line := fmt.Sprintf("%-8s %s%s", m.ID, m.Name, caution.Place(m.On))
		for _, w := range append([]string{m.How, m.Note}, c.fileNames(s, m.Document)...) {
			if w != "" {
				line += "; " + w
			}
		}
		if m.Lacks != "" {
			line += " (" + m.Lacks + ")"
		}
		c.print("%s\n", onOneLine(line))
	}
	for _, p := range caution.Proposals(rec) {
		c.print("named    %s\n", onOneLine(p.Sentence()))
	}
	for _, w := range out.Cautions {
		c.print("caution  %s\n", onOneLine(w))
	}
	return nil
}
