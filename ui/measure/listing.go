//go:build bench

package main

import (
	"context"
	"fmt"
	"os/exec"
	"path/filepath"
	"time"

	"wornwood/capture/bench"
	"wornwood/capture/record"
	"wornwood/ui/view"
)

// listing measures the list of a bench of 2000 instruments with what is due on
// each, from the index to the rows of the screen. The peer is sqlite3, SQLite's
// own shell, printing the whole table as a process.
func listing(_, dir string) ([]measurement, error) {
	const instruments = 2000
	path := filepath.Join(dir, "many")
	b, err := bench.Open(path, bench.Options{Create: true})
	if err != nil {
		return nil, err
	}
	battery, err := record.Set("component/b", record.Component{ID: "b", Kind: record.BatteryComponent, Place: "preamplifier", Battery: &record.Battery{Type: "9 V block", Fitted: "2026-01-10", Every: 12}})
	if err != nil {
		return nil, err
	}
	for i := range instruments {
		ex, err := b.Begin("", record.BeforeListing, record.Instrument{Class: "thinline", Maker: "Halden & Rowe", Model: "Larkfoot Standard", Year: "1974", Serial: fmt.Sprint(40000 + i)})
		if err == nil {
			err = ex.Do("battery", battery)
		}
		if err == nil {
			err = ex.Close()
		}
		if err != nil {
			return nil, err
		}
	}
	now := func() time.Time { return time.Date(2026, 11, 14, 15, 0, 0, 0, time.UTC) }
	ours := func() (float64, error) {
		s, err := seconds(func() error {
			v, err := view.NewBench(b, now)
			if err != nil {
				return err
			}
			rows, err := v.Rows()
			if err == nil && (len(rows) != instruments || rows[0].Due == "") {
				err = fmt.Errorf("%d rows, the first with %q due", len(rows), rows[0].Due)
			}
			return err
		})
		return s * 1000, err
	}
	peer := func() (float64, error) {
		s, err := seconds(func() error {
			return exec.CommandContext(context.Background(), "sqlite3", filepath.Join(path, "index.db"), "SELECT * FROM examination ORDER BY at DESC").Run()
		})
		return s * 1000, err
	}
	return []measurement{{name: "list-2000-instruments", unit: "ms", rounds: 9, limit: 100, absolute: true, ours: ours, peer: peer}}, nil
}
