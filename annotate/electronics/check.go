package electronics

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"wornwood/capture/record"
)

// Severity says how much a finding weighs.
type Severity string

// The severities, from the lightest.
const (
	Note  Severity = "note"  // worth knowing
	Look  Severity = "look"  // deserves a second look; there may be a good reason
	Wrong Severity = "wrong" // does not work, or cannot be as it is written or said
)

// Severities lists them, the heaviest first, as a list of findings is sorted.
func Severities() []Severity { return []Severity{Wrong, Look, Note} }

// Finding is one thing that deserves attention.
type Finding struct {
	Component string   `json:"component,omitempty"` // Component.ID; "" for the electronics as a whole
	Severity  Severity `json:"severity"`
	Text      string   `json:"text"` // what, in a sentence without a full stop
	Why       string   `json:"why"`  // the reason, in a sentence without a full stop
}

// Check looks over the electronics of a record and lists what deserves
// attention, the heaviest first, else in the order of Sorted. today is the day
// against which batteries are judged; the zero day takes the examination's, so
// that a report says the same whenever it is made.
func Check(rec *record.Record, today time.Time) []Finding {
	if today.IsZero() {
		today = rec.Examination.Date
	}
	k := &checker{rec: rec, today: today, all: Sorted(rec.Components)}
	for _, c := range k.all {
		k.now = c.ID
		k.component(c)
	}
	k.now = ""
	k.whole()
	rank := func(f Finding) int { return slices.Index(Severities(), f.Severity) }
	slices.SortStableFunc(k.found, func(a, b Finding) int { return rank(a) - rank(b) })
	return k.found
}

// checker collects findings about one record.
type checker struct {
	rec   *record.Record
	today time.Time
	all   []record.Component
	now   string // component being looked at
	found []Finding
}

func (k *checker) add(s Severity, text, why string) {
	k.found = append(k.found, Finding{k.now, s, text, why})
}

func (k *checker) component(c record.Component) {
	k.works(c)
	switch c.Kind {
	case record.PickupComponent:
		if c.Pickup != nil {
			k.pickup(c, *c.Pickup)
		}
	case record.PotComponent:
		if c.Pot != nil {
			k.pot(c, *c.Pot)
		}
		k.dateCode(c)
	case record.SpeakerComponent:
		k.dateCode(c)
	case record.CapacitorComponent:
		k.capacitor(c)
	case record.ResistorComponent:
		k.resistor(c)
	case record.BatteryComponent:
		if c.Battery != nil {
			k.battery(*c.Battery)
		}
	}
}

// works says what follows from how a component works.
func (k *checker) works(c record.Component) {
	switch c.Works {
	case "dead":
		k.add(Wrong, Name(c)+": dead", "It gave nothing when it was tried; look for a broken joint before the part itself is called dead")
	case "at times":
		k.add(Look, Name(c)+": works at times", "A loose joint, a worn contact or a break in a wire makes it come and go")
	case "scratchy":
		k.add(Note, Name(c)+": scratchy", "Dirt or wear on a contact or track crackles when it is moved; cleaning often helps, a worn track comes back")
	}
	if c.State == record.Missing {
		k.add(Wrong, Name(c)+": missing", "It was fitted once and is not there now")
	}
}

// Sorted lists components by kind in the order of a form, those of a kind by
// the number in their identity. The order in a record says nothing, because an
// undone removal puts a component last.
func Sorted(list []record.Component) []record.Component {
	out := slices.Clone(list)
	kinds := record.ComponentKinds()
	slices.SortStableFunc(out, func(a, b record.Component) int {
		if d := slices.Index(kinds, a.Kind) - slices.Index(kinds, b.Kind); d != 0 {
			return d
		}
		if d := number(a.ID) - number(b.ID); d != 0 {
			return d
		}
		return strings.Compare(a.ID, b.ID)
	})
	return out
}

// number is the figure at the end of an identity, 0 for none.
func number(id string) int {
	n, _ := strconv.Atoi(id[strings.LastIndex(id, "-")+1:])
	return n
}

// AboutComponent are the findings about one component.
func AboutComponent(all []Finding, id string) []Finding {
	var out []Finding
	for _, f := range all {
		if f.Component == id {
			out = append(out, f)
		}
	}
	return out
}

// powered tells whether anything here needs a battery, and wound, piezo and
// active which pickups there are.
func (k *checker) pickups() (single, double, active, piezo, powered bool) {
	for _, c := range k.all {
		if c.Kind == record.PreampComponent && c.State != record.Missing {
			powered = true
		}
		if c.Kind != record.PickupComponent || c.Pickup == nil {
			continue
		}
		switch c.Pickup.Type {
		case record.SingleCoil:
			single = true
		case record.DoubleCoil:
			double = true
		case record.Active:
			active, powered = true, true
		case record.Piezo:
			piezo = true
		}
	}
	return
}

// whole looks at what no single component shows.
func (k *checker) whole() {
	single, double, active, _, powered := k.pickups()
	battery := slices.ContainsFunc(k.all, func(c record.Component) bool { return c.Kind == record.BatteryComponent })
	switch {
	case powered && !battery:
		k.add(Look, "no battery is listed, but something here needs one",
			"Active pickups and preamplifiers are silent or distort without one; list it, or say in a note what feeds them")
	case battery && !powered && len(k.all) > 1:
		k.add(Note, "a battery is listed, but nothing that it feeds", "Say which pickup is active, or list the preamplifier")
	}
	if active && (single || double) {
		k.add(Note, "active and passive pickups are mixed", "They want controls of different values, about 25 kΩ and 250 to 500 kΩ; one of the two kinds has a compromise (common practice)")
	}
	k.temperatures()
	k.oneBatch()
	if w := k.rec.Wiring; w != nil && w.Seen == "not opened" && (w.Solder != "" || w.State != "") {
		k.add(Wrong, "the wiring was not opened, yet its state or solder is described", "One of the two entries is a slip")
	}
	if w := k.rec.Wiring; w != nil && w.State == record.Altered {
		k.add(Look, "the wiring was altered", "The tone and the worth follow from what was changed; say in the note which joints are not of the first making")
	}
}

// temperatures notes once that resistances were read without a temperature.
func (k *checker) temperatures() {
	n := 0
	for _, c := range k.all {
		if p := c.Pickup; p != nil && Wound(p.Type) && p.Resistance != nil && p.Resistance.Value < Open && p.Ambient == nil {
			n++
		}
	}
	if n > 0 {
		k.add(Note, count(n, "resistance was", "resistances were")+" read without a temperature",
			"Copper changes by 0.4 % a degree, so ten degrees look like another winding when it is measured again")
	}
}
