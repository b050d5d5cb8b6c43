//go:build bench

package main

import (
	"fmt"

	"wornwood/annotate/grade"
	"wornwood/annotate/outline"
	"wornwood/capture/record"
)

// grading measures one grade of thirty and of five hundred marks, as it is
// computed after every edit in the window, and the question what would be
// without one of the five hundred. The peer is the same record without marks, so
// the ratio is what marks cost.
func grading(_, _ string) ([]measurement, error) {
	some, many := gradedRecord(30), gradedRecord(500)
	empty := *some
	empty.Marks = nil
	d, err := grade.DrawingFor(some.Instrument)
	if err != nil {
		return nil, err
	}
	run := func(r *record.Record) func() (float64, error) {
		return often(func() error {
			_, err := grade.Grade(r, d, grade.Default())
			return err
		})
	}
	working, err := grade.NewCase(many, d, grade.Default())
	if err != nil {
		return nil, err
	}
	without := often(func() error {
		_, err := working.WhatIf(grade.Supposition{Without: 250})
		return err
	})
	return []measurement{
		{name: "grade-30-marks-CPU", unit: "ms", rounds: 5, limit: 10, absolute: true, ours: run(some), peer: run(&empty)},
		{name: "grade-500-marks-CPU", unit: "ms", rounds: 5, limit: 50, absolute: true, ours: run(many), peer: run(&empty)},
		{name: "what-if-of-500-marks-CPU", unit: "ms", rounds: 5, limit: 25, absolute: true, ours: without, peer: run(&empty)},
	}, nil
}

// often is the processor time of one of many calls, in ms.
func often(f func() error) func() (float64, error) {
	return func() (float64, error) {
		const times = 20
		start := cpu()
		for range times {
			if err := f(); err != nil {
				return 0, fmt.Errorf("grade: %w", err)
			}
		}
		return (cpu() - start) / times, nil
	}
}

// gradedRecord has so many marks on the front: dings, every third a worn area.
func gradedRecord(n int) *record.Record {
	rec := &record.Record{Instrument: record.Instrument{Class: outline.Classes()[0]}}
	for i := 1; i <= n; i++ {
		x, y := float64(-110+(7*i)%220), float64(560+(3*i)%170)
		m := record.Mark{Number: i, Kind: "ding", Depth: record.Depths()[i%3],
			On: []record.Place{{Side: "front", Shape: record.PointShape, Points: []record.Point{{X: x, Y: y}}}}}
		if i%3 == 0 {
			m.Kind = "wear-through"
			m.On[0].Shape, m.On[0].Points = record.AreaShape, []record.Point{{X: x, Y: y}, {X: x + 40, Y: y}, {X: x + 40, Y: y + 30}, {X: x, Y: y + 30}}
		}
		rec.Marks = append(rec.Marks, m)
	}
	return rec
}
