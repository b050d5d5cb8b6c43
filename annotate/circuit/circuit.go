// Package circuit computes what an instrument's pickups, potentiometers,
// capacitors and cable let through at each frequency, so that "dark" or "thin"
// has a curve behind it.
//
// Start with FromRecord, which makes the Chains of an examination's components
// and names every value it had to assume, or with a Chain of your own; then
// Chain.Response for the curve, Chain.Words for a sentence. Everything is
// linear and in SI units: ohms, henries, farads, hertz.
//
// A magnetic pickup is a voltage source in series with its resistance and its
// inductance, and its winding's capacitance across both: the usual equivalent
// circuit. It does not say what the strings, the place of the pickup under them
// or the loudspeaker do to the sound, nor what eddy currents in a cover or core
// take away unless Pickup.Loss says so. Active and piezo pickups and
// microphones have no such circuit and get no chain.
package circuit

import (
	"fmt"
	"math"
	"slices"
)

// Pickup is a magnetic pickup's equivalent circuit: a source, Resistance and
// Inductance in series, with Loss across the inductance and Capacitance across
// all.
type Pickup struct {
	Name        string  // "neck"
	Resistance  float64 // DC, ohms; more than 0
	Inductance  float64 // henries
	Capacitance float64 // of the winding, farads
	Loss        float64 // ohms of eddy currents across the inductance; 0 for none
}

// Bleed is a treble bleed: a capacitor from a volume control's hot end to its
// wiper, with a resistor across or in series with it.
type Bleed struct {
	Capacitance float64 // farads
	Resistance  float64 // ohms; 0 for none
	Series      bool    // the resistor is in series with the capacitor, not across it
}

// Tone is a potentiometer, wired as a variable resistor, in series with a
// capacitor to ground.
type Tone struct {
	Pot         Pot
	Capacitance float64 // farads
}

// Controls stand between one signal and the next. The zero value lets the
// signal through.
type Controls struct {
	Volume    *Pot // nil for none
	Bleed     *Bleed
	Tones     []Tone
	ToneAfter bool // the tones hang on the volume's wiper (the old wiring), not on its hot end
}

// Source is a pickup with the controls that are its own.
type Source struct {
	Pickup Pickup
	Controls
}

// Chain is a way through the electronics with one position of the switch: one
// pickup or several in parallel and in phase, then the shared controls, the
// cable and the amplifier's input.
type Chain struct {
	Name    string // "neck", "neck and bridge"
	Sources []Source
	Shared  Controls
	Cable   float64 // capacitance, farads
	Load    float64 // the amplifier's input resistance, ohms; 0 for none

	// Assumed names each value that was not measured: "neck pickup: inductance
	// not measured, 2.4 H assumed".
	Assumed []string
}

// MaxSources bounds the pickups of one chain.
const MaxSources = 8

// maxTones bounds the tone controls at one place.
const maxTones = 8

// Check says in a sentence what cannot be computed: a value that is no number,
// below 0 or above what any such component has, or a pickup without resistance.
func (c Chain) Check() error {
	if len(c.Sources) == 0 || len(c.Sources) > MaxSources {
		return fmt.Errorf("%d pickups at once: a circuit has 1 to %d", len(c.Sources), MaxSources)
	}
	if err := within("the cable's capacitance", c.Cable, 0, 1e-6, "F"); err != nil {
		return err
	}
	if err := within("the amplifier's input resistance", c.Load, 0, 1e12, "Ω"); err != nil {
		return err
	}
	for _, s := range c.Sources {
		p := s.Pickup
		for _, v := range []struct {
			what     string
			v, least float64
			most     float64
			unit     string
		}{
			{"resistance", p.Resistance, 1e-3, 1e9, "Ω"}, {"inductance", p.Inductance, 0, 1e3, "H"},
			{"capacitance", p.Capacitance, 0, 1e-6, "F"}, {"loss", p.Loss, 0, 1e12, "Ω"},
		} {
			if err := within("the "+p.Name+" pickup's "+v.what, v.v, v.least, v.most, v.unit); err != nil {
				return err
			}
		}
		if err := s.check("of the " + p.Name + " pickup"); err != nil {
			return err
		}
	}
	return c.Shared.check("shared by the pickups")
}

func (k *Controls) check(whose string) error {
	if len(k.Tones) > maxTones {
		return fmt.Errorf("%d tone controls %s: at most %d are computed", len(k.Tones), whose, maxTones)
	}
	if k.Volume != nil {
		if err := k.Volume.check("the volume control " + whose); err != nil {
			return err
		}
	}
	if b := k.Bleed; b != nil {
		if err := within("the treble bleed's capacitance", b.Capacitance, 0, 1e-3, "F"); err != nil {
			return err
		}
		if err := within("the treble bleed's resistance", b.Resistance, 0, 1e12, "Ω"); err != nil {
			return err
		}
	}
	for _, t := range k.Tones {
		if err := t.Pot.check("the tone control " + whose); err != nil {
			return err
		}
		if err := within("the tone capacitor", t.Capacitance, 0, 1e-3, "F"); err != nil {
			return err
		}
	}
	return nil
}

func within(what string, v, least, most float64, unit string) error {
	if math.IsNaN(v) || v < least || v > most {
		return fmt.Errorf("%s is %g %s; it is computed from %g to %g %s", what, v, unit, least, most, unit)
	}
	return nil
}

// At is the chain with every volume control at one setting and every tone
// control at another, 0 to 10; the chain itself is left as it was.
func (c Chain) At(volume, tone float64) Chain {
	c.Sources = slices.Clone(c.Sources)
	for i := range c.Sources {
		c.Sources[i].Controls = c.Sources[i].at(volume, tone)
	}
	c.Shared = c.Shared.at(volume, tone)
	return c
}

func (k Controls) at(volume, tone float64) Controls {
	if k.Volume != nil {
		v := *k.Volume
		v.Setting = volume
		k.Volume = &v
	}
	k.Tones = slices.Clone(k.Tones)
	for i := range k.Tones {
		k.Tones[i].Pot.Setting = tone
	}
	return k
}

// OldWiring is the chain with its tone controls on the wipers of the volume
// controls; the chain itself is left as it was. It makes no difference with the
// volume at 10.
func (c Chain) OldWiring() Chain {
	c.Sources = slices.Clone(c.Sources)
	for i := range c.Sources {
		c.Sources[i].ToneAfter = true
	}
	c.Shared.ToneAfter = true
	return c
}
