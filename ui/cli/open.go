package cli

import (
	"encoding/json"
	"fmt"
	"strings"

	"wornwood/annotate"
	"wornwood/capture/bench"
)

// open opens a bench for the length of a verb.
func (c *call) open(dir string, create bool) (*bench.Bench, error) {
	return bench.Open(dir, bench.Options{Now: c.Now, Create: create})
}

// withBench opens the bench for the length of f.
func (c *call) withBench(dir string, f func(*bench.Bench) error) error {
	b, err := c.open(dir, false)
	if err != nil {
		return err
	}
	defer b.Close()
	return f(b)
}

// openExam opens the examination that --exam names, or the only unissued one.
func (c *call) openExam(b *bench.Bench, id string) (*bench.Exam, error) {
	if id != "" {
		return b.OpenExam(id)
	}
	rows, err := b.Instruments()
	if err != nil {
		return nil, err
	}
	var open []string
	for _, r := range rows {
		if !r.Issued {
			open = append(open, r.Exam)
		}
	}
	switch len(open) {
	case 1:
		return b.OpenExam(open[0])
	case 0:
		return nil, &usageError{"this bench has no open examination; begin one with 'wornwood new', or name one with --exam"}
	}
	return nil, &usageError{"this bench has several open examinations; name one with --exam: " + strings.Join(open, ", ")}
}

// withSession opens bench and examination, runs f, and closes both.
func (c *call) withSession(dir, exam string, f func(*bench.Bench, *bench.Exam, *annotate.Session) error) error {
	return c.withBench(dir, func(b *bench.Bench) error {
		ex, err := c.openExam(b, exam)
		if err != nil {
			return err
		}
		defer ex.Close()
		for _, n := range ex.Notes() {
			c.say("note: %s", n)
		}
		s, err := annotate.OpenFor(ex, b)
		if err != nil {
			return err
		}
		return f(b, ex, s)
	})
}

// printJSON writes one indented value for a program to read.
func (c *call) printJSON(v any) error {
	e := json.NewEncoder(c.Stdout)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

func (c *call) print(format string, a ...any) { fmt.Fprintf(c.Stdout, format, a...) }

// progress prints the count of long work on one line of a terminal's worth.
func (c *call) progress(what string) func(done, total int, file string) {
	return func(done, total int, file string) {
		fmt.Fprintf(c.Stderr, "%s %d of %d: %s\n", what, done, total, onOneLine(file))
	}
}
