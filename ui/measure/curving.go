//go:build bench

package main

import (
	"fmt"
	"os"
	"path/filepath"

	"wornwood/annotate/circuit"
	"wornwood/capture/record"
)

// curving measures the response curve of a usual instrument, 200 points. The
// peer is the circuit simulator ngspice on the same circuit, from its netlist to
// its table of 61 points, as a process; ours is processor time of one curve.
func curving(_, dir string) ([]measurement, error) {
	rec := &record.Record{Components: []record.Component{
		{ID: "p", Kind: record.PickupComponent, Place: "neck", Pickup: &record.Pickup{Type: record.SingleCoil}}}}
	chains, notes := circuit.FromRecord(rec)
	if len(chains) != 1 {
		return nil, fmt.Errorf("no curve to measure: %q", notes)
	}
	file := filepath.Join(dir, "chain.cir")
	if err := os.WriteFile(file, []byte(chains[0].Netlist()), 0o600); err != nil {
		return nil, err
	}
	freqs := circuit.Frequencies(200)
	ours := func() (float64, error) {
		const times = 100
		start := cpu()
		for range times {
			if len(chains[0].Response(freqs)) != len(freqs) {
				return 0, fmt.Errorf("a curve is short")
			}
		}
		return (cpu() - start) / times, nil
	}
	peer := func() (float64, error) {
		r, err := runProgram("ngspice", "-b", file)
		return r.wall * 1000, err
	}
	return []measurement{{name: "curve-200-points-CPU", unit: "ms", rounds: 5, limit: 5, absolute: true, ours: ours, peer: peer}}, nil
}
