//go:build bench

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"wornwood/pdfout"
	"wornwood/pdfout/archive"
	"wornwood/pdfout/archive/archivetest"
)

// archivingFinds searches, counts and opens a large index. The peer of searching
// reads every row of it once.
func archivingFinds(_, dir string) ([]measurement, error) {
	rows, err := numberOf("WORNWOOD_ARCHIVE_ROWS", archiveRows)
	if err != nil {
		return nil, err
	}
	large := filepath.Join(dir, "archive-large")
	if err := archive.Make(large, "Large", false, archivetest.When); err != nil {
		return nil, err
	}
	db := filepath.Join(large, "index.db")
	if err := fillIndex(db, rows); err != nil {
		return nil, err
	}
	if err := lastLine(large, rows); err != nil {
		return nil, err
	}
	x, err := archive.OpenSQLite(db, false)
	if err != nil {
		return nil, err
	}
	everyRow := func() (float64, error) {
		r, err := runProgram("sqlite3", db, "SELECT count(*) FROM report WHERE doc LIKE '%halden%'")
		return r.wall * 1000, err
	}
	p99 := func(what string, limit float64, of func(archive.Index, int) ([]float64, error)) measurement {
		return measurement{name: fmt.Sprintf("archive-%s-p99-%d", what, rows), unit: "ms", rounds: 1, limit: limit, absolute: true, peer: everyRow,
			ours: func() (float64, error) { return slowest(of(x, rows)) }}
	}
	return []measurement{
		p99("find", 100, finding), p99("suggest", 100, suggesting), p99("counts", 100, counting),
		p99("counts-serial", 500, countingSerials), // a list with a line for almost every report
		{name: fmt.Sprintf("archive-open-%d", rows), unit: "s", rounds: 5, limit: 0.5, absolute: true,
			ours: func() (float64, error) { return openLarge(large) },
			peer: func() (float64, error) {
				r, err := runProgram("sqlite3", db, "SELECT count(*) FROM about")
				return r.wall, err
			}},
		{name: fmt.Sprintf("archive-index-bytes-%d", rows), unit: "B", rounds: 1, limit: 3000, absolute: true,
			ours: func() (float64, error) { return bytesPer(db, rows) },
			peer: func() (float64, error) { return 3000, nil }},
	}, nil
}

// slowest is the 99th percentile of what was timed.
func slowest(took []float64, err error) (float64, error) {
	if err != nil {
		return 0, err
	}
	slices.Sort(took)
	return took[len(took)*99/100], nil
}

// firstAnswer asks what somebody asks first.
func firstAnswer(find func(q *archive.Query, from, most int) (*archive.Found, error)) error {
	q, err := archive.ParseQuery("halden sort:index")
	if err != nil {
		return err
	}
	f, err := find(q, 0, 100)
	if err == nil && len(f.Rows) == 0 {
		err = fmt.Errorf("nothing found")
	}
	return err
}

func fillIndex(db string, rows int) error {
	x, err := archive.OpenSQLite(db, false)
	if err != nil {
		return err
	}
	defer x.Close()
	for from := 1; from <= rows; from += 5000 {
		events, at := archivetest.Events(from, min(5000, rows-from+1))
		if err := x.Apply(events, at); err != nil {
			return err
		}
	}
	return nil
}

// lastLine gives the archive a log that ends where the index does; only its last
// line is there, as opening reads no other.
func lastLine(dir string, rows int) error {
	events, _ := archivetest.Events(rows, 1)
	line, err := pdfout.Canonical(events[0].Entry)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "log.jsonl"), append(line, '\n'), 0o644)
}

func bytesPer(db string, rows int) (float64, error) {
	i, err := os.Stat(db)
	if err != nil {
		return 0, err
	}
	return float64(i.Size()) / float64(rows), nil
}

// typedLetterByLetter is what is asked while somebody types.
func typedLetterByLetter(field, s string) []string {
	var out []string
	for i := 1; i <= len(s); i++ {
		if s[i-1] != ' ' && s[i-1] != '-' {
			out = append(out, field+s[:i])
		}
	}
	return out
}

