package circuit

import (
	"fmt"
	"slices"
	"strings"

	"wornwood/capture/record"
)

// FromRecord makes the chains of an examination's components: one for each
// passive pickup, from the neck to the bridge, and one for each two neighbours
// together. All controls stand at 10.
//
// Which control belongs to which pickup follows from the words of its place:
// "neck volume" and "tone, bridge" say it; "tone 1" and "tone 2" count from the
// neck; one that says neither serves all. Values come from the measurement, else
// from what is printed on the part, else from usage by type of pickup. The
// notes name every assumed value once, and what has no curve and why. A record
// without passive pickups gives no chain.
func FromRecord(rec *record.Record) (chains []Chain, notes []string) {
	b := &builder{class: rec.Instrument.Class}
	for i := range rec.Components {
		if c := &rec.Components[i]; c.State != record.Missing {
			b.take(c)
		}
	}
	b.order()
	if len(b.pickups) == 0 {
		if len(b.notes) == 0 {
			b.note("no passive pickup is listed, so there is no curve")
		}
		return nil, b.notes
	}
	b.strays()
	cable, load := b.outside(rec.Wiring)
	for _, set := range b.positions() {
		c := Chain{Cable: cable, Load: load}
		b.assumed = nil
		var names []string
		for _, i := range set {
			names = append(names, b.pickups[i].name)
			c.Sources = append(c.Sources, b.source(i))
		}
		c.Name = strings.Join(names, " and ")
		c.Shared = b.controls(everyPickup, b.typeOf(set[0]))
		c.Assumed = append(b.assumed, b.outsideAssumed...)
		b.notes = append(b.notes, c.Assumed...)
		if err := c.Check(); err != nil {
			b.note(fmt.Sprintf("%s: no curve: %v", c.Name, err))
			continue
		}
		chains = append(chains, c)
	}
	return chains, unique(b.notes)
}

// unique drops the second and later of equal sentences.
func unique(s []string) []string {
	var out []string
	for _, v := range s {
		if !slices.Contains(out, v) {
			out = append(out, v)
		}
	}
	return out
}

// builder sorts components by what they are.
type builder struct {
	class          string
	pickups        []found
	volumes, tones []found
	caps, bleeds   []found
	resistors      []found
	notes          []string
	assumed        []string // of the chain being made
	outsideAssumed []string
}

// found is a component with what its place says.
type found struct {
	*record.Component
	name string
	at   place
}

func (b *builder) note(s string) { b.notes = append(b.notes, s) }

// assume names a value that was not measured.
func (b *builder) assume(s string) {
	if !slices.Contains(b.assumed, s) {
		b.assumed = append(b.assumed, s)
	}
}

func (b *builder) take(c *record.Component) {
	f := found{Component: c, name: strings.TrimSpace(c.Place), at: placeOf(c.Place)}
	switch c.Kind {
	case record.PickupComponent:
		b.takePickup(f)
	case record.PotComponent:
		switch roleOf(c.Pot, f.at) {
		case "volume":
			b.volumes = append(b.volumes, f)
		case "tone":
			b.tones = append(b.tones, f)
		default:
			b.note(fmt.Sprintf("the potentiometer %q is neither volume nor tone and is left out of the curve", orKind(f.name, "without a place")))
		}
	case record.CapacitorComponent:
		switch {
		case c.Capacitor != nil && c.Capacitor.Role == "treble bleed", f.at.bleed:
			b.bleeds = append(b.bleeds, f)
		case c.Capacitor == nil || c.Capacitor.Role == "" || c.Capacitor.Role == "tone":
			b.caps = append(b.caps, f)
		default:
			b.note(fmt.Sprintf("the capacitor %q is neither of a tone control nor a treble bleed and is left out of the curve", orKind(f.name, "without a place")))
		}
	case record.ResistorComponent:
		if f.at.bleed {
			b.resistors = append(b.resistors, f)
		} else {
			b.note(fmt.Sprintf("the resistor %q is left out of the curve: only a treble bleed's is known how to place", orKind(f.name, "without a place")))
		}
	case record.PreampComponent:
		b.note("there is a preamplifier: the curves are those of the passive parts alone")
	}
}

func (b *builder) takePickup(f found) {
	name := orKind(f.name, "a")
	switch {
	case f.Pickup != nil && f.Pickup.Type != "" && f.Pickup.Type != record.SingleCoil && f.Pickup.Type != record.DoubleCoil:
		b.note(fmt.Sprintf("%s pickup: %s, so there is no curve: this is the circuit of a passive magnetic pickup", name, f.Pickup.Type))
	case f.Works == "dead":
		b.note(fmt.Sprintf("%s pickup: dead, so there is no curve", name))
	case len(b.pickups) == maxPickups:
		b.note(fmt.Sprintf("%s pickup: only the first %d pickups have curves", name, maxPickups))
	default:
		b.pickups = append(b.pickups, f)
	}
}

// maxPickups bounds the curves of one instrument.
const maxPickups = 12

// order puts the pickups from the neck to the bridge, and names those whose
// place says nothing or what another's says.
func (b *builder) order() {
	slices.SortStableFunc(b.pickups, func(x, y found) int { return x.at.rank() - y.at.rank() })
	used := map[string]int{}
	for i := range b.pickups {
		p := &b.pickups[i]
		if p.name == "" {
			p.name = fmt.Sprintf("pickup %d", i+1)
		}
		p.name = strings.TrimSpace(strings.TrimSuffix(strings.ToLower(p.name), " pickup"))
		if used[p.name]++; used[p.name] > 1 {
			p.name = fmt.Sprintf("%s (%d)", p.name, used[p.name])
		}
	}
}

// strays names the controls whose pickup is not there.
func (b *builder) strays() {
	for _, all := range [][]found{b.volumes, b.tones, b.bleeds} {
		for _, f := range all {
			if _, ok := b.owner(f, all); !ok {
				b.note(fmt.Sprintf("%q belongs to no pickup that has a curve and is left out", f.name))
			}
		}
	}
}

// positions are the pickups that are on together: each alone, then neighbours.
func (b *builder) positions() [][]int {
	var out [][]int
	for i := range b.pickups {
		out = append(out, []int{i})
	}
	for i := 1; i < len(b.pickups); i++ {
		out = append(out, []int{i - 1, i})
	}
	return out
}

func (b *builder) typeOf(i int) record.PickupType {
	if p := b.pickups[i].Pickup; p != nil && p.Type != "" {
		return p.Type
	}
	return usualType(b.class)
}

func orKind(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
