package circuit

import (
	"fmt"
	"strings"
)

// Netlist is the chain as a netlist in the SPICE form, with an analysis of 20
// frequencies to the decade from 20 Hz to 20 kHz, so that any circuit simulator
// of that family can check the curve. Its output node is "out" and its level in
// dB is what Response gives. A chain that Check refuses has none: "".
func (c Chain) Netlist() string {
	if c.Check() != nil {
		return ""
	}
	n := &netlist{}
	fmt.Fprintf(n, "%s\n", "* "+strings.Join(strings.Fields(c.Name+" pickup, cable and amplifier"), " "))
	joined := "join"
	if c.Shared.Volume == nil {
		joined = "out"
	}
	for i := range c.Sources {
		src, hot := &c.Sources[i], joined
		if src.Volume != nil {
			hot = fmt.Sprintf("hot%d", i+1)
		}
		n.pickup(i+1, &src.Pickup, hot)
		n.controls(&src.Controls, hot, joined)
	}
	n.controls(&c.Shared, joined, "out")
	n.part("C", "out", "0", c.Cable)
	if c.Load > 0 {
		n.part("R", "out", "0", c.Load)
	}
	n.WriteString(".options nopage numdgt=7\n.ac dec 20 20 20k\n.print ac vdb(out)\n.end\n")
	return n.String()
}

type netlist struct {
	strings.Builder
	parts int
}

// part writes one component between two nodes; a capacitor or coil of nothing
// is left out or bridged.
func (n *netlist) part(letter, a, b string, v float64) {
	if v == 0 && letter == "C" {
		return
	}
	if v == 0 {
		letter, v = "V", 0 // a source of nothing is a piece of wire
	}
	n.parts++
	fmt.Fprintf(n, "%s%d %s %s %.15g\n", letter, n.parts, a, b, v)
}

func (n *netlist) pickup(i int, p *Pickup, hot string) {
	src, mid := fmt.Sprintf("src%d", i), fmt.Sprintf("mid%d", i)
	fmt.Fprintf(n, "Vpickup%d %s 0 dc 0 ac 1\n", i, src)
	n.part("R", src, mid, p.Resistance)
	n.part("L", mid, hot, p.Inductance)
	if p.Loss > 0 {
		n.part("R", mid, hot, p.Loss)
	}
	n.part("C", hot, "0", p.Capacitance)
}

func (n *netlist) controls(k *Controls, hot, next string) {
	if k.Volume != nil {
		n.part("R", hot, next, k.Volume.above())
		n.part("R", next, "0", k.Volume.below())
		if b := k.Bleed; b != nil && b.Capacitance > 0 {
			n.bleed(b, hot, next)
		} else if b != nil && !b.Series && b.Resistance > 0 {
			n.part("R", hot, next, b.Resistance)
		}
	}
	at := hot
	if k.ToneAfter {
		at = next
	}
	for _, t := range k.Tones {
		if t.Capacitance == 0 {
			continue // leads nowhere
		}
		mid := fmt.Sprintf("tone%d", n.parts)
		n.part("R", at, mid, t.Pot.below())
		n.part("C", mid, "0", t.Capacitance)
	}
}

func (n *netlist) bleed(b *Bleed, hot, next string) {
	if !b.Series || b.Resistance == 0 {
		n.part("C", hot, next, b.Capacitance)
		if b.Resistance > 0 {
			n.part("R", hot, next, b.Resistance)
		}
		return
	}
	mid := fmt.Sprintf("bleed%d", n.parts)
	n.part("C", hot, mid, b.Capacitance)
	n.part("R", mid, next, b.Resistance)
}
