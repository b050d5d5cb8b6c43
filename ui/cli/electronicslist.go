package cli

import (
	"fmt"
	"strings"
	"time"

	"wornwood/annotate"
	"wornwood/annotate/electronics"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

// listed is what --json prints.
type listed struct {
	Components []listedComponent     `json:"components"`
	Wiring     *record.Wiring        `json:"wiring,omitempty"`
	Findings   []electronics.Finding `json:"findings"`
	Missing    []string              `json:"missing,omitempty"`
}

type listedComponent struct {
	record.Component
	At20 *record.Quantity `json:"at20,omitempty"` // kilohms
	Due  string           `json:"due,omitempty"`  // next change of a battery, 2006-01-02
}

func (c *call) listElectronics(s *annotate.Session, asJSON bool, volume, tone float64) error {
	rec := s.Scene().Record
	if !(volume >= 0 && volume <= 10 && tone >= 0 && tone <= 10) {
		return &usageError{"--volume and --tone stand from 0 to 10"}
	}
	if asJSON {
		return c.printJSON(listOf(rec))
	}
	v := view.NewElectronics(s)
	for _, r := range v.Rows() {
		l := r.Line
		comp, _ := s.Component(r.ID)
		parts := []string{}
		for _, p := range []string{l.What, l.MeasuredAt(), after(l.At20, " at 20 °C"), before("code ", l.Code), l.Works, l.State, electronics.MoreOf(comp), comp.Note} {
			if p != "" {
				parts = append(parts, p)
			}
		}
		c.print("%-11s %s\n", r.ID, strings.TrimSuffix(r.Name+": "+strings.Join(parts, "; "), ": "))
	}
	if w := rec.Wiring; w != nil {
		for _, f := range view.WiringFields() {
			if t := f.Get(*w); t != "" {
				c.print("wiring      %s: %s\n", f.Key, t)
			}
		}
		for _, f := range v.WiringFiles() {
			c.print("wiring      file: %s\n", f.Name)
		}
	}
	for _, f := range v.Findings() {
		c.print("%-11s %s. %s.\n", view.SeverityWord(f.Severity), view.Capital(f.Text), f.Why)
	}
	for _, m := range electronics.Missing(rec) {
		c.print("missing     %s\n", m)
	}
	r := view.NewResponse(s)
	r.Volume, r.Tone = volume, tone
	for i, name := range r.Names() {
		r.Chain = i
		at := ""
		if r.Volume != 10 || r.Tone != 10 {
			at = ", " + r.Curves()[0].Name
		}
		c.print("response    %s: %s%s\n", name, strings.TrimSuffix(r.Words(), "."), at)
	}
	return nil
}

func listOf(rec *record.Record) listed {
	out := listed{Components: []listedComponent{}, Wiring: rec.Wiring, Findings: electronics.Check(rec, time.Time{}), Missing: electronics.Missing(rec)}
	if out.Findings == nil {
		out.Findings = []electronics.Finding{}
	}
	for _, comp := range electronics.Sorted(rec.Components) {
		l := listedComponent{Component: comp}
		if q, ok := electronics.PickupAt20(comp.Pickup); ok {
			l.At20 = &q
		}
		if comp.Battery != nil {
			if due, ok := electronics.BatteryDue(*comp.Battery); ok {
				l.Due = due.Format(time.DateOnly)
			}
		}
		out.Components = append(out.Components, l)
	}
	return out
}

func after(s, unit string) string {
	if s == "" {
		return ""
	}
	return s + unit
}

func before(word, s string) string {
	if s == "" {
		return ""
	}
	return word + s
}

// decode reads one code in every way it can be read, and says how else each
// value is written.
func (c *call) decode(code string, asJSON bool) error {
	all, err := electronics.Decode(code)
	if err != nil {
		return fmt.Errorf("decode: %w", err)
	}
	if asJSON {
		return c.printJSON(all)
	}
	for _, r := range all {
		c.printReading(r)
	}
	return nil
}

func (c *call) printReading(r electronics.Reading) {
	what, write := "resistor", electronics.Ohms
	if r.Farads {
		what, write = "capacitor", electronics.Farads
	}
	c.print("%s: %s (%s)\n", what, r, r.By)
	if l, err := r.Letters(); err == nil {
		c.print("  letters and digits: %s\n", l)
	}
	if d, err := r.Digits(); err == nil {
		c.print("  three digits: %s\n", d)
	}
	for n := 3; n <= 5; n++ { // the fewest that hold it, with its tolerance where one was given
		if b, err := r.ColourBands(n); err == nil && (n > 3 || !r.Tolerance.Given()) {
			c.print("  colour bands: %s\n", strings.Join(b, " "))
			break
		}
	}
	if near, off := electronics.E24.Nearest(r.Nominal); off > 0.005 || off < -0.005 {
		c.print("  not a preferred value; the nearest of E24 is %s\n", write(near))
	}
}
