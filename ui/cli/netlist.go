package cli

import (
	"fmt"
	"strings"

	"wornwood/annotate/circuit"
	"wornwood/capture/record"
)

// printNetlist prints the circuit of one position of the switch as a netlist in
// the SPICE form, so that any circuit simulator of that family can check the
// curve. What had to be assumed stands in its comments.
func (c *call) printNetlist(rec *record.Record, name string) error {
	chains, notes := circuit.FromRecord(rec)
	if len(chains) == 0 {
		return fmt.Errorf("there is no circuit to print: %s", strings.Join(notes, "; "))
	}
	var names []string
	for _, ch := range chains {
		if ch.Name != name {
			names = append(names, fmt.Sprintf("%q", ch.Name))
			continue
		}
		title, rest, _ := strings.Cut(ch.Netlist(), "\n")
		c.print("%s\n* %s\n", title, ch.Words())
		for _, a := range ch.Assumed {
			c.print("* %s\n", strings.Join(strings.Fields(a), " "))
		}
		c.print("%s", rest)
		return nil
	}
	return &usageError{fmt.Sprintf("there is no circuit %q; there are: %s", name, strings.Join(names, ", "))}
}