// queries are lines as people type them, each time with other values.
func queries(i, rows int) []string {
	n := i * rows / 20
	maker := []string{"halden", "merrow", "tarry", "osterby", "tolle"}[i%5]
	list := []string{
		"", fmt.Sprintf("serial:l%d", n), fmt.Sprintf("L-%d", n), fmt.Sprintf("serial:\"L %dO%d\"", n, n%10), fmt.Sprintf("number:CR-2026-%06d", n), fmt.Sprintf("key %d", n), fmt.Sprintf("light %d", n%1000),
		maker, "sunburst", "sunburst case light wear", `"headstock break"`, `"case with key"`, fmt.Sprintf(`"light %d"`, i), `kind:"headstock break" condition:2`, "kind:head -kind:ding",
		"maker:finch year:1970..1979", fmt.Sprintf("examiner:%d index:80..", i), "part:tuners=replaced maker:tarry", `part:"front finish"=refinished -part:tuners=original`, "has:countersignature -has:timestamp",
		"date:2026-10 sort:date", "date:2025.. sort:-date", "verdict:unknown sort:date", "verdict:known -sunburst", "merrow -ding class:violin", "index:20..40 condition:1..3", "filed:2027 sort:size",
		"year:..1930 sort:year", "purpose:\"before listing\" has:photos", "nosuchword sort:maker", fmt.Sprintf("model:\"larkfoot %d\"", i),
	}
	for _, by := range []string{"index", "maker", "serial", "year", "number", "size", "date", "filed"} {
		list = append(list, maker+" sort:"+by, maker+" sort:-"+by, "sort:"+by, "wear sort:-"+by, fmt.Sprintf("class:violin -maker:tolle index:%d.. sort:%s", i*4, by))
	}
	list = append(list, typedLetterByLetter("", "ultraviolet")...)
	list = append(list, typedLetterByLetter("serial:", fmt.Sprintf("L4I%05dO", i*4321))...)
	list = append(list, typedLetterByLetter("", fmt.Sprint(1000+n))...)
	return append(list, typedLetterByLetter("number:", fmt.Sprintf("CR-2026-%06d", n))...)
}

func timed(do func() error) (float64, error) {
	s, err := seconds(do)
	return s * 1000, err
}

// finding is what each query took, in milliseconds, its first hundred reports
// read.
func finding(x archive.Index, rows int) ([]float64, error) {
	var took []float64
	for i := range 20 {
		for _, line := range queries(i, rows) {
			q, err := archive.ParseQuery(line)
			if err != nil {
				return nil, err
			}
			ms, err := timed(func() error { _, err := x.Find(q, 0, 100); return err })
			if err != nil {
				return nil, err
			}
			tell("find "+line, ms)
			took = append(took, ms)
		}
	}
	return took, nil
}

// tell prints what took long, where WORNWOOD_ARCHIVE_SLOW is set.
func tell(what string, ms float64) {
	if ms > 50 && os.Getenv("WORNWOOD_ARCHIVE_SLOW") != "" {
		fmt.Fprintf(os.Stderr, "%.0f ms: %s\n", ms, what)
	}
}

func suggesting(x archive.Index, rows int) ([]float64, error) {
	var took []float64
	for range 10 {
		for _, field := range archive.SuggestFields() {
			for _, begin := range []string{"", "h", "ha", "hal", "l", "la", "lar", "l1", "l-1", "l12", "c", "cr", "cr-", "e", "ex", "exa", "f", "fr", "fre", "t", "tu", "tun", "z"} {
				ms, err := timed(func() error { _, err := x.Suggest(field, begin, 12); return err })
				if err != nil {
					return nil, err
				}
				tell("suggest "+field+" "+begin, ms)
				took = append(took, ms)
			}
		}
	}
	return took, nil
}

// broad are queries that a large part of all reports answers.
var broad = []string{"", "sunburst", "halden", "class:violin", "index:30..", "-has:timestamp", "light wear year:1950..", `kind:ding`}

func counting(x archive.Index, _ int) ([]float64, error) {
	fields := slices.DeleteFunc(archive.CountFields(), func(f string) bool { return f == "serial" })
	return countingBy(x, fields)
}

// countingSerials counts by what almost every report has for its own.
func countingSerials(x archive.Index, _ int) ([]float64, error) {
	return countingBy(x, []string{"serial"})
}

func countingBy(x archive.Index, fields []string) ([]float64, error) {
	var took []float64
	for range 5 {
		for _, field := range fields {
			for _, line := range broad {
				q, err := archive.ParseQuery(line)
				if err != nil {
					return nil, err
				}
				ms, err := timed(func() error { _, err := x.Counts(q, field); return err })
				if err != nil {
					return nil, err
				}
				tell("counts "+field+" of "+line, ms)
				took = append(took, ms)
			}
		}
	}
	return took, nil
}

// openLarge is the time to open the archive for looking and have the first
// answer.
func openLarge(dir string) (float64, error) {
	start := time.Now()
	a, err := archive.Open(context.Background(), dir, archive.Options{ReadOnly: true})
	if err != nil {
		return 0, err
	}
	defer a.Close()
	err = firstAnswer(a.Find)
	return time.Since(start).Seconds(), err
}
