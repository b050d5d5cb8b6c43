//go:build bench

package main

import (
	"fmt"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// grading measures one grade of thirty marks, as it is computed after every
// edit in the window. The peer is the same record without marks, so the ratio
// is what marks cost.
func grading(_, _ string) ([]measurement, error) {
	rec := &record.Record{Instrument: record.Instrument{Class: outline.Classes()[0]}}
	for i := 1; i <= 30; i++ {
		x, y := float64(-110+7*i), float64(640+3*i)
		m := record.Mark{Number: i, Kind: "ding", Depth: record.Depths()[i%3],
			On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: x, Y: y}}}}}
		if i%3 == 0 {
			m.Kind = "wear-through"
			m.On[0].Shape, m.On[0].Points = record.AreaShape, []record.Point{{X: x, Y: y}, {X: x + 40, Y: y}, {X: x + 40, Y: y + 30}, {X: x, Y: y + 30}}
		}
		rec.Marks = append(rec.Marks, m)
	}
	d, err := grade.DrawingFor(rec.Instrument)
	if err != nil {
		return nil, err
	}
	run := func(r *record.Record) func() (float64, error) {
		return func() (float64, error) {
			const times = 20
			start := cpu()
			for range times {
				if _, err := grade.Grade(r, d, grade.Default()); err != nil {
					return 0, fmt.Errorf("grade: %w", err)
				}
			}
			return (cpu() - start) / times, nil
		}
	}
	empty := *rec
	empty.Marks = nil
	return []measurement{{name: "grade-30-marks-CPU", unit: "ms", rounds: 5, limit: 10, absolute: true, ours: run(rec), peer: run(&empty)}}, nil
}
